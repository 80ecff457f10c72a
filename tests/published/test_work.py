"""The speed must not rot: work on fixed sets, in counts that repeat on every machine, never in seconds.

The ceilings lie about a third above what was counted when they were last set; lower them when the engine gets better.
"""

import pytest

from tests.benchmarks.work import SETS, Effort, effort

CEILINGS = {
    "small shop jobs": Effort(proposals=35, lp_solves=215, dives=14, nodes=8, proven=True),
    "medium shop jobs": Effort(proposals=9, lp_solves=240, dives=9, nodes=8, proven=True),
    "every stick limited": Effort(proposals=16, lp_solves=125, dives=6, nodes=8, proven=True),
    "one kind of stick": Effort(proposals=8, lp_solves=130, dives=8, nodes=8, proven=True),
}


@pytest.mark.parametrize("name", SETS)
def test_no_more_work_than_before(name: str) -> None:
    did, most = effort(SETS[name]()), CEILINGS[name]
    assert did.proven
    assert did.proposals <= most.proposals
    assert did.lp_solves <= most.lp_solves
    assert did.dives <= most.dives
    assert did.nodes <= most.nodes


def test_work_repeats_exactly() -> None:
    cases = SETS["every stick limited"]()
    assert effort(cases) == effort(cases)


def test_the_generator_is_the_published_one() -> None:
    """CUTGEN1 (Gau & Waescher 1995), seed 1994, m = 10, L = 1000, v = 0.375-0.625, mean demand 50: first and 150th."""
    from tests.benchmarks.instances import cutgen1

    cases = cutgen1(150, kinds=10, stick=1000, low=0.375, high=0.625, mean=50)
    first, last = cases[0].instance, cases[149].instance
    assert list(zip(first.sizes, first.demands, strict=True)) == [
        (577, 63), (570, 64), (544, 85), (539, 84), (526, 54), (512, 20), (504, 24), (459, 31), (446, 48), (378, 27),
    ]  # fmt: skip
    assert list(zip(last.sizes, last.demands, strict=True)) == [
        (570, 16), (558, 94), (543, 20), (540, 99), (513, 59), (490, 48), (476, 78), (453, 35), (434, 51),
    ]  # fmt: skip
