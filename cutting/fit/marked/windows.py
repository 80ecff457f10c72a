"""What a yard's cuts leave of a stick: windows between its marks, each for parts of its own.

A stick of clear length U with m yard cuts loses the allowance a at each mark, half to either side. Contents c_0..c_m
(parts and the kerfs between them) can be arranged if and only if each c_j is within its largest window and their sum is
at most U - m a, as long as the windows at their largest can take up all of U - m a: then the marks can be placed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from cutting.question.job import Stick

__all__ = ["Windows", "assign", "window_lengths"]

Pattern = tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Windows:
    """The windows of one kind of stick in grid units, one kerf added to each as to the sizes.

    Attributes
    ----------
    caps : tuple of int
        Largest content of each window.
    totals : tuple of int
        Largest content of all windows together where 1, 2, ... of them hold something; not descending.
    """

    caps: tuple[int, ...]
    totals: tuple[int, ...]


def window_lengths(stick: Stick, *, cuts: int, reach: Fraction, allowance: Fraction) -> tuple[Fraction, ...] | None:
    """Return the largest windows (mm) of a stick with so many yard cuts.

    Parameters
    ----------
    stick : Stick
        The line.
    cuts : int
        Marks, at least 1.
    reach : Fraction
        mm, the longest piece that can be carried.
    allowance : Fraction
        mm lost at each mark.

    Returns
    -------
    tuple of Fraction or None
        From the raw first end; None where pieces within reach can't make up this stick.
    """
    kept = stick.clear - cuts * allowance
    tail = stick.length - stick.trims[0] - stick.clear
    windows = (
        reach - stick.trims[0] - allowance / 2,
        *((reach - allowance,) * (cuts - 1)),
        reach - tail - allowance / 2,
    )
    if kept < 0 or min(windows) < 0 or sum(windows) < kept:
        return None
    return tuple(min(window, kept) for window in windows)


@lru_cache(maxsize=65_536)
def assign(sizes: tuple[int, ...], pattern: Pattern, windows: Windows) -> tuple[Pattern, ...] | None:
    """Distribute the pieces of a pattern over windows.

    Parameters
    ----------
    sizes : tuple of int
        Descending.
    pattern : tuple of int
        Pieces of each size on the whole stick.
    windows : Windows
        The stick's.

    Returns
    -------
    tuple of tuple of int or None
        A pattern for each window; None where they don't fit.

    Examples
    --------
    >>> assign((7, 4), (1, 2), Windows(caps=(9, 9), totals=(15, 16)))
    ((1, 0), (0, 2))
    >>> assign((7, 4), (2, 1), Windows(caps=(9, 9), totals=(18, 18))) is None
    True
    """
    pieces = [size for size, count in enumerate(pattern) for _ in range(count)]
    total = sum(sizes[size] for size in pieces)
    filled = next((number for number, most in enumerate(windows.totals, start=1) if total <= most), None)
    if filled is None or total > sum(windows.caps) or len(pieces) < filled:
        return None
    places = _Places(sizes, pieces, windows.caps, filled).find()
    if places is None:
        return None
    found = [[0] * len(sizes) for _ in windows.caps]
    for size, window in zip(pieces, places, strict=True):
        found[window][size] += 1
    return tuple(map(tuple, found))


class _Places:
    """Depth-first search for a window for each piece, longest first; a state seen to fail isn't entered again."""

    def __init__(self, sizes: Sequence[int], pieces: Sequence[int], caps: Sequence[int], filled: int) -> None:
        self.lengths = [sizes[size] for size in pieces]
        self.caps = tuple(caps)
        self.filled = filled
        self.behind = [0]
        for length in reversed(self.lengths):
            self.behind.append(self.behind[-1] + length)
        self.behind.reverse()
        self.failed: set[tuple[int, tuple[int, ...]]] = set()

    def find(self) -> list[int] | None:
        return self._place(0, self.caps)

    def _place(self, at: int, rooms: tuple[int, ...]) -> list[int] | None:
        if at == len(self.lengths):
            used = sum(room < cap for room, cap in zip(rooms, self.caps, strict=True))
            return [] if used >= self.filled else None
        if (at, rooms) in self.failed or sum(rooms) < self.behind[at]:
            return None
        tried: set[tuple[int, int]] = set()
        # Fullest window first that still takes the piece: best fit, which mostly succeeds at once.
        for window in sorted(range(len(rooms)), key=lambda number: rooms[number]):
            room = rooms[window] - self.lengths[at]
            if room < 0 or (rooms[window], self.caps[window]) in tried:
                continue
            tried.add((rooms[window], self.caps[window]))
            rest = self._place(at + 1, (*rooms[:window], room, *rooms[window + 1 :]))
            if rest is not None:
                return [window, *rest]
        self.failed.add((at, rooms))
        return None
