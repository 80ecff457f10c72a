"""Read one line of free text: mark, quantity, section, length, ends, and what is left as its note."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from shared.reading.line.chain import chains
from shared.reading.line.corrected import find_beside
from shared.reading.line.ditto import take_ditto
from shared.reading.line.doubts import (
    ask_glued,
    ask_left_over,
    ask_loose_chain,
    ask_section,
    ask_struck,
    asks_loose_start,
    check_quantity,
    suggest_family,
)
from shared.reading.line.finder import find_section
from shared.reading.line.finish import take_finish
from shared.reading.line.hedged import ask_divided, ask_each, ask_hedged, ask_uncounted
from shared.reading.line.lengths import candidates, claim, is_announced, take_length
from shared.reading.line.marks import take_mark
from shared.reading.line.measured import LENGTH_UNITS
from shared.reading.line.money import take_money
from shared.reading.line.named import Found
from shared.reading.line.quantity import explicit_quantity
from shared.reading.line.shapes import ask_shape, ask_unread_ends
from shared.reading.line.sharing import share_plain_numbers
from shared.reading.line.unknown import ask_unknown, say_unknown
from shared.reading.text.ends import find_ends
from shared.reading.text.tokens import Token, plain
from shared.reading.text.vocabulary import is_also
from shared.reading.values.account import Taken, TakenFor, covering
from shared.reading.values.draft import Around, Draft
from shared.reading.values.line_state import LineState, open_work, whole

__all__ = ["read_line"]

_FEW: Final = 5
_READY_RODS: Final = re.compile(
    r"(?!.*(?:\bround\b|ø))"
    r".*(?:\b(?:drop|threaded|welding|filler|tig|cane) ?-?(?:rod|bolt)s?\b|\bgewindest[aä]nge?n?\b|\btige filet"
    r"|\bvarilla rosc|\bbarra filettat|\bdraadstang)",
    re.IGNORECASE,
)
"""Rods that are bought ready, whatever their size says."""
_DASHED: Final = re.compile(r"\s*-\s+\d")


def read_line(text: str, around: Around, given: Draft | None = None) -> Draft:
    """Read one line.

    Parameters
    ----------
    text : str
        The line as it stands.
    around : Around
        What the rest of the list says.
    given : Draft or None
        What is known already from other cells of the row.

    Returns
    -------
    Draft
        What the line says; what is open is in its `asks`.
    """
    line = plain(text)
    draft = given or Draft()
    ends, masked, written = find_ends(line)
    draft.ends = draft.ends or ends
    if ends is not None and not written:
        draft.notes.append("mitred: 45° taken")
    beside = find_beside(line)
    work = open_work(line, (*masked, *beside.spans), prices=around.offers)
    if around.offers:
        work.stage = TakenFor.PRICE
        take_money(work, draft)
    work.stage = TakenFor.MARK
    take_mark(work, draft, around)
    work.stage = TakenFor.QUANTITY
    if draft.quantity is None:
        before = set(work.used)
        explicit_quantity(work, draft)
        work.counted = work.used - before
    work.stage = TakenFor.DITTO
    ditto = take_ditto(work)
    found = find_section(
        work.barred(),
        around.system,
        sure_quantity=draft.quantity is not None,
        sure_length=lambda: draft.length is not None or _length_is_sure(work),
    )
    work.stage = TakenFor.SECTION
    if found is not None and draft.section is None:
        _take_section(work, draft, found)
    if draft.length is None and not draft.asks:
        take_length(work, draft, around)
    work.stage = TakenFor.QUANTITY
    share_plain_numbers(work, draft, around)
    _finish(work, draft, around, line, ditto=ditto)
    beside.keep(draft)
    draft.account = _account(work, draft, masked)
    return draft


def _account(work: LineState, draft: Draft, ends: Sequence[tuple[int, int]]) -> tuple[Taken, ...]:
    """Return what each piece of the line was taken for."""
    if draft.also:
        return covering(work.text, (), TakenFor.ALSO)
    materials = set(draft.section.material.lower().split()) if draft.section is not None else set()
    pieces = [Taken(start, end, TakenFor.ENDS) for start, end in ends]
    for at, token in enumerate(work.tokens):
        what = work.taken.get(at) if at in work.used else None
        if what is None and token.text.lower() in materials:
            what = TakenFor.MATERIAL
        if what is not None:
            pieces.append(Taken(token.start, token.end, what))
    return covering(work.text.replace("\x1f", "x"), pieces, TakenFor.NOTE)


def _length_is_sure(work: LineState) -> bool:
    """Whether the line has a length outside any chain of dimensions, beyond doubt."""
    in_chain = {at for run in chains(work.tokens) for at in run}
    numbers = candidates(work)
    return (
        any(
            (is_announced(work, at) and work.tokens[at].unit != "ft")
            or work.tokens[at].unit in {"ft", "m"}
            or work.tokens[at].form == "feet"
            for at in numbers
            if at not in in_chain or is_announced(work, at)
        )
        or sum(work.tokens[at].unit in LENGTH_UNITS for at in numbers if at not in in_chain) == 1
    )


def _take_section(work: LineState, draft: Draft, found: Found) -> None:
    """Take the section, and a quantity or length that stood in one chain with it."""
    spots = list(found.used)
    if asks_loose_start(work, draft, spots):
        return
    work.take(spots)
    draft.section = found.section
    draft.stated = found.text
    if found.error is not None:
        ask_section(work, draft, found.error, spots)
    if found.quantity is not None and draft.quantity is None:
        draft.quantity = whole(found.quantity)
        work.stage = TakenFor.QUANTITY
        _take_token(work, found.quantity)
        work.stage = TakenFor.SECTION
    if found.length is not None and draft.length is None:
        at = next(index for index, token in enumerate(work.tokens) if token is found.length)
        work.used.discard(at)
        claim(work, draft, Around(), at)


def _take_token(work: LineState, token: Token) -> None:
    """Take a token itself."""
    at = next(index for index, other in enumerate(work.tokens) if other is token)
    work.take((at,))
    if work.kind(at + 1) == "cross":
        work.take((at + 1,))


def _finish(work: LineState, draft: Draft, around: Around, line: str, *, ditto: bool) -> None:
    """Fill in what the surroundings give, ask about what is open, and keep the rest as the note."""
    if _is_also(work, draft):
        _keep_also(work, draft)
        return
    _fill_in(draft, around, ditto=ditto, dashed=_DASHED.match(work.text) is not None)
    if not draft.asks and (draft.section is None or not draft.section.family) and draft.length is not None:
        suggest_family(work, draft)
    if draft.section is None and not draft.asks:
        ask_loose_chain(work, draft)
    check_quantity(draft, least=0 if around.offers else 1)
    if around.offers and draft.complete and not draft.asks:
        ask_each(work, draft)
    for ask in (ask_glued, ask_hedged, ask_uncounted, ask_struck, ask_divided, ask_left_over, ask_unknown):
        if draft.complete and not draft.asks:
            ask(work, draft)
    rest = work.rest()
    if draft.section is not None and draft.stated:
        rest = take_finish(draft, rest)
    if draft.complete and draft.ends is None and not draft.asks:
        ask_unread_ends(draft, work.text)
    if not around.offers:
        _ask_part(work, draft, line)
    draft.note = ", ".join(part for part in (draft.note, rest) if part)


def _ask_part(work: LineState, draft: Draft, line: str) -> None:
    """Ask about the shape of a complete part; what of it isn't known is said."""
    if draft.complete and not draft.asks:
        ask_shape(draft, line)
    if draft.complete and not draft.asks:
        say_unknown(work, draft)


def _is_also(work: LineState, draft: Draft) -> bool:
    """Whether a line asks for something that is no bar stock, rather than mentioning it beside a part or in prose."""
    ready = _READY_RODS.match(work.text) is not None
    nouns = ready or any(is_also(token.word) for at, token in enumerate(work.tokens) if at not in work.noted)
    listed = draft.section is not None and bool(draft.section.family) and draft.length is not None and not ready
    if not nouns or listed or draft.ends is not None:
        return False
    few = len(work.tokens) <= _FEW and not work.text.rstrip().endswith((".", "!", "?"))
    return few or any(token.kind == "number" for token in work.tokens)


def _keep_also(work: LineState, draft: Draft) -> None:
    """Keep such a line as it stands, its quantity aside."""
    draft.also = True
    draft.asks.clear()
    if draft.quantity is None:
        _count_of_other(work, draft)
    draft.note = LineState(text=work.text, tokens=work.tokens, used=work.counted | work.named, noted=work.noted).rest()


def _fill_in(draft: Draft, around: Around, *, ditto: bool, dashed: bool) -> None:
    """Take from the line before what ditto says, and the section from the heading."""
    if ditto and draft.section is None:
        draft.section = around.previous
    if ditto and draft.length is None and not draft.asks:
        draft.length = around.previous_length
    if draft.section is None and not draft.stated and not draft.asks:
        draft.section = around.section
    if draft.section is None and draft.complete_but_section and dashed and around.previous is not None:
        draft.section = around.previous
        draft.notes.append(f"section as in the line above: {around.previous.label}")


def _count_of_other(work: LineState, draft: Draft) -> None:
    """Take the count of what is no bar stock: a plain number at the line's beginning or end."""
    ends = [at for at in (0, len(work.tokens) - 1) if whole(work.tokens[at]) is not None]
    ends = [at for at in ends if "cross" not in {work.kind(at - 1) if at else "", work.kind(at + 1)}]
    if ends:
        draft.quantity = whole(work.tokens[ends[0]])
        work.counted.add(ends[0])
