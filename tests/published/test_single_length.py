"""Published bin-packing and cutting-stock instances with their optima, the non-IRUP ones included.

From the EURO special interest group on cutting and packing's data sets (CC0): Falkenauer 1996; Scholl, Klein & Juergens
1997; Schwerin & Waescher 1997; Waescher & Gau 1996; Hard28 (Schoenfield 2002). Optima as closed in the literature
(Delorme, Iori & Martello 2018). Waescher TEST0022 and Hard28 BPP119 need one stick more than their bound rounded up.
"""

from pathlib import Path

import pytest

from cutting.answer.plan import Rests
from tests.bare import solved
from tests.benchmarks.instances import Case, read_set

CASES = read_set(Path(__file__).parents[2] / "fixtures" / "published" / "single_length.jsonl")


@pytest.mark.parametrize("case", CASES, ids=[case.name for case in CASES])
def test_optimum_is_found_and_proven_and_no_news_contradicts_it(case: Case) -> None:
    assert case.optimum is not None
    heard: list[tuple[int | None, int | None]] = []
    found = solved(case.instance, report=lambda cost, bound: heard.append((cost, bound))).found
    assert found.choice is not None
    assert (found.choice.cost, found.bound) == (case.optimum, case.optimum)
    assert found.rests is Rests.EXACT
    assert all(cost is None or cost >= case.optimum for cost, _ in heard)
    assert all(bound is None or bound <= case.optimum for _, bound in heard)
