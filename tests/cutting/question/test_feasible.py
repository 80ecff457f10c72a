from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question.errors import JobError
from cutting.question.feasible import MOST_PIECES, impossibilities, input_problems
from cutting.question.job import Discount, Ends, Job, Lean, Measure, PerWeight, Section, Source, Stick
from cutting.solve import solve
from tests.builders import PATIENCE, TUBE, inch, job, part, stick

KILO = Fraction(1)
FINE = job([part("A", 40, 2)], [stick("S1", 120, "10.00")])


def with_stick(**changes: object) -> Job:
    return replace(FINE, sticks=(replace(FINE.sticks[0], **changes),))  # type: ignore[arg-type]


def test_a_right_job_has_no_problems() -> None:
    assert input_problems(FINE) == ()
    assert impossibilities(FINE) == ()


@pytest.mark.parametrize(
    ("wrong", "where", "words"),
    [
        (job([part("A", "1/16", 1)], FINE.sticks), "parts[0].length", "shorter than the saw's cut is wide (1/8 in)"),
        (job([replace(part("A", 1, 1), length=Fraction(0))], FINE.sticks), "parts[0].length", "longer than 0"),
        (job([part("A", 40, 0)], FINE.sticks), "parts[0].quantity", "1 or more"),
        (job([], FINE.sticks), "parts", "nothing to cut"),
        (job([part("A", 40, MOST_PIECES), part("B", 1, 1)], FINE.sticks), "parts", "at most 100000 pieces"),
        (job([part("A", 40, 1), part("A", 30, 1)], FINE.sticks), "parts[1].mark", "parts[0] has this mark already"),
        (job(FINE.parts, FINE.sticks * 2), "sticks[1].id", "sticks[0] has this id already"),
        (with_stick(length=Fraction(0)), "sticks[0].length", "longer than 0"),
        (with_stick(available=0), "sticks[0].available", "from 1 to"),
        (with_stick(available=0, source=Source.RACK), "rack[0].quantity", "from 1 to"),
        (with_stick(usable=inch(121)), "sticks[0].usable", "no longer than the stick (120 in)"),
        (with_stick(trims=(inch("1/16"), Fraction(0))), "sticks[0].end_trim", "0 or at least 1/8 in"),
        (with_stick(trims=(Fraction(0), inch("1/16"))), "sticks[0].end_trim", "0 or at least 1/8 in"),
        (with_stick(trims=(inch(60), inch(60))), "sticks[0].end_trim", "nothing of this stick is left"),
        (with_stick(price=None), "sticks[0].price", "other lines have a price"),
        (
            with_stick(price=PerWeight(amount=Decimal(1), per=KILO)),
            "sticks[0].price_per_weight",
            "weight of tube isn't",
        ),
        (with_stick(price=Discount(share=Decimal("0.4"))), "sticks[0].discount", "no stick of tube has a price"),
        (with_stick(price=Discount(share=Decimal("1.4"))), "sticks[0].discount", "between 0 and 100 %"),
        (replace(FINE, currency=None), "currency", "in which currency?"),
        (
            job([replace(part("A", 1, 1), length=Fraction(10**9, 10**8 + 1))], FINE.sticks),
            "parts[0].length",
            "finer than",
        ),
    ],
)
def test_each_problem_is_said_where_it_is(wrong: Job, where: str, words: str) -> None:
    assert any(problem.where == where and words in problem.message for problem in input_problems(wrong))
    with pytest.raises(JobError):
        solve(wrong, limit=PATIENCE)


def test_all_problems_come_together() -> None:
    wrong = job([part("A", "1/16", 0), part("A", 30, 1)], [stick("S1", 120, None, trims=("1/16", 0))])
    assert [problem.where for problem in input_problems(wrong)] == [
        "parts[0].length",
        "parts[0].quantity",
        "sticks[0].end_trim",
        "parts[1].mark",
        "sticks[0].price",
    ]


def test_a_kerf_as_wide_as_a_part_is_allowed() -> None:
    assert input_problems(job([part("A", "1/8", 1)], FINE.sticks)) == ()


def test_a_part_longer_than_every_stick_says_which_and_by_how_much() -> None:
    long = job([part("A", 40, 2), part("B", "120 1/16", 1)], [stick("S1", 100, "9"), stick("S2", 120, "10")])
    assert impossibilities(long) == (
        "B (120 1/16 in) is 5/16 in longer than the longest stick of tube: S2 has 120 in, 119 3/4 in once trimmed.",
    )


def test_usable_length_counts() -> None:
    short = with_stick(usable=inch(40))
    assert "A (40 in) is 1/4 in longer" in impossibilities(short)[0]


def test_a_section_nobody_sells() -> None:
    galvanised = Section(name="tube", material="galvanised")
    flat = Section(name="flat")
    other = job([part("A", 40, 2, galvanised), part("B", 40, 2, flat)], FINE.sticks)
    first, second = impossibilities(other)
    assert "Nobody sells tube (galvanised)" in first
    assert "it is there as plain" in first
    assert second == "Nobody sells flat: no stick, rack piece or own piece is of it; listed are tube."
    assert "none at all are listed" in impossibilities(job([part("A", 40, 2)], []))[0]


def limited(*bars: Stick, pieces: int = 6) -> Job:
    return job([part("A", 40, pieces)], bars)


def test_limited_sticks_together_too_short_by_how_much() -> None:
    # 6 x 40 on two sticks need 240 and at least 6 - 2 kerfs: 240 1/2; there are 2 x 119 3/4 = 239 1/2.
    (reason,) = impossibilities(limited(stick("S1", 120, "10", 2)))
    assert "sticks of tube are 1 in too short together" in reason
    assert impossibilities(limited(stick("S1", 120, "10", 3))) == ()


def test_sticks_that_just_suffice_are_not_ruled_out() -> None:
    assert impossibilities(limited(stick("S1", "120 1/2", "10", 2))) == ()
    assert impossibilities(limited(stick("S1", "120 31/64", "10", 2))) != ()


def test_sticks_too_short_for_any_part_do_not_count() -> None:
    scraps = stick("O1", 39, None, 50, source=Source.OWN)
    assert impossibilities(limited(stick("S1", 120, "10", 2), scraps)) != ()
    assert impossibilities(limited(stick("S1", 120, "10", 2), stick("S2", 60, "5"))) == ()


def test_angled_parts_count_alone_and_their_nesting_is_left_to_the_engine() -> None:
    square = Section(name="square", family="shs", sides=(inch(2), inch(2)))
    ends = Ends(angles=(Fraction(45), Fraction(45)), lean=Lean.OPPOSED, measure=Measure.LONG_POINT)
    bar = stick("S1", 120, "10", 1, section=square)
    fits = replace(part("A", 119, 2, square), ends=ends)
    assert impossibilities(job([fits], [bar])) == ()
    long = replace(part("A", 121, 1, square), ends=ends)
    assert "A (121 in) is 1 1/4 in longer" in impossibilities(job([long], [bar]))[0]
    assert TUBE.key == ("tube", "")


def test_what_is_ruled_out_here_is_infeasible_for_the_engine() -> None:
    result = solve(limited(stick("S1", 120, "10", 2)), limit=PATIENCE)
    assert result.plan is None
    assert result.status.value == "infeasible"
