"""Instances without the integer round-up property, augmented: their optimum is proven by how they are made.

After the classes of Delorme, Iori & Martello (European Journal of Operational Research 255, 2016): a small set of parts
that fills three sticks to the last unit, but needs four, is hidden among triplets that each fill a stick. Every part is
used up, so each bound by fractions is the number of sticks that the parts measure, and the optimum is one more.

The small set has a part for each edge of the Petersen graph, as long as what its two ends are worth, so that every
perfect matching fills a stick: the six of them make three sticks in halves, no three are disjoint (compare Caprara,
Dell'Amico, Diaz-Diaz, Iori & Rizzi, Mathematical Programming 150, 2015). That chance adds no way is tried out here.

Why the triplets add none: stick and small parts are multiples of a modulus m, and each part of a triplet has a rest
between m/4 and m/2 whose sum over its triplet is m. Sticks are to be filled exactly, so the rests on each add up to a
multiple of m; two rests are less than m, four lie between m and 2m, and five such parts are longer than a stick: there
are none or three of them on each. So as many sticks as there are triplets hold three each, and the small parts, or some
of them, must fill the other three alone. These three are three full sticks' worth of small parts: all of them.
"""

from __future__ import annotations

import random
from itertools import combinations

import numpy as np

from tests.benchmarks.instances import Case, one_kind

__all__ = ["EDGES", "augmented", "needs_four"]

EDGES = tuple(
    [(i, (i + 1) % 5) for i in range(5)] + [(i, i + 5) for i in range(5)] + [(5 + i, 5 + (i + 2) % 5) for i in range(5)]
)
_MODULUS = 7
_SHORTEST, _LONGEST = 0.2, 0.6  # of a stick, for the parts of triplets


def augmented(count: int, *, pieces: int = 201, stick: int = 9996, seed: int = 0) -> list[Case]:
    """Make so many instances of 15 parts and triplets.

    Parameters
    ----------
    count : int
        How many.
    pieces : int
        15 and a multiple of 3.
    stick : int
        A multiple of 7.
    seed : int
        Of the first; the others follow.
    """
    if (pieces - len(EDGES)) % 3 or pieces < len(EDGES) or stick % _MODULUS:
        raise ValueError("there are 15 pieces and triplets, and a stick is a multiple of 7")
    return [_case(random.Random(f"augmented {n}"), n, pieces, stick) for n in range(seed, seed + count)]


def _case(chance: random.Random, number: int, pieces: int, stick: int) -> Case:
    lengths = [_MODULUS * length for length in _hidden(chance, stick // _MODULUS)]
    while len(lengths) < pieces:
        lengths += _triplet(chance, stick)
    demands = {length: lengths.count(length) for length in sorted(lengths, reverse=True)}
    return Case(
        name=f"augmented {pieces} {stick} #{number}",
        group="augmented",
        instance=one_kind(stick, list(demands), list(demands.values()), pieces),
        optimum=sum(lengths) // stick + 1,
    )


def _hidden(chance: random.Random, stick: int) -> list[int]:
    """Make parts of three sticks that need four."""
    while True:
        worth = [chance.random() + 0.2 for _ in range(10)]
        ends = [round(stick * each / sum(worth)) for each in worth]
        ends[0] += stick - sum(ends)
        lengths = [ends[one] + ends[other] for one, other in EDGES]
        if needs_four(lengths, stick):
            return lengths


def needs_four(lengths: list[int], stick: int) -> bool:
    """Whether parts that measure three sticks can't be cut from three, but from four: every subset is tried."""
    numbers = np.arange(1 << len(lengths))
    total = sum(((numbers >> at) & 1) * length for at, length in enumerate(lengths))
    full = numbers[total == stick].tolist()
    pairs = set(full)
    every = (1 << len(lengths)) - 1
    if any(not one & other and every ^ one ^ other in pairs for one, other in combinations(full, 2)):
        return False
    room = [stick] * 4
    for length in sorted(lengths, reverse=True):
        room.sort()
        place = next((at for at, left in enumerate(room) if left >= length), None)
        if place is None:
            return False
        room[place] -= length
    return True


def _triplet(chance: random.Random, stick: int) -> list[int]:
    """Make three parts that fill a stick, with rests of which only three add up to the modulus."""
    while True:
        one, other = (chance.randint(int(_SHORTEST * stick) + 1, int(_LONGEST * stick)) for _ in range(2))
        three = [one, other, stick - one - other]
        if _SHORTEST * stick < three[2] <= _LONGEST * stick and all(
            4 * (length % _MODULUS) > _MODULUS and 2 * (length % _MODULUS) < _MODULUS for length in three
        ):
            return three
