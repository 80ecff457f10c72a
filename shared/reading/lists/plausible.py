"""Lengths and prices that can hardly be meant: asked once the list's units are settled, with a way to say yes.

The bounds are common practice, not taken from a source: nobody saws a tube to less than its own depth or buys a mill
length below a metre without meaning it, mills roll up to about 18 m (60 ft), and of one list's prices by weight none is
a third or three times the others without a reason.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from statistics import median
from typing import Final

from cutting.question.job import PerLength, PerStick, PerWeight, Price, Section, Source
from cutting.question.lengths import Unit, show_length
from shared.reading.grid.cells import Cell
from shared.reading.lists.entry import Entry
from shared.reading.text.sure import SAID
from shared.reading.values.draft import Ask, Measured, Rewrite
from shared.reading.values.result import OfferRead
from shared.reading.values.system import system_in
from shared.sections import System

__all__ = ["doubts_length", "doubts_prices"]

_LONGEST_PART: Final = Fraction(15_500)
_LONGEST_STICK: Final = Fraction(18_500)
_SHORTEST_STICK: Final = Fraction(1000)
_HOLLOW: Final = frozenset({"shs", "rhs"})
_STUB: Final = Fraction(100)
"""Shorter pieces of tube, hardly longer than it is deep, are more often another unit than a stub."""
_FEW: Final = 3
_FAR: Final = 3
_MARKED: Final = re.compile(r"[A-Za-z'\"]")


def doubts_length(entry: Entry, mm: Fraction, source: Source | None, cell: Cell | None, delimiter: str) -> bool:
    """Ask about a length that can hardly be meant.

    Parameters
    ----------
    entry : Entry
        The line, its section and length settled.
    mm : Fraction
        The length.
    source : Source or None
        Where the stick is from, None for a part.
    cell : Cell or None
        The cell of the length, None for free text.
    delimiter : str
        Of a table.

    Returns
    -------
    bool
        Whether it was asked; then the line is a question.
    """
    draft = entry.draft
    if entry.sure or draft is None or draft.section is None or draft.length is None:
        return False
    text = cell.text if cell else entry.row.text
    why = _why(draft.section, mm, source)
    bare = _MARKED.search(text[draft.length.start : draft.length.end]) is None
    if (
        not why
        and bare
        and source is None
        and draft.section.family in _HOLLOW
        and mm < min(2 * _depth(draft.section), _STUB)
    ):
        why = "is hardly longer than the section is deep"
    if not why:
        return False
    unit = draft.length.unit or Unit.MM
    said = show_length(mm, unit)
    entry.ask(
        Ask(
            message=f"{said} {why}; is it meant? write the unit, or (sure) behind the line",
            position=draft.length.start,
            rewrites=(
                *_in_other_units(draft.section, draft.length, source, text),
                _as_it_is(f"{said}, as it stands", text),
            ),
        ),
        cell,
        delimiter,
    )
    return True


def _why(section: Section, mm: Fraction, source: Source | None) -> str:
    """Say why a length can hardly be meant, empty where it can."""
    depth = _depth(section)
    if mm < depth:
        return f"is less than {section.name} is deep"
    if source is Source.STICKS and mm < _SHORTEST_STICK:
        return "is short for a stick that a yard sells"
    if source is None and mm > _LONGEST_PART:
        return "is longer than any stick it could be cut from"
    return "is longer than any mill rolls" if mm > _LONGEST_STICK else ""


def _depth(section: Section) -> Fraction:
    """Return the length below which a cut is no bar any more: half the width for flats, which make pads."""
    return max(section.sides, default=Fraction(0)) / (2 if section.family == "flat" else 1)


def _in_other_units(section: Section, length: Measured, source: Source | None, text: str) -> list[Rewrite]:
    """Offer the same number in units in which it can be meant."""
    if _MARKED.search(text[length.start : length.end]):
        return []
    end = len(text[: length.end].rstrip())
    metric = system_in(section) is System.MM
    units = (Unit.MM, Unit.CM, Unit.M, Unit.IN, Unit.FT) if metric else (Unit.IN, Unit.FT, Unit.MM)
    return [
        Rewrite(reading=show_length(length.value * unit.mm, unit), start=end, end=end, text=f" {unit}")
        for unit in units
        if unit is not length.unit and not _why(section, length.value * unit.mm, source)
    ]


def _as_it_is(reading: str, text: str) -> Rewrite:
    end = len(text.rstrip())
    return Rewrite(reading=reading, start=end, end=end, text=SAID)


def doubts_prices(entries: Sequence[Entry], made: Mapping[int, OfferRead | None]) -> set[int]:
    """Ask about prices far off, by weight, what the rest of the list asks; returns which were."""
    prices = {
        line: price
        for line, offer in made.items()
        if offer is not None and (price := _by_weight(offer.price, offer.section, offer.length))
    }
    if len(prices) < _FEW:
        return set()
    usual = median(prices.values())
    doubted = {line for line, price in prices.items() if not usual / _FAR < price < usual * _FAR}
    doubted -= {id(entry) for entry in entries if entry.sure}
    if len(doubted) * _FEW > len(prices):  # prices that differ so much have no neighbours to be judged by
        return set()
    for entry in entries:
        if id(entry) in doubted:
            times = prices[id(entry)] / usual
            far = f"{float(times):.1f} times" if times > 1 else f"{float(times * 100):.0f} % of"
            text = entry.row.text
            entry.ask(
                Ask(
                    message=f"by weight this price is {far} what the list's others are; is it meant? "
                    "write it anew, or (sure) behind the line",
                    position=0,
                    rewrites=(_as_it_is("the price as it stands", text),),
                )
            )
    return doubted


def _by_weight(price: Price | None, section: Section, mm: Fraction) -> Fraction | None:
    """Return a price for one kg, None where it has none or the weight is unknown."""
    if section.mass is None or not section.mass or not mm:
        return None
    each = section.mass * mm / 1000
    if isinstance(price, PerStick):
        return Fraction(price.amount) / each
    if isinstance(price, PerLength):
        return Fraction(price.amount) / price.per * 1000 / section.mass
    return Fraction(price.amount) / price.per if isinstance(price, PerWeight) else None
