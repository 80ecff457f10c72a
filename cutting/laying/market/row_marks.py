"""Where the yard cuts a stick whose parts have angled ends, and how each carried piece is sawn at home."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cutting.answer.plan import Cut
from cutting.buying.objective import SectionModel
from cutting.fit.angled.order import Orders
from cutting.fit.marked.rows import split_rows
from cutting.fit.marked.windows import Windows
from cutting.laying.angled.layout import RowLayouts
from cutting.laying.layouts import square_cut
from cutting.laying.market.marking import marked_cut, unsawn
from cutting.question.job import Job, Stick

__all__ = ["RowsAtMarks"]


class RowsAtMarks:
    """Lays out the sticks of one section that the yard cuts.

    Parameters
    ----------
    job : Job
        Its parts of this section.
    model : SectionModel
        The section, with rows.
    windows : sequence of Windows or None
        For each kind of stick.
    """

    def __init__(self, job: Job, model: SectionModel, windows: Sequence[Windows | None]) -> None:
        assert model.instance.rows is not None
        self.job = job
        self.windows = tuple(windows)
        self.orders = Orders(model.instance.rows)
        self.layouts = RowLayouts(job, model)
        self.size_of = {part.mark: size for size, parts in enumerate(model.parts) for part in parts}
        self.lengths = [parts[0].length for parts in model.parts]

    def cut(self, kind: int, stick: Stick, chosen: Sequence[tuple[str, Fraction]], count: int) -> Cut | None:
        """Lay out one stick; None where it isn't of a kind that the yard cuts."""
        windows = self.windows[kind]
        if windows is None:
            return None
        waiting: list[list[str]] = [[] for _ in self.lengths]
        for mark, _ in chosen:
            waiting[self.size_of[mark]].append(mark)
        split = split_rows(self.orders, tuple(map(len, waiting)), windows)
        assert split is not None
        marks = [[waiting[size].pop(0) for size, n in enumerate(row) for _ in range(n)] for row in split]
        unit = self.orders.model.unit
        steel = [self.orders.span(row) * unit if any(row) else Fraction(0) for row in split]

        def saw_up(at: int, bar: Stick) -> Cut:
            if not any(split[at]):
                return unsawn(bar)
            if self.layouts.has_angles(split[at]):
                return self.layouts.cut(bar, split[at], marks[at], 1)
            inside = [(mark, self.lengths[self.size_of[mark]]) for mark in marks[at]]
            return square_cut(bar, inside, 1, self.job.saw)

        return marked_cut(self.job, stick, steel, saw_up, count)
