"""Whether what a job leaves unsaid about a part's ends would make it another part."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

from cutting.fit.angled.poses import poses_of
from cutting.fit.angled.rows import Faces
from cutting.fit.angled.shape import faces_of
from cutting.question.job import Ends, Part, Section

__all__ = ["edge_matters", "plane_matters"]


def _one_part(part: Part, ways: list[Ends]) -> bool:
    """Whether all these descriptions are one and the same part, lying in different poses."""
    poses = poses_of(part.section)
    images: set[frozenset[Faces]] = set()
    for ends in ways:
        faces = faces_of(replace(part, ends=ends))
        images.add(frozenset(pose.faces(faces) for pose in poses))
    return len(images) == 1


def _toward(ends: Ends) -> list[Ends]:
    return [replace(ends, toward=(first, second)) for first, second in product((1, -1), repeat=2)]


def edge_matters(part: Part) -> bool:
    """Whether it makes another part to which edge the long points lie, its planes and lean being given."""
    return part.ends is not None and not _one_part(part, _toward(part.ends))


def plane_matters(part: Part) -> bool:
    """Whether it makes another part which side of the section lies in the plane of the cut."""
    if part.ends is None:
        return False
    section: Section = part.section
    if section.sides and section.sides[0] != section.sides[1]:
        return True
    first, second = part.ends.planes
    swapped = replace(part.ends, planes=(1 - first, 1 - second))
    return not _one_part(part, [*_toward(part.ends), *_toward(swapped)]) and _apart(part, swapped)


def _apart(part: Part, swapped: Ends) -> bool:
    """Whether no choice of edges in one plane is the same part as some choice in the other."""
    poses = poses_of(part.section)

    def images(ends: Ends) -> set[frozenset[Faces]]:
        return {frozenset(pose.faces(faces_of(replace(part, ends=way))) for pose in poses) for way in _toward(ends)}

    assert part.ends is not None
    return images(part.ends) != images(swapped)
