"""Values as people read them: each has its text ready, and the number behind it for workbooks and drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import floor
from typing import Final

from cutting.question.lengths import Unit, show_length
from cutting.question.money import minor_digits
from cutting.question.tape import is_imperial
from shared.wording.tape import Tape

__all__ = ["Amount", "Length", "Quantity", "amount", "and_more", "is_imperial", "length", "surface", "weight"]

_POUND: Final = Fraction("0.45359237")
_SQUARE_FOOT: Final = Fraction("0.09290304")
_FINEST_SHOWN: Final = 32


@dataclass(frozen=True, kw_only=True, slots=True)
class Length:
    """A length.

    Attributes
    ----------
    text : str
        On the job's tape, without its unit: for a column whose head names the unit.
    full : str
        With its unit.
    other : str
        In the other unit system, to 0.1 mm or 1/32 in, with "about" where that isn't exact.
    mm : Fraction
        Exact.
    number : float
        In the job's unit, for a spreadsheet cell.
    """

    text: str
    full: str
    other: str
    mm: Fraction
    number: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Amount:
    """An amount of money.

    Attributes
    ----------
    text : str
        Without its currency: for a column whose head names it.
    full : str
        With its currency.
    value : Decimal
        Exact.
    """

    text: str
    full: str
    value: Decimal


@dataclass(frozen=True, kw_only=True, slots=True)
class Quantity:
    """A weight or a surface, rounded to one decimal.

    Attributes
    ----------
    text : str
        Without its unit.
    full : str
        With its unit.
    unit : str
        lb or kg, sq ft or m2.
    number : float
        In that unit, for a spreadsheet cell; not rounded.
    """

    text: str
    full: str
    unit: str
    number: float


def length(mm: Fraction, tape: Tape) -> Length:
    """Make a length ready to show on a tape; long bars of whole feet are called so where inches are the unit."""
    return Length(
        text=tape.bare(mm),
        full=tape.stick(mm),
        other=_other(mm, tape.unit),
        mm=mm,
        number=float(mm / tape.unit.mm),
    )


def _other(mm: Fraction, unit: Unit) -> str:
    shown, step = (Unit.MM, Fraction(1, 10)) if is_imperial(unit) else (Unit.IN, Unit.IN.mm / _FINEST_SHOWN)
    near = step * floor(mm / step + Fraction(1, 2))
    return ("" if near == mm else "about ") + show_length(near, shown)


def amount(value: Decimal, currency: str) -> Amount:
    """Make an amount of money ready to show."""
    text = f"{value:,.{minor_digits(currency)}f}"
    return Amount(text=text, full=f"{currency} {text}", value=value)


def weight(kg: Fraction | None, unit: Unit) -> Quantity | None:
    """Make a weight ready to show: pounds beside inches and feet, kilograms otherwise; None stays None."""
    if kg is None:
        return None
    return _quantity(kg / _POUND, "lb") if is_imperial(unit) else _quantity(kg, "kg")


def surface(square_metres: Fraction | None, unit: Unit) -> Quantity | None:
    """Make a surface ready to show: square feet beside inches and feet, square metres otherwise; None stays None."""
    if square_metres is None:
        return None
    return _quantity(square_metres / _SQUARE_FOOT, "sq ft") if is_imperial(unit) else _quantity(square_metres, "m2")


def and_more(quantity: Quantity | None, without: Sequence[str]) -> Quantity | None:
    """Make a sum ready to show from which sections are missing: ``61.0 lb and more``."""
    return replace(quantity, full=f"{quantity.full} and more") if quantity and without else quantity


def _quantity(value: Fraction, unit: str) -> Quantity:
    tenths = floor(value * 10 + Fraction(1, 2))
    text = f"{tenths // 10:,}.{tenths % 10}"
    return Quantity(text=text, full=f"{text} {unit}", unit=unit, number=float(value))
