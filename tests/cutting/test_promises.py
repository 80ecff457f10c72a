"""What the engine promises of ordinary and of awkward jobs: planned, proven, and ties as a person would break them."""

from dataclasses import replace
from fractions import Fraction

import pytest

from cutting import make_job
from cutting.answer.plan import Plan, Rests, Status
from cutting.checking.check import check
from cutting.question.job import Job, Source
from cutting.solve import Progress, solve
from tests.builders import PATIENCE, inch, job, part, stick


def proven(question: Job, limit: float = 20) -> Plan:
    result = solve(question, limit=limit)
    assert result.status is Status.OPTIMAL
    assert result.proof.rests is Rests.EXACT
    assert result.plan is not None
    assert check(question, result.plan) == ()
    return result.plan


def taken(plan: Plan) -> dict[str, int]:
    return {line.stick: line.quantity for line in plan.buy}


def test_a_metric_kerf_with_sixteenths_on_forty_foot_sticks() -> None:
    question = make_job(
        unit="in",
        kerf="2.4 mm",
        end_trim="1/4",
        currency="USD",
        parts=[
            ("tube", "80 1/16", 17),
            ("tube", "69 5/16", 12),
            ("tube", "41 3/16", 23),
            ("tube", "33 15/16", 31),
            ("tube", "27 9/16", 14),
            ("tube", "19 1/16", 40),
        ],
        sticks=[("tube", "40 ft", "118.90"), ("tube", "24 ft", "72.30"), ("tube", "20 ft", "60.10")],
        rack=[("tube", "117 5/8", "14.00", 2), ("tube", "63 1/4", "6.00", 3)],
    )
    proven(question)


def test_tenths_of_a_millimetre_on_twelve_metre_sticks() -> None:
    question = make_job(
        unit="mm",
        kerf="1.3",
        end_trim=["10", "5"],
        currency="EUR",
        parts=[("a", "2041.7", 14), ("a", "1763.3", 22), ("a", "1250.5", 9), ("a", "877.9", 35), ("a", "333.1", 40)],
        sticks=[("a", "12 m", "98.40"), ("a", "6 m", "50.10"), ("a", "7.5 m", "63.00")],
    )
    proven(question)


# Each of the three sticks takes 60 + 30 + 9 7/8 with two kerfs of 1/16, and nothing more.
JUST = job(
    [part("A", 60, 3), part("B", 30, 3), part("C", "9 7/8", 3)],
    [stick("S1", 100, "10.00", 3, trims=(0, 0))],
    kerf="1/16",
)


def test_limited_sticks_that_just_suffice() -> None:
    plan = proven(JUST)
    assert taken(plan) == {"S1": 3}
    assert all(cut.drop == 0 for cut in plan.cuts)


def test_one_stick_fewer_is_impossible() -> None:
    result = solve(replace(JUST, sticks=(replace(JUST.sticks[0], available=2),)), limit=PATIENCE)
    assert (result.status, result.plan) == (Status.INFEASIBLE, None)
    assert result.proof.infeasible


def test_limited_sticks_long_enough_together_but_not_one_by_one() -> None:
    # Three pieces of 51 on three sticks of 100 and one of 50: four pieces have 350 in for 204 in, and no place.
    question = job([part("A", 51, 4)], [stick("S1", 100, "1", 3, trims=(0, 0)), stick("S2", 50, "1", 1, trims=(0, 0))])
    result = solve(question, limit=PATIENCE)
    assert result.status is Status.INFEASIBLE
    assert result.proof.rests is Rests.EXACT
    assert "tube" in result.proof.infeasible[0]


def own(identity: str, length: str | int, count: int = 1) -> object:
    return stick(identity, length, None, count, source=Source.OWN, trims=(0, 0))


def test_own_pieces_cost_nothing_and_are_used_first() -> None:
    question = job([part("A", 40, 2)], [stick("S1", 120, "10.00"), own("O1", 41, 2)])  # type: ignore[list-item]
    assert taken(proven(question)) == {"O1": 2}


def test_of_own_pieces_the_least_steel_is_taken() -> None:
    question = job([part("A", 40, 1)], [own("O1", 90), own("O2", 41), own("O3", 60)])  # type: ignore[list-item]
    assert taken(proven(question)) == {"O2": 1}


def test_an_own_piece_is_left_alone_where_it_saves_nothing() -> None:
    question = job([part("A", 40, 3)], [stick("S1", 121, "10.00"), own("O1", 41)])  # type: ignore[list-item]
    assert taken(proven(question)) == {"S1": 1}


def test_a_free_rack_piece_and_an_own_one_cost_the_same_so_the_own_one_stays() -> None:
    free = stick("R1", 41, "0", 1, source=Source.RACK, trims=(0, 0))
    question = job([part("A", 40, 1)], [own("O1", 41), free])  # type: ignore[list-item]
    assert taken(proven(question)) == {"R1": 1}


def test_a_stick_without_parts_is_never_taken_even_for_nothing() -> None:
    free = stick("R1", 60, "0", 5, source=Source.RACK)
    question = job([part("A", 40, 1)], [stick("S1", 120, "10.00"), free])
    plan = proven(question)
    assert taken(plan) == {"R1": 1}


def test_few_layouts_and_longest_part_first() -> None:
    question = job([part("A", 60, 4), part("B", 40, 4)], [stick("S1", 101, "10.00")])
    plan = proven(question)
    (layout,) = plan.cuts
    assert layout.quantity == 4
    assert [piece.mark for piece in layout.pieces] == ["A", "B"]


def test_equal_parts_with_other_marks_are_spread_to_keep_layouts_few() -> None:
    question = job([part("A", 40, 4), part("B", 40, 4)], [stick("S1", "80 3/8", "10.00")])
    assert len(proven(question).cuts) <= 2


def test_progress_is_told_and_may_cancel() -> None:
    heard: list[Progress] = []

    def hear(progress: Progress) -> bool:
        heard.append(progress)
        return False

    result = solve(JUST, progress=hear, limit=PATIENCE)
    assert result.plan is not None
    assert heard[-1].incumbent == result.plan.cost
    assert heard[-1].lower_bound == result.plan.cost
    bounds = [progress.lower_bound for progress in heard]
    assert bounds == sorted(bounds)
    stopped = solve(JUST, progress=lambda _: True, limit=PATIENCE)
    assert stopped.plan is None or check(JUST, stopped.plan) == ()


@pytest.mark.parametrize("limit", [0, -1, float("nan")])
def test_a_limit_that_is_none_is_refused(limit: float) -> None:
    with pytest.raises(ValueError, match="time limit"):
        solve(JUST, limit=limit)


def test_two_sections_are_proven_together() -> None:
    question = make_job(
        unit="mm",
        kerf=2,
        currency="EUR",
        parts=[("a", 700, 9), ("a", 450, 7), ("b", 810, 6), ("b", 333, 11)],
        sticks=[("a", 6000, "20.00"), ("b", 6000, "31.00"), ("b", 3000, "16.00")],
    )
    plan = proven(question)
    alone = [
        proven(
            make_job(
                unit="mm",
                kerf=2,
                currency="EUR",
                parts=[(p.section, p.length, p.quantity) for p in question.parts if p.section.name == name],
                sticks=[(s.section, s.length, s.price.amount) for s in question.sticks if s.section.name == name],  # type: ignore[union-attr]
            )
        ).cost
        for name in ("a", "b")
    ]
    assert plan.cost == sum(alone, Fraction(0))
    assert inch(1) == Fraction(127, 5)
