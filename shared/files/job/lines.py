"""Validate the tables of a job file one by one, so that a fault in one hides no fault in another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from cutting.question.errors import SectionError
from cutting.question.problems import Problem
from shared.files.job.fields import Reading
from shared.files.job.pieces import OwnLine, PieceLine
from shared.files.job.table import Table, path_of, table_at
from shared.files.job.terms import BASES
from shared.files.job.wire import LISTS, TABLES, JobFile, PartLine, TopFields
from shared.sections import understand
from shared.wording.plurals import listed

__all__ = ["Lines", "missing_table", "validate_lines", "validate_table"]

_MOST_SHOWN: Final = 60
_ALIKE: Final = 65
_HOMES: Final = {
    **{f"[[{name}]]": table for name, table in LISTS.items()},
    **{f"[{name}]": table for name, table in TABLES.items()},
}

_Table = TypeVar("_Table", bound=Table)
Lines = list[tuple[int, Table]]
"""Good lines of one list, each with its index in the file."""


def validate_table(
    model: type[_Table], raw: Any, where: str, reading: Reading
) -> tuple[_Table | None, tuple[Problem, ...]]:
    """Validate one table.

    Parameters
    ----------
    model : type
        What it should hold.
    raw : Any
        What was read.
    where : str
        Its field path, empty for the top of the file.
    reading : Reading
        Unit and currency of the job.

    Returns
    -------
    tuple of (model or None, tuple of Problem)
        All problems of this table together.
    """
    if not isinstance(raw, Mapping):
        message = f"write a table with the fields {', '.join(model.model_fields)}"
        return None, (Problem(where=where, text=_shown(raw), message=message),)
    try:
        return model.model_validate(raw, context=reading), ()
    except ValidationError as error:
        details = error.errors(include_url=False)
        meant = {_meant(model, each["loc"]) for each in details if each["type"] == "extra_forbidden"}
        return None, tuple(
            _problem(model, each, where)
            for each in details
            if each["type"] != "missing" or each["loc"] not in meant  # a misspelt field isn't missing as well
        )


def _meant(model: type[Table], loc: tuple[int | str, ...]) -> tuple[int | str, ...]:
    return (*loc[:-1], _near(table_at(model, loc[:-1]), str(loc[-1])))


def validate_lines(raw: Mapping[str, Any], field: str, reading: Reading) -> tuple[Lines, tuple[Problem, ...]]:
    """Validate one list of lines: the good ones with their index, and the problems of the others."""
    lines = raw.get(field, [])
    if not isinstance(lines, list):
        message = f'write a list of tables: [[{field}]] in TOML, "{field}": [{{...}}] in JSON'
        return [], (Problem(where=field, text=_shown(lines), message=message),)
    good: Lines = []
    problems: list[Problem] = []
    for index, line in enumerate(lines):
        value, found = validate_table(LISTS[field], line, f"{field}[{index}]", reading)
        problems.extend(found)
        problems.extend(_prices(line, f"{field}[{index}]"))
        unclear = list(_unclear_section(value, f"{field}[{index}]"))
        problems.extend(unclear)
        if value is not None and not unclear:
            good.append((index, value))
    return good, tuple(problems)


def _unclear_section(line: Table | None, where: str) -> Iterator[Problem]:
    """A section name with two readings is asked, never guessed."""
    if not isinstance(line, PartLine | PieceLine):
        return
    try:
        understand(line.section, line.material)
    except SectionError as error:
        yield Problem(where=f"{where}.section", text=error.text, message=error.message)


def _prices(line: Any, where: str) -> Iterator[Problem]:
    """Say where a line has two prices, and where one of its breaks has two or none."""
    yield from _too_many(line, where, "line")
    breaks = line.get("breaks") if isinstance(line, Mapping) else None
    for number, each in enumerate(breaks if isinstance(breaks, list) else []):
        at = f"{where}.breaks[{number}]"
        yield from _too_many(each, at, "break")
        if isinstance(each, Mapping) and not _stated(each):
            yield Problem(where=at, text=_shown(each), message='missing; write what one costs then, price = "57.90"')


def _stated(line: Mapping[str, Any]) -> list[str]:
    return [base for base in BASES.values() if base in line]


def _too_many(line: Any, where: str, what: str) -> Iterator[Problem]:
    stated = _stated(line) if isinstance(line, Mapping) else []
    if len(stated) > 1:
        text = ", ".join(f"{base} = {_shown(line[base])}" for base in stated)
        yield Problem(where=where, text=text, message=f"{len(stated)} prices for one {what}; keep one of them")


def _problem(model: type[Table], detail: ErrorDetails, where: str) -> Problem:
    path = path_of(where, detail["loc"])
    if detail["type"] in {"missing", "extra_forbidden"}:
        inner, field = table_at(model, detail["loc"][:-1]), str(detail["loc"][-1])
        if detail["type"] == "missing":
            return Problem(where=path, text="", message=f"missing; write {_example(inner, field)}")
        return Problem(where=path, text=_shown(field), message=_unknown(inner, field))
    text = _shown(detail["input"])
    if "ctx" not in detail or "position" not in detail["ctx"]:  # pydantic's own: not a table, not a list
        fields = ", ".join(table_at(model, detail["loc"]).model_fields)
        kind = "a list of tables" if detail["type"] == "tuple_type" else "a table"
        return Problem(where=path, text=text, message=f"write {kind} with the fields {fields}")
    position = detail["ctx"]["position"]
    if position is not None and position > len(text):
        position = None
    return Problem(where=path, text=text, message=detail["ctx"]["message"], position=position)


def missing_table(name: str, model: type[Table]) -> tuple[Problem, ...]:
    """Say that a single table is missing, and what to write at least."""
    least = ", ".join(_example(model, field) for field, info in model.model_fields.items() if info.is_required())
    return (Problem(where=name, text="", message=f"missing; write a [{name}] table with at least {least}"),)


def _example(model: type[Table], field: str) -> str:
    example = (model.model_fields[field].examples or [""])[0]
    return f'{field} = "{example}"' if isinstance(example, str) else f"{field} = {example}"


def _unknown(model: type[Table], field: str) -> str:
    if model is OwnLine and field.startswith(("price", "discount")):
        return "own pieces cost nothing; leave the price out, or list the piece under [[rack]]"
    if near := _near(model, field):
        return f"unknown field; did you mean {near}?"
    known = f"known here are {', '.join(_known(model))}"
    home = _home(field)
    return f"unknown field here; {field} is written {home}; {known}" if home else f"unknown field; {known}"


def _home(field: str) -> str:
    """Return where a field is written; empty for one that is unknown everywhere."""
    if field in TopFields.model_fields:
        return "at the top, above [saw]"
    homes = [home for home, table in _HOMES.items() if field in table.model_fields]
    return f"in {listed(homes)}" if homes else ""


def _known(model: type[Table]) -> list[str]:
    return list((JobFile if model is TopFields else model).model_fields)


def _near(model: type[Table], field: str) -> str:
    """Return the known field that a misspelt one most likely means; empty where none is near."""
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - only where something is misspelt

    near = process.extractOne(field, _known(model), scorer=fuzz.ratio, score_cutoff=_ALIKE)
    return str(near[0]) if near else ""


def _shown(value: Any) -> str:
    text = value if isinstance(value, str) else str(value)
    return text if len(text) <= _MOST_SHOWN else text[: _MOST_SHOWN - 3] + "..."
