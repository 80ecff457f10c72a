"""The inequality that cutting teaches buying, in whole numbers.

For any part values v_i >= 0 (integers) let V_s be the most value that one stick of kind s can hold. Then every set of
sticks y from which all parts can be cut satisfies ``sum_s V_s y_s >= sum_i v_i d_i``. V_s comes from an exact integer
knapsack, so the inequality holds whatever floating-point numbers the values were rounded from.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cutting.instance import Instance
from cutting.knapsack import Knapsack

__all__ = ["Inequality", "price_out"]


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


def price_out(instance: Instance, knapsack: Knapsack, values: Sequence[int]) -> Inequality:
    """Make the inequality of these part values by exact integer pricing."""
    best = knapsack.best(values)
    worth = sum(v * d for v, d in zip(values, instance.demands, strict=True))
    return Inequality(values=tuple(values), holds=tuple(best.values), worth=worth)
