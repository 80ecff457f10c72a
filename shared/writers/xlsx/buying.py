"""The sheets about buying: the buy list, the rack pieces used, what each assembly costs."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from cutting.answer.plan import Buy
from cutting.question.job import Source
from shared.view.assemblies import by_assembly
from shared.work.carried import origins
from shared.writers.xlsx.cells import Cell, Column, Formula, Leaf, Text
from shared.writers.xlsx.frame import BUY_LIST, FROM, Frame, column_sum, total_of
from shared.writers.xlsx.terms import STEPS, step_rows, yard_name

__all__ = ["assemblies", "buy_list", "rack_pieces"]


def buy_list(frame: Frame) -> Leaf:
    """Return the buy list: quantity times price is the cost, live."""
    lines = frame.plan.buy
    steps = step_rows(frame)
    rows = tuple(_buy_row(frame, at, line, steps) for at, line in enumerate(lines, start=2))
    total: list[Cell] = [Text("together"), *[None] * (12 if frame.plan.orders else 11)]
    total[7] = total_of("H", rows)
    total[9] = total_of("J", rows) if frame.money else None
    total[11] = total_of("L", rows) if all(line.section.mass is not None for line in lines) else None
    return Leaf(
        name=BUY_LIST,
        columns=(
            Column(head="line", wide=10),
            Column(head="section", wide=28),
            Column(head="material", wide=14),
            Column(head="from", wide=12),
            Column(head=f"length {frame.job.unit}", wide=12, form=frame.length_form(line.length for line in lines)),
            Column(head=f"length {frame.shop_unit}", wide=18),
            Column(head=f"usable {frame.tape.heading}", wide=14),
            Column(head="quantity", wide=10, form="0"),
            Column(head=f"price each {frame.money}".strip(), wide=13, form=frame.money_form),
            Column(head=f"cost {frame.money}".strip(), wide=13, form=frame.money_form),
            Column(head=f"weight each {frame.weight_unit}", wide=13, form="#,##0.0"),
            Column(head=f"weight {frame.weight_unit}", wide=13, form="#,##0.0"),
            *([Column(head="yard", wide=24)] if frame.plan.orders else []),
        ),
        rows=rows,
        total=tuple(total),
    )


def _buy_row(frame: Frame, at: int, line: Buy, steps: Mapping[str, range]) -> tuple[Cell, ...]:
    usable = frame.sticks[line.stick].usable
    mass = line.section.mass
    each = frame.weight(None if mass is None else mass * line.length / 1000)
    return (
        Text(line.stick),
        Text(line.section.name),
        Text(line.section.material),
        Text(_from(frame, line)),
        frame.number(line.length),
        Text(frame.tape.bare(line.length)),
        Text("" if usable is None else frame.tape.bare(usable)),
        line.quantity,
        _price(at, line, steps.get(line.stick)),
        None if line.price is None else Formula(text=f"=H{at}*I{at}", value=line.quantity * line.price),
        each,
        None if each is None else Formula(text=f"=H{at}*K{at}", value=line.quantity * each),
        *([Text(_seller(frame, line))] if frame.plan.orders else []),
    )


def _seller(frame: Frame, line: Buy) -> str:
    return "" if line.source is Source.OWN else yard_name(frame.sticks[line.stick].yard)


def _price(at: int, line: Buy, steps: range | None) -> Cell:
    """Return the price of one; where it goes by quantity, looked up by the quantity beside it."""
    if line.price is None or steps is None:
        return line.price
    first, last = steps[0], steps[-1]
    least, price = (f"'{STEPS}'!${column}${first}:${column}${last}" for column in "BC")
    return Formula(text=f"=IF(H{at}<1,'{STEPS}'!$C${first},LOOKUP(H{at},{least},{price}))", value=line.price)


def _from(frame: Frame, line: Buy) -> str:
    yard = frame.sticks[line.stick].yard
    if not yard:
        return FROM[line.source]
    return f"{yard}, rack" if line.source is Source.RACK else yard


def rack_pieces(frame: Frame, saw: Frame) -> Leaf:
    """Return which rack pieces and own drops are taken, and which sticks they become."""
    lines = [line for line in frame.plan.buy if line.source is not Source.STICKS]
    return Leaf(
        name="Rack pieces used",
        columns=(
            Column(head="line", wide=10),
            Column(head="section", wide=28),
            Column(head="from", wide=12),
            Column(head=f"length {frame.job.unit}", wide=12, form=frame.length_form(line.length for line in lines)),
            Column(head=f"length {frame.shop_unit}", wide=18),
            Column(head="quantity", wide=10, form="0"),
            Column(head="sticks", wide=14),
        ),
        rows=tuple(
            (
                Text(line.stick),
                Text(line.section.label),
                Text(_from(frame, line)),
                frame.number(line.length),
                Text(frame.tape.bare(line.length)),
                line.quantity,
                Text(_sticks(frame, saw, line)),
            )
            for line in lines
        ),
    )


def _sticks(frame: Frame, saw: Frame, line: Buy) -> str:
    """Numbers of the sticks that a line becomes; a piece that a yard cut is a stick of its own."""
    whole = origins(frame.plan)
    return ", ".join(
        span
        for span, cut in zip(saw.spans, saw.plan.cuts, strict=True)
        if whole.get(cut.stick, cut.stick) == line.stick
    )


def assemblies(frame: Frame) -> Leaf:
    """Return parts, weight, surface and share of the cost of each assembly; the cost follows the buy list, live."""
    found = by_assembly(frame.job, frame.plan)
    bought = column_sum(BUY_LIST, "J", len(frame.plan.buy))
    cost = float(sum((line.cost for line in frame.plan.buy if line.cost is not None), Decimal(0)))
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            Text(entry.name or "no assembly"),
            Text(", ".join(f"{share.pieces} × {share.mark}" for share in entry.parts)),
            entry.pieces,
            frame.weight(entry.weight.whole),
            frame.surface(entry.surface.whole),
            float(entry.share),
            Formula(text=f"=F{at}*{bought}", value=float(entry.share) * cost) if frame.money else None,
        )
        for at, entry in enumerate(found, start=2)
    )
    total: list[Cell] = [Text("together"), None, total_of("C", rows), None, None, total_of("F", rows)]
    total.append(total_of("G", rows) if frame.money else None)
    return Leaf(
        name="Assemblies",
        columns=(
            Column(head="assembly", wide=22),
            Column(head="parts", wide=44),
            Column(head="pieces", wide=9, form="0"),
            Column(head=f"weight {frame.weight_unit}", wide=12, form="#,##0.0"),
            Column(head=f"surface {frame.surface_unit}", wide=12, form="#,##0.0"),
            Column(head="share", wide=9, form="0.0%"),
            Column(head=f"cost {frame.money}".strip(), wide=13, form=frame.money_form),
        ),
        rows=rows,
        total=tuple(total),
    )
