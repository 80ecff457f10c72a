"""From the search's integers to the plan: layouts, and where yards have terms orders, their cuts, what is carried."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar

from cutting.answer.plan import Buy, Carried, Change, Cut, Order, Plan, Transport
from cutting.buying.angles import as_section
from cutting.buying.lines import Line
from cutting.buying.market import Market, Room, Rule, Taken
from cutting.buying.objective import SectionModel, objective_of
from cutting.buying.rules import uses_rules
from cutting.buying.rules.kinds import Kinds
from cutting.buying.rules.layouts import Layouts
from cutting.buying.rules.leftovers import keep_rate, own_worth
from cutting.buying.rules.order import Bill, bills
from cutting.fit.instance import Instance
from cutting.fit.knapsack import Pattern
from cutting.laying.layouts import lay_out
from cutting.laying.staying import idle_credit, idle_of
from cutting.question.job import Job, Source, Stick
from cutting.question.money import from_minor
from cutting.search.choice import Choice

__all__ = ["assemble"]

_R = TypeVar("_R", bound=Rule)


def assemble(job: Job, market: Market, choice: Choice) -> Plan:
    """Lay every room's loads out and write the orders.

    Parameters
    ----------
    job : Job
        The job.
    market : Market
        Its integers.
    choice : Choice
        What the search found.
    """
    taken = Taken(market=market, orders=choice.orders, loads=choice.loads, idle=choice.idle)
    made = [(number, each) for number, each in bills(taken) if each is not None]
    transport = {market.terms[number].name: each.transport for number, each in made}
    cuts = [cut for number in range(len(market.sections)) for cut in _section_cuts(job, market, choice, number)]
    buy, cost = _bought(job, market, taken), market.unit * choice.cost
    if not uses_rules(job):  # nothing is to be said of yards
        return Plan(objective=objective_of(job), cost=cost, buy=buy, cuts=tuple(cuts))
    cuts = [_credited(job, _carried(cut, _stick(job, cut), transport), _stick(job, cut)) for cut in cuts]
    orders = tuple(_order(job, market, choice, each, cuts) for each in made)
    kinds = _kinds(job, market, taken)
    layouts = _layouts(job, market, cuts)
    paid = None if kinds is None else sum((order.total or Decimal(0) for order in orders), Decimal(0))
    return Plan(
        objective=objective_of(job),
        cost=cost - market.unit * _rule(market, Layouts).cost(taken) + Fraction(layouts or 0),
        buy=buy,
        cuts=tuple(cuts),
        orders=orders,
        changes=_changes(market, choice),
        idle=idle_of(market, choice, made),
        kinds=kinds,
        paid=paid,
        own_value=None if kinds is None else _own_value(job, cuts),
        credit=None if kinds is None else _credit(cuts) + market.unit * idle_credit(market, choice),
        layouts=layouts,
    )


def _bought(job: Job, market: Market, taken: Taken) -> tuple[Buy, ...]:
    return tuple(_buy(job, market, line, quantity) for line, quantity in taken.lines() if quantity)


def _stick(job: Job, cut: Cut) -> Stick:
    return next(stick for stick in job.sticks if stick.id == cut.stick)


def _own_value(job: Job, cuts: Sequence[Cut]) -> Fraction:
    return sum((own_worth(job, _stick(job, cut)) * cut.quantity for cut in cuts), Fraction(0))


def _credit(cuts: Sequence[Cut]) -> Fraction:
    return sum(((cut.credit or Fraction(0)) * cut.quantity for cut in cuts), Fraction(0))


def _credited(job: Job, cut: Cut, stick: Stick) -> Cut:
    """State what the drop of a stick is worth; those of a stick that the yard cuts aren't counted."""
    if job.keep_value is None:
        return cut
    kept = not cut.marks and cut.drop >= job.keep_value.shortest
    return replace(cut, credit=keep_rate(job, stick) * cut.drop if kept else Fraction(0))


def _section_cuts(job: Job, market: Market, choice: Choice, number: int) -> tuple[Cut, ...]:
    rooms = [market.rooms[room] for room in market.sections[number]]
    orders = [choice.orders[room] for room in market.sections[number]]
    demands = [sum(pieces) for pieces in zip(*(order.demands for order in orders), strict=True)]
    kept = [size for size, pieces in enumerate(demands) if pieces]
    if not kept:
        return ()
    placed = {
        wish.part.mark
        for wish, place in zip(market.wishes, choice.places, strict=True)
        if wish.places[place][0] == number
    }
    ways = [way for room in rooms for way in room.ways]
    model = SectionModel(
        section=rooms[0].section,
        instance=_share(rooms[0], kept, demands),
        parts=tuple(tuple(part for part in rooms[0].parts[size] if part.mark in placed) for size in kept),
        sticks=tuple(way.stick for way in ways),
    )
    starts = [sum(len(room.ways) for room in rooms[:at]) for at in range(len(rooms))]
    loads = [
        replace(load, kind=start + load.kind, pattern=_among(load.pattern, kept))
        for room, start in zip(market.sections[number], starts, strict=True)
        for load in choice.loads[room]
    ]
    here = job if model.instance.rows is None else as_section(job, model.section, sorted(placed))
    return lay_out(here, model, loads, [way.windows for way in ways])


def _among(pattern: Pattern, kept: Sequence[int]) -> Pattern:
    return pattern if len(kept) == len(pattern) else tuple(pattern[size] for size in kept)


def _share(room: Room, kept: Sequence[int], demands: Sequence[int]) -> Instance:
    rows = room.instance.rows
    return replace(
        room.instance,
        sizes=tuple(room.instance.sizes[size] for size in kept),
        demands=tuple(demands[size] for size in kept),
        rows=None if rows is None else replace(rows, items=tuple(rows.items[size] for size in kept)),
    )


def _carried(cut: Cut, stick: Stick, transport: dict[str, Transport]) -> Cut:
    """State what is carried home of a collected stick that comes in one piece."""
    if cut.marks or cut.source is Source.OWN or transport[stick.yard] is Transport.DELIVERED:
        return cut
    mass = stick.section.mass
    whole = Carried(
        length=cut.length,
        weight=None if mass is None else mass * cut.length / 1000,
        begin=Fraction(0),
        parts=len(cut.pieces),
        drop=cut.drop,
        skim=cut.skim,
    )
    return replace(cut, carried=(whole,))


def _order(job: Job, market: Market, choice: Choice, made: tuple[int, Bill], cuts: Sequence[Cut]) -> Order:
    number, bill = made
    name = market.terms[number].name
    here = [cut for cut in cuts if cut.source is not Source.OWN and _stick(job, cut).yard == name]
    steel = [(cut.section.mass, cut.length * cut.quantity) for cut in here]
    whole = [(line.stick, n) for line, n in zip(market.lines, choice.idle, strict=True) if n and line.yard == number]
    steel += [(stick.section.mass, stick.length * n) for stick, n in whole]
    known = [mass * length / 1000 for mass, length in steel if mass is not None]
    weight = sum(known, Fraction(0)) if len(known) == len(steel) else None

    def money(units: int) -> Decimal | None:
        return None if job.currency is None else from_minor(units, job.currency)

    return Order(
        yard=name,
        transport=bill.transport,
        trips=bill.trips,
        weight=weight,
        cuts=sum(len(cut.marks) * cut.quantity for cut in here),
        material=money(bill.material),
        cutting=money(bill.cutting),
        delivery=money(bill.delivery),
        collecting=money(bill.collecting),
        tax=money(bill.tax),
        total=money(bill.total),
    )


def _kinds(job: Job, market: Market, taken: Taken) -> Decimal | None:
    if job.currency is None:
        return None
    return from_minor(_rule(market, Kinds).cost(taken) // market.money, job.currency)


def _rule(market: Market, sort: type[_R]) -> _R:
    """Return a rule as the job states it."""
    return next(rule for rule in market.rules if isinstance(rule, sort))


def _layouts(job: Job, market: Market, cuts: Sequence[Cut]) -> Decimal | None:
    """Return what further layouts cost: parts stated otherwise are other parts, even where they come out alike."""
    rule = _rule(market, Layouts)
    if job.currency is None or not rule.each:
        return None
    sorts = {
        part.mark: (part.length, None if part.ends is None or not any(part.ends.angles) else part.ends)
        for part in job.parts
    }
    held = {(cut.section.key, frozenset(Counter(sorts[piece.mark] for piece in cut.pieces).items())) for cut in cuts}
    return from_minor(rule.each // market.money * (len(held) - 1), job.currency)


def _price(market: Market, line: Line, quantity: int, currency: str) -> Decimal:
    units = 0 if line.yard is None else line.price(quantity) // market.money
    return from_minor(units, currency)


def _buy(job: Job, market: Market, line: Line, quantity: int) -> Buy:
    price = None if job.currency is None else _price(market, line, quantity, job.currency)
    return Buy(
        stick=line.stick.id,
        section=line.stick.section,
        length=line.stick.length,
        source=line.stick.source,
        quantity=quantity,
        price=price,
        cost=None if price is None else price * quantity,
    )


def _changes(market: Market, choice: Choice) -> tuple[Change, ...]:
    found = []
    for wish, place in zip(market.wishes, choice.places, strict=True):
        section = market.rooms[market.sections[wish.places[place][0]][0]].section
        if section.key != wish.part.section.key:
            remark = next(each.remark for each in wish.part.substitutes if each.section.key == section.key)
            found.append(
                Change(
                    mark=wish.part.mark,
                    wanted=wish.part.section,
                    taken=section,
                    remark=remark,
                    saved=None,
                    certain=False,
                )
            )
    return tuple(found)
