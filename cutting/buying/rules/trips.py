"""Rule: what can be carried, and that fetching an order takes as many trips as its weight asks for."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil
from typing import Any, Final

from cutting.buying.market import Rows
from cutting.buying.terms import Terms
from cutting.question.job import Job, Stick

__all__ = ["reach_of", "trip_rows", "trips_of"]

# A trip's load in whole numbers; masses are rounded down, so that trips are never overstated. CP-SAT 9.15 was seen to
# presolve rows with coefficients around 2^31 wrongly (it called a dearer basket optimal), so this stays well below.
MASS_UNITS: Final = 1 << 20


def reach_of(job: Job, stick: Stick) -> Fraction | None:
    """Longest piece of a stick that can be carried: by its length, and by its weight on one trip."""
    limits = [job.carry.longest] if job.carry.longest is not None else []
    if job.carry.load is not None and stick.section.mass:
        limits.append(job.carry.load / stick.section.mass * 1000)
    return min(limits, default=None)


def trips_of(terms: Terms, mass: Fraction) -> int:
    """Return the trips that so many kg take."""
    return 1 if terms.load is None else max(1, ceil(mass / terms.load))


def trip_rows(master: Rows, terms: Terms, numbers: Sequence[int], collect: Any) -> Any:
    """Return the trips that the sticks of these lines take where they are collected."""
    load = terms.load
    if load is None:
        return collect
    lines = [master.market.lines[number] for number in numbers]
    masses = [int(line.mass / load * MASS_UNITS) for line in lines]
    most = -(-sum(mass * line.most for mass, line in zip(masses, lines, strict=True)) // MASS_UNITS) + 1
    trips = master.model.new_int_var(0, most, "")
    master.model.add(trips >= collect)
    carried = sum(mass * master.taken(number) for mass, number in zip(masses, numbers, strict=True))
    master.model.add(trips * MASS_UNITS + most * MASS_UNITS >= carried + most * MASS_UNITS * collect)
    return trips
