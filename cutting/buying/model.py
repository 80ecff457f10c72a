"""From a job to integers: lines of sticks, rooms of sections, parts that may go to several of them.

Square parts l_1..l_n with kerf k fit on a stick of clear length U if and only if ``sum(l) + (n-1) k <= U``; adding one
kerf to each side gives ``sum(l + k) <= U + k``, a plain knapsack.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from cutting.buying.angles import need_alone, row_groups, row_integers
from cutting.buying.costs import Costs
from cutting.buying.drops import drops_of
from cutting.buying.lines import Line
from cutting.buying.market import Market, Room, Way, Wish
from cutting.buying.places import accepts, sections_of, yards_of
from cutting.buying.rules import costs_of, rules_of
from cutting.buying.rules.idling import with_idle
from cutting.buying.terms import terms_of
from cutting.buying.ways import Found, integers, ways_of
from cutting.fit.angled.model import has_angles
from cutting.fit.angled.rows import RowModel
from cutting.fit.instance import Instance
from cutting.fit.marked.windows import Windows
from cutting.question.job import Job, Part, Section, Source
from cutting.question.yards import Yard

__all__ = ["model_market"]


def model_market(job: Job) -> Market:
    """Build the integers of a job.

    Parameters
    ----------
    job : Job
        Without input problems.

    Returns
    -------
    Market
        A wish without a place can't be fulfilled.
    """
    yards = yards_of(job)
    costs = costs_of(job)
    rooms: list[Room] = []
    sections: list[tuple[int, ...]] = []
    for section in sections_of(job):
        here = _rooms(job, section, yards, costs)
        if here:
            sections.append(tuple(range(len(rooms), len(rooms) + len(here))))
            rooms += here
    return Market(
        rooms=tuple(rooms),
        sections=tuple(sections),
        lines=with_idle(job, _lines(job, rooms, sections, costs, list(yards)), costs, yards, len(sections)),
        wishes=_wishes(job, [rooms[some[0]] for some in sections]),
        terms=tuple(terms_of(yard, job.currency, job.carry.load) for yard in yards.values()),
        unit=costs.unit,
        money=costs.money,
        rules=rules_of(job, costs),
    )


def _rooms(job: Job, section: Section, yards: dict[str, Yard], costs: Costs) -> list[Room]:
    """Model one section; nothing where nothing that is there holds any of its parts."""
    sticks = [stick for stick in job.sticks if stick.section.key == section.key]
    wanted = [part for part in job.parts if accepts(part, section)]
    found = [entry for stick in sticks for entry in ways_of(job, stick, yards)]
    whole = _with_angles(job, section, wanted, found) if has_angles(wanted) else _square(job, section, wanted, found)
    if whole is None:
        return []
    rates = sorted({each.rate for each in whole.found})
    return [_room(job, whole, [n for n, each in enumerate(whole.found) if each.rate == r], costs) for r in rates]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Section:
    """What the rooms of a section share: parts, demands, ways to take its sticks, and all lengths on one grid."""

    section: Section
    parts: tuple[tuple[Part, ...], ...]
    found: tuple[Found, ...]
    needs: tuple[Fraction, ...]  # mm, of each size alone
    sizes: tuple[int, ...]
    capacities: tuple[int, ...]
    windows: tuple[Windows | None, ...]
    alone: tuple[int, ...]
    rows: RowModel | None = None


def _square(job: Job, section: Section, wanted: Sequence[Part], found: Sequence[Found]) -> _Section | None:
    longest = max((each.longest for each in found), default=Fraction(0))
    by_length: dict[Fraction, list[Part]] = {}
    for part in wanted:
        if part.length <= longest:
            by_length.setdefault(part.length, []).append(part)
    lengths = sorted(by_length, reverse=True)
    found = [each for each in found if lengths and each.longest >= lengths[-1]]
    if not found:
        return None
    demands = tuple(sum(part.quantity for part in by_length[length]) for length in lengths)
    sizes, capacities, windows = integers(job, lengths, demands, found)
    return _Section(
        section=section,
        parts=tuple(tuple(by_length[length]) for length in lengths),
        found=tuple(found),
        needs=tuple(lengths),
        sizes=sizes,
        capacities=capacities,
        windows=tuple(windows),
        alone=sizes,
    )


def _with_angles(job: Job, section: Section, wanted: Sequence[Part], found: Sequence[Found]) -> _Section | None:
    longest = max((each.longest for each in found), default=Fraction(0))
    groups = [
        (group, need)
        for group in row_groups(job, section, wanted)
        if (need := need_alone(job, section, group)) <= longest
    ]
    least = min((need for _, need in groups), default=None)
    found = [each for each in found if least is not None and each.longest >= least]
    if not found:
        return None
    whole = row_integers(job, section, [group for group, _ in groups], found)
    return _Section(
        section=section,
        parts=tuple(group.parts for group, _ in groups),
        found=tuple(found),
        needs=tuple(need for _, need in groups),
        sizes=whole.sizes,
        capacities=whole.capacities,
        windows=whole.windows,
        alone=whole.alone,
        rows=whole.rows,
    )


def _room(job: Job, whole: _Section, numbers: Sequence[int], costs: Costs) -> Room:
    found = [whole.found[n] for n in numbers]
    longest = max(each.longest for each in found)
    demands = tuple(
        sum(part.quantity for part in parts) if need <= longest else 0
        for need, parts in zip(whole.needs, whole.parts, strict=True)
    )
    pieces = sum(demands)
    rate = found[0].rate
    rows = whole.rows
    keep = job.keep_value
    drops = None if rows is None or keep is None or not rate else drops_of(rows, rate, keep.shortest, costs)
    if drops is None:
        takes = tuple(costs.whole(rate * (parts[0].length + job.saw.kerf)) for parts in whole.parts)
    else:
        takes = tuple(drops.worth * size for size in drops.sizes)
    ends = 0 if drops is None else drops.worth * drops.ends
    return Room(
        section=whole.section,
        instance=Instance(
            sizes=whole.sizes,
            demands=demands,
            capacities=tuple(whole.capacities[n] for n in numbers),
            costs=tuple(costs.steps[each.stick.id][0][1] for each in found),
            limits=tuple(min(pieces, pieces if (a := each.stick.available) is None else a) for each in found),
            rows=None if rows is None else replace(rows, capacities=tuple(rows.capacities[n] for n in numbers)),
        ),
        parts=whole.parts,
        ways=tuple(
            Way(
                stick=each.stick,
                cuts=each.cuts,
                windows=whole.windows[n],
                only_delivered=each.only_delivered,
                credit=costs.whole(rate * each.stick.clear) - ends,
            )
            for n, each in zip(numbers, found, strict=True)
        ),
        takes=takes,
        alone=whole.alone,
        drops=drops,
    )


def _lines(
    job: Job, rooms: Sequence[Room], sections: Sequence[tuple[int, ...]], costs: Costs, names: list[str]
) -> list[Line]:
    lines = []
    for stick in job.sticks:
        for number, section in enumerate(sections):
            kinds = [
                (room, kind) for room in section for kind, way in enumerate(rooms[room].ways) if way.stick is stick
            ]
            if kinds:
                limits = [rooms[room].instance.limits[kind] for room, kind in kinds]
                lines.append(
                    Line(
                        stick=stick,
                        section=number,
                        kinds=tuple(kinds),
                        yard=None if stick.source is Source.OWN else names.index(stick.yard),
                        steps=costs.steps[stick.id],
                        most=max(limits),
                        mass=stick.length / 1000 * (stick.section.mass or 0),
                    )
                )
    return lines


def _wishes(job: Job, rooms: Sequence[Room]) -> tuple[Wish, ...]:
    """Say of every part where it may be cut: as drawn, then from its substitutes; rooms are the sections' first."""
    sizes = [{part.mark: size for size, parts in enumerate(room.parts) for part in parts} for room in rooms]
    numbers = {room.section.key: number for number, room in enumerate(rooms)}
    wishes = []
    for part in job.parts:
        order = [numbers.get(section.key) for section in (part.section, *(each.section for each in part.substitutes))]
        places = [
            (number, sizes[number][part.mark]) for number in order if number is not None and part.mark in sizes[number]
        ]
        wishes.append(Wish(part=part, places=tuple(places)))
    return tuple(wishes)
