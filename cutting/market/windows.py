"""What a yard's cuts leave of a stick: windows between its marks, each for parts of its own.

A stick of clear length U with m yard cuts loses the allowance a at each mark, half to either side. Contents c_0..c_m
(parts and the kerfs between them) can be arranged if and only if each c_j is within its largest window and their sum is
at most U - m a, as long as the windows at their largest can take up all of U - m a: then the marks can be placed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cutting.job import Stick

__all__ = ["Windows", "window_lengths"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Windows:
    """The windows of one kind of stick in grid units, one kerf added to each as to the sizes.

    Attributes
    ----------
    caps : tuple of int
        Largest content of each window.
    totals : tuple of int
        Largest content of all windows together where 1, 2, ... of them hold something.
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
