"""Rules: each is listed, and what its rows say in the buying model is what it costs of what is taken."""

import importlib
import pkgutil

import pytest

import cutting.buying.rules
from cutting.buying.market import Rule
from cutting.buying.master import Master
from cutting.buying.model import model_market
from cutting.buying.rules import RULES, cost_of
from tests.builders import PATIENCE
from tests.property.test_yards_brute_force import random_job


def test_every_rule_of_the_folder_is_listed():
    found = set()
    for module in pkgutil.iter_modules(cutting.buying.rules.__path__):
        here = importlib.import_module(f"cutting.buying.rules.{module.name}")
        found |= {each for each in vars(here).values() if isinstance(each, type) and issubclass(each, Rule)}
    assert found - {Rule} == set(RULES)


@pytest.mark.parametrize("number", range(24))
def test_rows_say_what_is_taken_costs(number):
    market = model_market(random_job(number))
    basket = Master(market, 0).propose(seconds=PATIENCE) if all(wish.places for wish in market.wishes) else None
    if basket is not None:
        assert cost_of(market, basket.rooms, basket.idle) == basket.cost


def test_most_of_these_jobs_have_a_basket():
    markets = [model_market(random_job(number)) for number in range(24)]
    proposed = [Master(each, 0).propose(seconds=PATIENCE) for each in markets if all(w.places for w in each.wishes)]
    assert len([each for each in proposed if each is not None]) > 16
