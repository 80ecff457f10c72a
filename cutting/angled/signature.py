"""What matters of a row's contents for the steel that its ends lose: a small automaton over the parts put into it.

Let every class of faces f have half of its own gap, ``G(f, f) / 2``, counted into the parts that carry it. Then a
joint of equal classes costs nothing more, a joint of classes f and g costs ``G(f, g) - G(f, f)/2 - G(g, g)/2 >= 0``,
and an outer end costs likewise. In a row every end of a part meets one joint, so the joints that cost must complete
the multigraph of parts (edges between classes) to one connected graph whose degrees are even: an Eulerian path from
end to end of the stick, the rural postman's problem on the few classes [1]_. Which of them are needed depends only on
which classes have an odd number of ends and which are connected by parts: the signature. It is the same in whatever
order the parts come, so a knapsack that carries the signature along prices rows exactly, with bounded counts.

Where parts may not be turned freely, treating them as if they could only makes a row look shorter: still a valid bound.
All amounts are in half units.

References
----------
.. [1] Orloff, A fundamental problem in vehicle routing, Networks 4 (1974).
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Final

from cutting.angled.rows import RowModel

__all__ = ["Automaton", "build_automaton"]

_MOST_CLASSES: Final = 5
_MOST_STATES: Final = 48
_MOST_RAW_STATES: Final = 256
_MOST_PERMUTED: Final = 5
_MOST_UNITS: Final = 1 << 40
_ENDS: Final = 2  # of a row

# A state: for each class the number of its component (-1 where no part has such a face), and the classes with an odd
# number of ends. The outer ends of the row form one more class during completion, the last.
State = tuple[tuple[int, ...], tuple[int, ...]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Automaton:
    """The signature automaton of a section.

    Attributes
    ----------
    sizes : tuple of int
        Length of each item with its share of the joints, in half units.
    steps : tuple of tuple of int
        ``steps[item][state]``: the state after one more piece of the item.
    losses : tuple of int
        What joints cost at least beyond the shares, by state; state 0 is the empty row.
    capacities : tuple of int
        ``2 * clear length`` shifted so that a row fits only if sizes and loss come to no more. On a grid finer than any
        stick needs all of this is rounded down to a coarser one; rows then only look shorter.
    """

    sizes: tuple[int, ...]
    steps: tuple[tuple[int, ...], ...]
    losses: tuple[int, ...]
    capacities: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Classes:
    """Classes reduced to what matters.

    Attributes
    ----------
    pairs : tuple
        For each item the pairs of classes that its poses offer.
    sizes : tuple of int
        For each item its length and its shares.
    joint : tuple of tuple of int
        Loss of a joint, at least 0.
    outer : tuple of int
        Loss of an outer end, at least 0.
    shift : int
        What was added to each outer end to make it so; the capacities get it twice.
    """

    pairs: tuple[tuple[tuple[int, int], ...], ...]
    sizes: tuple[int, ...]
    joint: tuple[tuple[int, ...], ...]
    outer: tuple[int, ...]
    shift: int


def build_automaton(model: RowModel) -> Automaton:
    """Build the automaton of a section, merging classes until it is small."""
    classes = _classes(model)
    while (clash := _clash(classes)) is not None:
        classes = _merge(classes, *clash)
    while True:
        automaton = _automaton(classes, model) if len(classes.outer) <= _MOST_CLASSES else None
        if automaton is not None:
            return _coarsened(automaton)
        classes = _merge(classes, *_nearest(classes))


def _coarsened(automaton: Automaton) -> Automaton:
    """Keep lengths within what 64 bits hold next to values."""
    step = -(-max(automaton.capacities) // _MOST_UNITS)
    if step <= 1:
        return automaton
    return Automaton(
        sizes=tuple(max(1, size // step) for size in automaton.sizes),
        steps=automaton.steps,
        losses=tuple(loss // step for loss in automaton.losses),
        capacities=tuple(capacity // step for capacity in automaton.capacities),
    )


# -- classes ------------------------------------------------------------------------------------


def _classes(model: RowModel) -> _Classes:
    """Identify what right faces and left faces have in common and split joints into shares and losses."""
    count = len(model.classes)
    rights = sorted({right for item in model.items for _, right in item.edges})
    lefts = sorted({left for item in model.items for left, _ in item.edges})
    right_of, left_of = list(range(count)), list(range(count))
    if rights != lefts:
        found = _symmetric(model, rights, lefts)
        if found is not None:
            right_of, left_of = found
    groups = sorted({right_of[r] for r in rights} | {left_of[f] for f in lefts})
    position = {group: number for number, group in enumerate(groups)}
    gap = [[0] * len(groups) for _ in groups]
    outer = [0] * len(groups)
    for a, first in enumerate(groups):
        right = next((r for r in rights if right_of[r] == first), first)
        outer[a] = model.outer[right]
        for b, second in enumerate(groups):
            left = next((f for f in lefts if left_of[f] == second), second)
            gap[a][b] = model.gaps[right][left]
    edges = [
        tuple((position[left_of[left]], position[right_of[right]]) for left, right in item.edges)
        for item in model.items
    ]
    return _split(model, edges, gap, outer)


def _symmetric(model: RowModel, rights: list[int], lefts: list[int]) -> tuple[list[int], list[int]] | None:
    """Pair classes of right faces with classes of left faces so that gaps are symmetric; None where they can't be.

    Right faces that have the same gap to every left face that occurs are one class, and the other way round.
    """
    right_groups = _alike(rights, lambda r: (tuple(model.gaps[r][f] for f in lefts), model.outer[r]))
    left_groups = _alike(lefts, lambda f: (tuple(model.gaps[r][f] for r in rights), model.outer[f]))
    size = len(right_groups)
    if size != len(left_groups) or size > _MOST_PERMUTED:
        return None
    gap = [[model.gaps[r[0]][f[0]] for f in left_groups] for r in right_groups]
    for order in permutations(range(size)):
        alike = all(model.outer[right_groups[a][0]] == model.outer[left_groups[order[a]][0]] for a in range(size))
        if alike and all(gap[a][order[b]] == gap[b][order[a]] for a in range(size) for b in range(a)):
            right_of, left_of = list(range(len(model.classes))), list(range(len(model.classes)))
            for a in range(size):
                for r in right_groups[a]:
                    right_of[r] = right_groups[a][0]
                for f in left_groups[order[a]]:
                    left_of[f] = right_groups[a][0]
            return right_of, left_of
    return None


def _alike(faces: list[int], key: Callable[[int], object]) -> list[list[int]]:
    groups: dict[object, list[int]] = {}
    for face in faces:
        groups.setdefault(key(face), []).append(face)
    return list(groups.values())


def _split(
    model: RowModel, edges: Sequence[Sequence[tuple[int, int]]], gap: list[list[int]], outer: list[int]
) -> _Classes:
    """Split every joint into the shares of its two classes and a loss that is never below 0."""
    count = range(len(gap))
    least = [[min(gap[a][b], gap[b][a]) for b in count] for a in count]
    worst = min((2 * least[a][b] - least[a][a] - least[b][b] for a in count for b in count), default=0)
    share = [least[a][a] + min(worst, 0) for a in count]
    shift = max((share[a] - 2 * outer[a] for a in count), default=0)
    sizes = [
        2 * item.length + min(share[a] + share[b] for a, b in pairs)
        for item, pairs in zip(model.items, edges, strict=True)
    ]
    joint = tuple(tuple(2 * least[a][b] - share[a] - share[b] for b in count) for a in count)
    ends = tuple(2 * outer[a] - share[a] + shift for a in count)
    return _Classes(tuple(tuple(pairs) for pairs in edges), tuple(sizes), joint, ends, shift)


def _clash(classes: _Classes) -> tuple[int, int] | None:
    """Two classes to merge because some item's poses offer different pairs of classes; None where none do."""
    for pairs in classes.pairs:
        first = sorted(pairs[0])
        for pair in pairs[1:]:
            for a, b in zip(first, sorted(pair), strict=True):
                if a != b:
                    return a, b
    return None


def _nearest(classes: _Classes) -> tuple[int, int]:
    """Return the two classes between which a joint loses least."""
    count = len(classes.outer)
    return min(
        ((a, b) for a in range(count) for b in range(a + 1, count)), key=lambda ab: (classes.joint[ab[0]][ab[1]], ab)
    )


def _merge(classes: _Classes, a: int, b: int) -> _Classes:
    """Take two classes for one: joints between them count as no loss, so rows only look shorter."""
    low, high = min(a, b), max(a, b)
    kept = [c for c in range(len(classes.outer)) if c != high]
    place = {c: number for number, c in enumerate(kept)} | {high: low}
    members = [[c, high] if c == low else [c] for c in kept]
    joint = tuple(
        tuple(0 if f == g else min(classes.joint[x][y] for x in f for y in g) for g in members) for f in members
    )
    return _Classes(
        pairs=tuple(tuple((place[left], place[right]) for left, right in pairs) for pairs in classes.pairs),
        sizes=classes.sizes,
        joint=joint,
        outer=tuple(min(classes.outer[x] for x in f) for f in members),
        shift=classes.shift,
    )


# -- states -------------------------------------------------------------------------------------


def _automaton(classes: _Classes, model: RowModel) -> Automaton | None:
    """Enumerate the signatures; None where there are too many."""
    count = len(classes.outer)
    edges = [pairs[0] for pairs in classes.pairs]
    types = sorted({(min(edge), max(edge)) for edge in edges})
    start: State = ((-1,) * count, (0,) * count)
    number: dict[State, int] = {start: 0}
    table: list[list[int]] = []
    queue = [start]
    for state in queue:
        row = []
        for a, b in types:
            after = _joined(state, a, b)
            if after not in number:
                number[after] = len(queue)
                queue.append(after)
            row.append(number[after])
        table.append(row)
        if len(queue) > _MOST_RAW_STATES:
            return None
    losses = [_completion(state, classes) for state in queue]
    block = _minimised(losses, table)
    states = max(block) + 1
    if states > _MOST_STATES and count > 1:
        return None
    chosen = [block.index(name) for name in range(states)]
    column = {edge: place for place, edge in enumerate(types)}
    return Automaton(
        sizes=classes.sizes,
        steps=tuple(tuple(block[table[s][column[min(edge), max(edge)]]] for s in chosen) for edge in edges),
        losses=tuple(losses[s] for s in chosen),
        capacities=tuple(2 * capacity + _ENDS * classes.shift for capacity in model.capacities),
    )


def _joined(state: State, a: int, b: int) -> State:
    """Add an edge between two classes: their ends change parity, their components become one."""
    component, odd = list(state[0]), list(state[1])
    odd[a] ^= 1
    odd[b] ^= 1
    fresh = max(component) + 1
    for c in (a, b):
        if component[c] < 0:
            component[c] = fresh
            fresh += 1
    if component[a] != component[b]:
        gone, stays = component[b], component[a]
        component = [stays if c == gone else c for c in component]
    return _named(component), tuple(odd)


def _named(component: Sequence[int]) -> tuple[int, ...]:
    """Number components in order of appearance."""
    names: dict[int, int] = {}
    return tuple(-1 if c < 0 else names.setdefault(c, len(names)) for c in component)


def _completion(state: State, classes: _Classes) -> int:
    """Least loss of joints that make a row of what lies in the state: Dijkstra over what is still odd or apart."""
    count = len(classes.outer)
    used = [c for c in range(count) if state[0][c] >= 0]
    if not used:
        return 0
    lone = max(state[0]) + 1
    begin = (0, _named((*state[0], lone)), state[1])
    best: dict[tuple[int, tuple[int, ...], tuple[int, ...]], int] = {begin: 0}
    heap = [(0, begin)]
    while True:
        loss, node = heapq.heappop(heap)
        if loss > best[node]:
            continue
        ends, component, odd = node
        if ends == _ENDS and not any(odd) and len({c for c in component if c >= 0}) == 1:
            return loss
        for total, after in _completions(loss, node, used, classes):
            if total < best.get(after, total + 1):
                best[after] = total
                heapq.heappush(heap, (total, after))


def _completions(
    loss: int, node: tuple[int, tuple[int, ...], tuple[int, ...]], used: Sequence[int], classes: _Classes
) -> Iterable[tuple[int, tuple[int, tuple[int, ...], tuple[int, ...]]]]:
    """Add one costing joint, or one outer end, to a partial completion."""
    ends, component, odd = node
    count = len(odd)
    for place, a in enumerate(used):
        if ends < _ENDS:
            joined, parity = _joined((component, (*odd, 0)), a, count)
            yield loss + classes.outer[a], (ends + 1, joined, parity[:count])
        for b in used[place + 1 :]:
            joined, parity = _joined((component, (*odd, 0)), a, b)
            yield loss + classes.joint[a][b], (ends, joined, parity[:count])


def _minimised(losses: Sequence[int], table: Sequence[Sequence[int]]) -> list[int]:
    """Block of every state: states are one where no further parts tell them apart (Moore's partition refinement)."""
    block = _numbered(losses)
    while True:
        finer = _numbered([(block[s], tuple(block[t] for t in row)) for s, row in enumerate(table)])
        if max(finer) == max(block):
            return finer
        block = finer


def _numbered(keys: Sequence[object]) -> list[int]:
    names: dict[object, int] = {}
    return [names.setdefault(key, len(names)) for key in keys]
