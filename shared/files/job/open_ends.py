"""Put the ends of a part together from what its line states, and ask what is open about them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from cutting.laying.angled.hands import edge_matters, plane_matters
from cutting.question.errors import LengthError
from cutting.question.job import Ends, Lean, Part, Section
from cutting.question.lengths import Unit, parse_length
from cutting.question.problems import Problem
from shared.files.job.ends import EDGES, NUMBERED, side_names

__all__ = ["make_ends"]

_NO_OUTLINE: Final = frozenset({"hex"})
"""Families whose outline the search for angled cuts doesn't know; a box around it would claim what isn't so."""


class _Asking:
    """Puts the ends of one part together and collects what is open."""

    def __init__(self, part: Part, stated: Any, where: str, unit: Unit) -> None:
        self.part = part
        self.stated = stated
        self.where = where
        self.unit = unit
        self.problems: list[Problem] = []

    def ask(self, field: str, message: str, text: str = "") -> None:
        self.problems.append(Problem(where=f"{self.where}.{field}", text=text, message=message))

    def ends(self) -> Ends | None:
        stated = self.stated
        if stated.ends is None or not any(stated.ends):
            self._unneeded()
            return None
        if self.part.section.family in _NO_OUTLINE:
            self.ask(
                "ends", f"{self.part.section.label} is cut square only: how its corners lie in the saw is not known"
            )
            return None
        if stated.measured is None:
            self.ask("measured", 'missing; write measured = "long point", "short point" or "centre line"')
        depths = self._depths()
        planes = self._planes()
        edges = [EDGES[text] for text in stated.long_points or ()]
        if planes is None and edges:
            planes = (edges[0][0], edges[-1][0])
        lean = self._lean(planes, edges)
        if self.problems:
            return None
        ends = Ends(
            angles=stated.ends,
            lean=lean,
            measure=stated.measured,
            planes=planes or (0, 0),
            toward=(edges[0][1], edges[-1][1]) if edges else (1, 1),
            depths=depths,
        )
        self._open(ends, edges, knows_planes=planes is not None)
        return None if self.problems else ends

    def _unneeded(self) -> None:
        for field in ("lean", "measured", "plane", "long_points", "depth"):
            if getattr(self.stated, field) is not None:
                self.ask(field, 'both ends are square; write ends = ["45", "45"] or leave this out')

    def _depths(self) -> tuple[Fraction, Fraction] | None:
        section = self.part.section
        if section.sides:
            if self.stated.depth is not None:
                self.ask("depth", f"the size of {section.label} is known; leave this out and write plane if it has two")
            return None
        if self.stated.depth is None:
            self.ask(
                "depth", f"the size of {section.label} is not known; write depth, its size in the plane of the cut"
            )
            return None
        return self.stated.depth, self.stated.depth

    def _planes(self) -> tuple[int, int] | None:
        if self.stated.plane is None:
            return None
        names = side_names(self.part.section, self.unit)
        found = [self._plane(text, names) for text in self.stated.plane]
        return None if None in found else (found[0], found[-1])  # type: ignore[return-value]

    def _plane(self, text: str, names: tuple[str, str]) -> int | None:
        for known in (names, NUMBERED):
            if text in known:
                return known.index(text)
        sides = self.part.section.sides
        try:
            size = parse_length(text, self.unit)
        except LengthError:
            size = None
        if size is not None and size in sides and len(set(sides)) > 1:
            return sides.index(size)
        self.ask("plane", f"write which side lies in the plane of the cut: {names[0]} or {names[1]}", text)
        return None

    def _lean(self, planes: tuple[int, int] | None, edges: Sequence[tuple[int, int]]) -> Lean:
        """Settle how the ends lean; needed where both are angled in one plane."""
        lean: Lean | None = self.stated.lean
        one_plane = planes is None or planes[0] == planes[1]
        if not all(self.stated.ends) or not one_plane:
            return lean or Lean.OPPOSED
        if len(edges) > 1:
            told = Lean.OPPOSED if edges[0] == edges[1] else Lean.PARALLEL
            if lean is not None and lean is not told:
                self.ask("lean", f"long_points says that the ends lean {told.value}; keep one of the two", lean.value)
            return told
        if lean is None:
            self.ask("lean", 'missing; write lean = "opposed" (a trapezoid, the usual frame corner) or "parallel"')
        return lean or Lean.OPPOSED

    def _open(self, ends: Ends, edges: Sequence[tuple[int, int]], *, knows_planes: bool) -> None:
        """Ask what would make it another part."""
        part = replace(self.part, ends=ends)
        names = side_names(part.section, self.unit)
        if not knows_planes and plane_matters(part):
            self.ask("plane", f'which side lies in the plane of the cut? Write plane = "{names[0]}" or "{names[1]}"')
            return
        for end, (plane, _) in enumerate((edges[0], edges[-1]) if edges else ()):
            if ends.angles[end] and plane != ends.planes[end]:
                self.ask("long_points", f"that edge doesn't lie in the plane of the cut ({names[ends.planes[end]]})")
                return
        if edges and all(ends.angles) and ends.planes[0] != ends.planes[1] and len(edges) == 1:
            edges = ()
        if not edges and edge_matters(part):
            self.ask("long_points", _edge_question(part.section, ends))


def _edge_question(section: Section, ends: Ends) -> str:
    letter = {"angle": "an L", "channel": "a C", "tee": "a T", "beam": "an I"}.get(section.family)
    seen = f"so that it reads as {letter}" if letter else "its first side upright"
    words = [("top", "bottom") if plane == 0 else ("right", "left") for plane in ends.planes]
    if all(ends.angles) and ends.planes[0] != ends.planes[1]:
        example = f'["{words[0][0]}", "{words[1][0]}"], and so on for {words[0][1]} and {words[1][1]}'
    else:
        pair = words[0] if ends.angles[0] else words[1]
        example = f'"{pair[0]}" or "{pair[1]}"'
    return (
        f"left- and right-handed parts differ here: seen along the part from its first end, the section turned {seen}, "
        f"where do the long points lie? Write long_points = {example}"
    )


def make_ends(part: Part, stated: Any, where: str, unit: Unit) -> tuple[Ends | None, tuple[Problem, ...]]:
    """Make the ends of a part from what its line states.

    Parameters
    ----------
    part : Part
        The part, as yet with square ends.
    stated : PartLine
        Its line.
    where : str
        Field path of the line.
    unit : Unit
        Unit of the job.

    Returns
    -------
    tuple of (Ends or None, tuple of Problem)
        None where both ends are square or something is open.
    """
    asking = _Asking(part, stated, where, unit)
    ends = asking.ends()
    return ends, tuple(asking.problems)
