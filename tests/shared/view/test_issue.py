"""The plan's id and the usual paper."""

import os
import re
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from cutting.question.lengths import Unit
from shared.files.plan.name import plan_id
from shared.view.issue import Paper, paper_of
from tests.shared.writers.pdf import scenes

ROOT = Path(__file__).parents[3]


def test_the_id_is_short_and_can_be_read_aloud() -> None:
    assert re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}", plan_id(*scenes.mixed()))


def test_anything_that_changes_gives_another_id() -> None:
    job, plan = scenes.mixed()
    first = plan_id(job, plan)
    assert plan_id(*scenes.mixed()) == first
    cuts = (replace(plan.cuts[0], drop=plan.cuts[0].drop + Fraction(1, 10**9)), *plan.cuts[1:])
    others = {
        plan_id(replace(job, title="Another"), plan),
        plan_id(replace(job, parts=(replace(job.parts[0], note="drill"), *job.parts[1:])), plan),
        plan_id(job, replace(plan, cuts=plan.cuts[::-1])),
        plan_id(job, replace(plan, cuts=cuts)),
    }
    assert len(others | {first}) == 5


def test_the_id_is_the_same_in_every_process() -> None:
    code = "from shared.files.plan.name import plan_id\n"
    code += "from tests.shared.writers.pdf import scenes; print(plan_id(*scenes.marks()))"
    seen = {
        subprocess.run(
            [sys.executable, "-c", code],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(seen) == 1


def test_paper_follows_the_unit() -> None:
    job, _ = scenes.one_part()
    assert [paper_of(replace(job, unit=unit)) for unit in Unit] == [
        Paper.LETTER,
        Paper.LETTER,
        Paper.A4,
        Paper.A4,
        Paper.A4,
    ]
