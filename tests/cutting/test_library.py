"""The engine as a library: a job in a few lines, tables of the plan."""

import doctest
import importlib
import subprocess
import sys
from decimal import Decimal
from fractions import Fraction

import pytest

import cutting
import cutting.question.make
from cutting import JobError, Section, Source, buy_table, check, cut_table, make_job, solve
from tests.builders import PATIENCE

JOB = make_job(
    unit="in",
    kerf="1/8",
    end_trim=["1/4", "1/8"],
    currency="USD",
    title="Stall",
    parts=[("tube", "40", 2), (Section(name="flat", mass=Fraction(2)), 30, 1, "F")],
    sticks=[("tube", "10 ft", "10.00"), (Section(name="flat", mass=Fraction(2)), "10 ft", Decimal("4.5"), 3)],
    rack=[("tube", 81, "3.00")],
    own=[("tube", 41, 2)],
)


def test_a_job_from_plain_values() -> None:
    assert [part.mark for part in JOB.parts] == ["P1", "F"]
    assert [(stick.id, stick.source, stick.available) for stick in JOB.sticks] == [
        ("S1", Source.STICKS, None),
        ("S2", Source.STICKS, 3),
        ("R1", Source.RACK, 1),
        ("O1", Source.OWN, 2),
    ]
    assert JOB.sticks[0].trims == (Fraction(127, 20), Fraction(127, 40))


def test_solve_and_tables() -> None:
    result = solve(JOB, limit=PATIENCE)
    assert result.plan is not None
    assert check(JOB, result.plan) == ()
    buy = buy_table(JOB, result.plan)
    assert list(buy["id"]) == ["S2", "O1"]
    assert list(buy["cost"]) == [Decimal("4.50"), Decimal("0.00")]
    assert buy["weight_kg"].iloc[0] == pytest.approx(6.096)
    assert buy["weight_kg"].isna().iloc[1]
    cuts = cut_table(JOB, result.plan)
    assert sorted(cuts["mark"]) == ["F", "P1"]
    assert int((cuts["sticks"] * (cuts["mark"] == "P1")).sum()) == 2
    assert cuts["end"].max() == 40.0


def test_every_problem_of_every_row_at_once() -> None:
    with pytest.raises(JobError) as caught:
        make_job(
            unit="in",
            kerf="x",
            currency="dollars",
            parts=[("tube", "1,5", 0), ("tube", 3), ("tube", 0.5, True)],
            sticks=[("tube", "10 ft", "ten"), "tube"],
            own=[("tube", "-1")],
        )
    places = [problem.where for problem in caught.value.problems]
    assert places == [
        "kerf",
        "currency",
        "parts[0]",
        "parts[0]",
        "parts[1]",
        "parts[2]",
        "parts[2]",
        "sticks[0]",
        "sticks[1]",
        "own[0]",
    ]


def test_problems_of_the_whole_job() -> None:
    with pytest.raises(JobError, match="nothing to cut"):
        make_job(unit="mm", kerf=2, parts=[])
    with pytest.raises(JobError, match="write one of in, ft, mm, cm, m"):
        make_job(unit="inch", kerf=2, parts=[("tube", 1, 1)])


def test_the_exported_members_are_these() -> None:
    assert cutting.__all__ == sorted(cutting.__all__)
    for name in cutting.__all__:
        assert getattr(cutting, name) is not None
        assert name in dir(cutting)
    homes = {name: home for home, names in cutting._HOMES.items() for name in names}
    assert sorted(homes) == cutting.__all__
    with pytest.raises(AttributeError, match="nonsense"):
        cutting.nonsense  # noqa: B018


def test_solve_and_check_are_functions_whatever_was_imported_before() -> None:
    code = (
        "import cutting.solve, cutting.checking.check\n"
        "from cutting import solve, check\n"
        "assert callable(solve) and callable(check)\n"
        "import cutting\n"
        "assert callable(cutting.solve)\n"
    )
    subprocess.run([sys.executable, "-W", "error", "-c", code], check=True)


@pytest.mark.parametrize("table", [buy_table, cut_table])
def test_without_pandas_a_table_says_what_to_install(table, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(ModuleNotFoundError, match=r"pip install 'tallystick\[notebook\]'"):
        table(JOB, solve(JOB, limit=PATIENCE).plan)


def test_reading_a_job_needs_neither_solver_nor_pandas() -> None:
    code = "import sys, cutting.question.feasible, shared.files.job\n"
    code += "assert not {'ortools', 'pandas', 'numpy'} & set(sys.modules)"
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize(
    "module", ["cutting", "cutting.question.make", "cutting.question.lengths", "cutting.question.money"]
)
def test_examples_in_docstrings(module: str) -> None:
    found = doctest.testmod(importlib.import_module(module))
    assert found.attempted > 0
    assert found.failed == 0


def test_dir_shows_what_is_meant_to_be_used_and_nothing_else() -> None:
    assert dir(cutting) == sorted(cutting.__all__)
    for name in dir(cutting):
        getattr(cutting, name)
