"""The list to take stock with: what ought to lie where, and room to write down what does."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Final

from shared.view.issue import Paper
from shared.view.work.bars import bar_tape, length_text
from shared.wording.plurals import many
from shared.work.rack.along import in_order
from shared.work.rack.bars import Bar, BarState
from shared.work.rack.measures import usual_unit

__all__ = ["PlaceSheet", "StockLine", "StockTake", "stock_take"]

_NO_PLACE: Final = "No place written down"
_NOTES: Final = (
    "Tick what is there. Where the length differs from the list, write what the tape says.",
    "What isn't there: strike out its line. What lies elsewhere, is bent, drilled or painted: write it down.",
    "A piece without a label or not on this list goes on an empty line at the end; its label is printed later.",
)


@dataclass(frozen=True, kw_only=True, slots=True)
class StockLine:
    """One bar: label number, section, length, remark; the rest of its line is for writing."""

    bar: str
    section: str
    length: str
    remark: str


@dataclass(frozen=True, kw_only=True, slots=True)
class PlaceSheet:
    """One place and the bars that ought to lie there, by section, longest first."""

    place: str
    lines: tuple[StockLine, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class StockTake:
    """The finished view of a stock-take list.

    Attributes
    ----------
    title : str
        Which rack.
    date : str
        ISO 8601.
    paper : str
        ``a4`` or ``letter``.
    lead : str
        How many pieces at how many places.
    notes : tuple of str
        How to use the list.
    places : tuple of PlaceSheet
        As one walks along the rack.
    blank : int
        Empty lines for pieces that aren't on the list.
    """

    title: str
    date: str
    paper: str
    lead: str
    notes: tuple[str, ...]
    places: tuple[PlaceSheet, ...]
    blank: int


def stock_take(
    bars: Iterable[Bar],
    day: date,
    paper: Paper = Paper.A4,
    *,
    title: str = "Rack",
    blank: int = 12,
    works: Mapping[str, str] | None = None,
) -> StockTake:
    """Make the view of a stock-take list.

    Parameters
    ----------
    bars : iterable of Bar
        What ought to be there; in any order.
    day : date
        Printed on every page.
    paper : Paper
        What it is printed on.
    title : str
        Which rack, for people.
    blank : int
        Empty lines for pieces that aren't on the list, at least 0.
    works : mapping of str to str
        Titles of works by id, to say for whom a piece is reserved.

    Raises
    ------
    ValueError
        `blank` is negative.
    """
    if blank < 0:
        raise ValueError(f"there can't be {blank} empty lines; write 0 or more")
    listed = in_order(bars)
    places = tuple(_places(listed, works or {}))
    return StockTake(
        title=title,
        date=day.isoformat(),
        paper=paper.value,
        lead=f"{many(len(listed), 'piece')} at {many(len(places), 'place')}.",
        notes=_NOTES,
        places=places,
        blank=blank,
    )


def _places(bars: tuple[Bar, ...], works: Mapping[str, str]) -> Iterator[PlaceSheet]:
    usual = usual_unit(bars)
    for _, group in groupby(bars, key=lambda bar: bar.place.casefold()):
        there = tuple(group)
        yield PlaceSheet(
            place=there[0].place or _NO_PLACE,
            lines=tuple(
                StockLine(
                    bar=bar.name,
                    section=bar.section.label,
                    length=length_text(bar, bar_tape(bar, usual)),
                    remark="; ".join(text for text in (_state(bar, works), bar.remark) if text),
                )
                for bar in there
            ),
        )


def _state(bar: Bar, works: Mapping[str, str]) -> str:
    if bar.state is BarState.EXPECTED:
        return "not come yet"
    if bar.state is not BarState.RESERVED:
        return ""
    title = "" if bar.work is None else works.get(bar.work, "")
    return f"reserved for {title}" if title else "reserved"
