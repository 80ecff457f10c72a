"""Make a job from plain Python values, for notebooks and scripts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final

from cutting.question.errors import JobError, LengthError
from cutting.question.feasible import input_problems
from cutting.question.frames import Frame, plain_rows
from cutting.question.job import Job, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit, parse_length
from cutting.question.money import is_currency, read_amount
from cutting.question.problems import Problem

__all__ = ["make_job"]

Value = str | int | Decimal | Fraction
Row = Sequence[Any]
_COLUMNS: Final = {
    "parts": (("section", "length", "quantity"), ("mark",)),
    "sticks": (("section", "length", "price"), ("available",)),
    "rack": (("section", "length", "price"), ("quantity",)),
    "own": (("section", "length"), ("quantity",)),
}
"""Columns that a data frame must and may have."""


def make_job(
    *,
    unit: Unit | str,
    kerf: Value,
    parts: Iterable[Row] | Frame,
    sticks: Iterable[Row] | Frame = (),
    rack: Iterable[Row] | Frame = (),
    own: Iterable[Row] | Frame = (),
    end_trim: Value | Sequence[Value] = 0,
    currency: str | None = None,
    title: str = "",
) -> Job:
    """Make a job from rows of plain values, or from data frames whose columns are named as the rows' values here.

    Parameters
    ----------
    unit : Unit or str
        What a bare number means: in, ft, mm, cm, m.
    kerf : str, int, Decimal or Fraction
        Steel that one cut takes.
    parts : iterable of (section, length, quantity) or (section, length, quantity, mark)
        The section as a name or a `Section`; marks are numbered P1, P2, ... where missing.
    sticks : iterable of (section, length, price) or (section, length, price, available)
        What a yard sells; price None throughout for a job without prices, available None for as many as you like.
    rack : iterable of (section, length, price) or (section, length, price, quantity)
        A yard's offcuts, one of each where no quantity is given.
    own : iterable of (section, length) or (section, length, quantity)
        One's own drops.
    end_trim : length or (length, length)
        Taken off one end of every stick, or off both.
    currency : str or None
        ISO 4217 code; needed as soon as anything has a price.
    title : str
        Shown on all paper.

    Returns
    -------
    Job
        Ready for `solve`.

    Raises
    ------
    JobError
        With every problem of every row.

    Examples
    --------
    >>> job = make_job(
    ...     unit="in", kerf="3/32", currency="USD",
    ...     parts=[("tube", "80 1/2", 4)], sticks=[("tube", "20 ft", "61.40")],
    ... )
    >>> job.parts[0].mark, job.sticks[0].id
    ('P1', 'S1')
    >>> make_job(unit="in", kerf="3/32", parts=[("tube", "80,5", 4)])
    Traceback (most recent call last):
    cutting.question.errors.JobError: parts[0]: a comma has two readings; write 1200 or 1.2 (the decimal sign is a point)
    """  # noqa: E501  what Python prints is one line
    rows = _Rows(_unit(unit))
    saw = Saw(kerf=rows.length(kerf, "kerf"))
    pair = end_trim if isinstance(end_trim, list | tuple) else (end_trim, 0)
    trims = (rows.length(pair[0], "end_trim"), rows.length(pair[1], "end_trim"))
    if currency is not None and not is_currency(currency):
        rows.problem("currency", currency, "write the three-letter code of ISO 4217, such as USD or EUR")
    made = Job(
        parts=tuple(rows.part(row, number) for number, row in enumerate(rows.plain("parts", parts))),
        sticks=tuple(
            rows.stick(source, row, number, trims)
            for source, lines in ((Source.STICKS, sticks), (Source.RACK, rack), (Source.OWN, own))
            for number, row in enumerate(rows.plain(source.value, lines))
        ),
        saw=saw,
        unit=_unit(unit),
        title=title,
        currency=currency,
    )
    problems = rows.problems or input_problems(made)
    if problems:
        raise JobError(problems)
    return made


def _unit(unit: Unit | str) -> Unit:
    try:
        return Unit(unit)
    except ValueError:
        known = ", ".join(Unit)
        raise JobError([Problem(where="unit", text=str(unit), message=f"write one of {known}")]) from None


class _Rows:
    """Reads rows and keeps what is wrong with them."""

    def __init__(self, unit: Unit) -> None:
        self._unit = unit
        self.problems: list[Problem] = []

    def problem(self, where: str, value: Any, message: str) -> None:
        self.problems.append(Problem(where=where, text=str(value), message=message))

    def plain(self, name: str, rows: Any) -> Iterable[Row]:
        return plain_rows(rows, *_COLUMNS[name], name, self.problem)

    def length(self, value: Any, where: str) -> Fraction:
        try:
            return parse_length(value, self._unit)
        except LengthError as error:
            self.problem(where, value, error.wanted)
        except TypeError as error:
            self.problem(where, value, str(error))
        return Fraction(1)

    def part(self, row: Row, number: int) -> Part:
        where = f"parts[{number}]"
        section, length, quantity, mark = self._cells(row, 3, (f"P{number + 1}",), where, "section, length, quantity")
        return Part(
            mark=str(mark),
            section=_section(section),
            length=self.length(length, where),
            quantity=self._count(quantity, where),
        )

    def stick(self, source: Source, row: Row, number: int, trims: tuple[Fraction, Fraction]) -> Stick:
        where = f"{source.value}[{number}]"
        if source is Source.OWN:
            section, length, count = self._cells(row, 2, (1,), where, "section, length")
            price = None
        else:
            spare = None if source is Source.STICKS else 1
            section, length, price, count = self._cells(row, 3, (spare,), where, "section, length, price")
        return Stick(
            id=f"{source.value[0].upper()}{number + 1}",
            section=_section(section),
            length=self.length(length, where),
            source=source,
            price=self._price(price, where),
            available=None if count is None else self._count(count, where),
            trims=trims,
        )

    def _cells(self, row: Row, needed: int, spare: tuple[Any, ...], where: str, wanted: str) -> Sequence[Any]:
        if isinstance(row, str) or not needed <= len(row) <= needed + len(spare):
            self.problem(where, row, f"write a row of {wanted}")
            return ("", 1, 1, "", 1)[:needed] + spare
        return (*row, *spare[len(row) - needed :])

    def _count(self, value: Any, where: str) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or value < 1:
            self.problem(where, value, "write a whole number of 1 or more")
            return 1
        return value

    def _price(self, value: Any, where: str) -> PerStick | None:
        if value is None:
            return None
        try:
            return PerStick(amount=read_amount(value))
        except (TypeError, ValueError) as error:
            self.problem(where, value, str(error))
            return None


def _section(section: Any) -> Section:
    return section if isinstance(section, Section) else Section(name=str(section))
