"""Read what the sheet states once, by the rules of the job file: its blanks fill in the tables that a file has."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Final

from api.sheet.blanks import Pen, Place, blank_at, blanks_of, told
from api.sheet.form import SheetForm
from api.sheet.yards import YardForm, field_of
from cutting.question.job import Job
from cutting.question.problems import Problem
from cutting.question.yards import Charge, Yard
from shared.files.job.fields import Reading, readable
from shared.files.job.read import read_stated
from shared.files.job.table import table_at
from shared.files.job.wire import JobFile

__all__ = ["Stated", "field_at", "stated_on"]

_LONGEST_TITLE: Final = 200
_YARD: Final = re.compile(r"(?:yards\[(?P<index>\d+)\]|yard-(?P<number>\d+))\.?(?P<rest>.*)")
_STEP: Final = re.compile(r"\[(\d+)\]|([^.\[]+)")
_NAMELESS: Final = "without a name"
_STAND_INS: Final = {"name": _NAMELESS, "kerf": "0"}
"""What stands in for a field that its table can't be without, while the rest is looked through."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Stated:
    """What a sheet states once.

    Attributes
    ----------
    job : Job
        The job, without lists.
    trims : tuple of Fraction
        mm taken off both ends of each stick.
    numbers : tuple of int
        The number on the sheet of each yard of the job; 0 for one that the lists only name.
    """

    job: Job
    trims: tuple[Fraction, Fraction]
    numbers: tuple[int, ...]


def field_at(where: str, numbers: Sequence[int] = ()) -> str | None:
    """Return the field of the sheet that a problem of the job is about; None where it is about none of these.

    Parameters
    ----------
    where : str
        Field path of the job file; a yard is ``yards[1]``, or ``yard-2`` by its number on the sheet.
    numbers : sequence of int
        The number on the sheet of each yard.

    Examples
    --------
    >>> field_at("yard-2.cuts.allowance"), field_at("carry.load"), field_at("keep_value"), field_at("parts:3.length")
    ('yard-2-allowance', 'load', 'leftover', None)
    """
    found = _YARD.fullmatch(where)
    if found is None:
        return blank_at(SheetForm, where)
    number = int(found["number"] or numbers[int(found["index"])])
    return field_of(number, blank_at(YardForm, found["rest"]) or "name")


def stated_on(form: SheetForm, reading: Reading, blame: Callable[[str, str], None], names: Iterable[str]) -> Stated:
    """Read what a sheet states once; everything wrong is said at its blank, all at once, and left out.

    Parameters
    ----------
    form : SheetForm
        As written, the kerf settled.
    reading : Reading
        What a bare length means; the currency, None where the lists have no prices.
    blame : callable
        Hears a field and what is wrong with it.
    names : iterable of str
        All yards that sheet and lists name.
    """
    pen = Pen(reading=reading, blame=blame)
    raw: dict[str, Any] = {"title": readable(form.title)[:_LONGEST_TITLE], "unit": reading.unit.value} | told(pen, form)
    saw = raw.get("saw", {})
    if form.both_ends and "end_trim" in saw:
        saw["end_trim"] = [saw["end_trim"]] * 2
    numbers = [number for number, yard in enumerate(form.yards, 1) if not yard.empty]
    raw["yards"] = [_yard(pen, number, form.yards[number - 1]) for number in numbers]
    stated, problems = read_stated(raw, reading)
    for problem in problems:
        _blame(pen, problem, numbers)
    if problems:
        for problem in problems:
            _leave_out(raw, problem.where)
        stated, _ = read_stated(raw, reading)
    described = [(n, yard) for n, yard in zip(numbers, stated.job.yards, strict=True) if yard.name != _NAMELESS]
    known = {yard.name for _, yard in described}
    added = [(0, Yard(name=name)) for name in names if described and name not in known]
    return Stated(
        job=replace(stated.job, yards=tuple(yard for _, yard in (*described, *added))),
        trims=stated.trims,
        numbers=tuple(number for number, _ in (*described, *added)),
    )


def _yard(pen: Pen, number: int, form: YardForm) -> dict[str, Any]:
    """Return the table of one yard; what blanks say together is put together here."""
    table = told(pen, form, field_of(number, ""))
    blanks = blanks_of(form)

    def wrong(name: str, message: str) -> None:
        pen.wrong(Place(field=field_of(number, name), blank=blanks[name]), message)

    if not form.title:
        wrong("name", blanks["name"].missing)
        table["name"] = _NAMELESS
    if form.no_collecting and form.collecting.strip():
        wrong("collecting", "it costs nothing where nothing can be fetched")
    if "tax" in table:
        ticks = {Charge.MATERIAL: form.on_material, Charge.CUTS: form.on_cuts, Charge.DELIVERY: form.on_delivery}
        if on := [charge.value for charge, ticked in ticks.items() if ticked]:
            table["tax"]["on"] = on
        else:
            wrong("on_material", "tick what it is on: material, cuts, delivery")
    return table


def _blame(pen: Pen, problem: Problem, numbers: Sequence[int]) -> None:
    """Say at its blank what the job file's field says; that its fellows need it only where nothing else is wrong."""
    name = field_at(problem.where, numbers)
    blank = None if name is None else blanks_of(YardForm if "-" in name else SheetForm)[name.rpartition("-")[2]]
    if name is None or blank is None:
        raise ValueError(f"no blank of the sheet fills in {problem.where}")
    missing = not problem.text and problem.message.startswith("missing")
    if missing and name in pen.blamed:
        return
    message = blank.missing if missing and blank.missing else problem.message.replace(", without quotes", "")
    pen.wrong(Place(field=name, blank=blank), message)


def _leave_out(raw: dict[str, Any], where: str) -> None:
    """Take what is wrong out of the tables, with the table within a table that can't be without it."""
    steps: list[int | str] = [int(index) if index else name for index, name in _STEP.findall(where)]
    while steps:
        *outer, last = steps
        table: Any = raw
        for step in outer:
            table = table[step] if isinstance(step, int) or step in table else {}
        field = table_at(JobFile, outer).model_fields.get(str(last))
        if last in _STAND_INS:
            table[last] = _STAND_INS[last]
        elif isinstance(table, dict):
            table.pop(last, None)
        if field is None or not field.is_required() or last in _STAND_INS:
            return
        steps = outer
