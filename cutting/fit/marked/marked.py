"""Parts between a yard's marks: whatever parts do on a stick, they do on each window of a stick that the yard cuts."""

from __future__ import annotations

from collections.abc import Sequence

from cutting.fit.fit import Fit, Pricer
from cutting.fit.knapsack import Best, Pattern
from cutting.fit.marked.pricing import Singles, Tables, Together
from cutting.fit.marked.windows import Windows

__all__ = ["Marked"]

MOST_UNITS = 60_000  # beyond this many units windows are priced one by one, which is weaker


class Marked:
    """What parts do on kinds of stick some of which a yard cuts; see `cutting.fit.fit.Fit`.

    Parameters
    ----------
    inner : Fit
        What they do on the same sticks uncut; the capacity of a marked kind is that of all its windows together.
    windows : sequence of Windows or None
        For each kind.
    single : Fit, optional
        What they do on sticks as long as one window each, the lengths of which ascend.
    """

    def __init__(self, inner: Fit, windows: Sequence[Windows | None], single: Fit | None = None) -> None:
        self.inner = inner
        self.windows = tuple(windows)
        self.sizes, self.demands, self.capacities = inner.sizes, inner.demands, inner.capacities
        self.rows = inner.rows
        caps = sorted({cap for each in windows if each is not None for cap in each.caps})
        self.places = {cap: number for number, cap in enumerate(caps)}
        self.single = inner.cut_to(caps) if single is None else single
        self.rough: tuple[Pricer, ...] = tuple(_Rough(self, each) for each in inner.rough)

    def best(
        self, values: Sequence[int], *, demands: Sequence[int] | None = None, floors: Sequence[int] | None = None
    ) -> Best:
        """Return for each kind a value that no pattern exceeds and a pattern."""
        found = self.inner.best(values, demands=demands, floors=floors)
        return self._between(found, values, self.demands if demands is None else demands, floors)

    def several(
        self, values: Sequence[int], *, demands: Sequence[int] | None = None, floors: Sequence[int], most: int
    ) -> tuple[Best, list[tuple[int, Pattern]]]:
        """Like `best`, with further patterns above the floors."""
        found, more = self.inner.several(values, demands=demands, floors=floors, most=most)
        best = self._between(found, values, self.demands if demands is None else demands, floors)
        return best, self.holding(more)

    def holding(self, found: Sequence[tuple[int, Pattern]]) -> list[tuple[int, Pattern]]:
        """Return those patterns that respect the windows of their kind."""
        return [(kind, pattern) for kind, pattern in found if self._parted(kind, pattern)]

    def trimmed(self, kind: int, pattern: Pattern | None, values: Sequence[int]) -> Pattern | None:
        """Leave out pieces of the least value until the windows hold what is left."""
        while pattern is not None and any(pattern) and not self._parted(kind, pattern):
            least = min((part for part, n in enumerate(pattern) if n), key=lambda part: values[part])
            pattern = (*pattern[:least], pattern[least] - 1, *pattern[least + 1 :])
        return pattern

    def _parted(self, kind: int, pattern: Pattern) -> bool:
        windows = self.windows[kind]
        return windows is None or self.inner.split(pattern, windows) is not None

    def _between(
        self, found: Best, values: Sequence[int], demands: Sequence[int], floors: Sequence[int] | None
    ) -> Best:
        """Put values and patterns of marked kinds in the place of those of their capacity."""
        totals, patterns = list(found.values), list(found.patterns)
        together: Together | None = None
        for kind, windows in enumerate(self.windows):
            if windows is None:
                continue
            together = together or self._together(values, demands)
            # The capacity of all windows together is a bound of its own, exact in the demand.
            totals[kind] = min(together.value(windows), found.values[kind])
            floor = 0 if floors is None else max(floors[kind], 0)
            if totals[kind] <= floor:
                totals[kind], patterns[kind] = floor, None
                continue
            pattern = self.trimmed(kind, patterns[kind], values)
            if totals[kind] > worth(values, pattern):
                pattern = max(together.pattern(windows), pattern, key=lambda each: worth(values, each))
            patterns[kind] = pattern if worth(values, pattern) > floor else None
        return Best(values=tuple(totals), patterns=tuple(patterns))

    def _together(self, values: Sequence[int], demands: Sequence[int]) -> Together:
        if self.rows is None and max(self.places) <= MOST_UNITS:
            return Tables(self.sizes, values, demands, max(self.places))
        return Singles(self.single, self.places, values, demands)

    def holds(self, kind: int, pattern: Pattern) -> bool:
        """Whether a stick of a kind holds these pieces."""
        return self.inner.holds(kind, pattern) and self._parted(kind, pattern)

    def filled(self, kind: int, left: Sequence[int], first: int | None = None) -> Pattern:
        """Fill one window after the other by hand's rule."""
        windows = self.windows[kind]
        if windows is None:
            return self.inner.filled(kind, left, first)
        whole: Pattern = (0,) * len(left)
        rest = list(left)
        for cap in windows.caps:
            begin = first if first is not None and rest[first] else None
            here = self.single.filled(self.places[cap], rest, begin)
            trial = self.trimmed(kind, tuple(a + b for a, b in zip(whole, here, strict=True)), self.sizes)
            if trial is not None and sum(trial) > sum(whole):
                whole = trial
                rest = [have - n for have, n in zip(left, whole, strict=True)]
        return whole

    def fullest(self, kind: int, counts: Sequence[int]) -> Pattern:
        """Fill one stick as far as these pieces allow, a marked one by hand's rule."""
        return self.inner.fullest(kind, counts) if self.windows[kind] is None else self.filled(kind, counts)

    def waste(self, kind: int, pattern: Pattern) -> int:
        """What these pieces leave of a stick, a yard's cuts aside."""
        return self.inner.waste(kind, pattern)

    def split(self, pattern: Pattern, windows: Windows) -> tuple[Pattern, ...] | None:
        """Distribute pieces over the windows between a yard's marks."""
        return self.inner.split(pattern, windows)

    def alike(self, kind: int) -> tuple[object, Windows | None]:
        """Return what sticks that hold the same have in common: that of uncut ones, and their windows."""
        return self.inner.alike(kind), self.windows[kind]

    def on(self, kinds: Sequence[int]) -> Fit:
        """Only these kinds of stick."""
        inner, windows = self.inner.on(kinds), [self.windows[kind] for kind in kinds]
        return Marked(inner, windows) if any(windows) else inner

    def among(self, parts: Sequence[int], demands: Sequence[int]) -> Fit:
        """Only these parts, so many of each."""
        return Marked(self.inner.among(parts, demands), self.windows, self.single.among(parts, demands))

    def cut_to(self, lengths: Sequence[int]) -> Fit:
        """The same parts on sticks of these clear lengths, which no yard cuts."""
        return self.inner.cut_to(lengths)


class _Rough:
    """A rough pricer whose patterns respect windows too."""

    def __init__(self, marked: Marked, rough: Pricer) -> None:
        self.marked = marked
        self.rough = rough

    def several(
        self, values: Sequence[int], *, demands: Sequence[int] | None = None, floors: Sequence[int], most: int
    ) -> tuple[Best, list[tuple[int, Pattern]]]:
        found, more = self.rough.several(values, demands=demands, floors=floors, most=most)
        patterns = [self.marked.trimmed(kind, pattern, values) for kind, pattern in enumerate(found.patterns)]
        beating = tuple(
            pattern if worth(values, pattern) > floor else None for pattern, floor in zip(patterns, floors, strict=True)
        )
        return Best(values=found.values, patterns=beating), self.marked.holding(more)


def worth(values: Sequence[int], pattern: Pattern | None) -> int:
    """Value of a pattern's pieces."""
    return 0 if pattern is None else sum(value * n for value, n in zip(values, pattern, strict=True))
