"""Advice as a table: every text ready, and the same as plain values for a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from cutting.answer.plan import Objective
from cutting.buying.objective import objective_of
from cutting.question.job import Job
from shared.wording.amounts import cost_text
from shared.wording.sentences import worth_text

__all__ = ["Advice", "Heading", "signed", "value_text"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Heading:
    """Head of a column.

    Attributes
    ----------
    text : str
        Of it.
    right : bool
        Its cells are set to the right, as numbers are.
    """

    text: str
    right: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Advice:
    """One table with what is said above and below it.

    Attributes
    ----------
    title : str
        What it is about.
    lead : tuple of str
        Sentences above the table.
    columns : tuple of Heading
        Its columns.
    rows : tuple of tuple of str
        Its cells, as many in each row as there are columns.
    notes : tuple of str
        Sentences below the table.
    data : mapping
        The same as plain values: lengths and amounts as texts, as in a plan file.
    """

    title: str
    lead: tuple[str, ...]
    columns: tuple[Heading, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    data: Mapping[str, Any]


def signed(job: Job, value: Fraction | None) -> str:
    """Write a difference with its unit; empty where it isn't known."""
    if value is None:
        return ""
    return f"-{worth_text(job, -value)}" if value < 0 else worth_text(job, value)


def value_text(job: Job, value: Fraction | None) -> str | None:
    """Write a value of the objective plainly, as a plan file does; None stays None."""
    if value is None:
        return None
    objective: Objective = objective_of(job)
    return f"-{cost_text(job, objective, -value)}" if value < 0 else cost_text(job, objective, value)
