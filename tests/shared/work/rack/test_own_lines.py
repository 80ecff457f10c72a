"""The rack's free pieces in a job: which are offered, how they are trimmed, and what bears a piece's name wrongly."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting import solve
from cutting.question.feasible import input_problems
from cutting.question.job import Source
from shared.files.job import write_job
from shared.files.job.read import read_job
from shared.sections import understand
from shared.work.rack.bars import Bar, BarState
from shared.work.rack.own_lines import job_with_rack, own_sticks, with_rack
from tests.builders import PATIENCE

TUBE = understand("SHS 2x2x1/8")
INCH = Fraction(127, 5)
NONE = Fraction(0)
NOW = datetime(2026, 11, 25, tzinfo=UTC)
JOB = """
unit = "in"
[saw]
kerf = "1/8"
end_trim = "1/4"
[[parts]]
section = "SHS 2x2x1/8"
length = "39 3/4"
quantity = 3
"""


def bar(number: int, inches: Fraction | int, **changes) -> Bar:
    values = {"number": number, "section": TUBE, "length": inches * INCH, "made": NOW}
    return Bar(**{**values, **changes})


def table(more: str = "", text: str = JOB):
    return tomllib.loads(text + more, parse_float=Decimal)


def job_of(bars, more: str = ""):
    job, problems = job_with_rack(table(more), bars)
    assert job is not None, problems
    return job


def test_free_pieces_long_enough_are_offered_once_each_with_the_saws_trim() -> None:
    job = job_of(
        [bar(9, 81), bar(4, 80, trims=(NONE, NONE)), bar(5, 80, trims=(NONE, INCH)), bar(6, 41, usable=40 * INCH)]
    )
    assert [(each.id, each.source, each.available, each.price, each.trims) for each in job.sticks] == [
        ("D4", Source.OWN, 1, None, (NONE, NONE)),
        ("D5", Source.OWN, 1, None, (NONE, INCH)),
        ("D6", Source.OWN, 1, None, (INCH / 4, NONE)),
        ("D9", Source.OWN, 1, None, (INCH / 4, NONE)),
    ]
    assert job.sticks[2].usable == 40 * INCH


@pytest.mark.parametrize(
    "other",
    [
        bar(1, 80, state=BarState.RESERVED, work="w"),
        bar(1, 80, state=BarState.EXPECTED, work="w"),
        bar(1, 80, state=BarState.CUT),
        bar(1, 80, state=BarState.LOST),
        bar(1, 80, section=understand("SHS 2x2x1/8", "galvanised")),
        bar(1, 39),
        bar(1, Fraction(1, 8)),
    ],
    ids=["reserved", "expected", "cut", "lost", "galvanised", "short", "all trim"],
)
def test_what_a_plan_can_not_use_is_left_out(other: Bar) -> None:
    assert job_of([other]).sticks == ()


def test_substitutes_count_and_take_the_jobs_own_section() -> None:
    text = JOB.replace("quantity = 3", 'quantity = 3\nsubstitutes = [{ section = "SHS 2x2x3/16" }]')
    job, _ = job_with_rack(table(text=text), [bar(3, 50, section=understand("SHS 2x2x3/16"))])
    assert job is not None
    assert [each.id for each in job.sticks] == ["D3"]


def test_a_trim_less_than_this_saws_cut_becomes_that_cut() -> None:
    job = job_of([bar(1, 80, trims=(INCH / 16, NONE))])
    assert job.sticks[0].trims == (INCH / 8, NONE)
    assert input_problems(job) == ()


def test_a_length_on_no_grid_is_counted_on_a_hair_shorter() -> None:
    length = Fraction(12_000, 7)
    (stick,) = own_sticks([bar(1, 1, length=length)], job_of([]), (NONE, NONE))
    assert (stick.length, stick.usable) == (length, Fraction("1714.28"))
    assert with_rack(job_of([]), [bar(1, 1, length=length)], (NONE, NONE))[1] == ()


def test_the_plan_takes_the_pieces() -> None:
    job = job_of([bar(1, Fraction(161, 2)), bar(2, 41)], '[[sticks]]\nsection = "SHS 2x2x1/8"\nlength = "20 ft"\n')
    result = solve(job, limit=PATIENCE, cores=1)
    assert result.plan is not None
    assert sorted(cut.stick for cut in result.plan.cuts) == ["D1", "D2"]


def test_a_saved_job_meets_its_own_pieces_again() -> None:
    bars = [bar(1, Fraction(161, 2)), bar(2, 41)]
    saved = write_job(job_of(bars))
    again, problems = job_with_rack(tomllib.loads(saved.decode()), bars)
    assert problems == ()
    assert again == read_job(saved)[0]


OWN = '[[own]]\nid = "{id}"\nsection = "SHS 2x2x1/8"\nlength = "{length}"\nquantity = {quantity}\n'


@pytest.mark.parametrize(
    ("line", "bars", "said"),
    [
        (("D1", "80", 1), [], "no piece with this label is on the rack"),
        (("d1", "80", 1), [bar(1, 80, state=BarState.RESERVED, work="w7")], "it is reserved for w7; take the line out"),
        (("D1", "80", 1), [bar(1, 80, state=BarState.SCRAP)], "it is scrap; take the line out"),
        (("D1", "80", 1), [bar(1, 81)], "81 in long, not 80 in"),
        (("D1", "80", 2), [bar(1, 80)], "write quantity = 1"),
        (("D1", "80", 1), [bar(1, 80, section=understand("SHS 2x2x1/4"))], "on the rack this is SHS 2x2x1/4"),
    ],
)
def test_a_line_that_names_a_piece_and_is_not_it(line, bars, said: str) -> None:
    name, length, quantity = line
    job, problems = job_with_rack(table(OWN.format(id=name, length=length, quantity=quantity)), bars)
    assert job is None
    assert [(problem.where, problem.text) for problem in problems] == [("own[0].id", name)]
    assert said in problems[0].message


def test_a_yards_line_that_bears_a_pieces_name() -> None:
    more = '[[sticks]]\nid = "D20"\nsection = "SHS 2x2x1/8"\nlength = "20 ft"\n'
    assert [each.id for each in job_of([bar(1, 80)], more).sticks] == ["D20", "D1"]
    job, problems = job_with_rack(table(more), [bar(20, 80)])
    assert job is None
    assert problems[0].where == "sticks[0].id"


def test_what_is_wrong_with_the_job_is_said_first() -> None:
    job, problems = job_with_rack(table(text=JOB.replace("39 3/4", "-1")), [bar(1, 80)])
    assert job is None
    assert problems[0].where == "parts[0].length"
