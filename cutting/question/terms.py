"""Faults in what a job says of yards, carrying, breaks, substitutes and the worth of leftovers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from cutting.question.job import Job, Part, PerLength, PerStick, PerWeight, Price, Source, Stick
from cutting.question.lengths import show_length
from cutting.question.problems import Problem
from cutting.question.yards import Tax, Yard, YardCuts

if TYPE_CHECKING:
    from cutting.question.feasible import Places

__all__ = ["line_term_problems", "whole_term_problems"]

_LEAST_OF_A_BREAK = 2


def line_term_problems(job: Job, places: Places) -> Iterator[Problem]:
    """Problems that each yard, stick and part has by itself, true whatever other lines may still be missing."""
    names: dict[str, str] = {}
    for yard, where in zip(job.yards, places.yards, strict=True):
        yield from _yard_problems(job, yard, where)
        if yard.name in names:
            message = f"{names[yard.name]} has this name already; every yard has its own"
            yield Problem(where=f"{where}.name", text=yard.name, message=message)
        names.setdefault(yard.name, where)
    for stick, where in zip(job.sticks, places.sticks, strict=True):
        yield from _reference_problems(job, stick, where)
        yield from _break_problems(job, stick, where)
    for part, where in zip(job.parts, places.parts, strict=True):
        yield from _substitute_problems(part, where)
    yield from _carry_problems(job)
    yield from _keep_problems(job)


def whole_term_problems(job: Job, places: Places) -> Iterator[Problem]:
    """Problems between statements of a job all of whose lines are known."""
    if job.currency is None:
        for where in _money_stated(job, places):
            message = 'costs money, and the job has no prices: write currency = "USD", and a price for every line'
            yield Problem(where=where, text="", message=message)
    if job.carry.load is None or job.carry.load <= 0:
        return
    unknown = dict.fromkeys(
        stick.section.label for stick in job.sticks if stick.source is not Source.OWN and stick.section.mass is None
    )
    for label in unknown:
        message = f"the weight of {label} isn't known, so trips can't be counted; leave the load out"
        yield Problem(where="carry.load", text=label, message=message)


def _money_stated(job: Job, places: Places) -> Iterator[str]:
    for yard, where in zip(job.yards, places.yards, strict=True):
        amounts = (yard.delivery, yard.collecting, yard.minimum, yard.cuts.charge if yard.cuts else None)
        if any(amounts) or yard.tax is not None:
            yield where
    if job.kind_cost:
        yield "kind_cost"
    if job.layout_cost:
        yield "layout_cost"
    if job.keep_value is not None and job.keep_value.amount:
        yield "keep_value"


def _yard_problems(job: Job, yard: Yard, where: str) -> Iterator[Problem]:
    if yard.delivery is None and yard.collecting is None:
        message = "it neither delivers nor lets anything be fetched; write delivery, or leave collecting out"
        yield Problem(where=where, text=yard.name, message=message)
    if yard.delivery is None and yard.delivery_free_from is not None:
        message = "it doesn't deliver at all as it is written; write delivery as well, or leave this out"
        yield Problem(where=f"{where}.delivery_free_from", text=f"{yard.delivery_free_from:f}", message=message)
    amounts = {
        "delivery": yard.delivery,
        "delivery_free_from": yard.delivery_free_from,
        "collecting": yard.collecting,
        "minimum": yard.minimum,
    }
    for field, amount in amounts.items():
        if amount is not None:
            yield from _negative(amount, f"{where}.{field}")
    if yard.tax is not None:
        yield from _tax_problems(yard.tax, f"{where}.tax")
    if yard.cuts is not None:
        yield from _cuts_problems(job, yard.cuts, f"{where}.cuts")


def _negative(amount: Decimal, where: str) -> Iterator[Problem]:
    if amount < 0:
        yield Problem(where=where, text=f"{amount:f}", message="an amount is 0 or more")


def _tax_problems(tax: Tax, where: str) -> Iterator[Problem]:
    if not 0 <= tax.rate <= 1:
        text = f"{(tax.rate * 100).normalize():f} %"
        yield Problem(where=f"{where}.rate", text=text, message='a rate lies between 0 and 100 %, such as "8.25 %"')
    if not tax.on or len(set(tax.on)) < len(tax.on):
        message = "write each of what it applies to once: material, cuts, delivery"
        yield Problem(where=f"{where}.on", text=", ".join(tax.on), message=message)


def _cuts_problems(job: Job, cuts: YardCuts, where: str) -> Iterator[Problem]:
    yield from _negative(cuts.charge, f"{where}.charge")
    if cuts.free < 0:
        yield Problem(where=f"{where}.free", text=str(cuts.free), message="write a whole number of 0 or more")
    if cuts.allowance < job.saw.kerf:
        kerf = show_length(job.saw.kerf, job.unit)
        message = f"our own finishing cut is part of it, so write at least {kerf} (saw.kerf)"
        yield Problem(where=f"{where}.allowance", text=show_length(cuts.allowance, job.unit), message=message)


def _reference_problems(job: Job, stick: Stick, where: str) -> Iterator[Problem]:
    names = [yard.name for yard in job.yards]
    if stick.source is Source.OWN:
        if stick.yard:
            yield Problem(where=f"{where}.yard", text=stick.yard, message="own pieces come from no yard; leave it out")
    elif names and not stick.yard:
        message = f"which yard has it? Write yard with one of {_quoted(names)}"
        yield Problem(where=f"{where}.yard", text="", message=message)
    elif names and stick.yard not in names:
        message = f"no [[yards]] entry has this name; write one of {_quoted(names)}, or describe this yard too"
        yield Problem(where=f"{where}.yard", text=stick.yard, message=message)


def _quoted(names: list[str]) -> str:
    return ", ".join(f'"{name}"' for name in dict.fromkeys(names))


def _break_problems(job: Job, stick: Stick, where: str) -> Iterator[Problem]:
    if stick.breaks and stick.source is not Source.STICKS:
        yield Problem(where=f"{where}.breaks", text="", message="only sticks have breaks; leave it out")
        return
    if stick.breaks and stick.price is None:
        yield Problem(where=f"{where}.breaks", text="", message="one stick needs a price as well: write price")
        return
    previous = _Step(least=1, price=stick.price)
    for number, each in enumerate(stick.breaks):
        step = _Step(least=each.least, price=each.price)
        yield from _step_problems(job, stick, step, previous, f"{where}.breaks[{number}]")
        previous = step


@dataclass(frozen=True, kw_only=True, slots=True)
class _Step:
    """A price, and from how many sticks on it holds."""

    least: int
    price: Price | None

    def amount(self, stick: Stick) -> Fraction | None:
        """Return what one stick costs, before rounding; None where that isn't known."""
        match self.price:
            case PerStick(amount=amount):
                return Fraction(amount)
            case PerLength(amount=amount, per=per):
                return Fraction(amount) * stick.length / per
            case PerWeight(amount=amount, per=per) if stick.section.mass is not None:
                return Fraction(amount) * stick.section.mass * stick.length / 1000 / per
            case _:
                return None


def _step_problems(job: Job, stick: Stick, step: _Step, previous: _Step, where: str) -> Iterator[Problem]:
    if step.least < _LEAST_OF_A_BREAK or step.least <= previous.least:
        least = max(_LEAST_OF_A_BREAK, previous.least + 1)
        message = f"breaks are written in rising order; write at least {least} here"
        yield Problem(where=f"{where}.from_quantity", text=str(step.least), message=message)
    if stick.available is not None and step.least > stick.available:
        message = f"only {stick.available} of {stick.id} are available, so this price is never reached"
        yield Problem(where=f"{where}.from_quantity", text=str(step.least), message=message)
    now, before = step.amount(stick), previous.amount(stick)
    if now is None:
        label = stick.section.label
        message = (
            f"the weight of {label} isn't known, so it can't be priced by weight"
            if isinstance(step.price, PerWeight)
            else "write price, price_per_length or price_per_weight"
        )
        yield Problem(where=where, text=label, message=message)
    elif before is not None and now == before:
        amounts = f"{float(now):.2f} a stick after {float(before):.2f}"
        message = "more sticks don't get cheaper here; check both prices, or leave this break out"
        yield Problem(where=where, text=f"{amounts}{f' {job.currency}' if job.currency else ''}", message=message)


def _substitute_problems(part: Part, where: str) -> Iterator[Problem]:
    seen = {part.section.key: "the part itself is cut from it"}
    for number, each in enumerate(part.substitutes):
        at, label = f"{where}.substitutes[{number}].section", each.section.label
        if each.section.key in seen:
            yield Problem(where=at, text=label, message=f"{seen[each.section.key]}; leave it out here")
        elif part.ends is not None and (not part.section.sides or each.section.sides != part.section.sides):
            message = f"{part.mark} has angled ends, which only a section of the same size as {part.section.label} fits"
            yield Problem(where=at, text=label, message=message)
        seen[each.section.key] = "it is listed already"


def _carry_problems(job: Job) -> Iterator[Problem]:
    carry = job.carry
    if carry.longest is not None and carry.longest <= 0:
        text = show_length(carry.longest, job.unit)
        yield Problem(where="carry.longest", text=text, message="must be longer than 0")
    if carry.load is not None and carry.load <= 0:
        yield Problem(where="carry.load", text=f"{carry.load} kg", message="must be more than 0")
    yield from _negative(job.kind_cost, "kind_cost")
    yield from _negative(job.layout_cost, "layout_cost")


def _keep_problems(job: Job) -> Iterator[Problem]:
    keep = job.keep_value
    if keep is None:
        return
    yield from _negative(keep.amount, "keep_value.per_length")
    if keep.per <= 0:
        message = "write the length that the amount is for, such as 1.20/ft"
        yield Problem(where="keep_value.per_length", text=show_length(keep.per, job.unit), message=message)
    if keep.shortest <= 0:
        text = show_length(keep.shortest, job.unit)
        yield Problem(where="keep_value.shortest", text=text, message="must be longer than 0")
