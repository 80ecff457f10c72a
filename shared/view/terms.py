"""Present what a plan says of yards: orders, yard cuts, carried pieces, changed sections, the money apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from cutting.answer.plan import Carried, Change, Cut, Idle, IdleReason, Order, Plan, Transport
from cutting.question.job import Job, Source
from cutting.question.money import minor_digits, round_half_up
from cutting.question.yards import Yard
from shared.view.orders import CarriedView, ChangeView, Charge, MoneyView, OrderView, YardCutView
from shared.view.rows import BuyRow
from shared.wording.amounts import decimal_text
from shared.wording.cautions import CONFIRM
from shared.wording.plurals import listed, many, plural
from shared.wording.sentences import worth_text
from shared.wording.tape import tape_of
from shared.wording.values import amount, length, weight
from shared.work.carried import piece_id, yard_cuts

__all__ = ["changes_view", "charges_view", "idle_words", "money_view", "orders_view", "rough_words", "yard_cuts_view"]


def orders_view(job: Job, plan: Plan, rows: Sequence[BuyRow]) -> tuple[OrderView, ...]:
    """Return the buy list by yard."""
    yards = {yard.name: yard for yard in job.yards}
    idle = {each.yard: each for each in plan.idle}
    return tuple(
        _Bill(job=job, order=order, yard=yards.get(order.yard), rows=rows, idle=idle.get(order.yard)).view()
        for order in plan.orders
    )


def charges_view(job: Job, order: Order) -> tuple[Charge, ...]:
    """Return what a yard's bill adds to its sticks; empty in a job without prices."""
    yard = next((each for each in job.yards if each.name == order.yard), None)
    charges = _Bill(job=job, order=order, yard=yard, rows=(), idle=None).view().charges
    return charges[1:]  # the sticks come first


@dataclass(frozen=True, kw_only=True, slots=True)
class _Bill:
    """One yard's order, with all lines of the buy list."""

    job: Job
    order: Order
    yard: Yard | None
    rows: Sequence[BuyRow]
    idle: Idle | None

    def view(self) -> OrderView:
        order, name = self.order, _yard_name(self.order.yard)
        own = Source.OWN.value
        rows = tuple(row for row in self.rows if row.yard == order.yard and row.source != own)
        transport = _transport(order)
        return OrderView(
            yard=name,
            heading=f"{name}, {transport}",
            transport=transport,
            rows=rows,
            charges=tuple(self._charges()),
            total=None if order.total is None else amount(order.total, self.job.currency or ""),
            weight=weight(order.weight, self.job.unit),
            notes=tuple(self._notes(rows)),
        )

    def _charges(self) -> Iterator[Charge]:
        order, yard, currency = self.order, self.yard, self.job.currency or ""
        free = yard.delivery_free_from if yard else None
        for what, cost, shown in (
            ("sticks and rack pieces", order.material, True),
            (_cuts(order, yard), order.cutting, bool(order.cuts)),
            (
                "delivery" + (f", free from {amount(free, currency).full}" if free is not None else ""),
                order.delivery,
                order.transport is Transport.DELIVERED,
            ),
            (many(order.trips, "trip"), order.collecting, bool(order.collecting)),
            (f"tax {_percent(yard)}", order.tax, bool(order.tax)),
        ):
            if cost is not None and shown:
                yield Charge(what=what, amount=amount(cost, currency))

    def _notes(self, rows: Sequence[BuyRow]) -> Iterator[str]:
        if self.idle is not None:
            yield idle_words(self.job, self.idle)
        sticks = {stick.id: stick for stick in self.job.sticks}
        for row in rows:
            reached = [each.least for each in sticks[row.id].breaks if each.least <= row.quantity]
            if reached and row.price:
                yield f"{row.id} costs {row.price.full} each from {reached[-1]} on."
        rack = [row.id for row in rows if row.source == Source.RACK.value]
        if rack and self.yard is not None:
            if self.yard.reserves:
                yield f"Have the rack pieces reserved before anything else is bought: {listed(rack)}."
            else:
                yield f"Rack pieces can't be reserved here; plan anew if one is gone: {listed(rack)}."


_GOOD_FOR: Final = {
    IdleReason.MINIMUM: ("reaches the minimum order", "reach the minimum order"),
    IdleReason.DELIVERY: ("makes delivery free", "make delivery free"),
    IdleReason.PRICE: ("brings the price by quantity", "bring the price by quantity"),
}


def idle_words(job: Job, idle: Idle) -> str:
    """Say which sticks stay whole, and what they are good for."""
    number = sum(count for _, count in idle.sticks)
    several = number > 1
    names = [line if count == 1 else f"{count} of {line}" for line, count in idle.sticks]
    which = f" ({listed(names)})" if sum(stick.yard == idle.yard for stick in job.sticks) > 1 else ""
    good = [_GOOD_FOR[reason][several] for reason in idle.reasons]
    if idle.saved is not None:
        good.append(f"{plural(number, 'saves', 'save')} {worth_text(job, idle.saved)}")
    stay, they = plural(number, "stays", "stay"), plural(number, "it", "they")
    return f"{many(number, 'stick')}{which} {stay} whole: {they} {listed(good)}."


def _yard_name(name: str) -> str:
    return name or "The yard"


def _transport(order: Order) -> str:
    if order.transport is Transport.DELIVERED:
        return "delivered"
    return "collected in one trip" if order.trips == 1 else f"collected in {order.trips} trips"


def _cuts(order: Order, yard: Yard | None) -> str:
    free = min(order.cuts, yard.cuts.free) if yard and yard.cuts else 0
    return many(order.cuts, "cut") + (f", {free} of them free" if free else "")


def _percent(yard: Yard | None) -> str:
    if yard is None or yard.tax is None:
        return ""
    on = "" if len(yard.tax.on) == 3 else f" on {listed([each.value for each in yard.tax.on])}"  # noqa: PLR2004 - all
    return f"{(yard.tax.rate * 100).normalize():f} %{on}"


def yard_cuts_view(job: Job, plan: Plan) -> tuple[YardCutView, ...]:
    """Return what yards cut, and where to mark it."""
    yards = {stick.id: stick.yard for stick in job.sticks}
    return tuple(_yard_cut(job, number, cut, yards.get(cut.stick, "")) for number, cut in yard_cuts(plan))


def _yard_cut(job: Job, number: int, cut: Cut, yard: str) -> YardCutView:
    marks = tuple(tape_of(job).text(mark) for mark in cut.marks)
    shown = length(cut.length, tape_of(job))
    piece = "stick" if cut.source is Source.STICKS else "rack piece"
    return YardCutView(
        yard=_yard_name(yard),
        what=f"{many(cut.quantity, piece)} of {cut.section.label}, {shown.full} ({cut.stick})",
        quantity=cut.quantity,
        marks=marks,
        words=f"mark {listed(marks)} from {'one end' if len(marks) == 1 else 'the same end'}, cut on the mark",
        pieces=tuple(_carried(job, piece_id(cut, number, at), each) for at, each in enumerate(cut.carried)),
    )


def rough_words(job: Job, trims: tuple[Fraction, Fraction], rough: tuple[bool, bool]) -> str:
    """Say at which end of a carried piece to start, and what to take off there."""
    first, second = ("the yard's cut" if each else "the raw end" for each in rough)
    tape = tape_of(job)
    begin = f"Start at {first}: trim {tape.text(trims[0])} off it" if trims[0] else f"Start at {first}, untrimmed"
    return f"{begin}; the last {tape.text(trims[1])} at {second} are not used." if trims[1] else f"{begin}."


def _carried(job: Job, name: str, piece: Carried) -> CarriedView:
    mass = weight(piece.weight, job.unit)
    text = tape_of(job).text(piece.length)
    words = f"{name}: {text}, {mass.full if mass else 'weight not known'}"
    return CarriedView(name=name, length=length(piece.length, tape_of(job)), weight=mass, words=words)


def changes_view(job: Job, plan: Plan) -> tuple[ChangeView, ...]:
    """Return which parts are cut from a substitute, what that saves, and that the designer must confirm."""
    return tuple(_change(job, each) for each in plan.changes)


def _change(job: Job, change: Change) -> ChangeView:
    saved = _saved(job, change)
    remark = f" ({change.remark})" if change.remark else ""
    return ChangeView(
        mark=change.mark,
        wanted=change.wanted.label,
        taken=change.taken.label,
        remark=change.remark,
        saved=saved,
        words=f"{change.mark} is cut from {change.taken.label} instead of {change.wanted.label}{remark}; {saved}. "
        + CONFIRM,
    )


def _saved(job: Job, change: Change) -> str:
    if not change.possible:
        return "without that no plan exists"
    if change.saved is None:
        return "what that saves isn't known"
    text = worth_text(job, change.saved)
    if change.certain:
        return f"that saves {text}" if change.saved else "that saves nothing, and costs nothing"
    return f"that saves at least {text}" if change.saved else "what that saves isn't known"


def money_view(job: Job, plan: Plan) -> MoneyView | None:
    """Return the money paid apart from leftovers; None in a job without such terms."""
    if plan.paid is None or job.currency is None:
        return None
    digits = minor_digits(job.currency)
    paid, kinds, own, credit, layouts, counted = (
        amount(Decimal(decimal_text(Fraction(value or 0), digits)), job.currency)
        for value in (plan.paid, plan.kinds, plan.own_value, plan.credit, plan.layouts, plan.cost)
    )
    words = [f"To pay: {paid.full}."]
    if kinds.value:
        words.append(f"Not paid, but counted: {kinds.full} for the trouble of buying more than one section.")
    if own.value or credit.value:
        words.append(f"Not paid, but counted: {own.full} of own pieces used up, {credit.full} of drops worth keeping.")
    if layouts.value:
        further = many(int(layouts.value / round_half_up(job.layout_cost, job.currency)), "layout")
        words.append(f"Not paid, but counted: {layouts.full} for setting the saw up for {further} beyond the first.")
    if kinds.value or own.value or credit.value or layouts.value:
        words.append(f"Minimised was {counted.full}.")
    return MoneyView(
        paid=paid,
        kinds=kinds,
        own_value=own,
        credit=credit,
        layouts=layouts,
        counted=counted,
        words=tuple(words),
    )
