"""A market of one room from bare integers: parts and sticks that are nothing but their sizes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from cutting.buying.lines import Line
from cutting.buying.market import Market, Room, Way, Wish
from cutting.buying.rules import NOTHING
from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.question.job import Part, Section, Source, Stick
from cutting.search.market.loop import MarketAnswer, MarketSearch, Report
from cutting.search.market.task import Answer, Task, solve_task

SECTION = Section(name="bar")


def bare_market(instance: Instance, own_lengths: Sequence[int] = ()) -> Market:
    """A market in which sticks cost what the instance says; `own_lengths` says how long one's own ones are, else 0."""
    kinds = range(len(instance.capacities))
    own = own_lengths or (0,) * len(kinds)
    sticks = [
        Stick(
            id=f"S{kind}",
            section=SECTION,
            length=Fraction(own[kind] or instance.capacities[kind]),
            source=Source.OWN if own[kind] else Source.STICKS,
            price=None,
            available=instance.limits[kind],
            trims=(Fraction(0), Fraction(0)),
        )
        for kind in kinds
    ]
    parts = [
        Part(mark=f"P{size}", section=SECTION, length=Fraction(instance.sizes[size]), quantity=demand)
        for size, demand in enumerate(instance.demands)
    ]
    room = Room(
        section=SECTION,
        instance=instance,
        parts=tuple((part,) for part in parts),
        ways=tuple(Way(stick=stick, cuts=0, windows=None, only_delivered=False) for stick in sticks),
        takes=(0,) * len(parts),
        alone=instance.sizes,
    )
    return Market(
        rooms=(room,),
        sections=((0,),),
        lines=tuple(
            Line(
                stick=sticks[kind],
                section=0,
                kinds=((0, kind),),
                yard=None,
                steps=((1, instance.costs[kind]),),
                most=instance.limits[kind],
                mass=Fraction(0),
            )
            for kind in kinds
        ),
        wishes=tuple(Wish(part=part, places=((0, size),)) for size, part in enumerate(parts)),
        terms=(),
        unit=Fraction(1),
        money=1,
        rules=NOTHING,
    )


def nobody(cost: int | None, bound: int | None) -> None:
    """Hear no news."""


def _by_cost(report: Callable[[int | None, int | None], None]) -> Report:
    return lambda choice, bound: report(None if choice is None else choice.cost, bound)


def searched(
    instance: Instance, clock: Clock, *, seed: int = 0, report: Callable[[int | None, int | None], None] = nobody
) -> MarketAnswer:
    """Search an instance's cheapest plan, ties as they come."""
    return MarketSearch(bare_market(instance), seed=seed, clock=clock, report=_by_cost(report)).run()


def solved(
    instance: Instance,
    own_lengths: Sequence[int] = (),
    *,
    limit: float = 120.0,
    seed: int = 0,
    report: Callable[[int | None, int | None], None] = nobody,
) -> Answer:
    """Search an instance's cheapest plan and break ties, as for a job."""
    return solve_task(Task(market=bare_market(instance, own_lengths), seed=seed, limit=limit), _by_cost(report))
