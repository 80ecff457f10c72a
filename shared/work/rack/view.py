"""The rack as people read it: by section, each piece with its place and whose it is, with sums."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from cutting.question.lengths import Unit
from shared.wording.plurals import many
from shared.wording.tape import Tape
from shared.wording.values import weight
from shared.work.rack.bars import Bar, BarState
from shared.work.rack.measures import unit_of_bar, usual_unit

__all__ = ["RackGroup", "RackLine", "RackView", "rack_view"]


@dataclass(frozen=True, kw_only=True, slots=True)
class RackLine:
    """One piece.

    Attributes
    ----------
    label : str
        Such as ``D17``.
    length : str
        With its unit, marked where it is rounded, and what can be counted on where nobody measured it.
    place, heat, remark : str
        As written.
    state : str
        ``free``, ``reserved for Kayak stand``, or what has become of it.
    """

    label: str
    length: str
    place: str
    state: str
    heat: str
    remark: str


@dataclass(frozen=True, kw_only=True, slots=True)
class RackGroup:
    """The pieces of one section.

    Attributes
    ----------
    section : str
        With its material.
    sum : str
        How many, how long and how heavy together.
    lines : tuple of RackLine
        The longest first.
    """

    section: str
    sum: str
    lines: tuple[RackLine, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class RackView:
    """The rack.

    Attributes
    ----------
    sum : str
        How many pieces, how many of them free, how heavy together.
    groups : tuple of RackGroup
        By section.
    """

    sum: str
    groups: tuple[RackGroup, ...]


def rack_view(bars: Iterable[Bar], works: Mapping[str, str], unit: Unit | None = None) -> RackView:
    """Make the rack ready to show.

    Parameters
    ----------
    bars : iterable of Bar
        Which pieces.
    works : mapping of str to str
        Titles of works by id.
    unit : Unit or None
        In which lengths are shown; None for each piece's own.
    """
    listed = sorted(bars, key=lambda bar: (bar.section.key, -bar.length, bar.number))
    usual = unit or usual_unit(listed)
    groups = [tuple(group) for _, group in groupby(listed, key=lambda bar: bar.section.key)]
    free = sum(bar.state is BarState.FREE for bar in listed)
    said = (
        [many(len(listed), "piece"), f"{free} free", _weight(listed, usual)] if listed else ["nothing is on the rack"]
    )
    return RackView(
        sum=", ".join(text for text in said if text),
        groups=tuple(_group(group, works, usual, unit) for group in groups),
    )


def _group(bars: Sequence[Bar], works: Mapping[str, str], usual: Unit, stated: Unit | None) -> RackGroup:
    units = [stated or unit_of_bar(bar, usual) for bar in bars]
    whole = sum((bar.length for bar in bars), Fraction(0))
    together = _together(whole, units[0])
    said = (many(len(bars), "piece"), together if len(bars) > 1 else "", _weight(bars, units[0]))
    return RackGroup(
        section=bars[0].section.label,
        sum=", ".join(text for text in said if text),
        lines=tuple(_line(bar, works, unit) for bar, unit in zip(bars, units, strict=True)),
    )


def _line(bar: Bar, works: Mapping[str, str], unit: Unit) -> RackLine:
    tape = Tape(unit=unit)
    sure = f" (count on {tape.text(bar.usable)})" if bar.usable is not None else ""
    reserved = f" for {works.get(bar.work) or bar.work}" if bar.work else ""
    return RackLine(
        label=bar.name,
        length=tape.text(bar.length) + sure,
        place=bar.place,
        state=f"{bar.state}{reserved}",
        heat=bar.heat,
        remark=bar.remark,
    )


def _together(mm: Fraction, unit: Unit) -> str:
    """Write a sum of lengths in feet or metres, to two decimals."""
    large = Unit.FT if unit in {Unit.IN, Unit.FT} else Unit.M
    return f"{float(mm / large.mm):,.2f} {large}"


def _weight(bars: Sequence[Bar], unit: Unit) -> str:
    """Write the weight of what has a known one, and of how many pieces it isn't known."""
    known = [bar for bar in bars if bar.section.mass is not None]
    shown = weight(sum(((bar.section.mass or Fraction(0)) * bar.length / 1000 for bar in known), Fraction(0)), unit)
    assert shown is not None
    if len(known) == len(bars):
        return shown.full
    return f"{shown.full} without {many(len(bars) - len(known), 'piece')} of unknown weight" if known else ""
