"""What is written about a yard: one yard's blanks on the sheet, as they came."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Final

from api.sheet.blanks import amount, blank, never, percent, tick, whole

__all__ = ["MOST_YARDS", "YardForm", "field_of", "yards_of"]

MOST_YARDS: Final = 24
"""Most yards on one sheet."""
_FIELD: Final = re.compile(r"yard-(?P<number>\d{1,2})-(?P<name>[a-z_]+)")


@dataclass(frozen=True, kw_only=True, slots=True)
class YardForm:
    """One yard as written; every value is text, nothing is understood yet, and a tick is "on"."""

    name: str = blank("name", "name of the yard", missing="write it, as it stands above its lines in the lists")
    delivery: str = blank("delivery", "delivery", amount)
    free_from: str = blank("delivery_free_from", "free delivery", amount)
    collecting: str = blank("collecting", "a trip", amount, about="What a trip to fetch an order costs.")
    no_collecting: str = blank("collecting", "a trip", tick(means=False), about="Nothing can be fetched there.")
    minimum: str = blank("minimum", "smallest order", amount)
    tax: str = blank("tax.rate", "tax", percent, about="A rate in percent.")
    on_material: str = blank("tax.on", "what the tax is on", never, usual="on")
    on_cuts: str = blank("tax.on", "what the tax is on", never, usual="on")
    on_delivery: str = blank("tax.on", "what the tax is on", never, usual="on")
    allowance: str = blank(
        "cuts.allowance",
        "steel to allow at a cut",
        missing="write how much steel to allow at each of its cuts, our own clean-up cut included, such as 1/4",
    )
    cut_charge: str = blank(
        "cuts.charge", "charge for a cut", amount, missing="write what a cut costs, 0 where it costs nothing"
    )
    free_cuts: str = blank("cuts.free", "free cuts", whole)
    reserves: str = blank("reserves", "reserving", tick(means=True))

    @property
    def empty(self) -> bool:
        """Whether nothing is written about it; ticks that say what a tax would be on say nothing by themselves."""
        silent = {"on_material", "on_cuts", "on_delivery"}
        return not any(getattr(self, field.name).strip() for field in fields(self) if field.name not in silent)

    @property
    def title(self) -> str:
        """Its name, tidily spaced."""
        return " ".join(self.name.split())


def field_of(number: int, name: str) -> str:
    """Return the name of a yard's field on the sheet; yards are numbered from 1."""
    return f"yard-{number}-{name}"


def yards_of(values: Mapping[str, object]) -> tuple[YardForm, ...]:
    """Return the yards of a form's values, or of a sheet that was kept; empty ones at the end are left out."""
    kept = values.get("yards")
    if isinstance(kept, list | tuple):
        found = [_kept(each) for each in kept[:MOST_YARDS] if isinstance(each, Mapping)]
    else:
        found = _posted(values)
    while found and found[-1].empty:
        found.pop()
    return tuple(found)


def _names() -> tuple[str, ...]:
    return tuple(field.name for field in fields(YardForm))


def _kept(table: Mapping[str, object]) -> YardForm:
    return YardForm(**{name: value for name in _names() if isinstance(value := table.get(name), str)})


def _posted(values: Mapping[str, object]) -> list[YardForm]:
    """Return the yards of a form: a box that isn't ticked isn't sent."""
    numbers = [int(found["number"]) for name in values if (found := _FIELD.fullmatch(name))]
    last = min(max(numbers, default=0), MOST_YARDS)

    def text(number: int, name: str) -> str:
        value = values.get(field_of(number, name))
        return value if isinstance(value, str) else ""

    return [YardForm(**{name: text(number, name) for name in _names()}) for number in range(1, last + 1)]
