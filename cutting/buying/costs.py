"""Every amount of a job on one grid of whole numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from cutting.question.money import minor_digits

__all__ = ["Costs", "minor_units", "whole_units"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Costs:
    """The grid, and what sticks cost on it.

    Attributes
    ----------
    unit : Fraction
        What one unit of cost is in the objective's unit.
    money : int
        Units of cost to one smallest unit of the currency.
    steps : mapping of str to tuple of (int, int)
        For each line of sticks (from so many, price of each in units of cost), ascending.
    """

    unit: Fraction
    money: int
    steps: Mapping[str, tuple[tuple[int, int], ...]]

    def whole(self, amount: Fraction) -> int:
        """Return an amount in units of cost."""
        return int(amount / self.unit)


def minor_units(currency: str | None) -> int:
    """Return minor units to one unit of a currency; without prices there is no money and it doesn't matter."""
    return 1 if currency is None else int(10 ** minor_digits(currency))


def whole_units(amount: Decimal, currency: str | None) -> int:
    """Return an amount in minor units, rounded half up."""
    units = Fraction(amount) * minor_units(currency)
    return (2 * units.numerator + units.denominator) // (2 * units.denominator)
