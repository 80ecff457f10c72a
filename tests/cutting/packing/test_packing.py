"""The cutting room against an exact oracle of its own, and on instances known to be hard."""

from __future__ import annotations

from functools import cache
from random import Random

import pytest

from cutting.answer.plan import Rests
from cutting.fit.instance import Instance
from cutting.fit.square import Square
from cutting.packing import pack as packing
from cutting.packing.listing import Reach
from cutting.packing.pack import Outcome, pack


def make(parts: dict[int, int], sticks: dict[int, int]) -> tuple[Instance, tuple[int, ...]]:
    sizes = tuple(sorted(parts, reverse=True))
    capacities = tuple(sticks)
    instance = Instance(
        sizes=sizes,
        demands=tuple(parts[size] for size in sizes),
        capacities=capacities,
        costs=(1,) * len(capacities),
        limits=tuple(sticks.values()),
    )
    return instance, tuple(sticks.values())


def ask(instance: Instance, counts: tuple[int, ...], **options: object) -> Outcome:
    return pack(Square(instance.sizes, instance.demands, instance.capacities), counts, **options)  # type: ignore[arg-type]


def can_be_cut(instance: Instance, counts: tuple[int, ...]) -> bool:
    """Fill stick after stick in every way: slow, and independent of the solver."""
    sticks = [c for c, n in zip(instance.capacities, counts, strict=True) for _ in range(n)]

    def fills(left: tuple[int, ...], part: int, room: int) -> list[tuple[int, ...]]:
        if part == len(left):
            return [left]
        size = instance.sizes[part]
        result = []
        for taken in range(min(left[part], room // size) + 1):
            rest = (*left[:part], left[part] - taken, *left[part + 1 :])
            result += fills(rest, part + 1, room - taken * size)
        return result

    @cache
    def possible(left: tuple[int, ...], stick: int) -> bool:
        if not any(left):
            return True
        if stick == len(sticks):
            return False
        return any(possible(rest, stick + 1) for rest in fills(left, 0, sticks[stick]))

    return possible(instance.demands, 0)


def check_packing(instance: Instance, counts: tuple[int, ...], outcome: Outcome) -> None:
    cut = [0] * len(instance.sizes)
    used = [0] * len(counts)
    assert outcome.loads is not None
    for load in outcome.loads:
        held = sum(size * pieces for size, pieces in zip(instance.sizes, load.pattern, strict=True))
        assert held <= instance.capacities[load.kind]
        used[load.kind] += load.times
        for part, pieces in enumerate(load.pattern):
            cut[part] += pieces * load.times
    assert tuple(cut) == instance.demands
    assert all(taken <= count for taken, count in zip(used, counts, strict=True))


def check_proof(instance: Instance, counts: tuple[int, ...], outcome: Outcome) -> None:
    assert outcome.impossible
    assert outcome.loads is None
    assert outcome.rests is Rests.EXACT
    if outcome.values is not None:
        square = Square(instance.sizes, instance.demands, instance.capacities)
        holds = square.best(outcome.values).values
        worth = sum(v * d for v, d in zip(outcome.values, instance.demands, strict=True))
        assert sum(v * n for v, n in zip(holds, counts, strict=True)) < worth


def random_question(rng: Random) -> tuple[Instance, tuple[int, ...]]:
    top = rng.randint(8, 40)
    sticks = {rng.randint(top // 2, top): rng.randint(0, 2) for _ in range(rng.randint(1, 3))}
    room = sum(capacity * count for capacity, count in sticks.items())
    parts: dict[int, int] = {}
    while True:
        size = rng.randint(2, max(2, top // 2))
        if sum(s * d for s, d in parts.items()) + size > room + rng.randint(-2, 1):
            break
        parts[size] = parts.get(size, 0) + 1
    return make(parts or {2: 1}, sticks)


@pytest.mark.parametrize("stage", ["all", "dives", "listing", "sizes"])
def test_agrees_with_the_oracle(stage: str, monkeypatch: pytest.MonkeyPatch) -> None:
    if stage != "all":
        monkeypatch.setattr(packing, "best_fit", lambda _: None)
    if stage == "sizes":
        monkeypatch.setattr(packing, "_WIDE", 0)
    if stage == "listing":
        monkeypatch.setattr(packing, "_ROUNDS", ((0, Reach(patterns=100_000, nodes=1_000, proof=60.0)),))
    rng = Random(stage)
    verdicts = set()
    for _ in range(60):
        instance, counts = random_question(rng)
        outcome = ask(instance, counts)
        verdicts.add(outcome.impossible)
        if outcome.loads is not None:
            check_packing(instance, counts, outcome)
        else:
            assert outcome.impossible
            check_proof(instance, counts, outcome)
            assert not can_be_cut(instance, counts)
    assert verdicts == {False, True}


FIELDHOUSE = {15: 3, 10: 5, 6: 9}


def test_fractional_shortage_gives_an_inequality() -> None:
    instance, counts = make({6: 5}, {10: 4})  # 30 of 40 units, but two never share a stick
    outcome = ask(instance, counts)
    assert outcome.impossible
    assert outcome.values is not None
    check_proof(instance, counts, outcome)


def test_part_longer_than_every_stick() -> None:
    instance, counts = make({12: 1, 3: 1}, {10: 4})
    outcome = ask(instance, counts)
    assert outcome.impossible
    check_proof(instance, counts, outcome)


def test_whole_number_shortage_without_an_inequality() -> None:
    # Fieldhouse's instance: fractions of patterns fit into 5 sticks (4.967), whole ones need 6.
    instance, _ = make(FIELDHOUSE, {30: 6})
    outcome = ask(instance, (5,))
    assert outcome.impossible
    assert outcome.values is None
    assert outcome.rests is Rests.EXACT
    packed = ask(instance, (6,))
    assert packed.loads is not None
    check_packing(instance, (6,), packed)


def test_zero_waste_over_two_lengths() -> None:
    # Kantor, CBE 40455: 2 sticks of 15 m and 3 of 10 m without any waste.
    instance, counts = make({7: 3, 6: 2, 4: 6, 3: 1}, {15: 2, 10: 3})
    outcome = ask(instance, counts)
    assert outcome.loads is not None
    check_packing(instance, counts, outcome)


def test_kinds_of_equal_length_keep_apart() -> None:
    instance = Instance(sizes=(5,), demands=(6,), capacities=(10, 10, 4), costs=(3, 2, 1), limits=(2, 1, 9))
    outcome = ask(instance, (2, 1, 9))
    assert outcome.loads is not None
    check_packing(instance, (2, 1, 9), outcome)
    assert sorted((load.kind, load.times) for load in outcome.loads) == [(0, 2), (1, 1)]


def test_long_grid() -> None:
    rng = Random(7)
    pieces = []
    for _ in range(6):
        a, b = rng.randint(20_000, 50_000), rng.randint(20_000, 40_000)
        pieces += [a, b, 120_000 - a - b]
    instance, counts = make({piece: pieces.count(piece) for piece in pieces}, {120_000: 6})
    outcome = ask(instance, counts)
    assert outcome.loads is not None
    check_packing(instance, counts, outcome)


def test_same_question_same_answer_and_work() -> None:
    rng = Random(3)
    pieces = [rng.randint(60, 500) for _ in range(60)]
    room = -(-sum(pieces) // 1000)
    instance, counts = make({piece: pieces.count(piece) for piece in pieces}, {1000: room})
    first, second = ask(instance, counts, seed=5), ask(instance, counts, seed=5)
    assert first == second


def test_stops_when_told() -> None:
    instance, counts = make(FIELDHOUSE, {30: 5})
    for outcome in (ask(instance, counts, should_stop=lambda: True), ask(instance, counts, effort=0)):
        assert outcome.loads is None
        assert not outcome.impossible


def test_refuses_counts_that_do_not_match() -> None:
    instance, _ = make(FIELDHOUSE, {30: 5})
    with pytest.raises(ValueError, match="count"):
        ask(instance, (1, 2))
    with pytest.raises(ValueError, match="count"):
        ask(instance, (-1,))
