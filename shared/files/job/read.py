"""Read a job file: bytes in, a job or every problem out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from cutting.question.feasible import input_problems, line_problems
from cutting.question.job import Job
from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from shared.files.job.convert import convert
from shared.files.job.document import read_document
from shared.files.job.fields import CurrencyField, Reading, UnitField
from shared.files.job.lines import LISTS, TABLES, Lines, validate_lines, validate_table
from shared.files.job.terms.wire import CarryFields, KeepFields, YardLine
from shared.files.job.wire import SawFields, TopFields

__all__ = ["job_of_table", "read_job"]

_ANY_SAW: Final = SawFields.model_construct(
    kerf=Fraction(0), end_trim=None, hold=None, largest_angle=None, one_way=False
)


def read_job(data: bytes, *, name: str = "") -> tuple[Job | None, tuple[Problem, ...]]:
    """Read a job file.

    Parameters
    ----------
    data : bytes
        TOML or JSON in UTF-8.
    name : str
        Its file name, whose ending says which of the two it is; without one a text that starts with ``{`` is JSON.

    Returns
    -------
    tuple of (Job or None, tuple of Problem)
        Every problem at once, with its field path (lines are counted from 0, as in ``parts[3].length``) or its line;
        a job only where there is none.
    """
    table, problems = read_document(data, name=name)
    return (None, problems) if table is None else job_of_table(table)


def job_of_table(raw: Mapping[str, Any]) -> tuple[Job | None, tuple[Problem, ...]]:
    """Make a job from the plain tables of a job file; see `read_job`.

    Where unit or saw are at fault, millimetres and a saw without kerf stand in for them while the rest is looked
    through: they can't cause a problem that isn't there.
    """
    reading = Reading(unit=_peek(raw, "unit", UnitField) or Unit.MM, currency=_peek(raw, "currency", CurrencyField))
    told = {field: value for field, value in raw.items() if field not in {*LISTS, *TABLES}}
    top, problems = validate_table(TopFields, told, "", reading)
    saw, carry, keep, found = _tables(raw, reading)
    problems += found
    lines: dict[str, Lines] = {}
    for field in LISTS:
        lines[field], found = validate_lines(raw, field, reading)
        problems += found
    lines["yards"] = _named(raw, lines["yards"])
    job, places, found = convert(top, saw or _ANY_SAW, reading, lines, carry=carry, keep=keep)
    problems += found
    problems += line_problems(job, places) if problems else input_problems(job, places)
    return (None, _in_order(problems)) if problems else (job, ())


def _tables(
    raw: Mapping[str, Any], reading: Reading
) -> tuple[SawFields | None, CarryFields | None, KeepFields | None, tuple[Problem, ...]]:
    """Read the single tables, whatever of them is there."""
    saw, problems = _saw(raw, reading)
    carry, keep = None, None
    if "carry" in raw:
        carry, found = validate_table(CarryFields, raw["carry"], "carry", reading)
        problems += found
    if "keep_value" in raw:
        keep, found = validate_table(KeepFields, raw["keep_value"], "keep_value", reading)
        problems += found
    return saw, carry, keep, problems


def _named(raw: Mapping[str, Any], good: Lines) -> Lines:
    """Add the yards that are at fault by their names alone, so that whoever names them isn't blamed for it."""
    listed = raw.get("yards", [])
    known = dict(good)
    for index, line in enumerate(listed if isinstance(listed, list) else []):
        if index not in known:
            name = line.get("name") if isinstance(line, Mapping) else None
            if not isinstance(name, str):
                return []  # a yard of unknown name may be the one that is meant
            known[index] = YardLine.model_construct(name=" ".join(name.split()))
    return sorted(known.items())


def _saw(raw: Mapping[str, Any], reading: Reading) -> tuple[SawFields | None, tuple[Problem, ...]]:
    if "saw" in raw:
        return validate_table(SawFields, raw["saw"], "saw", reading)
    return None, (Problem(where="saw", text="", message='missing; write a [saw] table with at least kerf = "3/32"'),)


def _peek(raw: Mapping[str, Any], field: str, kind: Any) -> Any:
    """Return a field's value where it is right; what is wrong with it is said elsewhere."""
    try:
        return TypeAdapter(kind).validate_python(raw[field]) if field in raw else None
    except ValidationError:
        return None


def _in_order(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """Return each problem once, those of one line together."""
    by_line: dict[str, list[Problem]] = {}
    for problem in dict.fromkeys(problems):
        by_line.setdefault(problem.where.partition(".")[0], []).append(problem)
    return tuple(problem for line in by_line.values() for problem in line)
