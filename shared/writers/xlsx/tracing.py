"""The sheet that traces every piece of a plan in hand to the heat number of its steel."""

from __future__ import annotations

from cutting.question.lengths import Unit
from shared.work.rack.bars import bar_name
from shared.work.saw.trace import NO_HEAT, TraceRow, trace_rows
from shared.work.saw.work import WorkBook
from shared.writers.xlsx.cells import Cell, Column, Leaf, Text
from shared.writers.xlsx.frame import length_form, number_of

__all__ = ["trace_leaf"]


def trace_leaf(book: WorkBook) -> Leaf:
    """Return one row for each piece, in the order of `shared.work.saw.trace.trace_rows`.

    Parameters
    ----------
    book : WorkBook
        The work.
    """
    unit = book.work.job.unit
    rows = trace_rows(book)
    return Leaf(
        name="Trace",
        columns=(
            Column(head="mark", wide=16),
            Column(head="piece", wide=7, form="0"),
            Column(head="section", wide=26),
            Column(head=f"length {unit}", wide=12, form=length_form((row.length for row in rows), unit)),
            Column(head="what became of it", wide=18),
            Column(head="layout", wide=8, form="0"),
            Column(head="stick", wide=7, form="0"),
            Column(head="place", wide=7, form="0"),
            Column(head="revision", wide=9),
            Column(head="bar", wide=10),
            Column(head="cut from", wide=16),
            Column(head="heat number", wide=24),
        ),
        rows=tuple(_row(row, unit) for row in rows),
    )


def _row(row: TraceRow, unit: Unit) -> tuple[Cell, ...]:
    return (
        Text(row.mark),
        row.piece,
        Text(row.section.label),
        number_of(row.length, unit),
        Text(row.state.value),
        row.layout,
        row.copy,
        row.position,
        Text(row.revision),
        Text(bar_name(row.bar)),
        Text(", ".join(bar_name(number) for number in row.ancestors)),
        Text(row.heat or NO_HEAT),
    )
