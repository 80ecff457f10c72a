"""What all sheets of one workbook need: the plan, units, number formats, places of columns."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from typing import Final

from cutting.answer.plan import Plan, Result
from cutting.question.job import Job, Part, Source, Stick
from cutting.question.lengths import Unit
from cutting.question.money import minor_digits
from shared.view.assemblies import steel_lengths
from shared.view.drawing import stick_ranges
from shared.view.issue import Issue
from shared.wording.tape import Tape, tape_of
from shared.wording.values import is_imperial
from shared.writers.xlsx.cells import Cell, Formula, Value, value_of

__all__ = [
    "BUY_LIST",
    "CUT_SHEET",
    "FROM",
    "PARTS",
    "Frame",
    "Rows",
    "added",
    "column_sum",
    "length_form",
    "number_of",
    "place_of",
    "span_of",
    "total_of",
]

FROM: Final = {Source.STICKS: "yard", Source.RACK: "yard's rack", Source.OWN: "own drops"}
BUY_LIST, CUT_SHEET, PARTS = "Buy list", "Cut sheet", "Parts"

_POUND: Final = Fraction("0.45359237")
_SQUARE_FOOT: Final = Fraction("0.09290304")
_MOST_PLACES: Final = 4


@dataclass(frozen=True, kw_only=True)
class Frame:
    """One plan on its way into a workbook.

    Attributes
    ----------
    job, result, plan, issue
        As given to `shared.writers.xlsx.workbook_of`; the plan is the result's.
    """

    job: Job
    result: Result
    plan: Plan
    issue: Issue

    @cached_property
    def tape(self) -> Tape:
        """How lengths are written."""
        return tape_of(self.job)

    @cached_property
    def sticks(self) -> Mapping[str, Stick]:
        """The job's lines of sticks by id."""
        return {stick.id: stick for stick in self.job.sticks}

    @cached_property
    def parts(self) -> Mapping[str, Part]:
        """The job's parts by mark."""
        return {part.mark: part for part in self.job.parts}

    @cached_property
    def steel(self) -> Mapping[str, Fraction]:
        """Length of steel in one piece by mark, mm: along its centre line."""
        return steel_lengths(self.job, self.plan)

    @cached_property
    def spans(self) -> tuple[str, ...]:
        """For each layout the numbers of its sticks: ``1–6``."""
        return tuple(span_of(numbers) for _, numbers in stick_ranges(self.plan))

    @property
    def money(self) -> str:
        """Currency of every amount; empty in a job without prices."""
        return self.job.currency or ""

    @property
    def money_form(self) -> str:
        """Number format of an amount of money."""
        places = minor_digits(self.money) if self.money else 0
        return "#,##0" + ("." + "0" * places if places else "")

    @property
    def weight_unit(self) -> str:
        """``lb`` beside inches and feet, else ``kg``."""
        return "lb" if is_imperial(self.job.unit) else "kg"

    @property
    def surface_unit(self) -> str:
        """``sq ft`` beside inches and feet, else ``m²``."""
        return "sq ft" if is_imperial(self.job.unit) else "m²"

    def weight(self, kg: Fraction | None) -> float | None:
        """Return a weight in its unit; None stays None."""
        return None if kg is None else float(kg / _POUND if is_imperial(self.job.unit) else kg)

    def surface(self, square_metres: Fraction | None) -> float | None:
        """Return a surface in its unit; None stays None."""
        if square_metres is None:
            return None
        return float(square_metres / _SQUARE_FOOT if is_imperial(self.job.unit) else square_metres)

    def number(self, mm: Fraction) -> float | int:
        """Return a length in the job's unit."""
        return number_of(mm, self.job.unit)

    def length_form(self, lengths: Iterable[Fraction]) -> str:
        """Return a number format with as many decimals as these lengths need, up to four."""
        return length_form(lengths, self.job.unit)

    @property
    def shop_unit(self) -> str:
        """Heading of the shop's writing: fractions for inches, both systems where a job mixes them."""
        if self.tape.other is not None:
            return self.tape.heading
        return "as fraction" if self.job.unit in {Unit.IN, Unit.FT} else "as text"


def number_of(mm: Fraction, unit: Unit) -> float | int:
    """Return a length in a unit."""
    value = mm / unit.mm
    return int(value) if value.denominator == 1 else float(value)


def length_form(lengths: Iterable[Fraction], unit: Unit) -> str:
    """Return a number format with as many decimals as these lengths need in a unit, up to four."""
    values = [mm / unit.mm for mm in lengths]
    places = next(
        (p for p in range(_MOST_PLACES) if all((value * 10**p).denominator == 1 for value in values)), _MOST_PLACES
    )
    return "0" + ("." + "0" * places if places else "")


def span_of(numbers: tuple[int, ...]) -> str:
    """Write the numbers of alike sticks: ``7`` or ``1–6``."""
    return str(numbers[0]) if len(numbers) == 1 else f"{numbers[0]}–{numbers[-1]}"


Rows = Sequence[tuple[Cell, ...]]


def place_of(column: str) -> int:
    """Return the place of a column in a row: ``A`` is 0."""
    return ord(column) - ord("A")


def column_sum(leaf: str, column: str, count: int) -> str:
    """Return the sum of a column of a sheet with so many rows, for use in a formula."""
    return f"SUM('{leaf}'!${column}$2:${column}${count + 1})"


def added(rows: Rows, column: str) -> Value:
    """Return what a column comes to."""
    values = [value_of(row[place_of(column)]) for row in rows]
    if any(isinstance(value, float) for value in values):
        return float(sum(map(float, values)))
    return sum((Decimal(value) for value in values), Decimal(0))


def total_of(column: str, rows: Rows) -> Formula:
    """Return the formula below a column."""
    return Formula(text=f"=SUM({column}2:{column}{len(rows) + 1})", value=added(rows, column))
