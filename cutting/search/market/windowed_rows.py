"""The search of a section with angled ends some of whose sticks a yard may cut."""

from __future__ import annotations

from collections.abc import Sequence

from cutting.answer.load import Load
from cutting.fit.angled.pricing import Pattern, Rows
from cutting.fit.angled.rows import RowModel
from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.fit.marked.rows import WindowRows, rows_between_marks
from cutting.fit.marked.windows import Windows
from cutting.packing.columns import Columns
from cutting.search.angled.loop import RowRelaxation, RowSearch

__all__ = ["WindowRowSearch"]


class _Relaxation(RowRelaxation):
    """The linear relaxation over rows whose first columns respect windows too."""

    def _seed_columns(self) -> None:
        """Start from the plan made by hand's rule, and for every part one column on each kind that holds it."""
        rows = self.pricer.rows
        for load in _fill(self.instance, rows) or ():
            self.add(load.kind, load.pattern)
        for part in range(len(self.instance.sizes)):
            for kind in range(len(self.instance.limits)):
                pattern = _filled(rows, kind, self.instance.demands, first=part)
                if pattern[part]:
                    self.add(kind, pattern)


class WindowRowSearch(RowSearch):
    """The search of one section with windowed kinds of stick and parts with angled ends.

    Parameters
    ----------
    instance : Instance
        The section, with its rows.
    windows : sequence of Windows or None
        For each kind of stick.
    seed : int
        For every random choice.
    clock : Clock
        Ends the search.
    """

    def __init__(self, instance: Instance, windows: Sequence[Windows | None], *, seed: int, clock: Clock) -> None:
        self.windows = tuple(windows)
        super().__init__(instance, seed=seed, clock=clock)

    def _known_rows(self, model: RowModel) -> WindowRows:
        return rows_between_marks(model, self.windows)

    def _relaxed(self, instance: Instance, *, fit: bool) -> Columns:
        return _Relaxation(instance, self._pricer(), fit=fit)

    def _by_hand(self, instance: Instance, begun: Sequence[Load] = ()) -> tuple[Load, ...] | None:
        return _fill(instance, self.rows, begun)


def _fill(instance: Instance, rows: Rows, begun: Sequence[Load] = ()) -> tuple[Load, ...] | None:
    """Plan by hand's rule, loads begun kept; None where the limited sticks ran out."""
    left, limits = list(instance.demands), list(instance.limits)
    loads = list(begun)
    for load in loads:
        limits[load.kind] -= load.times
        left = [d - n * load.times for d, n in zip(left, load.pattern, strict=True)]
    while any(left):
        best: tuple[float, int, Pattern] | None = None
        for kind, limit in enumerate(limits):
            pattern = _filled(rows, kind, left) if limit else ()
            held = sum(size * n for size, n in zip(instance.sizes, pattern, strict=False))
            if held and (best is None or instance.costs[kind] / held < best[0]):
                best = (instance.costs[kind] / held, kind, pattern)
        if best is None:
            return None
        _, kind, pattern = best
        times = min(limits[kind], *(d // n for d, n in zip(left, pattern, strict=True) if n))
        loads.append(Load(kind=kind, pattern=pattern, times=times))
        limits[kind] -= times
        left = [d - n * times for d, n in zip(left, pattern, strict=True)]
    return tuple(loads)


def _filled(rows: Rows, kind: int, left: Sequence[int], first: int = 0) -> Pattern:
    """Fill one stick: one part, then in the order of sizes whatever still fits."""
    capacity = rows.automaton.capacities[kind]
    pattern: Pattern = (0,) * len(left)
    for part in (first, *range(len(left))):
        while pattern[part] < left[part]:
            trial = (*pattern[:part], pattern[part] + 1, *pattern[part + 1 :])
            if not rows.fits(trial, capacity):
                break
            pattern = trial
    return pattern
