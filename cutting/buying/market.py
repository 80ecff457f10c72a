"""A job in integers: rooms of sections, lines of sticks, parts that may go to several places, and its rules."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Protocol, Self

from ortools.sat.python import cp_model

from cutting.answer.load import Load
from cutting.buying.costs import Costs
from cutting.buying.lines import Line
from cutting.buying.terms import Terms
from cutting.fit.instance import Instance
from cutting.fit.marked.windows import Windows
from cutting.question.job import Job, Part, Section, Stick

if TYPE_CHECKING:
    from cutting.buying.drops import RowDrops

__all__ = ["Market", "Room", "RoomOrder", "Rows", "Rule", "Taken", "Way", "Wish"]


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
    credit : int
        Worth of its drop, in units of cost, if it held nothing; each piece takes `Room.takes` of that.
    """

    stick: Stick
    cuts: int
    windows: Windows | None
    only_delivered: bool
    credit: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Room:
    """Sticks of one section, and every part that may be cut from them.

    Where leftovers are worth something, sticks whose drop is kept are another room of their section than sticks whose
    drop isn't: the same sizes, but less to fill, and what the drop is worth depends on the pieces cut there alone.

    Attributes
    ----------
    section : Section
        Which.
    instance : Instance
        Its integers, at the largest demand there can be: 0 for a size that none of its sticks holds.
    parts : tuple of tuple of Part
        For each size the parts of that length, as the job states them.
    ways : tuple of Way
        For each kind of stick of the instance.
    takes : tuple of int
        For each size what one piece takes off the worth of a kept drop, in units of cost.
    alone : tuple of int
        For each size what one piece needs alone on a stick, in the units of `holds_alone`.
    drops : RowDrops or None
        What rows of angled parts leave on sticks whose drop is kept: credits and takes say only the most it can be.
    """

    section: Section
    instance: Instance
    parts: tuple[tuple[Part, ...], ...]
    ways: tuple[Way, ...]
    takes: tuple[int, ...]
    alone: tuple[int, ...]
    drops: RowDrops | None = None

    @property
    def effort(self) -> int:
        """Estimated work: kinds of part times pieces."""
        return len(self.instance.sizes) * sum(self.instance.demands)

    def holds_alone(self, kind: int) -> int:
        """Return what the longest part may need alone that one stick of a kind can hold."""
        windows = self.ways[kind].windows
        if windows is not None:
            return min(max(windows.caps), windows.totals[0])
        rows = self.instance.rows
        return (self.instance if rows is None else rows).capacities[kind]


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """One line of the parts list and where it may be cut.

    Attributes
    ----------
    part : Part
        The line.
    places : tuple of (int, int)
        Sections (numbers of `Market.sections`) and the size it has there, its own section first, then substitutes in
        the designer's order.
    """

    part: Part
    places: tuple[tuple[int, int], ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Market:
    """The whole job in integers.

    Attributes
    ----------
    rooms : tuple of Room
        Something to be cut and something to cut it from, in the order of `sections`.
    sections : tuple of tuple of int
        For each section its rooms; the first holds every size.
    lines : tuple of Line
        All lines with a use.
    wishes : tuple of Wish
        The parts list.
    terms : tuple of Terms
        Yards in the order of the job, then those only lines name.
    unit : Fraction
        What one unit of cost is in the objective's unit.
    money : int
        Units of cost to one smallest unit of the currency, in which terms are stated.
    rules : tuple of Rule
        What the job states beyond sticks and parts.
    """

    rooms: tuple[Room, ...]
    sections: tuple[tuple[int, ...], ...]
    lines: tuple[Line, ...]
    wishes: tuple[Wish, ...]
    terms: tuple[Terms, ...]
    unit: Fraction
    money: int
    rules: tuple[Rule, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class RoomOrder:
    """What is bought and to be cut in one room.

    Attributes
    ----------
    counts : tuple of int
        Sticks of each kind.
    demands : tuple of int
        Pieces of each size.
    """

    counts: tuple[int, ...]
    demands: tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Taken:
    """What is taken and cut in each room, in which layouts, and how many sticks of each line stay whole."""

    market: Market
    orders: Sequence[RoomOrder]
    loads: Sequence[Sequence[Load]]
    idle: Sequence[int]

    def lines(self) -> Iterable[tuple[Line, int]]:
        """Every line with how many sticks of it are taken."""
        for line, whole in zip(self.market.lines, self.idle, strict=True):
            yield line, sum(self.orders[room].counts[kind] for room, kind in line.kinds) + whole


class Rows(Protocol):
    """The buying model as a rule sees it: variables of what is taken, cut and left whole.

    Attributes
    ----------
    places : list of list
        For each wish a variable for each of its places.
    counts, demands : list of list
        For each room sticks of each kind, pieces of each size.
    idle : list
        For each line the sticks that stay whole.
    prices : list
        For each line the price of all its sticks (`Breaks`), a yard's in the currency's smallest unit.
    layouts : dict
        For each section how many layouts there are, where that matters (`Layouts`).
    """

    model: cp_model.CpModel
    market: Market
    places: list[list[Any]]
    counts: list[list[Any]]
    demands: list[list[Any]]
    idle: list[Any]
    prices: list[Any]
    layouts: dict[int, Any]

    def taken(self, number: int) -> Any:
        """Return how many sticks of a line are taken."""

    def bool(self) -> Any:
        """Make a variable that is 0 or 1."""

    def total(self, terms: Sequence[Any], weights: Sequence[int]) -> Any:
        """Add up terms by weight."""


class Rule:
    """One commercial rule: a file in `cutting/buying/rules`, with its twin under `cutting/checking`.

    All amounts are whole units of cost. A rule that a job doesn't state is there as well, and says nothing.
    """

    __slots__ = ()

    @classmethod
    def stated(cls, job: Job) -> bool:
        """Whether the job says anything of it, so that a plan must say what it costs."""
        del job
        return False

    @classmethod
    def amounts(cls, job: Job) -> Iterable[Fraction]:
        """Amounts that a unit of cost must divide, beside the currency's smallest unit."""
        del job
        return ()

    @classmethod
    def of(cls, job: Job, costs: Costs) -> Self:
        """Return the rule as the job states it."""
        del job, costs
        return cls()

    def joins(self, market: Market) -> Iterable[Sequence[int]]:
        """Sections that it joins, so that they can't be bought apart."""
        del market
        return ()

    def binds(self, market: Market) -> bool:
        """Whether it makes a set of sticks dearer or cheaper than their prices added up."""
        del market
        return False

    def lists(self) -> bool:
        """Whether it depends on layouts, so that those of a cheaper plan must be listed and chosen among."""
        return False

    def within(self, sections: Sequence[int]) -> Rule:
        """Return what it says of these sections, which nothing joins to others."""
        del sections
        return self

    def rows(self, master: Rows) -> Any:
        """Add what it forbids to the buying model; return what it costs there."""
        del master
        return 0

    def cost(self, taken: Taken) -> int | None:
        """Return what it costs, exactly; None where it forbids this."""
        del taken
        return 0
