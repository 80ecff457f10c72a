"""From a pattern of square parts to a layout for people: in what order, and what is left over."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cutting.answer.plan import Cut, Piece
from cutting.buying.objective import SectionModel
from cutting.fit.knapsack import Pattern
from cutting.fit.marked.windows import Windows, assign
from cutting.question.job import Job, Saw, Stick

__all__ = ["SquareLayouts", "square_cut"]


class SquareLayouts:
    """Lays out the sticks of one section whose parts are square; see `cutting.laying.layouts.Layouts`.

    Parameters
    ----------
    job : Job
        For its saw.
    model : SectionModel
        The section.
    """

    def __init__(self, job: Job, model: SectionModel) -> None:
        self.saw = job.saw
        self.sizes = model.instance.sizes
        self.lengths = [parts[0].length for parts in model.parts]
        self.length_of = {part.mark: part.length for parts in model.parts for part in parts}

    def cut(self, stick: Stick, pattern: Pattern, marks: Sequence[str], times: int) -> Cut:
        """Lay parts on a stick, the longest first."""
        del pattern  # the marks say it all
        return square_cut(stick, [(mark, self.length_of[mark]) for mark in marks], times, self.saw)

    def steel(self, pattern: Pattern) -> Fraction:
        """Return the length that parts and the kerfs between them take."""
        taken = sum((length * n for length, n in zip(self.lengths, pattern, strict=True)), Fraction(0))
        return taken + max(0, sum(pattern) - 1) * self.saw.kerf

    def split(self, pattern: Pattern, windows: Windows) -> tuple[Pattern, ...] | None:
        """Distribute parts over the windows between a yard's marks."""
        return assign(self.sizes, pattern, windows)


def square_cut(stick: Stick, chosen: Sequence[tuple[str, Fraction]], times: int, saw: Saw) -> Cut:
    """Lay parts with square ends on a stick.

    Parameters
    ----------
    stick : Stick
        The line it comes from.
    chosen : sequence of (mark, length)
        Parts, longest first.
    times : int
        Sticks cut alike.
    saw : Saw
        Kerf, and the shortest piece it holds.
    """
    order = _held_order(stick, chosen, saw)
    pieces: list[Piece] = []
    position = Fraction(0)
    for mark, length in order:
        pieces.append(Piece(mark=mark, length=length, start=position, end=position + length))
        position += length + saw.kerf
    rest = stick.clear - pieces[-1].end
    return Cut(
        stick=stick.id,
        section=stick.section,
        length=stick.length,
        source=stick.source,
        quantity=times,
        pieces=tuple(pieces),
        drop=max(Fraction(0), rest - saw.kerf),
        skim=0 < rest + stick.trims[1] < saw.kerf,
        unheld=_unheld(stick, order, saw),
    )


def _held_order(stick: Stick, chosen: Sequence[tuple[str, Fraction]], saw: Saw) -> Sequence[tuple[str, Fraction]]:
    """Longest first, unless another order leaves the saw more to hold: then the longest comes last."""
    if not _unheld(stick, chosen, saw):
        return chosen
    longest = chosen[0][1]
    turned = [entry for entry in chosen if entry[1] < longest] + [entry for entry in chosen if entry[1] == longest]
    return turned if len(_unheld(stick, turned, saw)) < len(_unheld(stick, chosen, saw)) else chosen


def _unheld(stick: Stick, order: Sequence[tuple[str, Fraction]], saw: Saw) -> tuple[int, ...]:
    """Cuts, counted from 1, where the piece and what is left of the stick behind the cut are both too short to hold."""
    if saw.hold is None:
        return ()
    found = []
    behind = stick.clear + stick.trims[1]
    for number, (_, length) in enumerate(order, start=1):
        behind -= length
        if behind <= 0:
            break
        behind -= saw.kerf
        if length < saw.hold and behind < saw.hold:
            found.append(number)
    return tuple(found)
