"""What can be wrong with a part's angled ends, and parts that no stick is long enough for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from cutting.fit.angled.model import gaps_of, has_angles
from cutting.fit.angled.shape import faces_of, thinnest
from cutting.question.job import Job, Part
from cutting.question.lengths import show_length
from cutting.question.problems import Problem

__all__ = ["end_problems", "lengths_alone"]

_STEEPEST: Final = Fraction(60)


def end_problems(job: Job, part: Part, where: str) -> Iterator[Problem]:
    """Problems that a part's ends have by themselves, with its section or with the saw."""
    ends = part.ends
    if ends is None:
        return
    text = " and ".join(f"{float(angle):g}" for angle in ends.angles)
    if not all(0 <= angle <= _STEEPEST for angle in ends.angles):
        message = f"{part.mark} can't be cut: ends lie between 0 and 60 degrees from square"
        yield Problem(where=f"{where}.ends", text=text, message=message)
        return
    if not part.section.sides and ends.depths is None and any(ends.angles):
        message = f"the size of {part.section.label} is not known; write depth, its size in the plane of the cut"
        yield Problem(where=f"{where}.depth", text=part.section.label, message=message)
        return
    steepest = max(ends.angles)
    if job.saw.largest is not None and steepest > job.saw.largest:
        message = (
            f"{part.mark} wants {float(steepest):g} degrees, the saw swings to {float(job.saw.largest):g} at most "
            "(saw.largest_angle)"
        )
        yield Problem(where=f"{where}.ends", text=text, message=message)
    if any(ends.angles) and part.length > 0 and thinnest(part).high <= 0:
        length = show_length(part.length, job.unit)
        message = (
            f"{part.mark} is so short that its two cuts would meet in the steel; check its length, "
            "between which points it is measured, its angles and which side lies in the plane of the cut"
        )
        yield Problem(where=f"{where}.length", text=length, message=message)


def lengths_alone(job: Job, parts: Sequence[Part]) -> list[Fraction]:
    """Clear length (mm) that each of one section's parts needs alone on a stick: to its long points."""
    if not has_angles(parts):
        return [part.length for part in parts]
    gaps = gaps_of(job, parts[0].section)
    ends = (faces_of(part) for part in parts)
    return [
        part.length + gaps.outer(first) + gaps.outer(second) for part, (first, second) in zip(parts, ends, strict=True)
    ]
