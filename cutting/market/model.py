"""From a job with yards to integers: lines of sticks, rooms of sections, parts that may go to several of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from cutting.grid import coarsen
from cutting.instance import Instance
from cutting.job import Job, Part, Section, Source, Stick
from cutting.market.charges import Terms, terms_of, whole_units
from cutting.market.windows import Windows, window_lengths
from cutting.model import on_grid, price_table
from cutting.money import minor_digits
from cutting.prices import price_steps
from cutting.yards import Yard

__all__ = ["Line", "Market", "Room", "Way", "Wish", "model_market", "reach_of"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Way:
    """One way to take a stick of a line: a kind of stick of a room.

    Attributes
    ----------
    stick : Stick
        The job's line.
    cuts : int
        Cuts the yard makes in it.
    windows : Windows or None
        What these leave of it, in the room's units; None for an uncut stick.
    only_delivered : bool
        Uncut it is too long or too heavy to be carried.
    """

    stick: Stick
    cuts: int
    windows: Windows | None
    only_delivered: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Room:
    """One section with every part that may be cut from it.

    Attributes
    ----------
    section : Section
        Which.
    instance : Instance
        Its integers, at the largest demand there can be.
    parts : tuple of tuple of Part
        For each size the parts of that length, as the job states them.
    ways : tuple of Way
        For each kind of stick of the instance.
    """

    section: Section
    instance: Instance
    parts: tuple[tuple[Part, ...], ...]
    ways: tuple[Way, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """One line of the parts list and where it may be cut.

    Attributes
    ----------
    part : Part
        The line.
    places : tuple of (int, int)
        Rooms and the size it has there, its own section first, then substitutes in the designer's order.
    """

    part: Part
    places: tuple[tuple[int, int], ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """One line of sticks.

    Attributes
    ----------
    stick : Stick
        The job's line.
    room : int
        Its section's room.
    kinds : tuple of int
        The room's kinds of stick that are ways to take it.
    yard : int or None
        Number of its yard's terms; None for own pieces.
    steps : tuple of (int, int)
        (from so many, price of each in units of cost), ascending, the first from 1.
    most : int
        Sticks of it that may be taken.
    mass : Fraction
        kg of one stick; 0 where unknown.
    """

    stick: Stick
    room: int
    kinds: tuple[int, ...]
    yard: int | None
    steps: tuple[tuple[int, int], ...]
    most: int
    mass: Fraction

    def price(self, count: int) -> int:
        """Return the price of each of so many sticks."""
        return next(price for least, price in reversed(self.steps) if count >= least or least == 1)


@dataclass(frozen=True, kw_only=True, slots=True)
class Market:
    """The whole job in integers.

    Attributes
    ----------
    rooms : tuple of Room
        Sections with something to be cut and something to cut it from.
    lines : tuple of Line
        All lines with a use.
    wishes : tuple of Wish
        The parts list.
    terms : tuple of Terms
        Yards in the order of the job, then those only lines name.
    kind_cost : int
        Cost of every section bought after the first.
    unit : Fraction
        What one unit of cost is in the objective's unit.
    """

    rooms: tuple[Room, ...]
    lines: tuple[Line, ...]
    wishes: tuple[Wish, ...]
    terms: tuple[Terms, ...]
    kind_cost: int
    unit: Fraction


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
    yards = _yards(job)
    candidates = [_room(job, section, yards) for section in _sections(job)]
    rooms = tuple(room for room in candidates if room is not None)
    unit, steps = _steps(job)
    names = list(yards)
    return Market(
        rooms=tuple(_priced(room, steps) for room in rooms),
        lines=tuple(_lines(job, rooms, steps, names)),
        wishes=tuple(_wish(part, rooms) for part in job.parts),
        terms=tuple(terms_of(yard, job.currency, job.carry.load) for yard in yards.values()),
        kind_cost=whole_units(job.kind_cost, job.currency),
        unit=unit,
    )


def _yards(job: Job) -> dict[str, Yard]:
    """Every yard by name; one that is only named has no terms."""
    found = {yard.name: yard for yard in job.yards}
    for stick in job.sticks:
        if stick.source is not Source.OWN:
            found.setdefault(stick.yard, Yard(name=stick.yard))
    return found


def _sections(job: Job) -> list[Section]:
    """Every section a part may be cut from, own ones first."""
    found = {section.key: section for section in job.sections}
    for part in job.parts:
        for substitute in part.substitutes:
            found.setdefault(substitute.section.key, substitute.section)
    return list(found.values())


def _accepts(part: Part, section: Section) -> bool:
    return section.key in {part.section.key, *(other.section.key for other in part.substitutes)}


def _room(job: Job, section: Section, yards: dict[str, Yard]) -> Room | None:
    """Model one section; None where nothing that is there holds any of its parts."""
    sticks = [stick for stick in job.sticks if stick.section.key == section.key]
    wanted = [part for part in job.parts if _accepts(part, section)]
    found = [entry for stick in sticks for entry in _ways(job, stick, yards)]
    longest = max((_longest_part(stick, windows) for stick, _, windows, _ in found), default=Fraction(0))
    by_length: dict[Fraction, list[Part]] = {}
    for part in wanted:
        if part.length <= longest:
            by_length.setdefault(part.length, []).append(part)
    if not by_length:
        return None
    lengths = sorted(by_length, reverse=True)
    found = [entry for entry in found if _longest_part(entry[0], entry[2]) >= lengths[-1]]
    demands = tuple(sum(part.quantity for part in by_length[length]) for length in lengths)
    sizes, capacities, windows = _integers(job, lengths, demands, found)
    pieces = sum(demands)
    return Room(
        section=section,
        instance=Instance(
            sizes=sizes,
            demands=demands,
            capacities=capacities,
            costs=(0,) * len(found),
            limits=tuple(pieces if s.available is None else min(pieces, s.available) for s, _, _, _ in found),
        ),
        parts=tuple(tuple(by_length[length]) for length in lengths),
        ways=tuple(
            Way(stick=stick, cuts=cuts, windows=window, only_delivered=only)
            for (stick, cuts, _, only), window in zip(found, windows, strict=True)
        ),
    )


Found = tuple[Stick, int, tuple[Fraction, ...], bool]


def _longest_part(stick: Stick, windows: tuple[Fraction, ...]) -> Fraction:
    return max(windows) if windows else stick.clear


def _ways(job: Job, stick: Stick, yards: dict[str, Yard]) -> list[Found]:
    """List the ways to take a stick: (line, yard cuts, largest windows, only where delivered)."""
    if stick.source is Source.OWN:
        return [(stick, 0, (), False)]
    yard = yards[stick.yard]
    reach = reach_of(job, stick)
    ways: list[Found] = []
    carried = reach is None or stick.length <= reach
    if (carried and yard.collecting is not None) or yard.delivery is not None:
        ways.append((stick, 0, (), not carried))
    if carried or yard.collecting is None or yard.cuts is None or reach is None:
        return ways
    least = ceil(stick.length / reach) - 1
    for cuts in (least, least + 1):
        windows = window_lengths(stick, cuts=cuts, reach=reach, allowance=yard.cuts.allowance)
        if windows is not None:
            ways.append((stick, cuts, windows, False))
    return ways


def reach_of(job: Job, stick: Stick) -> Fraction | None:
    """Longest piece of a stick that can be carried: by its length, and by its weight on one trip."""
    limits = [job.carry.longest] if job.carry.longest is not None else []
    if job.carry.load is not None and stick.section.mass:
        limits.append(job.carry.load / stick.section.mass * 1000)
    return min(limits, default=None)


def _integers(
    job: Job, lengths: Sequence[Fraction], demands: Sequence[int], found: Sequence[Found]
) -> tuple[tuple[int, ...], tuple[int, ...], list[Windows | None]]:
    """Put sizes, capacities and windows on one grid on which the same patterns fit."""
    usable: list[Fraction] = []
    for stick, cuts, windows, _ in found:
        if not windows:
            usable.append(stick.clear)
            continue
        yard = next(yard for yard in job.yards if yard.name == stick.yard)
        assert yard.cuts is not None
        kept = stick.clear - cuts * yard.cuts.allowance
        usable += windows
        usable += [kept + filled * job.saw.kerf for filled in range(cuts + 1)]
    _, units = on_grid([job.saw.kerf, *lengths, *usable])
    grid = coarsen(units[1 : len(lengths) + 1], demands, units[0], units[len(lengths) + 1 :])
    rest = list(grid.capacities)
    capacities: list[int] = []
    shapes: list[Windows | None] = []
    for _, _, windows, _ in found:
        count = len(windows)
        if not count:
            capacities.append(rest.pop(0))
            shapes.append(None)
            continue
        shape = Windows(caps=tuple(rest[:count]), totals=tuple(rest[count : 2 * count]))
        del rest[: 2 * count]
        capacities.append(min(shape.totals[-1], sum(shape.caps)))
        shapes.append(shape)
    return grid.sizes, tuple(capacities), shapes


def _steps(job: Job) -> tuple[Fraction, dict[str, tuple[tuple[int, int], ...]]]:
    """Return the unit of cost and the price steps of each line in it."""
    if job.currency is not None:
        unit = Fraction(1, 10 ** minor_digits(job.currency))
        table = {
            stick: tuple((least, int(Fraction(price) / unit)) for least, price in steps)
            for stick, steps in price_steps(job).items()
        }
        return unit, table
    costs = price_table(job)
    unit, whole = on_grid(list(costs.values()))
    return unit, {stick: ((1, number),) for stick, number in zip(costs, whole, strict=True)}


def _priced(room: Room, steps: dict[str, tuple[tuple[int, int], ...]]) -> Room:
    """Give the room's instance the prices for few sticks, to guide the first relaxation."""
    inst = room.instance
    costs = tuple(steps[way.stick.id][0][1] for way in room.ways)
    instance = Instance(
        sizes=inst.sizes, demands=inst.demands, capacities=inst.capacities, costs=costs, limits=inst.limits
    )
    return Room(section=room.section, instance=instance, parts=room.parts, ways=room.ways)


def _lines(
    job: Job, rooms: Sequence[Room], steps: dict[str, tuple[tuple[int, int], ...]], names: list[str]
) -> list[Line]:
    lines = []
    for stick in job.sticks:
        for number, room in enumerate(rooms):
            kinds = tuple(kind for kind, way in enumerate(room.ways) if way.stick is stick)
            if kinds:
                lines.append(
                    Line(
                        stick=stick,
                        room=number,
                        kinds=kinds,
                        yard=None if stick.source is Source.OWN else names.index(stick.yard),
                        steps=steps[stick.id],
                        most=room.instance.limits[kinds[0]],
                        mass=stick.length / 1000 * (stick.section.mass or 0),
                    )
                )
    return lines


def _wish(part: Part, rooms: Sequence[Room]) -> Wish:
    order = [part.section.key, *(other.section.key for other in part.substitutes)]
    places = []
    for key in order:
        for number, room in enumerate(rooms):
            if room.section.key == key:
                sizes = [size for size, parts in enumerate(room.parts) if any(each is part for each in parts)]
                places += [(number, size) for size in sizes]
    return Wish(part=part, places=tuple(places))
