"""A section with angled ends in a job with yards' terms, as integers: rows on whole sticks and between a yard's marks.

Between two marks parts lie as on a stick of their own, so a row between marks is a row; what it needs of steel is its
span, outer ends included. A stick with m marks holds a set of rows, one for each window, each within the largest there
can be and all together within what the allowances leave.

Taking a part out of a row never makes the row longer, which the proofs rely on where substitutes leave open what is cut
from a section: two kerfs become one, and that outweighs the rounding of gaps as long as the saw's kerf is not below the
step that gaps are rounded to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from cutting.buying.ways import Found, kept_of
from cutting.fit.angled.model import Grouped, gaps_among, group_parts, model_rows, safe_sizes
from cutting.fit.angled.rows import RowModel
from cutting.fit.angled.shape import finest
from cutting.fit.marked.windows import Windows
from cutting.question.job import Job, Part, Section

__all__ = ["RowIntegers", "as_section", "need_alone", "row_groups", "row_integers"]

_GRID = 1 << 38  # capacities this many steps apart stay apart however coarse the automaton's grid is


@dataclass(frozen=True, kw_only=True, slots=True)
class RowIntegers:
    """Integers of a section with angled ends.

    Attributes
    ----------
    rows : RowModel
        For every kind of stick the clear length; of a windowed one a length that holds its windows' rows end to end,
        its own among the kinds.
    sizes, capacities : tuple of int
        Of a plain knapsack whose patterns fit as rows; for a windowed kind of no meaning but its order of magnitude.
    windows : tuple of Windows or None
        For every kind of stick, in the units of `rows`.
    alone : tuple of int
        For each size the clear length it needs alone, in the units of `rows`.
    """

    rows: RowModel
    sizes: tuple[int, ...]
    capacities: tuple[int, ...]
    windows: tuple[Windows | None, ...]
    alone: tuple[int, ...]


def as_section(job: Job, section: Section, marks: Sequence[str]) -> Job:
    """Return the job with these parts alone, each of this section, whichever one it was drawn with."""
    wanted = frozenset(marks)
    parts = [replace(part, section=section) for part in job.parts if part.mark in wanted]
    return replace(job, parts=tuple(parts))


def row_groups(job: Job, section: Section, parts: Sequence[Part]) -> tuple[Grouped, ...]:
    """Group parts that are the same to the saw when cut from this section; the groups hold the job's own parts."""
    originals = {part.mark: part for part in parts}
    groups = group_parts(section, as_section(job, section, list(originals)).parts)
    return tuple(replace(group, parts=tuple(originals[part.mark] for part in group.parts)) for group in groups)


def need_alone(job: Job, section: Section, group: Grouped) -> Fraction:
    """Clear length (mm) that one piece of a group needs alone on a stick."""
    gaps = gaps_among(section, group.parts, job.saw.kerf, finest(job.unit))
    return group.length + gaps.outer(group.faces[0]) + gaps.outer(group.faces[1])


def row_integers(job: Job, section: Section, groups: Sequence[Grouped], found: Sequence[Found]) -> RowIntegers:
    """Build the integers of a section.

    Parameters
    ----------
    job : Job
        The job.
    section : Section
        What everything is cut from.
    groups : sequence of Grouped
        From `row_groups`.
    found : sequence of Found
        Every way to take its sticks.
    """
    here = as_section(job, section, [part.mark for group in groups for part in group.parts])
    lengths: list[Fraction] = []
    for each in found:
        lengths += [*each.windows, kept_of(job, each)] if each.windows else [each.usable]
    rows = model_rows(here, section, groups, lengths)
    rest = list(rows.capacities)
    joint = _joint(rows)
    clear: list[int] = []
    shapes: list[Windows | None] = []
    for each in found:
        count = len(each.windows)
        if count:
            kept = rest[count]
            shapes.append(Windows(caps=tuple(min(cap, kept) for cap in rest[:count]), totals=(kept,) * count))
            clear.append(kept + (count - 1) * joint)
            del rest[: count + 1]
        else:
            shapes.append(None)
            clear.append(rest.pop(0))
    rows = replace(rows, capacities=_apart(clear, shapes))
    sizes, capacities = safe_sizes(rows)
    alone = tuple(
        item.length + min(rows.outer[left] + rows.outer[right] for left, right in item.edges) for item in rows.items
    )
    return RowIntegers(rows=rows, sizes=sizes, capacities=capacities, windows=tuple(shapes), alone=alone)


def _joint(rows: RowModel) -> int:
    """What two rows put end to end need at most beyond both spans."""
    classes = range(len(rows.classes))
    return max(0, *(rows.gaps[f][g] - rows.outer[f] - rows.outer[g] for f in classes for g in classes))


def _apart(clear: Sequence[int], shapes: Sequence[Windows | None]) -> tuple[int, ...]:
    """Give each sort of windows a length that no other kind of stick has, the next one above."""
    step = 1 + max(clear) // _GRID
    taken = {length for length, shape in zip(clear, shapes, strict=True) if shape is None}
    known: dict[Windows, int] = {}
    for length, shape in zip(clear, shapes, strict=True):
        if shape is not None and shape not in known:
            while any(abs(length - other) < step for other in taken):
                length += step  # noqa: PLW2901 - the first free one
            known[shape] = length
            taken.add(length)
    return tuple(length if shape is None else known[shape] for length, shape in zip(clear, shapes, strict=True))
