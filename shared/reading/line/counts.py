"""Counts in a line and the words around them: what a quantity is made of."""

from __future__ import annotations

from typing import Final

from shared.reading.text.vocabulary import COUNTERS, NUMBERS, QUANTITY_WORDS, fold
from shared.reading.values.line_state import LineState, whole

__all__ = [
    "MOST_PIECES",
    "count_at",
    "length_elsewhere",
    "number_after",
    "number_before",
    "take_announcement",
    "take_counter",
    "take_parentheses",
]

MOST_PIECES: Final = 100_000
"""More pieces than any list has; a larger number is an error of typing."""


def count_at(work: LineState, at: int) -> int | None:
    """Return the count that stands at an index, in digits or in words."""
    if not 0 <= at < len(work.tokens) or at in work.used:
        return None
    token = work.tokens[at]
    if token.kind == "word":
        return NUMBERS.get(fold(token.text))
    return whole(token)


def number_before(work: LineState, at: int) -> bool:
    """Whether a plain count stands right before, so that the word belongs to that (``4 pcs 1250``)."""
    return at > 0 and count_at(work, at - 1) is not None and work.kind(at - 2) != "cross"


def number_after(work: LineState, at: int) -> bool:
    """Whether ``No.`` is followed by a number close by, so that it numbers something (``No. 4``)."""
    spot = at + 1
    if work.sign(spot) == ".":
        spot += 1
    token = work.tokens[spot] if spot < len(work.tokens) else None
    return token is not None and whole(token) is not None and work.kind(at - 1) != "number"


def length_elsewhere(work: LineState, at: int, count: int) -> bool:
    """Whether another number can be the length, so that the one behind a cross is a count."""
    for other, token in enumerate(work.tokens):
        if other == at or token.kind != "number" or other in work.used or other in work.noted:
            continue
        if "cross" in {work.kind(other - 1), work.kind(other + 1)} and token.unit not in {"ft", "in", "m", "mm", "cm"}:
            continue
        if token.unit in {"ft", "in", "m", "mm", "cm"} or token.form != "int" or (token.value or 0) > count:
            return True
    return False


def take_counter(work: LineState, at: int) -> None:
    """Take a counter that stands behind a quantity."""
    if work.word(at) in COUNTERS:
        work.take((at,))


def take_announcement(work: LineState, at: int) -> None:
    """Take ``qty`` and its colon where they stand before a quantity that was read otherwise."""
    spot = at - 1
    while work.sign(spot) in {":", "=", "("}:
        spot -= 1
    if work.word(spot) in QUANTITY_WORDS:
        work.take(range(spot, at))


def take_parentheses(work: LineState, first: int, last: int) -> None:
    """Take the parentheses right around a quantity."""
    if work.sign(first - 1) in {"(", "["} and work.sign(last + 1) in {")", "]"}:
        work.take((first - 1, last + 1))
        work.noted.difference_update((first - 1, last + 1))
