"""What is minimised and what a stick costs; one section as integers beside what they stand for."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import gcd, lcm

from cutting.answer.plan import Objective
from cutting.fit.instance import Instance
from cutting.question.job import Job, Part, Section, Source, Stick
from cutting.question.prices import stick_prices

__all__ = ["SectionModel", "objective_of", "on_grid", "price_table"]


@dataclass(frozen=True, kw_only=True, slots=True)
class SectionModel:
    """One section as integers, with what they stand for: what layouts are made from.

    Attributes
    ----------
    section : Section
        Which.
    instance : Instance
        The integers.
    parts : tuple of tuple of Part
        For each size of the instance the parts of that size, in the job's order.
    sticks : tuple of Stick
        For each kind of stick of the instance the job's line.
    """

    section: Section
    instance: Instance
    parts: tuple[tuple[Part, ...], ...]
    sticks: tuple[Stick, ...]


def objective_of(job: Job) -> Objective:
    """What is minimised: money, or without prices bought length, by weight where several sections have one."""
    if job.priced:
        return Objective.MONEY
    others = [substitute.section for part in job.parts for substitute in part.substitutes]
    sections = {section.key: section for section in (*job.sections, *others)}.values()
    known = all(section.mass is not None for section in sections)
    return Objective.WEIGHT if len(sections) > 1 and known else Objective.LENGTH


def price_table(job: Job) -> dict[str, Fraction]:
    """Cost of one stick of each line in the objective's unit: money, mm or kg; own pieces cost nothing."""
    objective = objective_of(job)
    prices = stick_prices(job)
    table: dict[str, Fraction] = {}
    for stick in job.sticks:
        if stick.source is Source.OWN and stick.price is None:
            table[stick.id] = Fraction(0)
        elif objective is Objective.MONEY:
            table[stick.id] = Fraction(prices[stick.id] or Decimal(0))
        elif objective is Objective.WEIGHT:
            table[stick.id] = stick.length / 1000 * (stick.section.mass or 0)
        else:
            table[stick.id] = stick.length
    return table


def _grid(values: list[Fraction]) -> Fraction:
    """Coarsest grid that holds every value."""
    denominator = lcm(*(v.denominator for v in values))
    step = gcd(*(int(v * denominator) for v in values))
    return Fraction(step or 1, denominator)


def on_grid(values: list[Fraction]) -> tuple[Fraction, tuple[int, ...]]:
    """Return the coarsest grid that holds every value, and the values on it."""
    grid = _grid(values)
    return grid, tuple(int(v / grid) for v in values)
