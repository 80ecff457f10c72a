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
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from cutting.fit.angled.rows import RowModel
from cutting.fit.angled.shares import Shares, clash, merge, nearest, shares_of

__all__ = ["Automaton", "build_automaton"]

_MOST_CLASSES: Final = 5
_MOST_STATES: Final = 48
_MOST_RAW_STATES: Final = 256
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


def build_automaton(model: RowModel) -> Automaton:
    """Build the automaton of a section, merging classes until it is small."""
    classes = shares_of(model)
    while (both := clash(classes)) is not None:
        classes = merge(classes, *both)
    while True:
        automaton = _automaton(classes, model) if len(classes.outer) <= _MOST_CLASSES else None
        if automaton is not None:
            return _coarsened(automaton)
        classes = merge(classes, *nearest(classes))


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


def _automaton(classes: Shares, model: RowModel) -> Automaton | None:
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


def _completion(state: State, classes: Shares) -> int:
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
    loss: int, node: tuple[int, tuple[int, ...], tuple[int, ...]], used: Sequence[int], classes: Shares
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
