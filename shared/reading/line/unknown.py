"""Words beside a complete part that aren't known: said, and asked where they may change the part."""

from __future__ import annotations

from typing import Final

from rapidfuzz import fuzz, process

from shared.reading.line.finish import buys_else
from shared.reading.text.names import is_harmless
from shared.reading.values.account import TakenFor
from shared.reading.values.draft import Ask, Draft, Rewrite
from shared.reading.values.line_state import LineState
from shared.sections.materials import finish_words

__all__ = ["ask_unknown", "say_unknown"]

_LEAST: Final = 5
_SIMILAR: Final = 84
_TELLING: Final = (
    "galvanised", "galvanized", "stainless", "aluminium", "aluminum", "mitred", "mitered", "bevelled", "verzinkt",
    "feuerverzinkt", "edelstahl", "gehrung", "onglet", "inglete", "inoxidable", "inoxydable", "galvanizado",
    "galvanise", "zincato", "verstek", "about", "approx", "circa", "environ", "ungefahr", "dozen", "douzaine",
    "dutzend", "docena", "bronze", "brass", "messing", "copper", "kupfer",
)  # fmt: skip
"""Words that make another part of one; a slip in them is no remark."""


def ask_unknown(work: LineState, draft: Draft) -> None:
    """Ask about a word that is nearly a telling one, and about an unknown one within the section's name."""
    for at in _unknown(work):
        token = work.tokens[at]
        remark = Rewrite(
            reading=f"a remark: {token.text}", start=token.start, end=token.end, text=f"(note {token.text})"
        )
        close = process.extractOne(token.word, _TELLING, scorer=fuzz.ratio, score_cutoff=_SIMILAR)
        if len(token.word) >= _LEAST and close is not None:
            meant = Rewrite(reading=close[0], start=token.start, end=token.end, text=close[0])
            message = f"{token.text}: is {close[0]} meant?"
            draft.asks.append(Ask(message=message, position=token.start, rewrites=(meant, remark)))
            return
        if _within_section(work, at):
            message = f"{token.text} isn't known: a material, a kind of section, or a remark?"
            draft.asks.append(Ask(message=message, position=token.start, rewrites=(remark,)))
            return


def say_unknown(work: LineState, draft: Draft) -> None:
    """Say which words of a part weren't understood; they stay in its note."""
    words = dict.fromkeys(work.tokens[at].text for at in _unknown(work))
    if words:
        draft.notes.append(f"not understood, kept as a note: {', '.join(words)}")


def _unknown(work: LineState) -> list[int]:
    """Return the indexes of words that nothing has taken and that aren't known to be harmless."""
    return [
        at for at in work.free() if work.kind(at) == "word" and not _is_harmless(work.word(at), work.tokens[at].text)
    ]


def _is_harmless(word: str, text: str) -> bool:
    """Whether a word is taken as a material, or harmless as a whole or in each of its parts (``shelf-edge``)."""
    plain = text.lower().rstrip(".")
    if buys_else(plain) or finish_words([plain]):
        return True
    parts = text.replace("/", "-").replace("'", "-").split("-")
    return is_harmless(word) or (len(parts) > 1 and all(is_harmless(part.lower().strip(".")) for part in parts if part))


def _within_section(work: LineState, at: int) -> bool:
    """Whether a word stands before the section where a material does; not what a number counts (``4 aprons``)."""
    after = next(
        (spot for spot in range(at + 1, len(work.tokens)) if work.kind(spot) != "word" or spot in work.used), -1
    )
    before = next((spot for spot in range(at - 1, -1, -1) if work.kind(spot) != "word" or spot in work.used), -1)
    named = work.taken.get(after) is TakenFor.SECTION and before >= 0 and before in work.used
    return named and work.kind(before) != "number"
