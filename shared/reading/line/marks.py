"""The mark or item number that a line begins with."""

from __future__ import annotations

import re
from typing import Final

from shared.reading.line.quantity import explicit_quantity
from shared.reading.text.tokens import Token
from shared.reading.text.vocabulary import MARK_WORDS
from shared.reading.values.draft import Around, Draft
from shared.reading.values.line_state import LineState, whole

__all__ = ["take_mark"]

_HOOKED: Final = re.compile(r"[.):]")


def take_mark(work: LineState, draft: Draft, around: Around) -> None:
    """Take a mark or an item number at the line's beginning."""
    free = work.free()
    if not free:
        return
    at = free[0]
    token = work.tokens[at]
    if work.sign(at) == "#" and work.kind(at + 1) in {"number", "code"}:
        _set_mark(work, draft, range(at, at + 2), work.tokens[at + 1].text)
    elif work.word(at) in MARK_WORDS and _marked(work, at) is not None:
        spot = _marked(work, at) or at
        _set_mark(work, draft, range(at, spot + 1), work.tokens[spot].text)
    elif token.kind == "code" and not _is_section_code(token):
        _set_mark(work, draft, range(at, at + 1), token.text)
    elif token.kind == "word" and len(token.text) <= 2 and work.sign(at + 1) in {":", ")"}:  # noqa: PLR2004
        _set_mark(work, draft, range(at, at + 2), token.text)
    elif whole(token) is not None and _HOOKED.fullmatch(work.sign(at + 1)) and work.tokens[at + 1].start == token.end:
        _take_item(work, draft, around, at)


def _is_section_code(token: Token) -> bool:
    """Whether a code is a rolled section or a grade rather than a mark."""
    return (
        re.fullmatch(
            r"(?:w|s|hp|wt|st|mt)\d+x[\d.]*|m\d+(?:x\d+)?|(?:ipe|he[abm]|ipn|upe|ub|uc|t)\d+|s\d{3}\w*|a\d{2,3}",
            token.text,
            re.IGNORECASE,
        )
        is not None
    )


def _marked(work: LineState, at: int) -> int | None:
    """Return where the mark stands behind a word that announces one."""
    spot = at + 1
    while work.sign(spot) in {".", ":", "#"}:
        spot += 1
    token = work.tokens[spot] if spot < len(work.tokens) else None
    if token is None or spot in work.used:
        return None
    short = token.kind == "word" and len(token.text) == 1
    return spot if token.kind == "code" or whole(token) is not None or short else None


def _set_mark(work: LineState, draft: Draft, inside: range, text: str) -> None:
    """Take a mark and the sign behind it."""
    draft.mark = draft.mark or text
    work.take(inside)
    work.named.update(inside)
    if work.sign(inside.stop) in {":", ")", ".", "-", "|", "="}:
        work.take((inside.stop,))


def _take_item(work: LineState, draft: Draft, around: Around, at: int) -> None:
    """Take ``3.`` or ``3)`` as an item number where it is one beyond doubt, else leave it to the quantities."""
    number = whole(work.tokens[at])
    if around.numbered and number == around.item:
        draft.item = number
        work.take((at, at + 1))
        work.named.update((at, at + 1))
        return
    probe = Draft()
    trial = LineState(text=work.text, tokens=work.tokens, used={at, at + 1, *work.used}, noted=set(work.noted))
    explicit_quantity(trial, probe)
    first = next(iter(trial.free()), None)
    if probe.quantity is not None or (
        first is not None and whole(work.tokens[first]) is not None and work.kind(first + 1) != "cross"
    ):
        draft.item = number
        work.take((at, at + 1))
        work.named.update((at, at + 1))
