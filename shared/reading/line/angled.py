"""Make the ends of a part from what its line says; what is open is asked."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from cutting.question.job import Ends, Lean, Measure, Section
from shared.reading.text.ends import QUARTER, EndsRead
from shared.reading.values.draft import Ask, Rewrite

__all__ = ["make_ends"]

_STEEPEST: Final = Fraction(60)
_LEAST_AMBIGUOUS: Final = Fraction(30)
_EQUAL_SIDED: Final = frozenset({"shs", "chs", "pipe", "round", "square"})


def make_ends(read: EndsRead, section: Section, *, written: bool, end: int) -> tuple[Ends | None, list[Ask], list[str]]:
    """Make the ends of a part from what its line says.

    Parameters
    ----------
    read : EndsRead
        What the line says.
    section : Section
        What the part is cut from.
    written : bool
        Whether an angle was written.
    end : int
        Where the line ends, to append answers.

    Returns
    -------
    Ends or None
        None as long as something is open.
    list of Ask
        What is open.
    list of str
        What was settled by convention, to be said.
    """
    asks: list[Ask] = []
    notes: list[str] = [] if written else ["mitred: 45° taken"]
    angles = tuple(_from_square(angle, read, asks, notes) for angle in read.angles)
    if read.measure is None:
        asks.append(_ask_measure(read, end))
    if read.lean is None and all(angles):
        notes.append("ends leaning towards each other (a trapezoid); write parallel where they are not")
    plane = _plane(read, section, asks, end)
    toward = _toward(read, section, plane, asks, end)
    if asks or read.measure is None or plane is None or toward is None:
        return None, asks, notes
    return (
        Ends(
            angles=(angles[0], angles[1]),
            lean=read.lean or Lean.OPPOSED,
            measure=read.measure,
            planes=(plane, plane),
            toward=(toward, toward),
        ),
        asks,
        notes,
    )


def _from_square(angle: Fraction, read: EndsRead, asks: list[Ask], notes: list[str]) -> Fraction:
    """Return an angle from square; asks where it may be from the other axis."""
    if angle in {Fraction(0), QUARTER}:
        return Fraction(0)
    other = QUARTER - angle
    if read.reference == "axis":
        return other
    if angle > _STEEPEST:
        notes.append(f"{float(angle):g}° can only be measured from the axis: {float(other):g}° from square")
        return other
    if read.reference == "square" or angle < _LEAST_AMBIGUOUS or angle == other:
        return angle
    if not asks:
        asks.append(_ask_axis(angle, other, read))
    return angle


def _ask_axis(angle: Fraction, other: Fraction, read: EndsRead) -> Ask:
    """Ask from which axis an angle is measured."""
    start = read.where[1]
    return Ask(
        message=f"is {float(angle):g}° measured from square or from the bar's axis ({float(other):g}° from square)?",
        position=read.where[0],
        rewrites=(
            Rewrite(reading=f"{float(angle):g}° from square", start=start, end=start, text=" from square"),
            Rewrite(reading=f"{float(angle):g}° from the axis", start=start, end=start, text=" from the axis"),
        ),
    )


def _ask_measure(read: EndsRead, end: int) -> Ask:
    """Ask between which points the length was measured."""
    return Ask(
        message="angled ends: between which points was the length measured? write LP, SP or CL",
        position=read.where[0],
        rewrites=tuple(
            Rewrite(reading=measure.value, start=end, end=end, text=f" {letters}")
            for measure, letters in (
                (Measure.LONG_POINT, "LP"),
                (Measure.SHORT_POINT, "SP"),
                (Measure.CENTRE_LINE, "CL"),
            )
        ),
    )


def _plane(read: EndsRead, section: Section, asks: list[Ask], end: int) -> int | None:
    """Return which side lies in the plane of the cut; asks where the sides differ and nothing is said."""
    sides = section.sides
    if section.family in {"tee", "beam"}:
        asks.append(
            Ask(
                message=f"{section.family}s with angled ends are written in the job file, which says how they lie",
                position=0,
            )
        )
        return None
    if section.family in _EQUAL_SIDED or (sides and sides[0] == sides[1]):
        return 0
    names = _side_names(section)
    if not names:
        asks.append(Ask(message="angled ends need a section whose sides are known; write its full name", position=0))
        return None
    if read.side in names:
        return names.index(read.side)
    asks.append(
        Ask(
            message=f"which side lies in the plane of the cut, {names[0]} or {names[1]}?",
            position=read.where[0],
            rewrites=tuple(
                Rewrite(reading=f"{name} in the plane of the cut", start=end, end=end, text=f" {name} in plane")
                for name in names
            ),
        )
    )
    return None


def _toward(read: EndsRead, section: Section, plane: int | None, asks: list[Ask], end: int) -> int | None:
    """Return to which edge the long points lie; asked for an angle, and for a channel cut across its flanges."""
    if section.family != "angle" and not (section.family == "channel" and plane == 1):
        return 1
    if read.edge:
        return 1 if read.edge == "toe" else -1
    back = "heel" if section.family == "angle" else "back"
    asks.append(
        Ask(
            message=f"do the long points lie at the {section.family}'s toe or at its {back}?",
            position=read.where[0],
            rewrites=tuple(
                Rewrite(reading=f"at the {edge}", start=end, end=end, text=f" long points at the {edge}")
                for edge in ("toe", back)
            ),
        )
    )
    return None


def _side_names(section: Section) -> list[str]:
    """Return the two sides as the section's name writes them."""
    if len(section.sides) != 2:  # noqa: PLR2004
        return []
    found = re.findall(r"\d+(?:-\d+/\d+|/\d+|\.\d+)?", section.name)
    if section.family in {"rhs", "angle", "flat"} and len(found) > 1:
        return found[:2]
    return [f"{float(side):g}" for side in section.sides]
