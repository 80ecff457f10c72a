"""What every `Fit` promises, of square parts, of angled ones, and of either between a yard's marks."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from cutting.fit.fit import Fit
from cutting.fit.marked.marked import Marked
from cutting.fit.marked.windows import Windows
from cutting.fit.rows import Rows, lengths_of_rows
from cutting.fit.square import Square
from tests.cutting.fit.test_angled_rows import modelled

SORTS = ("square", "rows", "square marked", "rows marked")


def random_windows(rng: Random, clear: int) -> Windows:
    """Two windows, either of which is too short for everything that both together hold."""
    kept = clear - rng.randint(0, clear // 20)
    first, second = (kept * rng.randint(45, 75) // 100 for _ in range(2))
    return Windows(caps=(first, max(second, kept - first)), totals=(kept, kept))


def random_fit(sort: str, seed: int) -> Fit:
    """A few parts on two kinds of stick, the second of them marked."""
    rng = Random(seed)
    if "rows" in sort:
        _, model = modelled(seed)
        lengths = lengths_of_rows(model)
        fit: Fit = Rows(lengths, [rng.randint(1, 2) for _ in model.items], lengths.automaton.capacities * 2)
        clear = model.capacities[0]
    else:
        sizes = sorted(rng.sample(range(9, 60), 4), reverse=True)
        clear = rng.randint(60, 140)
        fit = Square(sizes, [rng.randint(1, 3) for _ in sizes], [clear, clear])
    return Marked(fit, [None, random_windows(rng, clear)]) if "marked" in sort else fit


def everything(fit: Fit) -> list[tuple[int, ...]]:
    return [pattern for pattern in product(*(range(most + 1) for most in fit.demands)) if any(pattern)]


@pytest.mark.parametrize("sort", SORTS)
def test_no_stick_holds_more_than_its_best_value(sort: str) -> None:
    met = 0
    for seed in range(8):
        fit, rng = random_fit(sort, seed), Random(seed)
        values = [rng.randint(1, 90) for _ in fit.sizes]
        best = fit.best(values)
        for kind, (value, found) in enumerate(zip(best.values, best.patterns, strict=True)):
            held = [pattern for pattern in everything(fit) if fit.holds(kind, pattern)]
            most = max((sum(v * n for v, n in zip(values, pattern, strict=True)) for pattern in held), default=0)
            assert value >= most
            assert found is None or found in held
            met += value == most
    assert met >= 8  # of 16: it is a bound, but no loose one


@pytest.mark.parametrize("sort", SORTS)
def test_what_a_fit_names_it_holds(sort: str) -> None:
    for seed in range(8):
        fit = random_fit(sort, seed)
        values = list(fit.sizes)
        for pricer in (*fit.rough, fit):
            best, more = pricer.several(values, floors=[0, 0], most=5)
            named = [(kind, pattern) for kind, pattern in enumerate(best.patterns) if pattern is not None]
            assert all(fit.holds(kind, pattern) for kind, pattern in [*named, *more])
        for kind in range(2):
            assert fit.holds(kind, fit.filled(kind, fit.demands))
            assert fit.holds(kind, fit.fullest(kind, fit.demands))
            for part in range(len(fit.sizes)):
                assert fit.holds(kind, fit.filled(kind, fit.demands, part))


@pytest.mark.parametrize("sort", SORTS)
def test_a_stick_that_holds_some_pieces_holds_fewer_of_them(sort: str) -> None:
    """Layouts lose their surplus pieces on the strength of this."""
    for seed in range(8):
        fit = random_fit(sort, seed)
        for kind in range(2):
            held = {pattern for pattern in everything(fit) if fit.holds(kind, pattern)}
            for pattern in held:
                for part in (part for part, n in enumerate(pattern) if n and sum(pattern) > 1):
                    assert (*pattern[:part], pattern[part] - 1, *pattern[part + 1 :]) in held


@pytest.mark.parametrize("sort", SORTS)
def test_some_parts_and_some_sticks_fit_as_they_did_among_all(sort: str) -> None:
    for seed in range(8):
        fit = random_fit(sort, seed)
        kept = tuple(range(1, len(fit.sizes)))
        fewer, second = fit.among(kept, [fit.demands[part] for part in kept]), fit.on([1])
        for pattern in everything(fewer):
            assert fewer.holds(1, pattern) == fit.holds(1, (0, *pattern)) == second.holds(0, (0, *pattern))


@pytest.mark.parametrize("sort", ["square marked", "rows marked"])
def test_marks_make_a_difference(sort: str) -> None:
    """The other tests would say nothing of windows if all that fits the stick fitted between its marks."""
    fits = [random_fit(sort, seed) for seed in range(8)]
    assert any(fit.holds(0, pattern) and not fit.holds(1, pattern) for fit in fits for pattern in everything(fit))
