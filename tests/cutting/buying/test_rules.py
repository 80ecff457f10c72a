"""Rules: each is listed, and what its rows say in the buying model is what it costs of what is taken."""

import importlib
import pkgutil
import random

import pytest
from ortools.sat.python import cp_model

import cutting.buying.rules
from cutting.buying.market import RoomOrder, Rule
from cutting.buying.master import Master, new_solver
from cutting.buying.model import model_market
from cutting.buying.rules import RULES, cost_of
from tests.builders import PATIENCE
from tests.property.test_yards_brute_force import random_job

JOBS, BASKETS = 40, 40


def test_every_rule_of_the_folder_is_listed():
    found = set()
    for module in pkgutil.iter_modules(cutting.buying.rules.__path__):
        here = importlib.import_module(f"cutting.buying.rules.{module.name}")
        found |= {each for each in vars(here).values() if isinstance(each, type) and issubclass(each, Rule)}
    assert found - {Rule} == set(RULES)


def random_basket(chance, market):
    """Some sticks, each piece placed somewhere, some sticks whole; what fits is no rule's business."""
    demands = [[0] * len(room.instance.sizes) for room in market.rooms]
    for wish in market.wishes:
        section, size = chance.choice(wish.places)
        demands[chance.choice(market.sections[section])][size] += wish.part.quantity
    counts = [[min(chance.choice([0, 0, 0, 1, 2]), limit) for limit in room.instance.limits] for room in market.rooms]
    orders = [RoomOrder(counts=tuple(c), demands=tuple(d)) for c, d in zip(counts, demands, strict=True)]
    return orders, [chance.choice([0, 0, line.idle]) for line in market.lines]


def by_rows(master, orders, idle):
    """What the buying model says of this basket; None where it allows none."""
    model = master.model.clone()
    for order, counts, demands in zip(orders, master.counts, master.demands, strict=True):
        for variable, value in [*zip(counts, order.counts, strict=True), *zip(demands, order.demands, strict=True)]:
            model.add(variable == value)
    for variable, value in zip(master.idle, idle, strict=True):
        model.add(variable == value)
    solver = new_solver(0, PATIENCE)
    status = solver.solve(model)
    assert status in {cp_model.OPTIMAL, cp_model.INFEASIBLE}
    return int(solver.value(master.cost)) if status == cp_model.OPTIMAL else None


@pytest.fixture(scope="module")
def said():
    """(What rows say, what is added up) of many baskets, with the market."""
    found = []
    for number in range(JOBS):
        chance = random.Random(f"baskets {number}")
        market = model_market(random_job(number))
        if not all(wish.places for wish in market.wishes):
            continue
        master = Master(market, 0)
        for _ in range(BASKETS):
            orders, idle = random_basket(chance, market)
            found.append((market, orders, by_rows(master, orders, idle), cost_of(market, orders, idle)))
    return found


def test_rows_say_what_is_taken_costs(said):
    both = [(rows, cost) for _, _, rows, cost in said if rows is not None]
    assert len(both) > 40
    assert [rows for rows, _ in both] == [cost for _, cost in both]


def test_what_a_rule_forbids_has_no_basket(said):
    forbidden = [rows for _, _, rows, cost in said if cost is None]
    assert len(forbidden) > 40
    assert not any(rows is not None for rows in forbidden)


def test_some_of_these_baskets_have_cuts_and_some_several_kinds(said):
    priced = [(market, orders) for market, orders, rows, _ in said if rows is not None]
    assert any(
        way.cuts and count
        for market, orders in priced
        for room, order in zip(market.rooms, orders, strict=True)
        for way, count in zip(room.ways, order.counts, strict=True)
    )
    assert any(len({n for n, order in enumerate(orders) if any(order.counts)}) > 1 for _, orders in priced)
