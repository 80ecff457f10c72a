"""Kinds of fields that state angled ends: angles, lean, between which points it was measured, planes, long points."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Annotated, Any, Final

from cutting.laying.angled.hands import edge_matters, plane_matters
from cutting.question.job import Ends, Lean, Measure, Part, Section
from cutting.question.lengths import Unit, format_length
from shared.files.job.fields import Kind, Reading, digits, length_of, length_text, refuse, value_text

__all__ = [
    "EDGES",
    "NUMBERED",
    "AnglesField",
    "DepthField",
    "EdgesField",
    "LeanField",
    "MeasuredField",
    "PlanesField",
    "SwingField",
    "side_names",
    "stated_ends",
]

STEEPEST: Final = Fraction(60)
_LEAST_AMBIGUOUS: Final = Fraction(30)
_FORTY_FIVE: Final = Fraction(45)
_ANGLE: Final = re.compile(
    r"\s*(?P<number>\d{1,3}(?:\.\d{1,30})?|\d{1,2}\s+\d/\d)\s*(?:°|deg(?:rees)?)?(?P<square>\s+from\s+square)?\s*"
)
EDGES: Final = {"top": (0, 1), "bottom": (0, -1), "right": (1, 1), "left": (1, -1)}
_NAMES: Final = {
    "channel": ("web", "flange"),
    "angle": ("upright leg", "lying leg"),
    "tee": ("web", "flange"),
    "beam": ("web", "flange"),
}
NUMBERED: Final = ("first", "second")
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
        _word(text, list(EDGES), "to which edge the long point lies, seen along the part from its first end")
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
EdgesField = Annotated[tuple[str, ...], Kind(_edges, _one_or_both, _each_or_both({"enum": list(EDGES)}, 1))]
DepthField = Annotated[Fraction, Kind(length_of, length_text, _DEPTH)]


def side_names(section: Section, unit: Unit) -> tuple[str, str]:
    """How the two sides of a section are called: by their size, or by their name where that is clearer."""
    if section.family in _NAMES:
        return _NAMES[section.family]
    if section.sides and section.sides[0] != section.sides[1]:
        return format_length(section.sides[0], unit), format_length(section.sides[1], unit)
    return NUMBERED


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
    words = {value: text for text, value in EDGES.items()}
    first, second = (words[plane, sign] for plane, sign in zip(ends.planes, ends.toward, strict=True))
    if all(ends.angles) and ends.planes[0] != ends.planes[1]:
        return first, second
    return (first if ends.angles[0] else second,)
