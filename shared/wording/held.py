"""What a plan was not allowed to do though a person might: said beside the proof, since the proof counts on it."""

from __future__ import annotations

from collections.abc import Iterator

from cutting.fit.angled.model import has_angles
from cutting.question.job import Job
from shared.wording.tape import tape_of

__all__ = ["held_to"]


def held_to(job: Job) -> str:
    """Return one line of plain words; empty where a plan may do whatever a person could.

    Parameters
    ----------
    job : Job
        The question.
    """
    found = list(_rules(job))
    return f"The plan was held to this: {'; '.join(found)}." if found else ""


def _rules(job: Job) -> Iterator[str]:
    if has_angles(job.parts):
        step = "0.01 mm" if tape_of(job).metric else "1/1024 in"
        yield f"room between angled cuts is rounded up to {step}"
    if any(yard.cuts is not None for yard in job.yards) and (job.carry.longest or job.carry.load):
        yield (
            "a yard cuts only sticks that are fetched, as often as carrying needs and at most once more, and none that "
            "stays whole"
        )
    if job.yards:
        yield "each yard's order comes home in one way, delivered or fetched"
    if any(part.substitutes for part in job.parts):
        yield "all pieces of a parts line are cut from one section"
    if job.keep_value is not None:
        yield "a leftover is worth so much for its length, whatever that length is good for"
    if not job.idle:
        yield "no stick is bought that no part is cut from"
