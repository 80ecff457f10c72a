"""A first plan at once: stick after stick, longest part first, from whichever kind is cheapest for what it holds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from cutting.answer.load import Load, held
from cutting.fit.fit import Fit, Pattern
from cutting.fit.instance import Instance

__all__ = ["fill_by_hand"]

Held = list[tuple[int, int]]


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

    def take(load: Load, pieces: Held) -> None:
        loads.append(load)
        sticks[load.kind] -= load.times
        for part, count in pieces:
            left[part] -= count * load.times

    for load in begun:
        take(load, held(load.pattern))
    while any(left):
        found = _cheapest(instance, fit, left, sticks)
        if found is None:
            return None
        kind, pattern, pieces = found
        times = min(sticks[kind], *(left[part] // count for part, count in pieces))
        take(Load(kind=kind, pattern=pattern, times=times), pieces)
    return tuple(loads)


def _cheapest(
    instance: Instance, fit: Fit, left: Sequence[int], sticks: Sequence[int]
) -> tuple[int, Pattern, Held] | None:
    """The kind whose stick costs least per length it holds of what is left."""
    best: tuple[float, int] | None = None
    chosen: tuple[int, Pattern, Held] | None = None
    known: dict[object, tuple[Pattern, Held, int]] = {}
    for kind, available in enumerate(sticks):
        if not available:
            continue
        alike = fit.alike(kind)
        if alike not in known:
            pattern = fit.filled(kind, left)
            pieces = held(pattern)
            known[alike] = (pattern, pieces, sum(instance.sizes[part] * count for part, count in pieces))
        pattern, pieces, length = known[alike]
        rank = (instance.costs[kind] / max(length, 1), -length)
        if length and (best is None or rank < best):
            best, chosen = rank, (kind, pattern, pieces)
    return chosen
