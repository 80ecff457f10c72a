"""What shared cuts save, against the cheapest plan that cuts each part out singly.

Cut out singly, a part takes its length between long points and one cut. That is a job of square parts, and the plain
engine prices it. The cut counts as a square one, the least it can be, so that what is said to be saved is never too
much.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from cutting.answer.plan import Cut, Sharing
from cutting.buying.model import SectionModel, model_section
from cutting.fit.angled.model import has_angles
from cutting.fit.angled.shape import lengths_of
from cutting.fit.clock import Clock
from cutting.question.job import Job, Section
from cutting.search.loop import Answer, Search

__all__ = ["sharing_of"]

_SECONDS: Final = 1.0


def sharing_of(
    job: Job, cuts: Sequence[Cut], costs: Mapping[str, Fraction], clock: Clock, seed: int
) -> tuple[Sharing, ...]:
    """Say for every section with angled ends what its shared cuts save.

    Parameters
    ----------
    job : Job
        The job.
    cuts : sequence of Cut
        The plan's.
    costs : mapping of str to Fraction
        Cost of one stick of each line in the objective's unit.
    clock : Clock
        The solve's: no more time is spent than it has left.
    seed : int
        For the plain engine.
    """
    found = []
    for section in job.sections:
        parts = [part for part in job.parts if part.section.key == section.key]
        if has_angles(parts):
            own = [cut for cut in cuts if cut.section.key == section.key]
            limited = Clock(min(_SECONDS, max(0.0, clock.left())))
            found.append(_sharing(job, section, own, dict(costs), clock=limited, seed=seed))
    return tuple(found)


def _sharing(
    job: Job, section: Section, cuts: Sequence[Cut], costs: dict[str, Fraction], *, clock: Clock, seed: int
) -> Sharing:
    shared = sum(cut.quantity * sum(stroke.shared for stroke in cut.strokes) for cut in cuts)
    if not shared:
        return Sharing(section=section, shared=0, sticks=0, cost=Fraction(0), certain=True)
    if clock.over():
        return Sharing(section=section, shared=shared, sticks=None, cost=None, certain=False)
    cost = sum((cut.quantity * costs[cut.stick] for cut in cuts), Fraction(0))
    model = model_section(_singly(job, section), section, costs)
    if model is None or max(model.instance.capacities) < max(model.instance.sizes):
        return Sharing(section=section, shared=shared, sticks=None, cost=None, certain=True, possible=False)
    answer = Search(model.instance, seed=seed, clock=clock, report=lambda _cost, _bound: None).run()
    sticks = sum(cut.quantity for cut in cuts)
    return _compared(section, model, answer, shared=shared, cost=cost, sticks=sticks)


def _compared(
    section: Section, model: SectionModel, answer: Answer, *, shared: int, cost: Fraction, sticks: int
) -> Sharing:
    if answer.bound is None:
        return Sharing(section=section, shared=shared, sticks=None, cost=None, certain=True, possible=False)
    certain = answer.cost is not None and answer.loads is not None and answer.bound >= answer.cost
    singly = sum(load.times for load in answer.loads or ())
    saved = model.cost_unit * answer.bound - cost
    return Sharing(
        section=section,
        shared=shared,
        sticks=max(0, singly - sticks) if certain else None,
        cost=max(Fraction(0), saved),
        certain=certain,
    )


def _singly(job: Job, section: Section) -> Job:
    """Return the job with the section's parts as square blocks, as long as they are between long points."""
    blocks = tuple(
        replace(part, length=lengths_of(part).shown(job.unit)[0], ends=None)
        for part in job.parts
        if part.section.key == section.key
    )
    return replace(job, parts=blocks)
