"""A section whose parts have angled ends as integers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from cutting.fit.angled.gaps import Gaps
from cutting.fit.angled.outline import corners_of
from cutting.fit.angled.poses import poses_of
from cutting.fit.angled.rows import Faces, RowModel, build_rows
from cutting.fit.angled.shape import depth_at, faces_of, finest
from cutting.question.job import Job, Part, Section

__all__ = ["Grouped", "gaps_among", "gaps_of", "group_parts", "has_angles", "model_rows", "safe_sizes"]

_ROUND = frozenset({"chs", "pipe", "round"})


def has_angles(parts: Sequence[Part]) -> bool:
    """Whether any of these parts has an end that isn't square."""
    return any(part.ends is not None and any(part.ends.angles) for part in parts)


def depths_of(section: Section, parts: Sequence[Part]) -> tuple[Fraction, Fraction]:
    """Size of the section along its two sides in mm, as far as any angled end needs it (0 where none does)."""
    depths = [Fraction(0), Fraction(0)]
    for part in parts:
        if part.ends is not None:
            for end in (0, 1):
                if part.ends.angles[end]:
                    depths[part.ends.planes[end]] = depth_at(section, part.ends, end)
    if section.sides and poses_of(section)[1:]:
        return section.sides[0], section.sides[1]  # a roll may bring any side into any plane
    return depths[0], depths[1]


def gaps_of(job: Job, section: Section) -> Gaps:
    """Gap arithmetic of one section of a job."""
    parts = [part for part in job.parts if part.section.key == section.key]
    return gaps_among(section, parts, job.saw.kerf, finest(job.unit))


def gaps_among(section: Section, parts: Sequence[Part], kerf: Fraction, step: Fraction) -> Gaps:
    """Gap arithmetic of parts of one section, for a kerf and a step to round to (mm)."""
    depths = depths_of(section, parts)
    return Gaps(
        depths=depths,
        kerf=kerf,
        step=step,
        corners=corners_of(section, depths),
        is_round=section.family in _ROUND,
        is_tee=section.family == "tee",
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Grouped:
    """Parts that are the same to the saw: equal length and, in some pose, equal ends.

    Attributes
    ----------
    length : Fraction
        Stated length, mm.
    faces : tuple of Face
        Left and right face as the first of them was described.
    parts : tuple of Part
        The job's lines.
    """

    length: Fraction
    faces: Faces
    parts: tuple[Part, ...]


def group_parts(section: Section, parts: Sequence[Part]) -> tuple[Grouped, ...]:
    """Group the parts of one section, longest first."""
    poses = poses_of(section)
    groups: dict[tuple[Fraction, tuple[Faces, ...]], list[Part]] = {}
    for part in parts:
        faces = faces_of(part)
        lying = sorted({pose.faces(faces) for pose in poses}, key=_order)
        groups.setdefault((part.length, tuple(lying)), []).append(part)
    grouped = [
        Grouped(length=length, faces=faces_of(some[0]), parts=tuple(some)) for (length, _), some in groups.items()
    ]
    return tuple(sorted(grouped, key=lambda group: -group.length))


def _order(faces: Faces) -> tuple[tuple[int, Fraction, str], ...]:
    return tuple((face.plane, face.lean, face.measure.value) for face in faces)


def model_rows(job: Job, section: Section, groups: Sequence[Grouped], clear: Sequence[Fraction]) -> RowModel:
    """Build the integers of a section from its groups of parts and the clear lengths of its kinds of stick."""
    return build_rows(
        [(group.length, group.faces) for group in groups], clear, gaps_of(job, section), poses_of(section)
    )


def safe_sizes(rows: RowModel) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Sizes and capacities of a plain knapsack all of whose patterns fit as rows, in half units of the grid.

    Every face counts with a share such that no joint needs more than two shares.
    """
    count = range(len(rows.classes))
    shares = [rows.gaps[f][f] for f in count]
    square = next((f for f in count if rows.classes[f].square), None)
    if square is not None:
        shares = [2 * rows.gaps[f][square] - shares[square] for f in count]
    lacking = max((2 * rows.gaps[f][g] - shares[f] - shares[g] for f in count for g in count), default=0)
    shares = [share + max(0, -(-lacking // 2)) for share in shares]
    outer = max(
        (2 * rows.outer[f] - shares[f] for f in count), default=0
    )  # beyond the share that an outer end needs not
    sizes = tuple(
        2 * item.length + max(shares[left] + shares[right] for left, right in item.edges) for item in rows.items
    )
    return sizes, tuple(max(1, 2 * capacity - 2 * outer) for capacity in rows.capacities)
