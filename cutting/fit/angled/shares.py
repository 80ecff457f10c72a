"""Classes of faces, and what each of their joints loses beyond the shares that the parts carry.

Half of a class's own gap counts into every part that has such a face, so that a joint of equal classes costs nothing
more (see `cutting.fit.angled.signature`). All amounts are in half units.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Final

from cutting.fit.angled.rows import RowModel

__all__ = ["Shares", "clash", "merge", "nearest", "shares_of"]

_MOST_PERMUTED: Final = 5


@dataclass(frozen=True, slots=True)
class Shares:
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


def shares_of(model: RowModel) -> Shares:
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
) -> Shares:
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
    return Shares(tuple(tuple(pairs) for pairs in edges), tuple(sizes), joint, ends, shift)


def clash(classes: Shares) -> tuple[int, int] | None:
    """Two classes to merge because some item's poses offer different pairs of classes; None where none do."""
    for pairs in classes.pairs:
        first = sorted(pairs[0])
        for pair in pairs[1:]:
            for a, b in zip(first, sorted(pair), strict=True):
                if a != b:
                    return a, b
    return None


def nearest(classes: Shares) -> tuple[int, int]:
    """Return the two classes between which a joint loses least."""
    count = len(classes.outer)
    return min(
        ((a, b) for a in range(count) for b in range(a + 1, count)), key=lambda ab: (classes.joint[ab[0]][ab[1]], ab)
    )


def merge(classes: Shares, a: int, b: int) -> Shares:
    """Take two classes for one: joints between them count as no loss, so rows only look shorter."""
    low, high = min(a, b), max(a, b)
    kept = [c for c in range(len(classes.outer)) if c != high]
    place = {c: number for number, c in enumerate(kept)} | {high: low}
    members = [[c, high] if c == low else [c] for c in kept]
    joint = tuple(
        tuple(0 if f == g else min(classes.joint[x][y] for x in f for y in g) for g in members) for f in members
    )
    return Shares(
        pairs=tuple(tuple((place[left], place[right]) for left, right in pairs) for pairs in classes.pairs),
        sizes=classes.sizes,
        joint=joint,
        outer=tuple(min(classes.outer[x] for x in f) for f in members),
        shift=classes.shift,
    )
