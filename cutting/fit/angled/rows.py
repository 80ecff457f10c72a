"""A section with angled ends as integers: parts as edges between classes of faces, gaps between the classes.

Faces that a roll of the rest of the stick takes into each other need not be told apart: rolling everything behind a
joint changes nothing else, so the gap between two classes is the least over those rolls.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from cutting.fit.angled.gaps import Gaps
from cutting.fit.angled.poses import Pose
from cutting.fit.angled.shape import Face

__all__ = ["Edge", "Faces", "RowItem", "RowModel", "build_rows"]

Edge = tuple[int, int]
Faces = tuple[Face, Face]


@dataclass(frozen=True, kw_only=True, slots=True)
class RowItem:
    """One kind of part.

    Attributes
    ----------
    length : int
        Stated length.
    edges : tuple of Edge
        Classes of its left and right face, in every pose that makes a difference.
    """

    length: int
    edges: tuple[Edge, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class RowModel:
    """All integers of a section whose parts have angled ends.

    Attributes
    ----------
    unit : Fraction
        mm of one integer unit.
    classes : tuple of Face
        One face of each class.
    items : tuple of RowItem
        Kinds of part.
    gaps : tuple of tuple of int
        ``gaps[f][g]``: least gap where a part ends with class f and the next begins with class g (may be below 0, as
        lengths may be measured between long points).
    outer : tuple of int
        What a face of each class costs at either end of the row.
    rolls : tuple of Pose
        The rolls of the section's symmetry.
    behind : tuple of int
        From a last face of each class to the shorter side of the drop behind it.
    capacities : tuple of int
        Clear length of each kind of stick.
    """

    unit: Fraction
    classes: tuple[Face, ...]
    items: tuple[RowItem, ...]
    gaps: tuple[tuple[int, ...], ...]
    outer: tuple[int, ...]
    behind: tuple[int, ...]
    capacities: tuple[int, ...]
    rolls: tuple[Pose, ...]


def build_rows(
    parts: Sequence[tuple[Fraction, Faces]], capacities: Sequence[Fraction], gaps: Gaps, poses: Sequence[Pose]
) -> RowModel:
    """Build the integers.

    Parameters
    ----------
    parts : sequence of (Fraction, (Face, Face))
        Stated length and faces of each kind of part.
    capacities : sequence of Fraction
        Clear length of each kind of stick, mm.
    gaps : Gaps
        Gap arithmetic of section and saw.
    poses : sequence of Pose
        How a part may lie.
    """
    rolls = [pose for pose in poses if not pose.turned]
    classes: dict[tuple[tuple[int, Fraction, str], ...], int] = {}
    members: list[Face] = []
    known: dict[Face, int] = {}

    def number(face: Face) -> int:
        if face not in known:
            key = tuple(sorted({_plain(roll.face(face)) for roll in rolls}))
            if key not in classes:
                classes[key] = len(members)
                members.append(face)
            known[face] = classes[key]
        return known[face]

    edges = [_edges(faces, poses, number) for _, faces in parts]
    table = [[min(gaps.between(f, roll.face(g)) for roll in rolls) for g in members] for f in members]
    outer = [gaps.outer(face) for face in members]
    behind = [gaps.behind(face) for face in members]
    lengths = [length for length, _ in parts]
    unit = _grid([*lengths, *capacities, *outer, *behind, *(gap for row in table for gap in row)])
    return RowModel(
        unit=unit,
        classes=tuple(members),
        items=tuple(RowItem(length=int(n / unit), edges=e) for n, e in zip(lengths, edges, strict=True)),
        gaps=tuple(tuple(int(gap / unit) for gap in row) for row in table),
        outer=tuple(int(amount / unit) for amount in outer),
        behind=tuple(int(amount / unit) for amount in behind),
        capacities=tuple(int(length / unit) for length in capacities),
        rolls=tuple(rolls),
    )


def _plain(face: Face) -> tuple[int, Fraction, str]:
    return face.plane, face.lean, face.measure.value


def _edges(faces: Faces, poses: Sequence[Pose], number: Callable[[Face], int]) -> tuple[Edge, ...]:
    found: dict[Edge, None] = {}
    for pose in poses:
        left, right = pose.faces(faces)
        found[(number(left), number(right))] = None
    return tuple(found)


def _grid(values: Sequence[Fraction]) -> Fraction:
    """Coarsest grid that holds every value."""
    denominator = lcm(*(value.denominator for value in values))
    return Fraction(gcd(*(int(value * denominator) for value in values)) or 1, denominator)
