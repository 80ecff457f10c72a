"""The short name of exactly one plan of exactly one job: what joins its papers, its text and its files."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Any, Final

from cutting.answer.plan import Plan
from cutting.question.job import Job, Section

__all__ = ["plan_id"]

_ALPHABET: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # no I, L, O or U: read aloud and off dirty paper
_GROUP: Final = 4
_FOLLOWS: Final = {
    (Section, "walls"),  # a section's name says them already: plans have kept their names without them
    (Plan, "sharing"),  # said of a plan and no part of it: a plan that was kept comes back without
}


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
