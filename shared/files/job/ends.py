"""Angled ends of a part line: angles, lean, between which points it was measured, planes and long points."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Annotated, Any, Final

from cutting.laying.angled.hands import edge_matters, plane_matters
from cutting.question.errors import LengthError
from cutting.question.job import Ends, Lean, Measure, Part, Section
from cutting.question.lengths import Unit, format_length, parse_length
from cutting.question.problems import Problem
from shared.files.job.fields import Kind, Reading, digits, length_of, length_text, refuse, value_text

__all__ = [
    "AnglesField",
    "DepthField",
    "EdgesField",
    "LeanField",
    "MeasuredField",
    "PlanesField",
    "SwingField",
    "make_ends",
    "side_names",
    "stated_ends",
]

STEEPEST: Final = Fraction(60)
_LEAST_AMBIGUOUS: Final = Fraction(30)
_FORTY_FIVE: Final = Fraction(45)
_ANGLE: Final = re.compile(
    r"\s*(?P<number>\d{1,3}(?:\.\d{1,30})?|\d{1,2}\s+\d/\d)\s*(?:°|deg(?:rees)?)?(?P<square>\s+from\s+square)?\s*"
)
_EDGES: Final = {"top": (0, 1), "bottom": (0, -1), "right": (1, 1), "left": (1, -1)}
_NAMES: Final = {
    "channel": ("web", "flange"),
    "angle": ("upright leg", "lying leg"),
    "tee": ("web", "flange"),
    "beam": ("web", "flange"),
}
_NO_OUTLINE: Final = frozenset({"hex"})
"""Families whose outline the search for angled cuts doesn't know; a box around it would claim what isn't so."""
_NUMBERED: Final = ("first", "second")
_MEASURES: Final = {
    **{measure.value: measure for measure in Measure},
    "center line": Measure.CENTRE_LINE,
}


def _degrees(value: Any, example: str) -> tuple[Fraction, bool]:
    """Read degrees, and whether they are said to be counted from square."""
    stated = False
    if isinstance(value, str):
        found = _ANGLE.fullmatch(value)
        if found is None:
            refuse(f"write degrees from square, such as {example}")
        stated = found["square"] is not None
        value = sum(Fraction(part) for part in found["number"].split())
    if isinstance(value, bool) or not hasattr(value, "as_integer_ratio"):
        refuse(f"write degrees from square, such as {example}")
    return Fraction(value), stated


def _angle(value: Any) -> Fraction:
    """Read degrees from square; what could as well be measured from the length of the steel is asked about."""
    angle, stated = _degrees(value, '"45", "22.5" or "30 from square"')
    other = 90 - angle
    if not 0 <= angle <= STEEPEST:
        from_square = f'; if {_number(angle)} is measured along the steel, write "{_number(other)} from square"'
        refuse(f"ends are cut at 0 to 60 degrees from square{from_square if 0 <= other <= STEEPEST else ''}")
    if angle >= _LEAST_AMBIGUOUS and angle != _FORTY_FIVE and not stated:
        refuse(
            f'from which line? Write "{_number(angle)} from square" where the saw is set to {_number(angle)}, '
            f'"{_number(other)} from square" where {_number(angle)} is measured along the steel'
        )
    return angle


def _angle_text(angle: Fraction) -> str:
    """Write an angle so that it reads back: as a plain number where only one axis makes sense of it."""
    number = _number(angle)
    if Fraction(number) != angle:
        whole, rest = divmod(angle, 1)
        number = f"{whole} {rest}"
    return f"{number} from square" if angle >= _LEAST_AMBIGUOUS and angle != _FORTY_FIVE else number


def _swing(value: Any, _: Reading) -> Fraction:
    """Read how far a saw swings; its scale counts from square."""
    angle, _stated = _degrees(value, '"45"')
    if not 0 < angle <= 90:  # noqa: PLR2004  degrees
        refuse("write degrees from square, more than 0 and at most 90")
    return angle


def _swing_text(angle: Fraction, _: Reading) -> str:
    return _number(angle)


def _number(angle: Fraction) -> str:
    return digits(angle) or f"{float(angle):g}"


def _angles(value: Any, _: Reading) -> tuple[Fraction, Fraction]:
    if not isinstance(value, list | tuple):
        angle = _angle(value)
        return angle, angle
    if len(value) != 2:  # noqa: PLR2004  a part has two ends
        refuse(f'write both ends, such as ["45", "0"]; this list has {len(value)}')
    return _angle(value[0]), _angle(value[1])


def _angles_text(angles: tuple[Fraction, Fraction], _: Reading) -> list[str]:
    return [_angle_text(angle) for angle in angles]


def _word(value: Any, known: Sequence[str], what: str) -> str:
    text = " ".join(value.lower().split()) if isinstance(value, str) else ""
    if text not in known:
        refuse(f"{what}: write {' or '.join(known)}")
    return text


def _lean(value: Any, _: Reading) -> Lean:
    return Lean(_word(value, [lean.value for lean in Lean], "how the two ends lean towards each other"))


def _measured(value: Any, _: Reading) -> Measure:
    return _MEASURES[_word(value, list(_MEASURES), "between which points the length was measured")]


def _texts(value: Any, example: str) -> tuple[str, ...]:
    texts = tuple(value) if isinstance(value, list | tuple) else (value,)
    if len(texts) not in (1, 2) or not all(
        isinstance(text, str | int) and not isinstance(text, bool) for text in texts
    ):
        refuse(f"write one text for both ends or a list of two, such as {example}")
    return tuple(str(text).strip().lower() for text in texts)


def _planes(value: Any, _: Reading) -> tuple[str, ...]:
    return _texts(value, '"3" or ["3", "2"]')


def _edges(value: Any, _: Reading) -> tuple[str, ...]:
    texts = _texts(value, '"top" or ["top", "right"]')
    for text in texts:
        _word(text, list(_EDGES), "to which edge the long point lies, seen along the part from its first end")
    return texts


def _one_or_both(texts: tuple[str, ...], _: Reading) -> str | list[str]:
    return texts[0] if len(set(texts)) == 1 else list(texts)


def _each_or_both(schema: dict[str, Any], fewest: int) -> dict[str, Any]:
    return {"anyOf": [schema, {"type": "array", "items": schema, "minItems": fewest, "maxItems": 2}]}


_DEGREES: Final = {"type": ["string", "number"], "examples": ["45", "22.5", "30 from square"]}
_LEANS: Final = {"enum": [lean.value for lean in Lean]}
_MEASURED: Final = {"enum": list(_MEASURES)}
_DEPTH: Final = {"type": ["string", "number"], "examples": ["2", "50 mm"]}

AnglesField = Annotated[tuple[Fraction, Fraction], Kind(_angles, _angles_text, _each_or_both(_DEGREES, 2))]
SwingField = Annotated[Fraction, Kind(_swing, _swing_text, _DEGREES)]
LeanField = Annotated[Lean, Kind(_lean, value_text, _LEANS)]
MeasuredField = Annotated[Measure, Kind(_measured, value_text, _MEASURED)]
PlanesField = Annotated[tuple[str, ...], Kind(_planes, _one_or_both, _each_or_both({"type": "string"}, 1))]
EdgesField = Annotated[tuple[str, ...], Kind(_edges, _one_or_both, _each_or_both({"enum": list(_EDGES)}, 1))]
DepthField = Annotated[Fraction, Kind(length_of, length_text, _DEPTH)]


def side_names(section: Section, unit: Unit) -> tuple[str, str]:
    """How the two sides of a section are called: by their size, or by their name where that is clearer."""
    if section.family in _NAMES:
        return _NAMES[section.family]
    if section.sides and section.sides[0] != section.sides[1]:
        return format_length(section.sides[0], unit), format_length(section.sides[1], unit)
    return _NUMBERED


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
        edges = [_EDGES[text] for text in stated.long_points or ()]
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
        for known in (names, _NUMBERED):
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


def stated_ends(part: Part, unit: Unit) -> dict[str, Any]:
    """Return the fields of a part line that state its ends, such that they read back as the same part."""
    stated: dict[str, Any] = dict.fromkeys(("ends", "lean", "measured", "depth", "plane", "long_points"))
    ends = part.ends
    if ends is None or not any(ends.angles):
        return stated
    stated |= {"ends": ends.angles, "measured": ends.measure}
    if all(ends.angles) and ends.planes[0] == ends.planes[1]:
        stated["lean"] = ends.lean
    if ends.depths is not None:
        stated["depth"] = ends.depths[0] if ends.angles[0] else ends.depths[1]
    if plane_matters(part) or ends.planes != (0, 0):
        names = side_names(part.section, unit)
        stated["plane"] = tuple(names[plane] for plane in ends.planes)
    if edge_matters(part):
        stated["long_points"] = _edges_of(ends)
    return stated


def _edges_of(ends: Ends) -> tuple[str, ...]:
    words = {value: text for text, value in _EDGES.items()}
    first, second = (words[plane, sign] for plane, sign in zip(ends.planes, ends.toward, strict=True))
    if all(ends.angles) and ends.planes[0] != ends.planes[1]:
        return first, second
    return (first if ends.angles[0] else second,)
