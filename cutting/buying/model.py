"""From one section of a job to integers and back: what the solver sees, and what it meant.

Square parts l_1..l_n with kerf k fit on a stick of clear length U if and only if ``sum(l) + (n-1) k <= U``; adding one
kerf to each side gives ``sum(l + k) <= U + k``, a plain knapsack.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import gcd, lcm

from cutting.answer.plan import Objective
from cutting.fit.angled.model import group_parts, has_angles, model_rows, safe_sizes, shortest_row
from cutting.fit.grid import coarsen
from cutting.fit.instance import Instance
from cutting.question.job import Job, Part, Section, Source, Stick
from cutting.question.money import minor_digits
from cutting.question.prices import stick_prices

__all__ = ["Kind", "SectionModel", "model_section", "objective_of", "on_grid", "price_table"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Kind:
    """Sticks that are the same to the solver: equal clear length, cost and origin.

    Attributes
    ----------
    sticks : tuple of Stick
        The job's lines, in its order.
    own : bool
        One's own drops.
    """

    sticks: tuple[Stick, ...]
    own: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class SectionModel:
    """One section as integers, with what they stand for.

    Attributes
    ----------
    section : Section
        Which.
    instance : Instance
        The integers.
    parts : tuple of tuple of Part
        For each size of the instance the parts of that size, in the job's order.
    kinds : tuple of Kind
        For each kind of stick of the instance the job's lines.
    cost_unit : Fraction
        What one integer unit of cost is in the objective's unit.
    own_lengths : tuple of int
        For each kind the steel of one's own that one stick of it uses, on a grid of its own; 0 where bought.
    """

    section: Section
    instance: Instance
    parts: tuple[tuple[Part, ...], ...]
    kinds: tuple[Kind, ...]
    cost_unit: Fraction
    own_lengths: tuple[int, ...]


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


def model_section(job: Job, section: Section, costs: dict[str, Fraction]) -> SectionModel | None:
    """Build the integers of one section.

    Parameters
    ----------
    job : Job
        The job.
    section : Section
        One of its sections.
    costs : dict
        From `price_table`.

    Returns
    -------
    SectionModel or None
        None where nothing that is sold can hold even the shortest part, so that there is nothing to solve.
    """
    kerf = job.saw.kerf
    parts = [part for part in job.parts if part.section.key == section.key]
    if has_angles(parts):
        return _model_rows(job, section, parts, costs)
    by_length: dict[Fraction, list[Part]] = {}
    for part in parts:
        by_length.setdefault(part.length, []).append(part)
    lengths = sorted(by_length, reverse=True)
    kinds = _kinds(job, section, costs, lengths[-1])
    if not kinds:
        return None
    first = [kind.sticks[0] for kind in kinds]
    demands = tuple(sum(part.quantity for part in by_length[length]) for length in lengths)
    _, units = on_grid([kerf, *lengths, *(stick.clear for stick in first)])
    grid = coarsen(units[1 : len(lengths) + 1], demands, units[0], units[len(lengths) + 1 :])
    unit, money = _cost_integers(job, [costs[stick.id] for stick in first])
    _, own = on_grid([stick.length if kind.own else Fraction(0) for kind, stick in zip(kinds, first, strict=True)])
    return SectionModel(
        section=section,
        instance=Instance(
            sizes=grid.sizes,
            demands=demands,
            capacities=grid.capacities,
            costs=money,
            limits=tuple(_limit(kind, sum(demands)) for kind in kinds),
        ),
        parts=tuple(tuple(by_length[length]) for length in lengths),
        kinds=kinds,
        cost_unit=unit,
        own_lengths=own,
    )


def _model_rows(job: Job, section: Section, parts: Sequence[Part], costs: dict[str, Fraction]) -> SectionModel | None:
    """Build the integers of a section some of whose parts have angled ends."""
    groups = group_parts(section, parts)
    kinds = _kinds(job, section, costs, shortest_row(job, section, groups))
    if not kinds:
        return None
    first = [kind.sticks[0] for kind in kinds]
    rows = model_rows(job, section, groups, [stick.clear for stick in first])
    sizes, capacities = safe_sizes(rows)
    demands = tuple(sum(part.quantity for part in group.parts) for group in groups)
    unit, money = _cost_integers(job, [costs[stick.id] for stick in first])
    _, own = on_grid([stick.length if kind.own else Fraction(0) for kind, stick in zip(kinds, first, strict=True)])
    return SectionModel(
        section=section,
        instance=Instance(
            sizes=sizes,
            demands=demands,
            capacities=capacities,
            costs=money,
            limits=tuple(_limit(kind, sum(demands)) for kind in kinds),
            rows=rows,
        ),
        parts=tuple(group.parts for group in groups),
        kinds=kinds,
        cost_unit=unit,
        own_lengths=own,
    )


def _cost_integers(job: Job, costs: list[Fraction]) -> tuple[Fraction, tuple[int, ...]]:
    if job.currency is not None:
        unit = Fraction(1, 10 ** minor_digits(job.currency))
        return unit, tuple(int(cost / unit) for cost in costs)
    return on_grid(costs)


def _kinds(job: Job, section: Section, costs: dict[str, Fraction], shortest: Fraction) -> tuple[Kind, ...]:
    groups: dict[tuple[Fraction, Fraction, bool, Fraction], list[Stick]] = {}
    for stick in job.sticks:
        if stick.section.key == section.key and stick.clear >= shortest:
            own = stick.source is Source.OWN
            groups.setdefault((stick.clear, costs[stick.id], own, stick.length), []).append(stick)
    return tuple(Kind(sticks=tuple(sticks), own=key[2]) for key, sticks in groups.items())


def _limit(kind: Kind, pieces: int) -> int:
    counts = [stick.available for stick in kind.sticks]
    known = [count for count in counts if count is not None]
    return pieces if len(known) < len(counts) else min(pieces, sum(known))
