"""The seam of the engine: what some parts do on some kinds of stick.

Everything that searches, packs, fills and breaks ties asks a `Fit` and knows no other difference between square parts
(`cutting.fit.square`), rows of angled parts (`cutting.fit.rows`) and either of them between a yard's marks
(`cutting.fit.marked.marked`).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

from cutting.fit.instance import Instance
from cutting.fit.knapsack import Best, Pattern
from cutting.fit.marked.windows import Windows

if TYPE_CHECKING:
    from cutting.fit.angled.chunks import RowLengths

__all__ = ["Best", "Fit", "Pattern", "Pricer", "fit_of"]


class Pricer(Protocol):
    """Names for each kind of stick the most valuable pattern it can hold, in whole numbers."""

    def several(
        self, values: Sequence[int], *, demands: Sequence[int] | None = None, floors: Sequence[int], most: int
    ) -> tuple[Best, list[tuple[int, Pattern]]]:
        """Like `Fit.best`, perhaps not quite the best, with up to `most` further patterns for each kind."""
        ...


class Fit(Pricer, Protocol):
    """What some parts do on some kinds of stick.

    Attributes
    ----------
    sizes, capacities : tuple of int
        Parts fit a stick only if their sizes come to no more than its capacity; that they do need not be enough.
    demands : tuple of int
        Most pieces of each part on a stick.
    rough : sequence of Pricer
        Quicker pricers: what they find is a pattern of that value, what they don't find may exist.
    rows : RowLengths or None
        What ends take of a stick, where some are angled. Exact pricing then takes much longer than a linear program.
    """

    sizes: tuple[int, ...]
    capacities: tuple[int, ...]
    demands: tuple[int, ...]

    @property
    def rough(self) -> Sequence[Pricer]:
        """Quicker pricers."""
        ...

    @property
    def rows(self) -> RowLengths | None:
        """What angled ends take."""
        ...

    def best(
        self, values: Sequence[int], *, demands: Sequence[int] | None = None, floors: Sequence[int] | None = None
    ) -> Best:
        """For each kind the largest value above its floor, exact or an upper bound, and a pattern found."""
        ...

    def holds(self, kind: int, pattern: Pattern) -> bool:
        """Whether a stick of a kind holds these pieces."""
        ...

    def filled(self, kind: int, left: Sequence[int], first: int | None = None) -> Pattern:
        """Fill one stick by hand's rule with what is left, the longest first, or `first` before all others."""
        ...

    def fullest(self, kind: int, counts: Sequence[int]) -> Pattern:
        """Fill one stick as far as these pieces allow."""
        ...

    def waste(self, kind: int, pattern: Pattern) -> int:
        """What these pieces leave of a stick, a yard's cuts aside; below 0 where they don't fit."""
        ...

    def split(self, pattern: Pattern, windows: Windows) -> tuple[Pattern, ...] | None:
        """Distribute pieces over the windows between a yard's marks; None where they don't fit."""
        ...

    def alike(self, kind: int) -> object:
        """What two kinds of stick have in common that hold the same."""
        ...

    def on(self, kinds: Sequence[int]) -> Fit:
        """Only these kinds of stick."""
        ...

    def among(self, parts: Sequence[int], demands: Sequence[int]) -> Fit:
        """Only these parts, so many of each."""
        ...

    def cut_to(self, lengths: Sequence[int]) -> Fit:
        """The same parts on sticks of these clear lengths."""
        ...


def fit_of(instance: Instance, windows: Sequence[Windows | None] = ()) -> Fit:
    """Return what an instance's parts do on its kinds of stick, which have these windows (None: not cut by a yard).

    Each implementation is loaded where a job first needs it, since most need only one.
    """
    from cutting.fit.square import Square  # noqa: PLC0415

    fit: Fit
    if instance.rows is None:
        fit = Square(instance.sizes, instance.demands, instance.capacities)
    else:
        from cutting.fit.rows import Rows, lengths_of_rows  # noqa: PLC0415

        lengths = lengths_of_rows(instance.rows)
        fit = Rows(lengths, instance.demands, lengths.automaton.capacities)
    if not any(windows):
        return fit
    from cutting.fit.marked.marked import Marked  # noqa: PLC0415

    return Marked(fit, windows)
