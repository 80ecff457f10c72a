"""Packing a bag by diving: round the fractional packing down, generate anew for what remains.

References
----------
Belov, G. & Scheithauer, G. (2006). A branch-and-cut-and-price algorithm for one-dimensional stock
cutting and two-dimensional two-stage cutting. European Journal of Operational Research 171
(residual instances, rounding of their fractional packings).
Sadykov, R. et al. (2019). Primal heuristics for branch and price. INFORMS Journal on Computing 31.
"""

from __future__ import annotations

from collections.abc import Callable
from math import floor
from random import Random

from cutting.answer.load import Load
from cutting.packing.bag import Bag
from cutting.packing.listing import Reach, settle
from cutting.packing.mixing import Mixing, Mixture

__all__ = ["dive"]

_WHOLE = 1e-5
_FINISH = (30, 80)  # a failed dive is taken up again where so many pieces were left
_FINISH_REACH = Reach(patterns=1_500, nodes=200)
_NARROW = 0.75  # share of the parts still wanted at which a smaller linear program pays


def dive(
    mixing: Mixing,
    bag: Bag,
    rng: Random,
    should_stop: Callable[[], bool],
    seconds_left: Callable[[], float],
) -> tuple[Load, ...] | None:
    """Round the fractional packing of what remains until nothing remains or it cannot be packed.

    Parameters
    ----------
    mixing
        Column generation over the whole bag; keeps the columns for the next dive.
    bag
        The bag to pack, the mixing's or a part of it.
    rng
        Chooses among the columns to round up where none has a whole part.
    should_stop
        Asked before each pricing.
    seconds_left
        Limit for the solver that cannot be interrupted.

    Returns
    -------
    tuple of Load or None
        A packing; None where the dive ended short, which proves nothing.
    """
    mixing.work.dives += 1
    return _Dive(mixing, bag, rng, should_stop, seconds_left).run()


class _Dive:
    """One dive: what is left, the (ever smaller) linear program for it, and the way down."""

    def __init__(
        self,
        mixing: Mixing,
        bag: Bag,
        rng: Random,
        should_stop: Callable[[], bool],
        seconds_left: Callable[[], float],
    ) -> None:
        self.mixing = mixing
        self.whole = bag
        self.bag = bag
        self.rng = rng
        self.should_stop = should_stop
        self.seconds_left = seconds_left
        self.parts = tuple(range(len(bag.sizes)))
        self.taken: list[Load] = []
        self.trail: list[tuple[Mixing, Bag, tuple[int, ...], int]] = []

    def run(self) -> tuple[Load, ...] | None:
        while not self.bag.done:
            if sum(demand > 0 for demand in self.bag.demands) <= _NARROW * len(self.bag.demands):
                self._narrow()
            mixture = self.mixing.solve(self.bag, self.should_stop)
            if not mixture.finished:
                return None
            if mixture.violated or mixture.left > _WHOLE:
                return self._finish()
            self.trail.append((self.mixing, self.bag, self.parts, len(self.taken)))
            for stick in _whole_parts(mixture) or [_rounded_up(mixture, self.rng)]:
                self._take(stick)
        return tuple(self.taken)

    def _narrow(self) -> None:
        """Go on with a smaller linear program: one with dead rows solves much slower."""
        self.mixing, self.bag, parts = self.mixing.narrowed(self.bag)
        self.parts = tuple(self.parts[part] for part in parts)

    def _take(self, stick: Load) -> None:
        self.bag = self.bag.without(stick.kind, stick.pattern, stick.times)
        self.taken.append(self._widened(stick))

    def _widened(self, stick: Load) -> Load:
        """Return the stick with its pattern over all parts of the whole bag."""
        wide = [0] * len(self.whole.sizes)
        for part, pieces in zip(self.parts, stick.pattern, strict=True):
            wide[part] = pieces
        return Load(kind=stick.kind, pattern=tuple(wide), times=stick.times)

    def _finish(self) -> tuple[Load, ...] | None:
        """Go back up to where some pieces were left and settle that remainder by listing."""
        for pieces in _FINISH:
            back = [entry for entry in self.trail if sum(entry[1].demands) >= pieces]
            if not back or self.should_stop():
                return None
            self.mixing, self.bag, self.parts, kept = back[-1]
            if sum(self.bag.demands) > 3 * pieces:
                continue
            self._narrow()
            found = settle(self.mixing, self.bag, _FINISH_REACH, self.should_stop, self.seconds_left).choice.sticks
            if found is not None:
                del self.taken[kept:]
                return (*self.taken, *(self._widened(stick) for stick in found))
        return None


def _whole_parts(mixture: Mixture) -> list[Load]:
    return [
        Load(kind=kind, pattern=pattern, times=floor(amount + _WHOLE))
        for kind, pattern, amount in mixture.columns
        if amount >= 1 - _WHOLE
    ]


def _rounded_up(mixture: Mixture, rng: Random) -> Load:
    """Take one stick of a column, the likelier the larger its fraction."""
    weights = [amount**4 for _, _, amount in mixture.columns]
    kind, pattern, _ = rng.choices(mixture.columns, weights)[0]
    return Load(kind=kind, pattern=pattern, times=1)
