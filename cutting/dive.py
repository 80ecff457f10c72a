"""Packing a bag by diving: round the fractional packing down, generate anew for what remains.

References
----------
Belov, G. & Scheithauer, G. (2006). A branch-and-cut-and-price algorithm for one-dimensional stock
cutting and two-dimensional two-stage cutting. European Journal of Operational Research 171
(residual instances, rounding of their fractional packings).
Sadykov, R. et al. (2019). Primal heuristics for branch and price. INFORMS Journal on Computing 31.
"""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING

from cutting.bag import Stick

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from cutting.bag import Bag
    from cutting.relaxation import Fraction, Relaxation

__all__ = ["dive"]

_WHOLE = 1e-5


def dive(relaxation: Relaxation, bag: Bag, rng: Random, should_stop: Callable[[], bool]) -> tuple[Stick, ...] | None:
    """Round the fractional packing of what remains until nothing remains or it cannot be packed.

    Parameters
    ----------
    relaxation
        Column generation over the whole bag; keeps the columns for the next dive.
    bag
        The bag to pack, a part of the relaxation's.
    rng
        Chooses among the columns to round up where none has a whole part.
    should_stop
        Asked before each pricing.

    Returns
    -------
    tuple of Stick or None
        A packing; None where the dive ended short, which proves nothing.
    """
    taken: list[Stick] = []
    relaxation.work.dives += 1
    while not bag.done:
        fraction = relaxation.solve(bag, should_stop)
        if not fraction.finished or fraction.violated or fraction.left > _WHOLE:
            return None
        chosen = _whole_parts(fraction) or [_rounded_up(fraction, rng)]
        for stick in chosen:
            bag = bag.without(stick.kind, stick.pattern, stick.times)
        taken.extend(chosen)
    return tuple(taken)


def _whole_parts(fraction: Fraction) -> list[Stick]:
    return [
        Stick(kind=kind, pattern=pattern, times=floor(amount + _WHOLE))
        for kind, pattern, amount in fraction.columns
        if amount >= 1 - _WHOLE
    ]


def _rounded_up(fraction: Fraction, rng: Random) -> Stick:
    """Take one stick of a column, the likelier the larger its fraction."""
    weights = [amount**4 for _, _, amount in fraction.columns]
    kind, pattern, _ = rng.choices(fraction.columns, weights)[0]
    return Stick(kind=kind, pattern=pattern, times=1)
