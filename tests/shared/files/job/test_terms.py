"""Yards and their terms in job files: exact values, and every problem at once with its place and what to write."""

import json
from decimal import Decimal
from fractions import Fraction

import jsonschema
import pytest

from cutting.answer.plan import Status
from cutting.question.job import Break, Job, PerLength, PerStick, PerWeight
from cutting.question.lengths import Unit
from cutting.question.problems import Problem
from cutting.question.yards import Carry, Charge, KeepValue, Tax, Yard, YardCuts
from cutting.solve import solve
from shared.files.job import Format, job_schema, read_job, write_job
from tests.builders import PATIENCE

INCH = Fraction(127, 5)
POUND = Fraction("0.45359237")  # the international pound of 1959

EXAMPLE = """
unit = "in"
currency = "USD"
kind_cost = 15
layout_cost = "2.50"
idle = false
[saw]
kerf = "3/32"
[carry]
longest = "10 ft"
load = "900 lb"
[keep_value]
per_length = "1.20/ft"
shortest = 24
[[yards]]
name = "North yard"
delivery = "65.00"
delivery_free_from = 900
collecting = false
minimum = 50
tax = { rate = "8.25 %", on = ["delivery", "material"] }
reserves = true
[[yards]]
name = "River yard"
delivery = false
collecting = "18"
cuts = { charge = "2.50", free = 2, allowance = "1/4" }
tax = { rate = "5 %" }
[[yards]]
name = "Corner yard"
[[parts]]
mark = "P1"
section = "SHS 2x2x1/8"
material = "galvanised"
length = "80 1/2"
quantity = 24
substitutes = [
    { section = "SHS 2x2x3/16", remark = "heavier" },
    { section = "SHS 2x2x1/8", material = "" },
]
[[sticks]]
section = "SHS 2x2x1/8"
material = "galvanised"
yard = "North yard"
length = "20 ft"
price = 61.40
available = 60
breaks = [
    { from_quantity = 10, price = "57.90" },
    { from_quantity = 20, price_per_length = "2.80/ft" },
    { from_quantity = 40, price_per_weight = "0.50/lb" },
]
[[rack]]
section = "SHS 2x2x1/8"
material = "galvanised"
yard = "River yard"
length = "63 1/4"
price = 6
[[own]]
section = "SHS 2x2x1/8"
length = 40
"""


def good(text: str) -> Job:
    job, problems = read_job(text.encode(), name="job.toml")
    assert problems == ()
    assert job is not None
    return job


def bad(text: str) -> dict[str, Problem]:
    job, problems = read_job(text.encode(), name="job.toml")
    assert job is None
    assert len({(each.where, each.message) for each in problems}) == len(problems)
    return {each.where: each for each in problems}


def test_every_value_is_exact() -> None:
    job = good(EXAMPLE)
    assert job.yards == (
        Yard(
            name="North yard",
            delivery=Decimal("65.00"),
            delivery_free_from=Decimal(900),
            collecting=None,
            minimum=Decimal(50),
            tax=Tax(rate=Decimal("0.0825"), on=(Charge.MATERIAL, Charge.DELIVERY)),
            reserves=True,
        ),
        Yard(
            name="River yard",
            collecting=Decimal(18),
            tax=Tax(rate=Decimal("0.05")),
            cuts=YardCuts(charge=Decimal("2.50"), free=2, allowance=INCH / 4),
        ),
        Yard(name="Corner yard"),
    )
    assert job.carry == Carry(longest=120 * INCH, load=900 * POUND)
    assert job.kind_cost == Decimal(15)
    assert job.layout_cost == Decimal("2.50")
    assert not job.idle
    assert job.keep_value == KeepValue(amount=Decimal("1.20"), per=12 * INCH, shortest=24 * INCH)
    assert [stick.yard for stick in job.sticks] == ["North yard", "River yard", ""]
    assert job.sticks[0].breaks == (
        Break(least=10, price=PerStick(amount=Decimal("57.90"))),
        Break(least=20, price=PerLength(amount=Decimal("2.80"), per=12 * INCH)),
        Break(least=40, price=PerWeight(amount=Decimal("0.50"), per=POUND)),
    )


def test_a_substitute_has_the_material_of_its_part_unless_it_says_otherwise() -> None:
    first, second = good(EXAMPLE).parts[0].substitutes
    assert first.section.key == ("SHS 2x2x3/16", "galvanised")
    assert first.remark == "heavier"
    assert first.section.mass is not None
    assert second.section.key == ("SHS 2x2x1/8", "")


def test_a_job_that_says_nothing_of_yards_has_none() -> None:
    text = EXAMPLE[EXAMPLE.index("[[parts]]") : EXAMPLE.index("[[rack]]")].replace('yard = "North yard"\n', "")
    job = good('unit = "in"\ncurrency = "USD"\nsaw = { kerf = "3/32" }\n' + text)
    assert (job.yards, job.carry, job.kind_cost, job.keep_value) == ((), Carry(), Decimal(0), None)
    assert job.idle


def test_a_yard_may_be_named_without_any_terms() -> None:
    text = EXAMPLE[: EXAMPLE.index("[[yards]]")] + EXAMPLE[EXAMPLE.index("[[parts]]") :]
    assert [stick.yard for stick in good(text).sticks] == ["North yard", "River yard", ""]


@pytest.mark.parametrize("form", list(Format))
def test_it_is_written_and_read_back_the_same(form: Format) -> None:
    job = good(EXAMPLE)
    data = write_job(job, form)
    assert read_job(data, name=f"job.{form}") == (job, ())
    if form is Format.JSON:
        jsonschema.validate(json.loads(data), job_schema())


def test_a_load_is_written_so_that_it_reads_back_exactly() -> None:
    for load in ("0.9 t", "1/3 kg", "12 cwt", "412.5 kg"):
        job = good(EXAMPLE.replace('"900 lb"', f'"{load}"'))
        assert good(write_job(job).decode()).carry == job.carry


@pytest.mark.parametrize(
    ("old", "new", "where", "words"),
    [
        ('load = "900 lb"', "load = 900", "carry.load", "with its unit"),
        ('load = "900 lb"', 'load = "900 stone"', "carry.load", "no unit of weight"),
        ('load = "900 lb"', 'load = "0 kg"', "carry.load", "more than 0"),
        ('longest = "10 ft"', 'longest = "0"', "carry.longest", "longer than 0"),
        ('longest = "10 ft"', 'longst = "10 ft"', "carry.longst", "did you mean longest"),
        ("kind_cost = 15", "kind_cost = 1.005", "kind_cost", "2 decimals"),
        ('layout_cost = "2.50"', "layout_cost = 1.005", "layout_cost", "2 decimals"),
        ("idle = false", 'idle = "no"', "idle", "write true or false"),
        ("kind_cost = 15", 'longest = "10 ft"', "longest", "written in [carry]"),
        ('per_length = "1.20/ft"', "per_length = 1.20", "keep_value.per_length", "an amount and what it is for"),
        ("shortest = 24\n", "", "keep_value.shortest", 'missing; write shortest = "24"'),
        ('delivery = "65.00"', "delivery = true", "yards[0].delivery", "false where it isn't done"),
        ('delivery = "65.00"', "", "yards[0]", "neither delivers nor"),
        ('delivery = "65.00"', 'delivery = "65,00"', "yards[0].delivery", "plain number"),
        ('delivery = "65.00"', 'delivery = "-3"', "yards[0].delivery", "negative"),
        ("minimum = 50", "minimum = 50.001", "yards[0].minimum", "2 decimals"),
        ('rate = "8.25 %"', "rate = 8.25", "yards[0].tax.rate", "with its sign"),
        ('rate = "8.25 %"', 'rate = "825 %"', "yards[0].tax.rate", "at most 100 %"),
        ('rate = "8.25 %"', 'rates = "8.25 %"', "yards[0].tax.rates", "did you mean rate"),
        ('on = ["delivery", "material"]', "on = []", "yards[0].tax.on", "material, cuts, delivery"),
        ('on = ["delivery", "material"]', 'on = ["steel"]', "yards[0].tax.on", "'steel'"),
        ('on = ["delivery", "material"]', 'on = ["cuts", "cuts"]', "yards[0].tax.on", "once"),
        ('tax = { rate = "5 %" }', "tax = 5", "yards[1].tax", "a table with the fields rate, on"),
        ("free = 2", "free = -1", "yards[1].cuts.free", "from 0"),
        ("free = 2", "free = true", "yards[1].cuts.free", "whole number"),
        ('allowance = "1/4"', 'allowance = "1/16"', "yards[1].cuts.allowance", "at least 3/32 in"),
        (', allowance = "1/4"', "", "yards[1].cuts.allowance", "missing"),
        ("reserves = true", 'reserves = "yes"', "yards[0].reserves", "true or false"),
        ('name = "River yard"', 'name = "North yard"', "yards[1].name", "yards[0] has this name already"),
        ('yard = "River yard"', 'yard = "River Yard"', "rack[0].yard", '"North yard", "River yard", "Corner yard"'),
        ('yard = "River yard"\n', "", "rack[0].yard", "which yard has it?"),
        ("length = 40", 'length = 40\nyard = "River yard"', "own[0].yard", "[[sticks]] and [[rack]]"),
        ("price = 6\n", "price = 6\nbreaks = []\n", "rack[0].breaks", "in [[sticks]]"),
        ("from_quantity = 10", "from_quantity = 1", "sticks[0].breaks[0].from_quantity", "at least 2"),
        ("from_quantity = 20", "from_quantity = 10", "sticks[0].breaks[1].from_quantity", "at least 11"),
        ("from_quantity = 40", "from_quantity = 61", "sticks[0].breaks[2].from_quantity", "only 60"),
        ("from_quantity = 20", "quantity = 20", "sticks[0].breaks[1].quantity", "did you mean from_quantity"),
        ('price = "57.90"', 'price = "61.40"', "sticks[0].breaks[0]", "don't get cheaper"),
        ('price = "57.90"', 'price = "56"', "sticks[0].breaks[1]", "56.00 a stick after 56.00 USD"),
        (', price = "57.90"', "", "sticks[0].breaks[0]", "what one costs then"),
        ('price = "57.90"', 'price = "57.90", price_per_length = "1/ft"', "sticks[0].breaks[0]", "2 prices"),
        ('section = "SHS 2x2x3/16", ', "", "parts[0].substitutes[0].section", "missing"),
        ('section = "SHS 2x2x3/16"', 'section = "SHS 2x2x1/8"', "parts[0].substitutes[0].section", "the part itself"),
        ("SHS 2x2x3/16", 'SHS 2x2x1/8", material = "', "parts[0].substitutes[1].section", "listed already"),
    ],
)
def test_what_is_wrong_is_said(old: str, new: str, where: str, words: str) -> None:
    assert old in EXAMPLE
    text = EXAMPLE.replace(old, new, 1)
    if where == "yards[0].delivery" and "true" not in new:
        text = text.replace("collecting = false\n", "")
    found = bad(text)
    assert words in found[where].message + found[where].text


def test_all_problems_are_said_at_once() -> None:
    text = (
        EXAMPLE.replace('rate = "8.25 %"', "rate = 1")
        .replace('yard = "River yard"', 'yard = "Rover yard"')
        .replace("free = 2", "free = 2.5")
        .replace('remark = "heavier"', "remark = 3")
        .replace("shortest = 24", "shortest = 0")
        .replace("from_quantity = 20", "from_quantity = 2")
        .replace("kerf", "cerf")
    )
    assert set(bad(text)) == {
        "saw.cerf",
        "keep_value.shortest",
        "parts[0].substitutes[0].remark",
        "sticks[0].breaks[1].from_quantity",
        "rack[0].yard",
        "yards[0].tax.rate",
        "yards[1].cuts.free",
    }


def test_a_yard_that_is_at_fault_makes_nobody_else_wrong() -> None:
    assert set(bad(EXAMPLE.replace('collecting = "18"', "collecting = []"))) == {"yards[1].collecting"}
    assert set(bad(EXAMPLE.replace('name = "River yard"\n', ""))) == {"yards[1].name"}


@pytest.mark.parametrize("value", ["3", '"North yard"', '[{ name = "A" }, 3]'])
def test_yards_that_are_no_tables(value: str) -> None:
    text = EXAMPLE[EXAMPLE.index("[[parts]]") :].replace('yard = "North yard"\n', "").replace('yard = "River yard"', "")
    found = bad(f'unit = "in"\ncurrency = "USD"\nyards = {value}\ncarry = 3\nsaw = {{ kerf = 1 }}\n' + text)
    assert "table" in found["carry"].message
    assert any(where.startswith("yards") and "table" in each.message for where, each in found.items())


def test_substitutes_and_breaks_that_are_no_lists() -> None:
    text = EXAMPLE.replace("breaks = [", "breaks = 3 # [").replace("substitutes = [", 'substitutes = "SHS" # [')
    lines = [line for line in text.splitlines() if not line.startswith("    {") and line != "]"]
    found = bad("\n".join(lines))
    assert found["sticks[0].breaks"].message.startswith("write a list of tables with the fields from_quantity, price")
    assert found["parts[0].substitutes"].message == "write a list of tables with the fields section, material, remark"


def test_terms_that_cost_money_need_prices() -> None:
    text = EXAMPLE.replace("price = 61.40\n", "").replace("price = 6\n", "")
    text = text[: text.index("breaks = [")] + text[text.index("[[rack]]") :]
    found = bad(text)
    assert {"yards[0]", "yards[1]", "kind_cost", "layout_cost", "keep_value"} == set(found)
    assert all("has no prices" in each.message for each in found.values())


def test_a_load_needs_known_weights() -> None:
    found = bad(
        EXAMPLE.replace(
            'section = "SHS 2x2x1/8"\nmaterial = "galvanised"\nyard = "River', 'section = "hat"\nyard = "River'
        )
    )
    assert found["carry.load"].text == "hat"
    assert good(EXAMPLE.replace("load", "#")).carry.load is None


def test_bare_numbers_are_in_the_unit_of_the_job() -> None:
    job = good(EXAMPLE.replace('unit = "in"', 'unit = "mm"').replace("kerf", "hold = 5\nkerf"))
    assert job.unit is Unit.MM
    assert job.keep_value is not None
    assert job.keep_value.shortest == 24


OWN_ALONE = """
unit = "mm"
currency = "EUR"
[saw]
kerf = 3
[[yards]]
name = "Quay"
delivery = 40
minimum = 100
[[parts]]
section = "SHS 40x40x3"
length = 500
quantity = 2
[[own]]
section = "SHS 40x40x3"
length = 2000
"""


def test_own_drops_alone_cost_nothing_whatever_a_yard_asks() -> None:
    job, problems = read_job(OWN_ALONE.encode(), name="job.toml")
    assert (job is None, problems) == (False, ())
    assert job is not None
    assert job.currency == "EUR"
    result = solve(job, cores=1, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    assert (result.plan.cost, result.plan.paid, result.plan.orders) == (0, 0, ())
    without, _ = read_job(
        OWN_ALONE.replace("delivery = 40\nminimum = 100\n", "").replace('[[yards]]\nname = "Quay"\n', "").encode(),
        name="job.toml",
    )
    assert without is not None
    assert without.currency is None
