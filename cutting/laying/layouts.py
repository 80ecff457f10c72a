"""From patterns to layouts for people: which line's stick, which marks, in what order, with what left over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Protocol

from cutting.answer.load import Load, held, in_order
from cutting.answer.plan import Cut, Piece
from cutting.buying.objective import SectionModel
from cutting.fit.knapsack import Pattern
from cutting.fit.marked.windows import Windows
from cutting.laying.marking import marked_cut, unsawn
from cutting.laying.square import SquareLayouts
from cutting.question.job import Job, Stick

__all__ = ["Layouts", "lay_out"]


class Layouts(Protocol):
    """Lays out the sticks of one section: of square parts, or of rows."""

    def cut(self, stick: Stick, pattern: Pattern, marks: Sequence[str], times: int) -> Cut:
        """Lay parts on a stick, whose marks are given group by group."""
        ...

    def steel(self, pattern: Pattern) -> Fraction:
        """Return the length (mm) that parts take at least, 0 for none."""
        ...

    def split(self, pattern: Pattern, windows: Windows) -> tuple[Pattern, ...] | None:
        """Distribute parts over the windows between a yard's marks."""
        ...


def lay_out(
    job: Job, model: SectionModel, loads: Sequence[Load], windows: Sequence[Windows | None] = ()
) -> tuple[Cut, ...]:
    """Turn the loads of one section into cuts.

    Marks are given in runs so that alike sticks keep alike marks, parts on a stick longest first, equal lengths
    together.

    Parameters
    ----------
    job : Job
        The job, with the section's parts as drawn.
    model : SectionModel
        The section.
    loads : sequence of Load
        Its sticks.
    windows : sequence of Windows or None
        For each kind of stick that a yard cuts; empty where it cuts none.
    """
    supply, layouts = _MarkSupply(model), _layouts(job, model)
    cuts: list[Cut] = []
    for load in in_order(loads):
        stick, between = model.sticks[load.kind], windows[load.kind] if windows else None
        for count, marks in supply.take(load.pattern, load.times):
            if between is None:
                cuts.append(layouts.cut(stick, load.pattern, marks, count))
            else:
                inside = _dealt(layouts, between, load.pattern, marks)
                cuts.append(_at_marks(job, layouts, stick, inside, count))
    line = {stick.id: number for number, stick in enumerate(job.sticks)}
    return tuple(sorted(_merged(cuts), key=lambda cut: (line[cut.stick], [-piece.length for piece in cut.pieces])))


def _layouts(job: Job, model: SectionModel) -> Layouts:
    if model.instance.rows is None:
        return SquareLayouts(job, model)
    from cutting.laying.angled.layout import RowLayouts  # noqa: PLC0415 - only where ends are angled

    return RowLayouts(job, model)


Inside = tuple[Pattern, list[str]]


def _dealt(layouts: Layouts, windows: Windows, pattern: Pattern, marks: Sequence[str]) -> list[Inside]:
    """Deal a stick's parts out to the windows between a yard's marks."""
    split = layouts.split(pattern, windows)
    assert split is not None
    left = iter(marks)
    waiting = [[next(left) for _ in range(count)] for count in pattern]
    return [(here, [waiting[size].pop(0) for size, n in enumerate(here) for _ in range(n)]) for here in split]


def _at_marks(job: Job, layouts: Layouts, stick: Stick, inside: Sequence[Inside], times: int) -> Cut:
    """Lay out a stick that the yard cuts: each piece between its marks as a stick of its own."""

    def saw_up(at: int, bar: Stick) -> Cut:
        pattern, marks = inside[at]
        return layouts.cut(bar, pattern, marks, 1) if marks else unsawn(bar)

    return marked_cut(job, stick, [layouts.steel(pattern) for pattern, _ in inside], saw_up, times)


def _merged(cuts: Sequence[Cut]) -> Iterator[Cut]:
    groups: dict[tuple[str, tuple[Piece, ...], tuple[Fraction, ...]], list[Cut]] = {}
    for cut in cuts:
        groups.setdefault((cut.stick, cut.pieces, cut.marks), []).append(cut)
    for group in groups.values():
        yield replace(group[0], quantity=sum(cut.quantity for cut in group))


class _MarkSupply:
    """Hands out marks so that alike sticks carry alike marks wherever enough pieces of one mark are left."""

    def __init__(self, model: SectionModel) -> None:
        self._left = [{part.mark: part.quantity for part in parts} for parts in model.parts]

    def take(self, pattern: Pattern, times: int) -> Iterator[tuple[int, list[str]]]:
        """Yield (sticks alike, their marks, the longest part's first) until `times` sticks are filled."""
        wanted = held(pattern)
        sizes = [size for size, count in wanted for _ in range(count)]
        while times:
            alike = times
            chosen: list[str] = []
            for size, count in wanted:
                marks, alike = self._run(size, count, alike)
                chosen += marks
            for size, mark in zip(sizes, chosen, strict=True):
                self._left[size][mark] -= alike
            times -= alike
            yield alike, chosen

    def _run(self, size: int, count: int, alike: int) -> tuple[list[str], int]:
        """Choose `count` marks of one size for as many of `alike` sticks as their pieces last."""
        left = {mark: pieces for mark, pieces in self._left[size].items() if pieces}
        marks: list[str] = []
        while len(marks) < count:
            fitting = [mark for mark, pieces in left.items() if pieces >= alike]
            exact = [mark for mark in fitting if left[mark] % alike == 0]
            mark = (exact or fitting or [max(left, key=lambda name: left[name])])[0]
            if left[mark] < alike:
                return self._run(size, count, left[mark])
            left[mark] -= alike
            marks.append(mark)
        return sorted(marks, key=list(self._left[size]).index), alike
