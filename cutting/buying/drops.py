"""What a row of angled parts leaves of a stick whose drop is kept: exactly, and at most as a sum over its parts.

A drop is as long as the order and the poses of the parts leave it, so its worth is no sum over the parts. But no row is
shorter than the sum of what each part takes at least: its length and a share of each gap beside it, such that no joint
needs less than two shares. The buying model counts on that, which makes a plan no dearer than it is; what a row takes
beyond is added where rows are known.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from cutting.answer.load import held
from cutting.buying.angles import row_groups, row_integers
from cutting.buying.costs import Costs
from cutting.buying.places import accepts, sections_of, yards_of
from cutting.buying.ways import ways_of
from cutting.fit.angled.model import has_angles
from cutting.fit.angled.order import RowOrders
from cutting.fit.angled.rows import RowModel
from cutting.fit.knapsack import Pattern
from cutting.question.job import Job

__all__ = ["RowDrops", "drops_of", "row_steps"]


@dataclass(frozen=True, kw_only=True, slots=True)
class RowDrops:
    """The drops behind a section's rows, where they are worth something.

    Attributes
    ----------
    rows : RowModel
        The section.
    shortest : Fraction
        mm, the shortest drop that is worth anything.
    worth : int
        Units of cost that half a unit of the rows' length is worth.
    sizes : tuple of int
        What one piece of each size takes at least, in half units of length.
    ends : int
        What the outer ends of a row and the last cut take at least beside that, in half units; may be below 0.
    """

    rows: RowModel
    shortest: Fraction
    worth: int
    sizes: tuple[int, ...]
    ends: int
    _orders: RowOrders = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_orders", RowOrders(self.rows, tail=True))

    def keeps(self, clear: Fraction, pattern: Pattern) -> bool:
        """Whether the drop behind a row of these parts, on a stick of a clear length (mm), is worth anything."""
        return clear - self._orders.span(pattern) * self.rows.unit >= self.shortest

    def beyond(self, pattern: Pattern) -> int:
        """What the drop behind a row of these parts is worth less than the sum over the parts says."""
        least = sum(self.sizes[size] * pieces for size, pieces in held(pattern))
        return self.worth * (2 * self._orders.span(pattern) - least - self.ends)


def drops_of(rows: RowModel, rate: Fraction, shortest: Fraction, costs: Costs) -> RowDrops:
    """Return the drops of a section whose millimetre is worth `rate`."""
    classes = range(len(rows.classes))
    own = [rows.gaps[face][face] for face in classes]
    lacking = max(own[f] + own[g] - 2 * rows.gaps[f][g] for f in classes for g in classes)
    shares = [each + min(0, -lacking // 2) for each in own]
    first = min(2 * rows.outer[face] - shares[face] for face in classes)
    last = min(2 * rows.behind[face] - shares[face] for face in classes)
    sizes = tuple(2 * item.length + min(shares[f] + shares[g] for f, g in item.edges) for item in rows.items)
    worth = costs.whole(rate * rows.unit / 2)
    return RowDrops(rows=rows, shortest=shortest, worth=worth, sizes=sizes, ends=first + last)


def row_steps(job: Job) -> Iterator[Fraction]:
    """Yield for each section with angled ends the worth of half a unit of its rows' length, at each rate."""
    for section in sections_of(job):
        wanted = [part for part in job.parts if accepts(part, section)]
        sticks = [stick for stick in job.sticks if stick.section.key == section.key]
        found = [way for stick in sticks for way in ways_of(job, stick, yards_of(job))] if has_angles(wanted) else []
        if found:
            unit = row_integers(job, section, row_groups(job, section, wanted), found).rows.unit
            yield from (rate * unit / 2 for rate in sorted({way.rate for way in found}) if rate)
