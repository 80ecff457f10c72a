"""A carried piece that no part is cut from: in the view and among the labels, but never drawn."""

from api.page.answer import _made
from cutting.answer.plan import Plan
from cutting.solve import solve
from shared.files.job import Format, read_job, write_job
from shared.files.plan import write_plan
from shared.view import present
from shared.view.drawing import plan_bars
from tests.builders import PATIENCE

JOB = b"""
unit = "mm"
currency = "EUR"
keep_from = 300
carry = { longest = 2500 }
[saw]
kerf = 2
[[yards]]
name = "River yard"
cuts = { charge = 1, allowance = 6 }
[[parts]]
section = "tube"
length = 1400
quantity = 1
[[sticks]]
yard = "River yard"
section = "tube"
length = 4000
price = 22
"""


def test_it_is_a_drop_and_never_drawn() -> None:
    job, problems = read_job(JOB, name="job.toml")
    assert job is not None, problems
    result = solve(job, limit=PATIENCE)
    plan = result.plan
    assert isinstance(plan, Plan)
    view = present(job, result)
    assert [bool(layout.pieces) for layout in view.layouts] == [True, False]
    assert len(plan_bars(job, plan)) == 1
    assert any(drop.layout == 2 and drop.keep for drop in view.drops)
    answer = _made(write_job(job, Format.JSON), write_plan(job, result), 1.0, final=True)
    assert [bar.layout for bar in answer.bars] == [view.layouts[0]]
