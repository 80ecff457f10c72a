"""Read a job file: bytes in, a job or every problem out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from cutting.question.feasible import Places, input_problems, line_problems
from cutting.question.job import Job, Part, Saw, Source, Stick
from cutting.question.lengths import Unit
from cutting.question.prices import settle_currency
from cutting.question.problems import Problem
from shared.files.job.document import read_document
from shared.files.job.fields import CurrencyField, Reading, UnitField
from shared.files.job.lines import Lines, missing_table, validate_lines, validate_table
from shared.files.job.open_ends import make_ends
from shared.files.job.pieces import PieceLine
from shared.files.job.table import Table
from shared.files.job.wire import LISTS, TABLES, JobFile, PartLine, SawFields, TopFields

__all__ = ["Stated", "job_of_table", "read_job", "read_stated", "reading_of", "restated", "usual_trims"]

_LETTERS: Final = {Source.STICKS: "S", Source.RACK: "R", Source.OWN: "O"}
_STEEL: Final = ("parts", *(source.value for source in Source))
"""The lists that say what is cut, and from what; all else is stated once."""
_NO_TRIM: Final = (Fraction(0), Fraction(0))
_NOTHING: Final[Mapping[str, Any]] = {"parts": (), "sticks": (), "saw": Saw(kerf=Fraction(0))}


@dataclass(frozen=True, kw_only=True, slots=True)
class Stated:
    """What the tables of a job file state once, as far as they are right.

    Attributes
    ----------
    job : Job
        The job, without parts and sticks.
    trims : tuple of Fraction
        mm taken off both ends of a stick that doesn't state its own.
    places : mapping of str to tuple of str
        For each list beside parts and sticks where its lines in the job came from.
    """

    job: Job
    trims: tuple[Fraction, Fraction]
    places: Mapping[str, tuple[str, ...]]


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
    reading = reading_of(raw)
    stated, problems = read_stated(raw, reading)
    lines: dict[str, Lines] = {}
    for name in _STEEL:
        lines[name], found = validate_lines(raw, name, reading)
        problems += found
    parts, found = _parts(lines["parts"], reading)
    problems += found
    sticks = _sticks(lines, stated.trims)
    job = settle_currency(replace(stated.job, parts=tuple(parts.values()), sticks=tuple(sticks.values())))
    places = Places(parts=tuple(parts), sticks=tuple(sticks), **stated.places)
    problems += line_problems(job, places) if problems else input_problems(job, places)
    return (None, _in_order(problems)) if problems else (job, ())


def read_stated(raw: Mapping[str, Any], reading: Reading) -> tuple[Stated, tuple[Problem, ...]]:
    """Read what the tables of a job file state once: everything but parts and sticks."""
    once = {field: value for field, value in raw.items() if field not in {*LISTS, *TABLES}}
    top, problems = validate_table(TopFields, once, "", reading)
    told = {} if top is None else top.told()
    tables: dict[str, Table] = {}
    for name, kind in TABLES.items():
        table, found = _table(raw, name, kind, reading)
        problems += found
        if table is not None:
            tables[name], told[name] = table, table.value()
    places = {}
    for name in [name for name in LISTS if name not in _STEEL]:
        good, found = validate_lines(raw, name, reading)
        problems += found
        lines = _named(raw, name, good)
        told[name] = tuple(line.value() for _, line in lines)
        places[name] = tuple(f"{name}[{index}]" for index, _ in lines)
    job = Job(**{**_NOTHING, **told, "unit": reading.unit, "currency": reading.currency})
    return Stated(job=job, trims=_trims(tables.get("saw")), places=places), problems


def restated(job: Job, said: Mapping[str, Any]) -> tuple[Job, tuple[Problem, ...]]:
    """Return a job that states once some things otherwise, said as a job file says them at its top.

    Parameters
    ----------
    job : Job
        The job, without problems.
    said : mapping of str
        What is said, by field.

    Returns
    -------
    tuple of (Job, tuple of Problem)
        The job as it was where there are problems, each at its field.
    """
    reading = Reading(unit=job.unit, currency=job.currency)
    top, problems = validate_table(TopFields, {"unit": job.unit.value, **said}, "", reading)
    if top is None:
        wrong = {problem.where for problem in problems}
        return job, (*problems, *restated(job, {field: said[field] for field in said if field not in wrong})[1])
    changed = replace(job, **{attribute: value for attribute, value in top.told().items() if attribute in said})
    problems = tuple(problem for problem in input_problems(changed) if problem.where in said)
    return (job, problems) if problems else (changed, ())


def usual_trims(raw: Mapping[str, Any]) -> tuple[Fraction, Fraction]:
    """Return what the tables of a job file take off both ends of a stick that doesn't state its own (mm)."""
    return _trims(_table(raw, "saw", SawFields, reading_of(raw))[0])


def _trims(saw: Table | None) -> tuple[Fraction, Fraction]:
    return (isinstance(saw, SawFields) and saw.end_trim) or _NO_TRIM


def _table(
    raw: Mapping[str, Any], name: str, kind: type[Table], reading: Reading
) -> tuple[Table | None, tuple[Problem, ...]]:
    """Read one of the single tables; one that must be there and isn't is a problem."""
    if name in raw:
        return validate_table(kind, raw[name], name, reading)
    return None, missing_table(name, kind) if JobFile.model_fields[name].is_required() else ()


def _named(raw: Mapping[str, Any], field: str, good: Lines) -> Lines:
    """Add the lines that are at fault by their names alone, so that whoever names them isn't blamed for it."""
    listed = raw.get(field, [])
    known = dict(good)
    for index, line in enumerate(listed if isinstance(listed, list) else []):
        if index not in known:
            name = line.get("name") if isinstance(line, Mapping) else None
            if not isinstance(name, str):
                return []  # one of unknown name may be the one that is meant
            known[index] = LISTS[field].model_construct(name=" ".join(name.split()))
    return sorted(known.items())


def _parts(lines: Lines, reading: Reading) -> tuple[dict[str, Part], tuple[Problem, ...]]:
    """Return the parts by place; those without a mark are numbered."""
    known = [(index, line) for index, line in lines if isinstance(line, PartLine)]
    names = _numbered(((index, line.mark) for index, line in known), "P")
    parts: dict[str, Part] = {}
    problems: list[Problem] = []
    for mark, (index, line) in zip(names, known, strict=True):
        where = f"parts[{index}]"
        part = line.part(mark)
        ends, found = make_ends(part, line, where, reading.unit)
        parts[where] = part if ends is None else replace(part, ends=ends)
        problems.extend(found)
    return parts, tuple(problems)


def _sticks(lines: Mapping[str, Lines], trims: tuple[Fraction, Fraction]) -> dict[str, Stick]:
    """Return sticks, rack and own pieces by place; those without an id are numbered."""
    sticks: dict[str, Stick] = {}
    for source, letter in _LETTERS.items():
        known = [(index, line) for index, line in lines[source.value] if isinstance(line, PieceLine)]
        names = _numbered(((index, line.id) for index, line in known), letter, [each.id for each in sticks.values()])
        for name, (index, line) in zip(names, known, strict=True):
            sticks[f"{source.value}[{index}]"] = line.stick(name, source, trims)
    return sticks


def _numbered(names: Iterable[tuple[int, str | None]], letter: str, taken: Iterable[str] = ()) -> list[str]:
    """Give the nameless the number of their line, or the next one free."""
    listed = list(names)
    used = {*taken, *(name for _, name in listed if name is not None)}
    numbered = []
    for index, name in listed:
        number = index + 1
        while name is None and f"{letter}{number}" in used:
            number += 1
        numbered.append(name or f"{letter}{number}")
        used.add(numbered[-1])
    return numbered


def reading_of(raw: Mapping[str, Any]) -> Reading:
    """Return what a job file's tables say of unit and currency, as far as it is right."""
    return Reading(unit=_peek(raw, "unit", UnitField) or Unit.MM, currency=_peek(raw, "currency", CurrencyField))


def _peek(raw: Mapping[str, Any], field: str, kind: Any) -> Any:
    """Return a field's value where it is right; what is wrong with it is said elsewhere."""
    anything = Reading(unit=Unit.MM, currency=None)
    try:
        return TypeAdapter(kind).validate_python(raw[field], context=anything) if field in raw else None
    except ValidationError:
        return None


def _in_order(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """Return each problem once, those of one line together."""
    by_line: dict[str, list[Problem]] = {}
    for problem in dict.fromkeys(problems):
        by_line.setdefault(problem.where.partition(".")[0], []).append(problem)
    return tuple(problem for line in by_line.values() for problem in line)
