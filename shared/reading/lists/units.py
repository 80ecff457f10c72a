"""Settle lengths by the list: the unit of bare ones, the sign of open ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from cutting.question.lengths import Unit
from shared.reading.grid.cells import Cell
from shared.reading.grid.titles import Role
from shared.reading.line.measured import settle_open
from shared.reading.lists.entry import Entry, List
from shared.reading.values.draft import Ask, Draft, Measured, Rewrite
from shared.reading.values.result import COUNTING
from shared.reading.values.system import system_in
from shared.sections import System

__all__ = ["length_cell", "settle_lengths"]

_LEAST_BARE: Final = {
    Unit.MM: Fraction(10),
    Unit.IN: Fraction(0),
    Unit.M: Fraction(0),
    Unit.CM: Fraction(1),
    Unit.FT: Fraction(0),
}
_MOST_BARE: Final = {
    Unit.MM: Fraction(30_000),
    Unit.IN: Fraction(1000),
    Unit.M: Fraction(30),
    Unit.CM: Fraction(3000),
    Unit.FT: Fraction(90),
}
_LONG_IN_CM: Final = Fraction(300)
"""Three metres: up to there people write cm; beyond it a bare number may well be mm."""
_MOST_CM: Final = Fraction(1200)
_NEVER_METRES: Final = Fraction(100)


def settle_lengths(listing: List) -> None:
    """Give bare lengths their unit and open ones their value."""
    lengths = [
        entry.draft.length for entry in listing.entries if entry.draft and entry.draft.length and entry.kind in COUNTING
    ]
    unit, why = (listing.unit, "") if listing.unit else _usual_unit(listing, lengths)
    said = not why
    doubted = unit is Unit.CM and listing.unit is None and not listing.around.offers and _long(lengths)
    for entry in listing.entries:
        draft = entry.draft
        if draft is None or draft.length is None or entry.kind not in COUNTING:
            continue
        bare = draft.length.unit is None and not draft.length.shop
        _settle_unit(entry, draft, unit, listing, doubted=doubted)
        if bare and not said and not entry.questions:
            entry.notes.append(why)
            said = True
        if not entry.questions and draft.length is not None and draft.length.grouped is not None:
            _settle_sign(entry, draft, listing)
        if not entry.questions and draft.length is not None:
            _check_length(entry, draft, listing)
    listing.unit = unit or (Unit.IN if listing.around.system is System.INCH else Unit.MM)


def _usual_unit(listing: List, lengths: Sequence[Measured]) -> tuple[Unit | None, str]:
    """Return the unit of bare lengths that the list shows, and why."""
    written = [length.unit for length in lengths if length.unit is not None]
    shop = any(length.shop for length in lengths if length.unit is None)
    imperial = [unit for unit in written if unit in {Unit.IN, Unit.FT}]
    metric = [unit for unit in written if unit not in {Unit.IN, Unit.FT}]
    if imperial and metric:
        return None, ""
    if imperial or shop:
        return (None, "") if metric else (Unit.IN, "bare lengths are inches, as the list's other lengths are")
    if metric:
        bare = [_value(length) for length in lengths if length.unit is None]
        in_cm = set(metric) & {Unit.MM, Unit.CM} == {Unit.CM} and not listing.around.offers
        if in_cm and max(bare, default=0) >= _MOST_CM:
            return Unit.MM, "bare lengths are mm: in cm they would be too long"
        used = Unit.MM if Unit.MM in metric else metric[0]
        return used, f"bare lengths are {used}, as the list's other lengths are"
    systems = {system_in(entry.draft.section) for entry in listing.entries if entry.draft and entry.draft.section}
    systems = {listing.around.system} if listing.around.system is not None else systems - {None}
    if systems == {System.INCH}:
        return Unit.IN, "bare lengths are inches, as its sections are"
    return (Unit.MM, "bare lengths are mm, as its sections are") if systems == {System.MM} else (None, "")


def _long(lengths: Sequence[Measured]) -> bool:
    """Whether a bare length is so long in cm that mm may be meant, in a list that writes cm elsewhere."""
    return any(_value(length) > _LONG_IN_CM for length in lengths if length.unit is None)


def _value(length: Measured) -> Fraction:
    return length.value if length.grouped is None else length.grouped


def _settle_unit(entry: Entry, draft: Draft, unit: Unit | None, listing: List, *, doubted: bool) -> None:
    """Give a bare length its unit; asked where nothing tells or the number can't be in it."""
    length = draft.length
    assert length is not None
    if length.unit is not None:
        return
    chosen = Unit.IN if length.shop and unit is not Unit.FT else unit
    if chosen is None and draft.section is not None:
        chosen = {System.INCH: Unit.IN, System.MM: Unit.MM, None: None}[system_in(draft.section)]
        if chosen is not None:
            entry.notes.append(f"taken as {chosen}, as its section is")
    value = _value(length)
    own = system_in(draft.section) if draft.section is not None else None
    if chosen is Unit.M and own is System.MM and value >= _NEVER_METRES and listing.unit is None:
        entry.notes.append(f"{float(value):g} taken as mm: nothing is {float(value):g} m long")
        chosen = Unit.MM
    agrees = own is None or length.shop or (own is System.INCH) == (chosen in {Unit.IN, Unit.FT})
    likely = chosen is not None and agrees and _LEAST_BARE[chosen] <= value <= _MOST_BARE[chosen]
    if chosen is not None and not doubted and (likely or listing.unit is not None or length.grouped is not None):
        draft.length = replace(length, unit=chosen)
        return
    _ask_unit(entry, length, chosen, value, listing)


def _ask_unit(entry: Entry, length: Measured, chosen: Unit | None, value: Fraction, listing: List) -> None:
    """Ask for the unit of a bare length."""
    asked = (Unit.CM, Unit.MM, Unit.M) if chosen is Unit.CM else (Unit.IN, Unit.MM, Unit.M, Unit.FT)
    possible = [unit for unit in asked if _LEAST_BARE[unit] < value <= _MOST_BARE[unit]]
    possible = [unit for unit in possible if unit is not Unit.FT or chosen in {Unit.IN, Unit.FT}]
    cell = length_cell(entry)
    text = cell.text if cell else entry.row.text
    end = len(text[: length.end].rstrip())
    doubt = f"{float(value):g} {chosen} of such a section? " if chosen else ""
    entry.ask(
        Ask(
            message=f"{doubt}which unit? write it behind the number, or state one for the list",
            position=length.start,
            rewrites=tuple(
                Rewrite(reading=f"{float(value):g} {unit}", start=end, end=end, text=f" {unit}") for unit in possible
            ),
        ),
        cell,
        listing.delimiter,
    )


def length_cell(entry: Entry) -> Cell | None:
    """Return the cell of a row's length, None for free text."""
    for role in (Role.LENGTH, Role.SECTION):
        for at, column in enumerate(entry.columns):
            if column is not None and column.role is role and at < len(entry.row.cells):
                return entry.row.cells[at]
    return None


def _settle_sign(entry: Entry, draft: Draft, listing: List) -> None:
    """Settle whether a sign is a decimal's or a thousands separator."""
    assert draft.length is not None
    settled, note, ask = settle_open(draft.length, listing.around.decimal, draft.length.unit)
    if note:
        entry.notes.append(note)
    if ask is not None:
        entry.ask(ask, length_cell(entry), listing.delimiter)
    draft.length = settled


def _check_length(entry: Entry, draft: Draft, listing: List) -> None:
    """Refuse a length of nothing."""
    assert draft.length is not None
    if draft.length.value <= 0:
        entry.ask(
            Ask(message="a length is above 0; write one such as 80 1/2 or 2042.5 mm", position=draft.length.start),
            length_cell(entry),
            listing.delimiter,
        )
