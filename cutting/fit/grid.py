"""A coarser whole-number grid on which exactly the same patterns fit.

With a kerf that is no multiple of the parts' grid (2.4 mm and sixteenths of an inch) the common
grid is fine: a 40 ft stick is a million units long.  But the kerf enters only through the number
of pieces, so a pattern of n pieces fits exactly where its lengths alone stay below a bound B(n).
Any kerf and capacity on any grid that give the same B(n) for every n describe the same patterns.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate
from math import gcd
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = ["Grid", "coarsen"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Grid:
    """Part sizes (one kerf included) and stick capacities (one kerf added) in equal units.

    Attributes
    ----------
    sizes : tuple of int
        In the order of the lengths given.
    capacities : tuple of int
        In the order of the usable lengths given; 0 where no part fits.
    """

    sizes: tuple[int, ...]
    capacities: tuple[int, ...]


def coarsen(lengths: Sequence[int], demands: Sequence[int], kerf: int, usable: Sequence[int]) -> Grid:
    """Return the coarsest grid found on which the same patterns fit as on the one given.

    Parameters
    ----------
    lengths
        Length of each part in grid units, each at least 1.
    demands
        Pieces of each part, each at least 1: a pattern never holds more.
    kerf
        Kerf in grid units, at least 0.
    usable
        Usable length of each kind of stick in grid units, at least 0.

    Raises
    ------
    ValueError
        Where there are no parts, or a length, demand, kerf or usable length is out of range.

    Examples
    --------
    Parts in units of 127, a kerf of 192 (2.4 mm with sixteenths of an inch):

    >>> coarsen([127 * 700, 127 * 333], [4, 9], 192, [127 * 7680])
    Grid(sizes=(7717, 3680), capacities=(84497,))
    """
    if not lengths or min(lengths) < 1 or min(demands) < 1 or kerf < 0 or min(usable, default=0) < 0:
        msg = "parts need lengths and demands of at least 1; kerf and sticks cannot be negative"
        raise ValueError(msg)
    unit = gcd(*lengths)
    parts = [length // unit for length in lengths]
    bounds = [_bounds(parts, demands, kerf, unit, stick) for stick in usable]
    most = max((len(bound) for bound in bounds), default=0)
    own = unit // gcd(unit, kerf)
    for scale in range(1, own):
        for width in _widths(scale, kerf, unit, most):
            capacities = _capacities(scale, width, bounds)
            if capacities is not None:
                sizes = tuple(scale * part + width for part in parts)
                return Grid(sizes=sizes, capacities=capacities)
    capacities = _capacities(own, kerf * own // unit, bounds)
    if capacities is None:  # pragma: no cover - on the grid itself every bound holds
        msg = "the grid of the parts and the kerf does not describe its own patterns"
        raise AssertionError(msg)
    return Grid(sizes=tuple(own * part + kerf * own // unit for part in parts), capacities=capacities)


def _bounds(parts: Sequence[int], demands: Sequence[int], kerf: int, unit: int, stick: int) -> list[tuple[int, int]]:
    """Return for 1, 2, ... pieces the range their capacity in parts' units must lie in.

    Each entry is (at least, less than): B(n) and B(n) + 1 where some n parts fit; for the first
    n that cannot, -1 and the least n parts measure.
    """
    shortest: list[int] = []
    for part, demand in sorted(zip(parts, demands, strict=True)):
        # No more pieces of one part fit than the stick holds, so long lists stay short.
        shortest.extend([part] * min(demand, stick // (part * unit) + 1))
        if sum(shortest) * unit > stick:
            break
    bounds = []
    for pieces, least in enumerate(accumulate(shortest), start=1):
        bound = (stick - (pieces - 1) * kerf) // unit
        if bound < least:
            bounds.append((-1, least))
            break
        bounds.append((bound, bound + 1))
    return bounds


def _widths(scale: int, kerf: int, unit: int, most: int) -> range:
    """Return the kerfs on the grid `scale` times as fine as the parts that stay close enough.

    Over `most` pieces the rounding may drift by less than one unit of the parts.
    """
    reach = scale // max(most - 1, 1) + 1
    near = scale * kerf // unit
    return range(max(near - reach, 0), near + reach + 2)


def _capacities(scale: int, width: int, bounds: list[list[tuple[int, int]]]) -> tuple[int, ...] | None:
    """Return capacities with floor((capacity - n width) / scale) = B(n) for all n, if any."""
    capacities = []
    for bound in bounds:
        least, most = 0, None
        for pieces, (low, high) in enumerate(bound, start=1):
            if low >= 0:
                least = max(least, scale * low + width * pieces)
            ceiling = scale * high + width * pieces - 1
            most = ceiling if most is None else min(most, ceiling)
            if least > most:
                return None
        capacities.append(least)
    return tuple(capacities)
