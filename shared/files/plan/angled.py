"""Angled ends in the plan file: how parts lie, strokes of the saw, what shared cuts save; out and back."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Lie, Sharing, Stroke
from cutting.buying.objective import objective_of
from cutting.question.job import Job, Section
from cutting.question.lengths import format_length
from shared.files.plan.wire import LieFields, SharingFields, StrokeFields
from shared.wording.amounts import cost_text

__all__ = ["lie_fields", "read_lie", "read_sharing", "read_stroke", "sharing_fields", "stroke_fields"]


def _degrees(angle: Fraction) -> str:
    """Write an angle so that it reads back exactly: as a decimal number where it is one."""
    decimal = Decimal(angle.numerator) / Decimal(angle.denominator)
    return f"{decimal.normalize():f}" if Fraction(decimal) == angle else str(angle)


def lie_fields(job: Job, lie: Lie) -> LieFields:
    """Write how a part lies."""
    long, centre, short = (format_length(length, job.unit) for length in lie.lengths)
    return LieFields(
        turned=lie.turned,
        roll=lie.roll,
        planes=lie.planes,
        leans=(_degrees(lie.leans[0]), _degrees(lie.leans[1])),
        long=long,
        centre=centre,
        short=short,
    )


def read_lie(fields: LieFields, lengths: tuple[Fraction, Fraction, Fraction]) -> Lie:
    """Read how a part lies; its lengths have been read already."""
    return Lie(
        turned=fields.turned,
        roll=fields.roll,
        planes=fields.planes,
        leans=(Fraction(fields.leans[0]), Fraction(fields.leans[1])),
        lengths=lengths,
    )


def stroke_fields(job: Job, stroke: Stroke) -> StrokeFields:
    """Write one stroke of the saw."""
    return StrokeFields(
        at=format_length(stroke.at, job.unit),
        angle=_degrees(stroke.angle),
        swing=1 if stroke.swing > 0 else -1 if stroke.swing < 0 else 0,
        back=stroke.back,
        roll=stroke.roll,
        ends=stroke.ends,
        begins=stroke.begins,
        shared=stroke.shared,
    )


def read_stroke(fields: StrokeFields, at: Fraction) -> Stroke:
    """Read one stroke; where it is has been read already."""
    return Stroke(
        at=at,
        angle=Fraction(fields.angle),
        swing=fields.swing,
        back=fields.back,
        roll=fields.roll,
        ends=fields.ends,
        begins=fields.begins,
    )


def sharing_fields(job: Job, sharing: Sharing) -> SharingFields:
    """Write what shared cuts save in one section."""
    return SharingFields(
        section=sharing.section.name,
        material=sharing.section.material,
        shared=sharing.shared,
        sticks=sharing.sticks,
        cost=None if sharing.cost is None else cost_text(job, objective_of(job), sharing.cost),
        certain=sharing.certain,
        possible=sharing.possible,
    )


def read_sharing(fields: SharingFields, section: Section, cost: Fraction | None) -> Sharing:
    """Read what shared cuts save in one section; what they cost less has been read already."""
    return Sharing(
        section=section,
        shared=fields.shared,
        sticks=fields.sticks,
        cost=cost,
        certain=fields.certain,
        possible=fields.possible,
    )
