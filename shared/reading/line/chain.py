"""Chains of numbers joined by crosses: which are dimensions, which a quantity or a length."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from cutting.question.job import Section
from shared.reading.text.tokens import Token
from shared.sections import System
from shared.sections.shapes import write_dimension
from shared.sections.words import NEUTRAL, Tag, tags_of

__all__ = [
    "LIPPED",
    "LONG_UNITS",
    "WALL",
    "Split",
    "chains",
    "fits",
    "in_order",
    "is_family",
    "long_enough",
    "say_dimension",
    "splits",
    "tube_like",
]

LONG_UNITS: Final = frozenset({"ft", "m", "cm"})
LIPPED: Final = 4
WALL: Final = frozenset({"wall", "wt", "thick", "thk"})
"""Words behind a section's wall."""
_MOST_QUANTITY: Final = 9999


@dataclass(frozen=True, kw_only=True, slots=True)
class Split:
    """One way to share a chain of numbers out: quantity, dimensions, length, quantity."""

    lead: int
    dims: int
    length: int
    tail: int


def is_family(token: Token) -> bool:
    """Whether a token is a word for a section family."""
    return token.kind == "word" and bool(tags_of(token.text))


def chains(tokens: Sequence[Token]) -> Iterator[list[int]]:
    """Yield the runs of numbers joined by crosses, as indexes (the crosses left out)."""
    at = 0
    while at < len(tokens):
        if tokens[at].kind != "number":
            at += 1
            continue
        run = [at]
        while (after := _next_in_chain(tokens, at)) is not None:
            at = after
            run.append(at)
        at += 1
        if len(run) > 1:
            yield run


def _is_wall(tokens: Sequence[Token], at: int) -> bool:
    """Whether a number is called the wall (``1/8 wall``)."""
    return at + 1 < len(tokens) and tokens[at].kind == "number" and tokens[at + 1].word in WALL


def _next_in_chain(tokens: Sequence[Token], at: int) -> int | None:
    """Return where the next number of a chain stands; family words may stand before the cross (``2" sq. x 11 ga``)."""
    at += 1
    while at + 1 < len(tokens) and (is_family(tokens[at]) or (tokens[at].word and tokens[at].word in NEUTRAL)):
        at += 1
    if at + 1 < len(tokens) and tokens[at].text == ",":
        at += _is_wall(tokens, at + 1)
    if _is_wall(tokens, at):
        return at
    if at + 1 >= len(tokens) or tokens[at].kind != "cross":
        return None
    number = tokens[at + 1]
    return at + 1 if number.kind in {"number", "gauge"} and number.unit not in {"deg", "%"} else None


def splits(numbers: Sequence[Token], tags: set[Tag], *, gauge: bool, words_first: bool) -> Iterator[Split]:
    """Yield the ways to share a chain out, the plainest first."""
    count = len(numbers)
    for dims in _dimension_counts(tags, gauge=gauge, has_gauge_in_chain=any(n.kind == "gauge" for n in numbers)):
        orders = [(0, 0, 0), (0, 1, 0), (1, 0, 0), (0, 1, 1), (1, 1, 0)]
        for lead, length, tail in orders if words_first else [*orders[:3], orders[4], orders[3]]:
            if lead + dims + length + tail == count:
                split = Split(lead=lead, dims=dims, length=length, tail=tail)
                if fits(numbers, split):
                    yield split


def fits(numbers: Sequence[Token], split: Split) -> bool:
    """Whether quantities are whole numbers, dimensions small and lengths numbers."""
    counts = ([numbers[0]] if split.lead else []) + ([numbers[-1]] if split.tail else [])
    dims = numbers[split.lead : split.lead + split.dims]
    return all(
        token.form == "int" and not token.unit and 0 < (token.value or 0) <= _MOST_QUANTITY for token in counts
    ) and all(token.unit not in LONG_UNITS for token in dims)


_COUNTS: Final[tuple[tuple[Tag, tuple[int, ...]], ...]] = (
    (Tag.ANGLE, (3, 2)),
    (Tag.CHANNEL, (2, 3, 4)),
    (Tag.UPN, (1,)),
    (Tag.FLAT, (2,)),
    (Tag.RECTANGULAR, (2,)),
    (Tag.SQUARE, (1, 2)),
    (Tag.BAR, (2, 1)),
)


def _dimension_counts(tags: set[Tag], *, gauge: bool, has_gauge_in_chain: bool) -> tuple[int, ...]:
    """Return how many numbers of a chain a family's dimensions may take."""
    if Tag.PIPE in tags:
        return (1, 2)
    if Tag.HOLLOW in tags or (tags & {Tag.SQUARE, Tag.RECTANGULAR} and not tags & {Tag.BAR, Tag.SOLID}):
        if gauge and not has_gauge_in_chain:
            return (2, 1)
        return (2, 3) if Tag.ROUND in tags else (3, 2, 1)
    if Tag.ROUND in tags and not tags & {Tag.ANGLE, Tag.CHANNEL, Tag.UPN, Tag.FLAT, Tag.RECTANGULAR}:
        return (1,) if tags & {Tag.BAR, Tag.SOLID} else (1, 2)
    return next((counts for tag, counts in _COUNTS if tag in tags), ())


def in_order(dims: Sequence[Token]) -> bool:
    """Whether the wall comes last, as it does where a length follows in the same chain."""
    values = [dimension_value(token) for token in dims if token.kind == "number"]
    return all(values) and (len(values) < 3 or values[-1] == min(values))  # noqa: PLR2004


def dimension_value(token: Token) -> Fraction:
    """Return the value of a dimension: those have no thousands, so that 2.375 is a decimal."""
    if token.form == "open":
        return token.readings[0]
    return token.value or Fraction(0)


def long_enough(length: Token, section: Section) -> bool:
    """Whether a number can be the length of a part of that section, if it is in the section's unit."""
    if length.value is None or length.unit or not section.sides:
        return True
    in_inches = "/" in section.name or max(section.sides) / Fraction(127, 5) in {Fraction(n, 4) for n in range(1, 49)}
    return length.value * (Fraction(127, 5) if in_inches else 1) > min(section.sides)


def tube_like(dims: Sequence[Token]) -> bool:
    """Whether three numbers look like two sides and a wall."""
    if any(token.kind == "gauge" for token in dims):
        return True
    first, second, wall = (dimension_value(token) for token in dims)
    return 0 < wall * 2 < min(first, second)


def say_dimension(token: Token, dims: Sequence[Token]) -> str:
    """Write one dimension of a section without a family."""
    if token.kind == "gauge":
        return token.text.replace(" ", "")
    inch = any(other.form in {"fraction", "mixed", "glyph"} or other.unit == "in" for other in dims) or any(
        other.kind == "gauge" or dimension_value(other) < 1 for other in dims
    )
    return write_dimension(dimension_value(token), System.INCH if inch else System.MM)
