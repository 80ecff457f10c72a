"""What every sheet of paper says of itself: which plan, which revision, which date, on which paper."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import Enum, StrEnum
from fractions import Fraction
from typing import Any, Final

from cutting.answer.plan import Plan
from cutting.question.job import Job, Section
from shared.wording.tape import tape_of

__all__ = ["Issue", "Paper", "paper_of", "plan_id"]

_ALPHABET: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # no I, L, O or U: read aloud and off dirty paper
_GROUP: Final = 4
_FOLLOWS: Final = {(Section, "walls")}  # what a section's name says already: plans have kept their names without it


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


def plan_id(job: Job, plan: Plan) -> str:
    """Return a short name for exactly this plan of exactly this job, such as ``7K3Q-9XMD``.

    Two sheets with the same name belong together; any change of job or plan gives another (40 bits of SHA-256). Fields
    at their defaults don't count, so that a field added to the job later leaves older names as they are.
    """
    text = json.dumps([_plain(job), _plain(plan)], sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    number = int.from_bytes(hashlib.sha256(text.encode()).digest()[:5], "big")
    letters = "".join(_ALPHABET[number >> shift & 31] for shift in range(35, -1, -5))
    return f"{letters[:_GROUP]}-{letters[_GROUP:]}"


def _plain(value: Any) -> Any:
    """Return a value as plain JSON, exactly."""
    if dataclasses.is_dataclass(value):
        return {
            field.name: _plain(getattr(value, field.name))
            for field in dataclasses.fields(value)
            if field.init and getattr(value, field.name) != field.default and (type(value), field.name) not in _FOLLOWS
        }
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Fraction | Decimal):
        return str(Fraction(value))
    if isinstance(value, tuple):
        return [_plain(entry) for entry in value]
    return value
