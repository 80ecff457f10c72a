"""Buying from real yards: fees, breaks, taxes, carrying, substitutes and leftovers in one proven optimum."""

from __future__ import annotations

from cutting.question.job import Job
from cutting.question.yards import Carry

__all__ = ["uses_market"]


def uses_market(job: Job) -> bool:
    """Whether a job states anything that couples its sections or goes beyond the price of each stick."""
    return bool(
        job.yards
        or job.kind_cost
        or job.keep_value is not None
        or job.carry != Carry()
        or any(stick.breaks for stick in job.sticks)
        or any(part.substitutes for part in job.parts)
    )
