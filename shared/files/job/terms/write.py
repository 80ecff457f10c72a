"""Write yards, carrying, breaks, substitutes and the worth of leftovers as the plain tables of a job file."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

from cutting.question.job import Break, Job, Part, PerLength, Price, Substitute
from cutting.question.lengths import Unit, format_length
from cutting.question.yards import Carry, Charge, Yard
from shared.files.job.fields import WEIGHTS

__all__ = ["breaks_table", "carry_table", "keep_table", "percent", "substitutes_table", "yard_table"]

_Priced = Callable[[Price], tuple[str, str]]


def percent(share: Decimal) -> str:
    """Write a share with its sign: ``8.25 %``."""
    return f"{(share * 100).normalize():f} %"


def yard_table(yard: Yard, unit: Unit) -> dict[str, Any]:
    """Write a yard; what it says nothing of is left out."""
    table: dict[str, Any] = {"name": yard.name}
    if yard.delivery is not None:
        table["delivery"] = _plain(yard.delivery)
    if yard.delivery_free_from is not None:
        table["delivery_free_from"] = _plain(yard.delivery_free_from)
    if yard.collecting is None or yard.collecting:
        table["collecting"] = False if yard.collecting is None else _plain(yard.collecting)
    if yard.minimum:
        table["minimum"] = _plain(yard.minimum)
    if yard.tax is not None:
        table["tax"] = {"rate": percent(yard.tax.rate)}
        if set(yard.tax.on) != set(Charge):
            table["tax"]["on"] = [charge.value for charge in yard.tax.on]
    if yard.cuts is not None:
        table["cuts"] = {"charge": _plain(yard.cuts.charge), "allowance": format_length(yard.cuts.allowance, unit)}
        if yard.cuts.free:
            table["cuts"]["free"] = yard.cuts.free
    if yard.reserves:
        table["reserves"] = True
    return table


def carry_table(carry: Carry, unit: Unit) -> dict[str, Any]:
    """Write what can be carried; empty where there is no limit."""
    table: dict[str, Any] = {}
    if carry.longest is not None:
        table["longest"] = format_length(carry.longest, unit)
    if carry.load is not None:
        table["load"] = _weight(carry.load, unit)
    return table


def _weight(kg: Fraction, unit: Unit) -> str:
    """Write a weight in the unit that holds it in fewest digits, pounds first beside inches and feet."""
    names = ["lb", "kg", "t"] if unit in {Unit.IN, Unit.FT} else ["kg", "t", "lb"]
    texts = {name: text for name in names if (text := _digits(kg / WEIGHTS[name])) is not None}
    if not texts:
        return f"{kg} kg"
    name = min(texts, key=lambda each: len(texts[each]))
    return f"{texts[name]} {name}"


def _digits(value: Fraction) -> str | None:
    """Write a number as a decimal; None where it has no end, or more places than the job file takes."""
    places = next((places for places in range(13) if (value * 10**places).denominator == 1), None)
    return None if places is None else f"{Decimal(int(value * 10**places)).scaleb(-places):f}"


def keep_table(job: Job, priced: _Priced) -> dict[str, Any]:
    """Write what leftovers are worth; empty where nothing is stated."""
    keep = job.keep_value
    if keep is None:
        return {}
    _, amount = priced(PerLength(amount=keep.amount, per=keep.per))
    return {"per_length": amount, "shortest": format_length(keep.shortest, job.unit)}


def breaks_table(breaks: tuple[Break, ...], priced: _Priced) -> list[dict[str, Any]]:
    """Write the breaks of a line."""
    return [{"from_quantity": each.least} | dict([priced(each.price)]) for each in breaks]


def substitutes_table(part: Part) -> list[dict[str, Any]]:
    """Write the substitutes of a part; those of its own material leave that out."""
    return [_substitute(part, each) for each in part.substitutes]


def _substitute(part: Part, each: Substitute) -> dict[str, Any]:
    table: dict[str, Any] = {"section": each.section.name}
    if each.section.material != part.section.material:
        table["material"] = each.section.material
    if each.remark:
        table["remark"] = each.remark
    return table


def _plain(amount: Decimal) -> str:
    return f"{amount:f}"
