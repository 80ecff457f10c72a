"""Worked examples of the literature and of handbooks of general solvers, each at its optimum and proven.

Sources stand in each fixture; "seen" means the figure was seen in print, "memory" that it comes from memory.
"""

from fractions import Fraction
from pathlib import Path

import pytest

from cutting.answer.plan import Rests, Status
from cutting.checking.check import check
from cutting.question.job import Job
from cutting.solve import solve
from shared.files.job import read_job
from tests.builders import PATIENCE

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published"

STICKS = {
    "paper_rolls": 73,  # Wikipedia, "Cutting stock problem" (seen)
    "paper_rolls_kerf_3": 74,  # derived from it, not published
    "chvatal_chapter_13": 453,  # Chvatal, Linear Programming, 1983, chapter 13 (memory; LP bound 452.25)
    "ampl_cut": 47,  # Fourer, Gay & Kernighan, AMPL, cut.dat (memory; LP bound 46.25)
    "winston_lumber": 19,  # Winston, Operations Research (memory)
    "jump_tutorial": 334,  # JuMP documentation, cutting stock tutorial (seen as feasible; LP bound proves it)
    "ortools_bin_packing": 4,  # OR-Tools documentation, bin packing (seen in part)
    "minizinc_cutstock": 4,  # MiniZinc, cutstock (data seen)
    "non_irup_gau_waescher": 3,  # non-IRUP, Gau & Waescher (seen; LP bound 1.933)
    "non_irup_fieldhouse": 6,  # non-IRUP, "Fieldhouse+" (seen; LP bound 4.967)
    "non_irup_rietz": 3,  # non-IRUP, Rietz and others (memory; LP bound 259/132)
    "kantor_limited": 5,  # Kantor, CBE 40455 course notes: 2 of 15 and 3 of 10 (seen)
    "gilmore_gomory": 20,  # Gilmore & Gomory 1961, priced: 170 (memory)
}
COSTS = {"gilmore_gomory": Fraction(170), "kantor_limited": Fraction(60), "paper_rolls": Fraction(73 * 5600)}


def published(name: str) -> Job:
    job, problems = read_job((PUBLISHED / f"{name}.toml").read_bytes(), name=f"{name}.toml")
    assert job is not None, problems
    return job


def test_every_published_file_is_solved_here() -> None:
    assert {path.stem for path in PUBLISHED.glob("*.toml")} == set(STICKS)


@pytest.mark.parametrize("name", sorted(STICKS))
def test_optimum_is_found_and_proven(name: str) -> None:
    job = published(name)
    result = solve(job, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.proof.rests is Rests.EXACT
    assert result.plan is not None
    assert check(job, result.plan) == ()
    if name != "gilmore_gomory":  # 170 can be reached with several numbers of sticks
        assert sum(line.quantity for line in result.plan.buy) == STICKS[name]
    assert result.plan.cost == COSTS.get(name, STICKS[name] * job.sticks[0].length)


@pytest.mark.parametrize("kerf", [1, 2, 5])
def test_paper_rolls_with_any_small_kerf_take_one_more(kerf: int) -> None:
    """Derived here, not published: 74 sticks with a kerf of 1, 2, 3 or 5."""
    job = published("paper_rolls")
    text = (PUBLISHED / "paper_rolls.toml").read_text().replace('kerf = "0"', f'kerf = "{kerf}"')
    cut, problems = read_job(text.encode(), name="job.toml")
    assert cut is not None, problems
    assert cut.saw.kerf == kerf
    result = solve(cut, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    assert result.plan.cost == 74 * job.sticks[0].length


def test_waste_of_the_paper_rolls_is_the_published_share() -> None:
    """Wikipedia, "Cutting stock problem": the optimum wastes 0.401 % (seen)."""
    job = published("paper_rolls")
    used = sum(part.length * part.quantity for part in job.parts)
    assert round(100 * (1 - used / Fraction(73 * 5600)), 3) == Fraction("0.401")


def test_limited_stock_is_used_up_without_waste() -> None:
    """Kantor, CBE 40455 course notes: 2 x 15 and 3 x 10, no waste (seen)."""
    result = solve(published("kantor_limited"), limit=PATIENCE)
    assert result.plan is not None
    assert {line.length: line.quantity for line in result.plan.buy} == {Fraction(15): 2, Fraction(10): 3}
    assert all(cut.drop == 0 for cut in result.plan.cuts)
