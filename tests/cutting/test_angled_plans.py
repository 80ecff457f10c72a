"""Whole plans with angled ends: the check values, the demo jobs, what sharing saves, impossible jobs."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from cutting.answer.plan import Status
from cutting.checking.check import check
from cutting.question.feasible import impossibilities
from cutting.question.job import Ends, Job, Lean, Measure, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.solve import solve
from shared.files.job import read_job
from tests.builders import PATIENCE

FIXTURES = Path(__file__).parents[2] / "fixtures"
INCH = Fraction(127, 5)


def frames(
    depth: Fraction,
    length: Fraction,
    kerf: Fraction,
    stick: Fraction,
    trim: Fraction,
    unit: Unit,
    quantity: int,
    available: int | None = None,
) -> Job:
    section = Section(name="tube", family="shs", sides=(depth, depth))
    ends = Ends(angles=(Fraction(45), Fraction(45)), lean=Lean.OPPOSED, measure=Measure.LONG_POINT)
    return Job(
        parts=(Part(mark="F", section=section, length=length, quantity=quantity, ends=ends),),
        sticks=(
            Stick(
                id="S1",
                section=section,
                length=stick,
                source=Source.STICKS,
                price=PerStick(amount=Decimal("61.40")),
                available=available,
                trims=(trim, Fraction(0)),
            ),
        ),
        saw=Saw(kerf=kerf),
        unit=unit,
        currency="USD",
    )


@pytest.mark.parametrize(
    ("depth", "length", "kerf", "stick", "trim", "unit", "shared"),  # facts.md, mitre check values [G]
    [
        (2 * INCH, 24 * INCH, Fraction(3, 32) * INCH, 240 * INCH, INCH / 4, Unit.IN, 10),  # 9 unshared
        (Fraction(40), Fraction(500), Fraction(5, 2), Fraction(6000), Fraction(10), Unit.MM, 12),  # 11 unshared
        (Fraction(60), Fraction(600), Fraction(5, 2), Fraction(6000), Fraction(10), Unit.MM, 10),  # 9 unshared
    ],
)
def test_one_stick_holds_one_piece_more(
    depth: Fraction, length: Fraction, kerf: Fraction, stick: Fraction, trim: Fraction, unit: Unit, shared: int
) -> None:
    fits = solve(frames(depth, length, kerf, stick, trim, unit, shared, available=1), cores=1, limit=PATIENCE)
    assert fits.status is Status.OPTIMAL
    assert fits.plan is not None
    [sharing] = fits.plan.sharing
    assert sharing.shared == shared - 1
    assert not sharing.possible  # singly one stick holds one piece less
    over = frames(depth, length, kerf, stick, trim, unit, shared + 1, available=1)
    assert solve(over, cores=1, limit=PATIENCE).status is Status.INFEASIBLE


def test_what_sharing_saves() -> None:
    job = frames(2 * INCH, 24 * INCH, Fraction(3, 32) * INCH, 240 * INCH, INCH / 4, Unit.IN, 20)
    result = solve(job, cores=1, limit=PATIENCE)
    assert result.plan is not None
    [sharing] = result.plan.sharing
    assert (sharing.sticks, sharing.cost, sharing.certain) == (1, Fraction("61.40"), True)  # 2 sticks instead of 3


@pytest.mark.parametrize("name", ["firewood_racks.toml", "kayak_stands.toml"])
def test_demo_jobs_are_proven(name: str) -> None:
    job, problems = read_job((FIXTURES / name).read_bytes(), name=name)
    assert problems == ()
    assert job is not None
    result = solve(job, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    assert check(job, result.plan) == ()
    assert any(stroke.shared for cut in result.plan.cuts for stroke in cut.strokes)
    assert any(sharing.cost for sharing in result.plan.sharing)


def test_running_dimensions_follow_one_edge() -> None:
    """On 45/45 trapezoids face to face the edge meets long and short points in turn."""
    job = frames(Fraction(50), Fraction(500), Fraction(5, 2), Fraction(6000), Fraction(10), Unit.MM, 4, available=1)
    plan = solve(job, cores=1, limit=PATIENCE).plan
    assert plan is not None
    [cut] = plan.cuts
    assert cut.edge == "corner"
    at = [stroke.at for stroke in cut.strokes]
    # 500 long and 400 short between cuts of 2.5 sqrt 2 = 3.5355, each rounded up to 3.54
    assert [b - a for a, b in pairwise(at)] in (
        [Fraction(400), Fraction("503.54"), Fraction("403.54"), Fraction("503.54")],
        [Fraction(500), Fraction("403.54"), Fraction("503.54"), Fraction("403.54")],
    )


def test_a_drop_is_as_long_as_its_shorter_side() -> None:
    job = frames(Fraction(50), Fraction(500), Fraction(5, 2), Fraction(1010), Fraction(10), Unit.MM, 1)
    plan = solve(job, cores=1, limit=PATIENCE).plan
    assert plan is not None
    assert plan.cuts[0].drop == 1000 - 500 - Fraction("3.54")


def test_a_part_longer_than_every_stick_to_its_long_points() -> None:
    job = frames(Fraction(50), Fraction(950), Fraction(5, 2), Fraction(1010), Fraction(10), Unit.MM, 1)
    assert impossibilities(job) == ()
    ends = job.parts[0].ends
    assert ends is not None
    short = replace(job, parts=(replace(job.parts[0], ends=replace(ends, measure=Measure.SHORT_POINT)),))
    [reason] = impossibilities(short)
    assert "F (1050 mm) is 50 mm longer" in reason


def test_equal_parts_described_the_other_way_round_are_one() -> None:
    job = frames(Fraction(50), Fraction(500), Fraction(5, 2), Fraction(6000), Fraction(10), Unit.MM, 3)
    part = job.parts[0]
    ends = Ends(angles=(Fraction(45), Fraction(0)), lean=Lean.OPPOSED, measure=Measure.LONG_POINT)
    other = Ends(angles=(Fraction(0), Fraction(45)), lean=Lean.OPPOSED, measure=Measure.LONG_POINT, toward=(1, -1))
    job = replace(job, parts=(replace(part, ends=ends), replace(part, mark="G", ends=other)))
    result = solve(job, cores=1, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    assert check(job, result.plan) == ()


def test_square_parts_only_are_planned_as_ever() -> None:
    job = frames(Fraction(50), Fraction(500), Fraction(5, 2), Fraction(6000), Fraction(10), Unit.MM, 30)
    square = replace(job, parts=(replace(job.parts[0], ends=None),))
    plan = solve(square, cores=1, limit=PATIENCE).plan
    assert plan is not None
    assert plan.sharing == ()
    assert all(cut.strokes == () and cut.edge == "" for cut in plan.cuts)
    assert all(piece.lie is None for cut in plan.cuts for piece in cut.pieces)


def test_same_plan_twice() -> None:
    job, _ = read_job((FIXTURES / "kayak_stands.toml").read_bytes(), name="job.toml")
    assert job is not None
    assert solve(job, limit=PATIENCE).plan == solve(job, limit=PATIENCE, cores=1).plan
