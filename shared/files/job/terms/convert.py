"""From validated tables to the engine's yards, carrying, breaks, substitutes and worth of leftovers."""

from __future__ import annotations

from collections.abc import Callable

from cutting.question.job import Break, Discount, PerLength, PerStick, PerWeight, Price, Section, Substitute
from cutting.question.yards import Carry, KeepValue, Tax, Yard, YardCuts
from shared.files.job.terms.wire import BreakFields, CarryFields, KeepFields, SubstituteFields, YardLine
from shared.files.job.wire import PartLine, RackLine, StickLine

__all__ = ["breaks_of", "carry_of", "keep_of", "price_of", "substitutes_of", "yard_of"]


def yard_of(line: YardLine) -> Yard:
    """Make a yard of its table."""
    tax = None if line.tax is None else Tax(rate=line.tax.rate, on=line.tax.on)
    cuts = None
    if line.cuts is not None:
        cuts = YardCuts(charge=line.cuts.charge, free=line.cuts.free, allowance=line.cuts.allowance)
    return Yard(
        name=line.name,
        delivery=line.delivery,
        delivery_free_from=line.delivery_free_from,
        collecting=line.collecting,
        minimum=line.minimum,
        tax=tax,
        cuts=cuts,
        reserves=line.reserves,
    )


def carry_of(fields: CarryFields | None) -> Carry:
    """Return what can be carried; everything where nothing is stated."""
    return Carry() if fields is None else Carry(longest=fields.longest, load=fields.load)


def keep_of(fields: KeepFields | None) -> KeepValue | None:
    """Return what leftovers are worth; None where nothing is stated."""
    if fields is None:
        return None
    return KeepValue(amount=fields.per_length.amount, per=fields.per_length.per, shortest=fields.shortest)


def price_of(line: StickLine | RackLine | BreakFields) -> Price | None:
    """Return the one price of a line; None where it has none."""
    if line.price is not None:
        return PerStick(amount=line.price)
    if isinstance(line, RackLine) and line.discount is not None:
        return Discount(share=line.discount)
    by_length: PerLength | None = line.price_per_length
    by_weight: PerWeight | None = line.price_per_weight
    return by_length or by_weight


def breaks_of(line: StickLine) -> tuple[Break, ...]:
    """Return the breaks of a line of sticks; one without a price is said to be wrong elsewhere, and left out."""
    priced = [(each.from_quantity, price_of(each)) for each in line.breaks]
    return tuple(Break(least=least, price=price) for least, price in priced if price is not None)


def substitutes_of(line: PartLine, understood: Callable[[str, str], Section]) -> tuple[Substitute, ...]:
    """Return the substitutes of a part, of its own material where they state none."""

    def section(each: SubstituteFields) -> Section:
        return understood(each.section, line.material if each.material is None else each.material)

    return tuple(Substitute(section=section(each), remark=each.remark) for each in line.substitutes)
