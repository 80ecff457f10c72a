"""What every sheet of paper says of itself beside its plan: which revision, which date, on which paper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from cutting.question.job import Job
from shared.wording.tape import tape_of

__all__ = ["Issue", "Paper", "paper_of"]


class Paper(StrEnum):
    """A size of paper."""

    A4 = "a4"
    """210 by 297 mm (ISO 216)."""
    LETTER = "letter"
    """8 1/2 by 11 in (ANSI/ASME Y14.1 size A)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Issue:
    """One issue of a job's paper.

    Attributes
    ----------
    date : date
        Printed on every sheet. The door says it: a writer reads no clock.
    revision : str
        As the shop counts, such as ``A`` or ``2``; empty for a first issue.
    paper : Paper
        What it is printed on.
    """

    date: date
    revision: str = ""
    paper: Paper = Paper.A4


def paper_of(job: Job) -> Paper:
    """Return the size of paper usual where the job's unit is: letter beside inches and feet, A4 otherwise."""
    return Paper.A4 if tape_of(job).metric else Paper.LETTER
