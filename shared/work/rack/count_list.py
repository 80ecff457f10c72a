"""The list to take stock by as plain text: for a screen, or a printer that knows nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Final

from shared.wording.tape import Tape
from shared.work.rack.bars import Bar
from shared.work.rack.exchange import in_order
from shared.work.rack.measures import unit_of_bar, usual_unit

__all__ = ["stock_take_text"]

_BLANK: Final = "[ ] ____________"
_HEADS: Final = ("", "label", "section", "length", "remark")


def stock_take_text(bars: Sequence[Bar], works: Mapping[str, str]) -> str:
    """Write the list by place, with a box to tick and a line to write what is measured on.

    Parameters
    ----------
    bars : sequence of Bar
        What should be there.
    works : mapping of str to str
        Titles of works by id.
    """
    listed = in_order(bars)
    rows = {bar.number: _row(bar, works, Tape(unit=unit_of_bar(bar, usual_unit(listed)))) for bar in listed}
    widths = [max(len(row[at]) for row in (_HEADS, *rows.values())) for at in range(len(_HEADS))]
    lines = [_set(_HEADS, widths)]
    for _, group in groupby(listed, key=lambda bar: bar.place.casefold()):
        there = tuple(group)
        lines += ["", there[0].place or "without a place", *(_set(rows[bar.number], widths) for bar in there)]
    return "\n".join([*lines, "", *_foot()]) + "\n"


def _row(bar: Bar, works: Mapping[str, str], tape: Tape) -> tuple[str, ...]:
    reserved = f"reserved for {works.get(bar.work) or bar.work}" if bar.work else ""
    said = (bar.remark, f"heat {bar.heat}" if bar.heat else "", reserved)
    return (_BLANK, bar.name, bar.section.label, tape.text(bar.length), ", ".join(text for text in said if text))


def _set(row: Sequence[str], widths: Sequence[int]) -> str:
    return "  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)).rstrip()


def _foot() -> Iterator[str]:
    yield "Tick what is there, write its length where it differs, strike out what isn't there."
    yield "What lies there and isn't on the list:"
    yield from ["____________________________________________________________"] * 3
