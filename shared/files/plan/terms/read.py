"""Read back what a plan file says of yards; weights, written to the gram, are taken exactly where they agree."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Buy, Carried, Change, Idle, IdleReason, Order, Transport
from cutting.question.job import Job, Section, Source
from shared.files.plan.terms.wire import CarriedFields, ChangeFields, IdleFields, OrderFields
from shared.wording.amounts import GRAMS, decimal_text

__all__ = ["carried_of", "change_of", "decimal_of", "idle_of", "order_of"]


def decimal_of(text: str | None) -> Decimal | None:
    """Read a plain number; None stays None."""
    return None if text is None else Decimal(text)


def _weight(text: str | None, exact: Fraction | None) -> Fraction | None:
    if text is None:
        return None
    return exact if exact is not None and decimal_text(exact, GRAMS) == text else Fraction(text)


def _mass(section: Section, mm: Fraction) -> Fraction | None:
    return None if section.mass is None else section.mass * mm / 1000


def _sum(weights: Iterable[Fraction | None]) -> Fraction | None:
    listed = list(weights)
    known = [weight for weight in listed if weight is not None]
    return sum(known, Fraction(0)) if len(known) == len(listed) else None


def carried_of(fields: CarriedFields, section: Section, length: Callable[[str], Fraction]) -> Carried:
    """Return a carried piece; `length` reads one of its fields."""
    whole = length("length")
    return Carried(
        length=whole,
        weight=_weight(fields.weight, _mass(section, whole)),
        begin=length("begin"),
        parts=fields.parts,
        drop=length("drop"),
        skim=fields.skim,
    )


def order_of(fields: OrderFields, job: Job, buy: Sequence[Buy]) -> Order:
    """Return one yard's order."""
    yards = {stick.id: stick.yard for stick in job.sticks if stick.source is not Source.OWN}
    taken = [_mass(line.section, line.quantity * line.length) for line in buy if yards.get(line.stick) == fields.yard]
    return Order(
        yard=fields.yard,
        transport=Transport(fields.transport),
        trips=fields.trips,
        weight=_weight(fields.weight, _sum(taken)),
        cuts=fields.cuts,
        material=decimal_of(fields.material),
        cutting=decimal_of(fields.cutting),
        delivery=decimal_of(fields.delivery),
        collecting=decimal_of(fields.collecting),
        tax=decimal_of(fields.tax),
        total=decimal_of(fields.total),
    )


def idle_of(fields: IdleFields) -> Idle:
    """Return one yard's sticks that stay whole."""
    return Idle(
        yard=fields.yard,
        sticks=tuple((each.id, each.quantity) for each in fields.sticks),
        reasons=tuple(IdleReason(reason) for reason in fields.reasons),
        saved=None if fields.saved is None else Fraction(fields.saved),
    )


def change_of(fields: ChangeFields, saved: Fraction | None, section: Callable[[str, str], Section]) -> Change:
    """Return one changed section, what it saved read already."""
    return Change(
        mark=fields.mark,
        wanted=section(fields.wanted, fields.wanted_material),
        taken=section(fields.taken, fields.taken_material),
        remark=fields.remark,
        saved=saved,
        certain=fields.certain,
        possible=fields.possible,
    )
