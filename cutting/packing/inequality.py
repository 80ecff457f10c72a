"""The inequality that cutting teaches buying, in whole numbers.

For any part values v_i >= 0 (integers) let V_s be the most value that one stick of kind s can hold. Then every set of
sticks y from which all parts can be cut satisfies ``sum_s V_s y_s >= sum_i v_i d_i``. V_s comes from an exact integer
knapsack, so the inequality holds whatever floating-point numbers the values were rounded from.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from cutting.fit.fit import Fit
from cutting.fit.instance import Instance

__all__ = ["Inequality", "price_out", "relaxed_bound"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Inequality:
    """``sum(holds[s] * y[s]) >= worth``, valid for every set of sticks that can be cut into all parts.

    Attributes
    ----------
    values : tuple of int
        Part values.
    holds : tuple of int
        V_s, the most value one stick of each kind can hold.
    worth : int
        Value of all parts wanted.
    """

    values: tuple[int, ...]
    holds: tuple[int, ...]
    worth: int

    def allows(self, counts: Sequence[int]) -> bool:
        """Whether these sticks hold enough value."""
        return sum(h * c for h, c in zip(self.holds, counts, strict=True)) >= self.worth


def price_out(instance: Instance, fit: Fit, values: Sequence[int]) -> Inequality:
    """Make the inequality of these part values by exact integer pricing."""
    best = fit.best(values)
    worth = sum(v * d for v, d in zip(values, instance.demands, strict=True))
    return Inequality(values=tuple(values), holds=tuple(best.values), worth=worth)


def relaxed_bound(instance: Instance, inequality: Inequality, scale: float) -> int:
    """Least cost that the inequality alone allows where sticks may be split, in whole units of cost, rounded up.

    For any multiplier m > 0 every allowed set costs at least ``m worth - sum_s max(0, m V_s - c_s) limit_s``; m is the
    reciprocal of `scale` as an exact fraction, so the bound holds whatever rounding made the scale.
    """
    m = 1 / Fraction(scale)
    rents = (
        max(Fraction(0), m * held - cost) * limit
        for held, cost, limit in zip(inequality.holds, instance.costs, instance.limits, strict=True)
    )
    return max(0, ceil(m * inequality.worth - sum(rents)))
