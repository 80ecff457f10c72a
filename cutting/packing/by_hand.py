"""A first plan at once: stick after stick, longest part first, from whichever kind is cheapest for what it holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from operator import mul

from cutting.answer.load import Load
from cutting.fit.fit import Fit, Pattern
from cutting.fit.instance import Instance

__all__ = ["fill_by_hand"]


def fill_by_hand(instance: Instance, fit: Fit, begun: Iterable[Load] = ()) -> tuple[Load, ...] | None:
    """Plan by hand's rule.

    Parameters
    ----------
    instance : Instance
        The section.
    fit : Fit
        What its parts do on its sticks.
    begun : iterable of Load
        Loads to keep as they are; they must not exceed demands or limits.

    Returns
    -------
    tuple of Load or None
        None where the limited sticks ran out; that proves nothing.
    """
    left, sticks = list(instance.demands), list(instance.limits)
    loads: list[Load] = []

    def take(load: Load) -> None:
        loads.append(load)
        sticks[load.kind] -= load.times
        for part, pieces in enumerate(load.pattern):
            if pieces:
                left[part] -= pieces * load.times

    for load in begun:
        take(load)
    while any(left):
        found = _cheapest(instance, fit, left, sticks)
        if found is None:
            return None
        kind, pattern = found
        times = min(sticks[kind], *(left[part] // pieces for part, pieces in enumerate(pattern) if pieces))
        take(Load(kind=kind, pattern=pattern, times=times))
    return tuple(loads)


def _cheapest(instance: Instance, fit: Fit, left: Sequence[int], sticks: Sequence[int]) -> tuple[int, Pattern] | None:
    """The kind whose stick costs least per length it holds of what is left."""
    best: tuple[float, int] | None = None
    chosen: tuple[int, Pattern] | None = None
    known: dict[object, tuple[Pattern, int]] = {}
    for kind, available in enumerate(sticks):
        if not available:
            continue
        alike = fit.alike(kind)
        if alike not in known:
            pattern = fit.filled(kind, left)
            known[alike] = (pattern, sum(map(mul, instance.sizes, pattern)))
        pattern, held = known[alike]
        rank = (instance.costs[kind] / max(held, 1), -held)
        if held and (best is None or rank < best):
            best, chosen = rank, (kind, pattern)
    return chosen
