"""A plan as plain text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from shared.view import BuyRow, LayoutView, Quantity, View
from shared.writers.text.columns import columns
from shared.writers.text.wrap import wrapped

__all__ = ["plan_text"]

_INDENT: Final = "  "


def plan_text(view: View, *, bold: bool = False, width: int | None = None) -> str:
    """Write a view as plain text.

    Parameters
    ----------
    view : View
        The plan, or why there is none.
    bold : bool
        Set headings in bold for a terminal.
    width : int or None
        Columns that a line may take; None breaks none.
    """
    strong = _bold if bold else str
    lines = [
        *((True, text) for text in ([view.title, ""] if view.title else []) + [view.answer]),
        *((False, text) for text in (*view.why, *([view.proof] if view.proof else []), *view.remarks)),
        *(_plan(view, width) if view.totals else ()),
    ]
    broken = [(heading, line.rstrip()) for heading, text in lines for line in wrapped(text, width)]
    return "".join(f"{strong(line) if heading and line else line}\n" for heading, line in broken)


_Line = tuple[bool, str]
"""Whether it is a heading, and its text."""


def _plan(view: View, width: int | None) -> Iterator[_Line]:
    yield from ((False, change.words) for change in view.changes)
    yield from _section("Buy list", _orders(view, width) if view.orders else _buy(view, view.buy, width, totals=True))
    if view.yard_cuts:
        yield from _section("Cuts by the yard, so that it can be carried", _yard_cuts(view))
    yield from _section("Cuts", [view.saw.sentence])
    for layout in view.layouts:
        yield from ((False, text) for text in ("", f"{layout.number}. {layout.heading}", *_layout(layout, view, width)))
    totals = [view.totals.sentence, f"This is plan {view.name}."] if view.totals else []
    yield from ((False, text) for text in ("", *totals, *view.sharing, "", *view.cautions))


def _section(heading: str, lines: Iterable[str]) -> Iterator[_Line]:
    yield from ((False, ""), (True, heading))
    yield from ((False, line) for line in lines)


def _bold(text: str) -> str:
    return f"\x1b[1m{text}\x1b[0m"


def _shown(quantity: Quantity | None) -> str:
    return quantity.full if quantity else ""


def _orders(view: View, width: int | None) -> Iterator[str]:
    """Write the buy list yard by yard, each with its bill, then what nobody sells, then the money."""
    for order in view.orders:
        yield order.heading
        yield from _buy(view, order.rows, width)
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
        yield from _buy(view, own, width)
        yield ""
    if view.money:
        yield from view.money.words


def _yard_cuts(view: View) -> Iterator[str]:
    for cut in view.yard_cuts:
        yield f"{cut.yard}: {cut.what}"
        yield f"  {cut.words}; of each you carry home:"
        yield from (f"    {piece.words}" for piece in cut.pieces)


def _buy(view: View, lines: Sequence[BuyRow], width: int | None, *, totals: bool = False) -> Iterator[str]:
    together = view.totals if totals else None
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
    if together:
        cost = together.cost.text if together.cost else ""
        rows.append(
            [str(together.sticks), "together", "", "", "", "", cost, _shown(together.weight), _shown(together.surface)]
        )
    return columns(rows, "><><<>>>>", width)


def _layout(layout: LayoutView, view: View, width: int | None) -> Iterator[str]:
    unit, inside = view.unit, None if width is None else width - len(_INDENT)
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
    for line in columns(rows, "><>>>~~", inside) if layout.pieces else ("  no part is cut from it",):
        yield f"{_INDENT}{line}"
    yield from _strokes(layout, unit, width)
    yield f"    {layout.drop_words}"
    for note in layout.notes:
        yield f"    {note}"


def _strokes(layout: LayoutView, unit: str, width: int | None) -> Iterator[str]:
    if not layout.strokes:
        return
    yield f"    {layout.edge}"
    rows = [["", f"at {unit}", "saw", "makes", "before it"]]
    rows += [[str(stroke.number), stroke.at, stroke.angle, stroke.makes, stroke.stick] for stroke in layout.strokes]
    for line in columns(rows, ">><~~", None if width is None else width - 2 * len(_INDENT)):
        yield f"{_INDENT * 2}{line}"


def _note(assembly: str, note: str) -> str:
    return ": ".join(text for text in (assembly, note) if text)
