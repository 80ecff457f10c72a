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

from cutting.packing.bag import Stick
from cutting.packing.listing import Effort, settle

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from cutting.packing.bag import Bag
    from cutting.packing.relaxation import Mixture, Relaxation

__all__ = ["dive"]

_WHOLE = 1e-5
_FINISH = (30, 80)  # a failed dive is taken up again where so many pieces were left
_FINISH_EFFORT = Effort(patterns=1_500, nodes=200)
_NARROW = 0.75  # share of the parts still wanted at which a smaller linear program pays


def dive(
    relaxation: Relaxation,
    bag: Bag,
    rng: Random,
    should_stop: Callable[[], bool],
    seconds_left: Callable[[], float],
) -> tuple[Stick, ...] | None:
    """Round the fractional packing of what remains until nothing remains or it cannot be packed.

    Parameters
    ----------
    relaxation
        Column generation over the whole bag; keeps the columns for the next dive.
    bag
        The bag to pack, the relaxation's or a part of it.
    rng
        Chooses among the columns to round up where none has a whole part.
    should_stop
        Asked before each pricing.
    seconds_left
        Limit for the solver that cannot be interrupted.

    Returns
    -------
    tuple of Stick or None
        A packing; None where the dive ended short, which proves nothing.
    """
    relaxation.work.dives += 1
    return _Dive(relaxation, bag, rng, should_stop, seconds_left).run()


class _Dive:
    """One dive: what is left, the (ever smaller) linear program for it, and the way down."""

    def __init__(
        self,
        relaxation: Relaxation,
        bag: Bag,
        rng: Random,
        should_stop: Callable[[], bool],
        seconds_left: Callable[[], float],
    ) -> None:
        self.relaxation = relaxation
        self.whole = bag
        self.bag = bag
        self.rng = rng
        self.should_stop = should_stop
        self.seconds_left = seconds_left
        self.parts = tuple(range(len(bag.sizes)))
        self.taken: list[Stick] = []
        self.trail: list[tuple[Relaxation, Bag, tuple[int, ...], int]] = []

    def run(self) -> tuple[Stick, ...] | None:
        while not self.bag.done:
            if sum(demand > 0 for demand in self.bag.demands) <= _NARROW * len(self.bag.demands):
                self._narrow()
            fraction = self.relaxation.solve(self.bag, self.should_stop)
            if not fraction.finished:
                return None
            if fraction.violated or fraction.left > _WHOLE:
                return self._finish()
            self.trail.append((self.relaxation, self.bag, self.parts, len(self.taken)))
            for stick in _whole_parts(fraction) or [_rounded_up(fraction, self.rng)]:
                self._take(stick)
        return tuple(self.taken)

    def _narrow(self) -> None:
        """Go on with a smaller linear program: one with dead rows solves much slower."""
        self.relaxation, self.bag, parts = self.relaxation.narrowed(self.bag)
        self.parts = tuple(self.parts[part] for part in parts)

    def _take(self, stick: Stick) -> None:
        self.bag = self.bag.without(stick.kind, stick.pattern, stick.times)
        self.taken.append(self._widened(stick))

    def _widened(self, stick: Stick) -> Stick:
        """Return the stick with its pattern over all parts of the whole bag."""
        wide = [0] * len(self.whole.sizes)
        for part, pieces in zip(self.parts, stick.pattern, strict=True):
            wide[part] = pieces
        return Stick(kind=stick.kind, pattern=tuple(wide), times=stick.times)

    def _finish(self) -> tuple[Stick, ...] | None:
        """Go back up to where some pieces were left and settle that remainder by listing."""
        for pieces in _FINISH:
            back = [entry for entry in self.trail if sum(entry[1].demands) >= pieces]
            if not back or self.should_stop():
                return None
            self.relaxation, self.bag, self.parts, kept = back[-1]
            if sum(self.bag.demands) > 3 * pieces:
                continue
            self._narrow()
            found = settle(self.relaxation, self.bag, _FINISH_EFFORT, self.should_stop, self.seconds_left).choice.sticks
            if found is not None:
                del self.taken[kept:]
                return (*self.taken, *(self._widened(stick) for stick in found))
        return None


def _whole_parts(fraction: Mixture) -> list[Stick]:
    return [
        Stick(kind=kind, pattern=pattern, times=floor(amount + _WHOLE))
        for kind, pattern, amount in fraction.columns
        if amount >= 1 - _WHOLE
    ]


def _rounded_up(fraction: Mixture, rng: Random) -> Stick:
    """Take one stick of a column, the likelier the larger its fraction."""
    weights = [amount**4 for _, _, amount in fraction.columns]
    kind, pattern, _ = rng.choices(fraction.columns, weights)[0]
    return Stick(kind=kind, pattern=pattern, times=1)
