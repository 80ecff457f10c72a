"""Read what the sheet says of yards, carrying, kinds of section and leftovers, by the rules of the job file."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Final

from api.sheet.form import SheetForm
from api.sheet.yards import YardForm, field_of
from cutting.question.lengths import Unit
from cutting.question.money import minor_digits
from cutting.question.yards import Carry, Charge, KeepValue, Yard
from shared.files.job.fields import Reading
from shared.files.job.lines import validate_table
from shared.files.job.money import WEIGHTS
from shared.files.job.terms import CarryFields, KeepFields, YardLine
from shared.reading.line.money import read_sum

__all__ = ["Terms", "field_at", "read_terms"]

_MOST_DIGITS: Final = 9
_DOLLARS: Final = frozenset({"USD", "CAD", "AUD", "NZD"})
_AMOUNTS: Final = {
    "delivery": "delivery",
    "free_from": "delivery_free_from",
    "collecting": "collecting",
    "minimum": "minimum",
}
_PLACES: Final = {
    **{wire: name for name, wire in _AMOUNTS.items()},
    "name": "name",
    "tax": "tax",
    "tax.rate": "tax",
    "tax.on": "on_material",
    "cuts": "allowance",
    "cuts.charge": "cut_charge",
    "cuts.free": "free_cuts",
    "cuts.allowance": "allowance",
    "reserves": "reserves",
}
"""Which blank of a yard a field of the job file is."""
_WHAT: Final = {
    "name": "name of the yard",
    "delivery": "delivery",
    "free_from": "free delivery",
    "collecting": "a trip",
    "minimum": "smallest order",
    "tax": "tax",
    "on_material": "what the tax is on",
    "cut_charge": "charge for a cut",
    "free_cuts": "free cuts",
    "allowance": "steel to allow at a cut",
    "longest": "longest piece",
    "load": "load",
    "kind_cost": "each more kind of section",
    "layout_cost": "each more layout",
    "leftover": "worth of leftovers",
    "leftover_from": "shortest leftover",
}
_WHOLE: Final = {
    "carry.longest": "longest",
    "carry.load": "load",
    "kind_cost": "kind_cost",
    "layout_cost": "layout_cost",
}
_KEPT: Final = {"keep_value.per_length": "leftover", "keep_value.shortest": "leftover_from"}

_SAID_HERE: Final = {
    "tax.rate": "write a rate of at most 100, such as 8.25",
    "tax.on": "tick what it is on: material, cuts, delivery",
}
"""What is asked for otherwise on the sheet than in a file."""

Blame = Callable[[str, str], None]


@dataclass(frozen=True, kw_only=True, slots=True)
class Terms:
    """What the sheet says beyond sticks and saw.

    Attributes
    ----------
    yards : tuple of (int, Yard)
        Each with its number on the sheet.
    carry : Carry
        What can be carried.
    kind_cost : Decimal
        For each more kind of section.
    layout_cost : Decimal
        For each more layout.
    keep_value : KeepValue or None
        What leftovers are worth.
    """

    yards: tuple[tuple[int, Yard], ...] = ()
    carry: Carry = field(default_factory=Carry)
    kind_cost: Decimal = Decimal(0)
    layout_cost: Decimal = Decimal(0)
    keep_value: KeepValue | None = None

    def with_names(self, names: Iterable[str]) -> tuple[Yard, ...]:
        """Return the yards, and those that are only named, without terms; none where none is described."""
        described = tuple(yard for _, yard in self.yards)
        known = {yard.name for yard in described}
        return (*described, *(Yard(name=name) for name in names if name not in known)) if described else ()


@dataclass(frozen=True, kw_only=True, slots=True)
class _Pen:
    """Reads values, and says which are wrong."""

    reading: Reading
    blame: Blame

    def wrong(self, field: str, name: str, message: str) -> None:
        self.blame(field, f"{_WHAT.get(name, name)}: {message}")

    def amount(self, field: str, name: str, text: str) -> str | None:
        """Return an amount that can be paid, as the job file writes it; None where there is none."""
        amount = self.sum(field, name, text) if text.strip() else None
        currency = self.reading.currency
        if amount is not None and currency and amount != round(amount, minor_digits(currency)):
            digits = minor_digits(currency) or "no"
            self.wrong(field, name, f"{currency} has {digits} decimals; write an amount that can be paid")
            return None
        return None if amount is None else f"{amount:f}"

    def sum(self, field: str, name: str, text: str) -> Decimal | None:
        """Return an amount in the job's currency; None where it is none."""
        read = read_sum(text)
        if read is None:
            self.wrong(field, name, f"{text.strip()} is no amount; write one such as 45 or 12.50, without a separator")
            return None
        amount, code = read
        currency = self.reading.currency
        if code and currency and code != currency and not ("$" in text and currency in _DOLLARS):
            self.wrong(field, name, f"it is in {code}, and the prices are in {currency}; one job has one currency")
            return None
        return amount


def field_at(where: str) -> str | None:
    """Return the field of the sheet that a problem of the job is about; None where it is about none of these.

    Examples
    --------
    >>> field_at("yard-2.cuts.allowance"), field_at("carry.load"), field_at("keep_value"), field_at("parts:3.length")
    ('yard-2-allowance', 'load', 'leftover', None)
    """
    head, _, rest = where.partition(".")
    if head.startswith("yard-") and head[5:].isdecimal():
        return f"{head}-{_PLACES.get(rest.partition('[')[0], 'name')}"
    if head == "keep_value":
        return _KEPT.get(where, "leftover")
    return _WHOLE.get(where)


def read_terms(form: SheetForm, unit: Unit, currency: str | None, blame: Blame) -> Terms:
    """Read the terms of a sheet; everything wrong is said at its field, all at once.

    Parameters
    ----------
    form : SheetForm
        As written.
    unit : Unit
        What a bare length means.
    currency : str or None
        ISO 4217 code; None where the lists have no prices.
    blame : callable
        Hears a field and what is wrong with it.
    """
    pen = _Pen(reading=Reading(unit=unit, currency=currency), blame=blame)
    yards = [(number, _yard(pen, number, yard)) for number, yard in enumerate(form.yards, 1) if not yard.empty]
    kind_cost = pen.amount("kind_cost", "kind_cost", form.kind_cost)
    layout_cost = pen.amount("layout_cost", "layout_cost", form.layout_cost)
    return Terms(
        yards=tuple((number, yard) for number, yard in yards if yard is not None),
        carry=_carry(pen, form),
        kind_cost=Decimal(kind_cost or 0),
        layout_cost=Decimal(layout_cost or 0),
        keep_value=_keep(pen, form),
    )


def _yard(pen: _Pen, number: int, form: YardForm) -> Yard | None:
    """Read one yard; what is at fault is left out of it, so that the rest is looked at too. None without a name."""
    table: dict[str, Any] = {"name": form.title, "reserves": bool(form.reserves)}
    for name, wire in _AMOUNTS.items():
        amount = pen.amount(field_of(number, name), name, getattr(form, name))
        if amount is not None:
            table[wire] = amount
    if form.no_collecting:
        table["collecting"] = False
        if form.collecting.strip():
            pen.wrong(field_of(number, "collecting"), "collecting", "it costs nothing where nothing can be fetched")
    if form.tax.strip():
        table["tax"] = {"rate": f"{form.tax.strip().rstrip('% ').replace(',', '.')} %", "on": _taxed(form)}
    cuts = _cuts(pen, number, form)
    if cuts is not None:
        table["cuts"] = cuts
    if not form.title:
        pen.wrong(field_of(number, "name"), "name", "write it, as it stands above its lines in the lists")
        table["name"] = "without a name"

    def named(where: str) -> tuple[str, str]:
        name = _PLACES.get(where, "name")
        return field_of(number, name), name

    line = _validated(pen, YardLine, table, named)
    return line.value() if form.title and line is not None else None


def _taxed(form: YardForm) -> list[str]:
    ticks = {Charge.MATERIAL: form.on_material, Charge.CUTS: form.on_cuts, Charge.DELIVERY: form.on_delivery}
    return [charge.value for charge, tick in ticks.items() if tick]


def _cuts(pen: _Pen, number: int, form: YardForm) -> dict[str, Any] | None:
    """Return what a yard's cuts cost and take; None where it doesn't cut, or where that is open."""
    charge, free, allowance = form.cut_charge.strip(), form.free_cuts.strip(), form.allowance.strip()
    if not (charge or free or allowance):
        return None
    if not charge:
        pen.wrong(field_of(number, "cut_charge"), "cut_charge", "write what a cut costs, 0 where it costs nothing")
    if not allowance:
        message = "write how much steel to allow at each of its cuts, our own clean-up cut included, such as 1/4"
        pen.wrong(field_of(number, "allowance"), "allowance", message)
    amount = pen.amount(field_of(number, "cut_charge"), "cut_charge", charge)
    if amount is None or not allowance:
        return None
    table: dict[str, Any] = {"charge": amount, "allowance": allowance}
    if free:
        table["free"] = int(free) if free.isdecimal() and len(free) <= _MOST_DIGITS else free
    return table


def _carry(pen: _Pen, form: SheetForm) -> Carry:
    table = {name: text for name in ("longest", "load") if (text := getattr(form, name).strip())}
    if not table:
        return Carry()
    if "load" in table and table["load"].replace(".", "", 1).isdecimal():
        message = f"write the weight with its unit: {table['load']} lb or {table['load']} kg"
        pen.wrong("load", "load", message)
        table.pop("load")
    elif "load" in table:
        table["load"] = _weight(table["load"])
    found = _validated(pen, CarryFields, table, lambda where: (where, where))
    return Carry() if found is None else found.value()


def _weight(text: str) -> str:
    """Write a weight as the job file does: ``900 lbs`` is ``900 lb``."""
    low = text.lower().rstrip(".")
    for unit in WEIGHTS:
        for ending in (unit, f"{unit}s"):
            if low.endswith(ending) and low.removesuffix(ending).strip().replace(".", "", 1).isdecimal():
                return f"{low.removesuffix(ending).strip()} {unit}"
    return text


def _keep(pen: _Pen, form: SheetForm) -> KeepValue | None:
    worth, shortest = form.leftover.strip(), form.leftover_from.strip()
    if worth and not shortest:
        pen.wrong("leftover_from", "leftover_from", "write from how long on a leftover is worth that, such as 24 in")
    if shortest and not worth:
        pen.wrong("leftover", "leftover", "write what a length of it is worth, such as 0.60/ft")
    if not worth or not shortest:
        return None
    amount, slash, per = worth.partition("/")
    if slash:
        read = pen.sum("leftover", "leftover", amount)
        if read is None:
            return None
        worth = f"{read:f}/{per.strip()}"
    names = {"per_length": "leftover", "shortest": "leftover_from"}
    table = {"per_length": worth, "shortest": shortest}
    found = _validated(pen, KeepFields, table, lambda where: (names[where], names[where]))
    return None if found is None else found.value()


def _validated(pen: _Pen, model: Any, table: Mapping[str, Any], named: Callable[[str], tuple[str, str]]) -> Any:
    """Validate a table of the job file; what is wrong is said at the blank it came from."""
    found, problems = validate_table(model, table, "", pen.reading)
    for problem in problems:
        field, name = named(problem.where.partition("[")[0])
        pen.wrong(field, name, _SAID_HERE.get(problem.where, problem.message.replace(", without quotes", "")))
    if not problems:
        return found
    return validate_table(model, _without(table, [problem.where for problem in problems]), "", pen.reading)[0]


def _without(table: Mapping[str, Any], wrong: Sequence[str]) -> dict[str, Any]:
    """Return a table without what is wrong in it; free cuts can go alone, cuts and tax only as a whole."""
    left = {name: value for name, value in table.items() if not any(_is_in(where, name) for where in wrong)}
    if "cuts.free" in wrong and not any(where in {"cuts.charge", "cuts.allowance"} for where in wrong):
        left["cuts"] = {name: value for name, value in table["cuts"].items() if name != "free"}
    return left


def _is_in(where: str, name: str) -> bool:
    return where == name or where.startswith((f"{name}.", f"{name}["))
