"""The trace list as a table for other programs: CSV (RFC 4180), lengths exact."""

from __future__ import annotations

from cutting.question.lengths import format_length
from shared.work.rack.bars import bar_name
from shared.work.rack.exchange import csv_bytes
from shared.work.saw.trace import NO_HEAT, TraceRow, trace_rows
from shared.work.saw.work import WorkBook

__all__ = ["trace_csv"]


def trace_csv(book: WorkBook) -> bytes:
    """Write the trace list of a work as CSV in UTF-8.

    Parameters
    ----------
    book : WorkBook
        The work; every piece is a row, as in `shared.work.saw.trace.trace_rows`.
    """
    unit = book.work.job.unit
    heads = (
        "mark",
        "piece",
        "section",
        "material",
        f"length {unit}",
        "state",
        "stick",
        "layout",
        "copy",
        "position",
        "revision",
        "bar",
        "cut from",
        "heat number",
    )
    return csv_bytes(heads, ((*_piece(row), format_length(row.length, unit), *_steel(row)) for row in trace_rows(book)))


def _piece(row: TraceRow) -> tuple[str, ...]:
    return row.mark, "" if row.piece is None else str(row.piece), row.section.name, row.section.material


def _steel(row: TraceRow) -> tuple[str, ...]:
    return (
        row.state.value,
        row.stick,
        str(row.layout),
        str(row.copy),
        str(row.position),
        row.revision,
        bar_name(row.bar),
        ", ".join(bar_name(number) for number in row.ancestors),
        row.heat or NO_HEAT,
    )
