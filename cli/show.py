"""A plan as text for a terminal or a printer: laid out here, worked out elsewhere."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence

from shared.view import BuyRow, LayoutView, Quantity, View

__all__ = ["columns", "is_bold_wanted", "plan_text"]


def plan_text(view: View, *, bold: bool = False) -> str:
    """Write a view as plain text.

    Parameters
    ----------
    view : View
        The plan, or why there is none.
    bold : bool
        Set headings in bold for a terminal.
    """
    strong = _bold if bold else str
    lines = [strong(view.title), ""] if view.title else []
    lines += [strong(view.answer), *view.why, *([view.proof] if view.proof else []), *view.remarks]
    if view.totals is None:
        return "\n".join(lines) + "\n"
    for change in view.changes:
        lines.append(change.words)
    lines += ["", strong("Buy list"), *(_orders(view) if view.orders else _buy(view, view.buy, with_totals=True))]
    if view.yard_cuts:
        lines += ["", strong("Cuts by the yard, so that it can be carried"), *_yard_cuts(view)]
    lines += ["", strong("Cuts"), view.saw.sentence]
    for layout in view.layouts:
        lines += ["", f"{layout.number}. {layout.heading}", *_layout(layout, view.unit)]
    lines += ["", *_totals(view), *view.sharing, "", *view.cautions]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def is_bold_wanted() -> bool:
    """Whether standard output is a terminal that may show bold (see no-color.org: NO_COLOR set and not empty)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def _bold(text: str) -> str:
    return f"\x1b[1m{text}\x1b[0m"


def columns(rows: Sequence[Sequence[str]], sides: str) -> Iterator[str]:
    """Set rows in columns, each to the left (<) or to the right (>); columns without any text are left out."""
    kept = [column for column in range(len(sides)) if any(row[column] for row in rows[1:])]
    widths = {column: max(_width(row[column]) for row in rows) for column in kept}
    for row in rows:
        cells = []
        for column in kept:
            space = " " * (widths[column] - _width(row[column]))
            cells.append(space + row[column] if sides[column] == ">" else row[column] + space)
        yield "  " + "  ".join(cells).rstrip()


def _width(text: str) -> int:
    """Return how many columns of a terminal a text takes."""
    if text.isascii() and text.isprintable():
        return len(text)
    from rich.cells import cell_len  # noqa: PLC0415 - only where a letter may be wider or narrower than one column

    return cell_len(text)


def _shown(quantity: Quantity | None) -> str:
    return quantity.full if quantity else ""


def _orders(view: View) -> Iterator[str]:
    """Write the buy list yard by yard, each with its bill, then what nobody sells, then the money."""
    for order in view.orders:
        yield order.heading
        yield from _buy(view, order.rows)
        if order.total:
            bill = [(charge.what, charge.amount.text) for charge in order.charges]
            _, *lines = columns([("", ""), *bill, ("together", order.total.full)], "<>")
            yield from lines
        if order.weight:
            yield f"  {order.weight.full}"
        yield from (f"  {note}" for note in order.notes)
        yield ""
    sold = {row.id for order in view.orders for row in order.rows}
    own = [row for row in view.buy if row.id not in sold]
    if own:
        yield "Own pieces"
        yield from _buy(view, own)
        yield ""
    if view.money:
        yield from view.money.words


def _yard_cuts(view: View) -> Iterator[str]:
    for cut in view.yard_cuts:
        yield f"{cut.yard}: {cut.what}"
        yield f"  {cut.words}; of each you carry home:"
        yield from (f"    {piece.words}" for piece in cut.pieces)


def _buy(view: View, lines: Sequence[BuyRow], *, with_totals: bool = False) -> Iterator[str]:
    totals = view.totals if with_totals else None
    rows = [
        ["", "section", "length", "id", "from", f"each {view.currency}", f"cost {view.currency}", "weight", "paint"]
    ]
    rows += [
        [
            str(row.quantity),
            row.section,
            row.length.full,
            row.id,
            row.source,
            row.price.text if row.price else "",
            row.cost.text if row.cost else "",
            _shown(row.weight),
            _shown(row.surface),
        ]
        for row in lines
    ]
    if totals:
        cost = totals.cost.text if totals.cost else ""
        rows.append(
            [str(totals.sticks), "together", "", "", "", "", cost, _shown(totals.weight), _shown(totals.surface)]
        )
    return columns(rows, "><><<>>>>")


def _layout(layout: LayoutView, unit: str) -> Iterator[str]:
    rows = [["", "mark", f"length {unit}", f"from {unit}", f"to {unit}", "note", "ends"]]
    rows += [
        [
            str(piece.number),
            piece.mark,
            piece.length.text,
            piece.start.text,
            piece.end.text,
            _note(piece.assembly, piece.note),
            piece.ends,
        ]
        for piece in layout.pieces
    ]
    for line in columns(rows, "><>>><<") if layout.pieces else ("  no part is cut from it",):
        yield f"  {line}"
    yield from _strokes(layout, unit)
    yield f"    {layout.drop_words}"
    for note in layout.notes:
        yield f"    {note}"


def _strokes(layout: LayoutView, unit: str) -> Iterator[str]:
    if not layout.strokes:
        return
    yield f"    {layout.edge}"
    rows = [["", f"at {unit}", "saw", "makes", "before it"]]
    rows += [[str(stroke.number), stroke.at, stroke.angle, stroke.makes, stroke.stick] for stroke in layout.strokes]
    for line in columns(rows, ">><<<"):
        yield f"    {line}"


def _note(assembly: str, note: str) -> str:
    return ": ".join(text for text in (assembly, note) if text)


def _totals(view: View) -> Iterator[str]:
    totals = view.totals
    if totals:
        yield totals.sentence
