"""A coarser grid must describe exactly the same patterns."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from cutting.fit.grid import Grid, coarsen


def test_same_patterns_fit() -> None:
    rng = Random(2)
    for _ in range(600):
        unit = rng.randint(1, 12)
        lengths = [unit * rng.randint(1, 9) for _ in range(rng.randint(1, 4))]
        demands = [rng.randint(1, 3) for _ in lengths]
        kerf = rng.randint(0, 15)
        usable = [rng.randint(0, 150) for _ in range(2)]
        grid = coarsen(lengths, demands, kerf, usable)
        for pattern in product(*(range(demand + 1) for demand in demands)):
            if not any(pattern):
                continue
            length = sum(a * b for a, b in zip(lengths, pattern, strict=True)) + (sum(pattern) - 1) * kerf
            size = sum(a * b for a, b in zip(grid.sizes, pattern, strict=True))
            for stick, capacity in zip(usable, grid.capacities, strict=True):
                assert (length <= stick) == (size <= capacity)


def test_metric_kerf_with_sixteenths() -> None:
    # 1/16 in = 127, 2.4 mm = 192 units of 0.0125 mm; a 40 ft stick has 975,360 of them.
    grid = coarsen([127 * 1201, 127 * 777], [9, 9], 192, [127 * 7680])
    assert grid.capacities[0] < 975_360 // 10


def test_no_kerf_needs_only_the_common_measure() -> None:
    assert coarsen([30, 20], [2, 2], 0, [70, 9]) == Grid(sizes=(3, 2), capacities=(7, 0))


@pytest.mark.parametrize(
    ("lengths", "demands", "kerf", "usable"),
    [([], [], 0, [5]), ([0], [1], 0, [5]), ([1], [0], 0, [5]), ([1], [1], -1, [5]), ([1], [1], 0, [-5])],
)
def test_refuses_what_makes_no_sense(lengths: list[int], demands: list[int], kerf: int, usable: list[int]) -> None:
    with pytest.raises(ValueError, match="parts need"):
        coarsen(lengths, demands, kerf, usable)
