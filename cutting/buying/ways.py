"""The ways to take a stick: whole, with its drop kept, or cut by the yard so often; and all of them on one grid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from cutting.buying.objective import on_grid
from cutting.buying.rules.leftovers import keep_rate
from cutting.buying.rules.trips import reach_of
from cutting.fit.grid import coarsen
from cutting.fit.marked.windows import Windows, window_lengths
from cutting.question.job import Job, Source, Stick
from cutting.question.yards import Yard

__all__ = ["Found", "integers", "kept_of", "ways_of"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """One way to take a stick, in mm: yard cuts, largest windows, and the rate at which its drop is worth something."""

    stick: Stick
    cuts: int = 0
    windows: tuple[Fraction, ...] = ()
    only_delivered: bool = False
    rate: Fraction = Fraction(0)
    usable: Fraction

    @property
    def longest(self) -> Fraction:
        """The longest part it can hold by itself."""
        return max(self.windows) if self.windows else self.usable


def ways_of(job: Job, stick: Stick, yards: dict[str, Yard]) -> list[Found]:
    """List the ways to take a stick."""
    yard = None if stick.source is Source.OWN else yards[stick.yard]
    reach = None if yard is None else reach_of(job, stick)
    carried = reach is None or stick.length <= reach
    ways: list[Found] = []
    if yard is None or (carried and yard.collecting is not None) or yard.delivery is not None:
        ways.append(Found(stick=stick, only_delivered=not carried, usable=stick.clear))
        rate = keep_rate(job, stick)
        if rate and job.keep_value is not None:
            # The drop is at least the shortest worth keeping exactly where so much is left free, its own cut included.
            usable = stick.clear - job.keep_value.shortest - job.saw.kerf
            ways.append(Found(stick=stick, only_delivered=not carried, usable=usable, rate=rate))
    if carried or yard is None or yard.collecting is None or yard.cuts is None or reach is None:
        return ways
    least = ceil(stick.length / reach) - 1
    for cuts in (least, least + 1):
        windows = window_lengths(stick, cuts=cuts, reach=reach, allowance=yard.cuts.allowance)
        if windows is not None:
            ways.append(Found(stick=stick, cuts=cuts, windows=windows, usable=stick.clear))
    return ways


def kept_of(job: Job, found: Found) -> Fraction:
    """Clear length (mm) that a yard's cuts leave of a stick."""
    yard = next(yard for yard in job.yards if yard.name == found.stick.yard)
    assert yard.cuts is not None
    return found.stick.clear - found.cuts * yard.cuts.allowance


def integers(
    job: Job, lengths: Sequence[Fraction], demands: Sequence[int], found: Sequence[Found]
) -> tuple[tuple[int, ...], tuple[int, ...], list[Windows | None]]:
    """Put sizes, capacities and windows on one grid on which the same patterns fit."""
    usable: list[Fraction] = []
    for each in found:
        if not each.windows:
            usable.append(each.usable)
            continue
        kept = kept_of(job, each)
        usable += each.windows
        usable += [kept + filled * job.saw.kerf for filled in range(each.cuts + 1)]
    _, units = on_grid([job.saw.kerf, *lengths, *usable])
    grid = coarsen(units[1 : len(lengths) + 1], demands, units[0], units[len(lengths) + 1 :])
    rest = list(grid.capacities)
    capacities: list[int] = []
    shapes: list[Windows | None] = []
    for each in found:
        count = len(each.windows)
        if not count:
            capacities.append(rest.pop(0))
            shapes.append(None)
            continue
        shape = Windows(caps=tuple(rest[:count]), totals=tuple(rest[count : 2 * count]))
        del rest[: 2 * count]
        capacities.append(min(shape.totals[-1], sum(shape.caps)))
        shapes.append(shape)
    return grid.sizes, tuple(capacities), shapes
