"""The rack as a table for other programs, exact, and readable by `shared.work.rack.intake`; as CSV (RFC 4180) here."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Final

from cutting.question.lengths import Unit, show_length
from shared.work.rack.along import in_order
from shared.work.rack.bars import Bar, bar_name
from shared.work.rack.columns import COLUMNS, STOCK_TAKE, Col, ColumnOfRack
from shared.work.rack.measures import unit_of_bar, usual_unit

__all__ = [
    "SAWN",
    "csv_bytes",
    "in_order",
    "rack_csv",
    "rack_rows",
    "stock_take_csv",
    "tamed",
    "untamed",
]

SAWN: Final = "sawn"
"""How an end is written that needs no trim."""

_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")
_QUOTE: Final = "'"
_NUMBER: Final = re.compile(r"-\d+(?:\.\d+)?")


def rack_csv(bars: Sequence[Bar], works: Mapping[str, str]) -> bytes:
    """Write bars as CSV in UTF-8.

    Parameters
    ----------
    bars : sequence of Bar
        Which.
    works : mapping of str to str
        Titles of works by id.
    """
    return csv_bytes(_heads(COLUMNS), rack_rows(bars, works, COLUMNS))


def stock_take_csv(bars: Sequence[Bar], works: Mapping[str, str]) -> bytes:
    """Write the list to take stock with as CSV: by place, with room for what is found."""
    return csv_bytes(_heads(STOCK_TAKE), rack_rows(in_order(bars), works, STOCK_TAKE))


def rack_rows(
    bars: Sequence[Bar], works: Mapping[str, str], columns: Sequence[ColumnOfRack]
) -> tuple[tuple[str, ...], ...]:
    """Return the cells of those columns, a row for each bar; every length reads back exactly."""
    usual = usual_unit(bars)
    made = (_cells(bar, works, unit_of_bar(bar, usual)) for bar in bars)
    return tuple(tuple(cells.get(each.col, "") for each in columns) for cells in made)


def _cells(bar: Bar, works: Mapping[str, str], unit: Unit) -> dict[Col, str]:
    first, second = ("", "") if bar.trims is None else (_trim(trim, unit) for trim in bar.trims)
    return {
        Col.LABEL: bar.name,
        Col.PLACE: bar.place,
        Col.SECTION: bar.section.name,
        Col.MATERIAL: bar.section.material,
        Col.LENGTH: show_length(bar.length, unit),
        Col.SURE: "" if bar.usable is None else show_length(bar.usable, unit),
        Col.FIRST: first,
        Col.SECOND: second,
        Col.REMARK: bar.remark,
        Col.HEAT: bar.heat,
        Col.STATE: bar.state.value,
        Col.WORK: "" if bar.work is None else works.get(bar.work) or bar.work,
        Col.ORIGIN: bar.origin.value,
        Col.PARENT: "" if bar.parent is None else bar_name(bar.parent),
        Col.SINCE: f"{bar.made:%Y-%m-%dT%H:%M:%SZ}",
        Col.VERSION: str(bar.version),
    }


def _trim(mm: Fraction, unit: Unit) -> str:
    return show_length(mm, unit) if mm else SAWN


def csv_bytes(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """Write a table as CSV that any spreadsheet opens: in UTF-8 with its mark, no cell taken for a formula."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(heads)
    writer.writerows([tamed(text) for text in row] for row in rows)
    return out.getvalue().encode("utf-8-sig")


def tamed(text: str) -> str:
    """Return a text as a cell that no spreadsheet reckons with: an apostrophe goes in front where it has to.

    Examples
    --------
    >>> tamed("=1+1"), tamed("'tis"), tamed("bay 3"), tamed("-2044.7")
    ("'=1+1", "''tis", 'bay 3', '-2044.7')
    """
    harmless = _NUMBER.fullmatch(text) is not None
    return f"{_QUOTE}{text}" if text.startswith((*_FORMULA, _QUOTE)) and not harmless else text


def untamed(text: str) -> str:
    """Take `tamed`'s apostrophe off again.

    Examples
    --------
    >>> untamed("'=1+1"), untamed("''tis"), untamed("'tis")
    ('=1+1', "'tis", "'tis")
    """
    return text[1:] if text.startswith(_QUOTE) and text[1:].startswith((*_FORMULA, _QUOTE)) else text


def _heads(columns: Sequence[ColumnOfRack]) -> tuple[str, ...]:
    return tuple(each.col.value for each in columns)
