"""From patterns to layouts for people: which line's stick, which marks, in what order, with what left over."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from operator import neg

from cutting.answer.load import Load
from cutting.answer.plan import Cut, Piece
from cutting.buying.objective import SectionModel
from cutting.question.job import Job, Saw, Stick

__all__ = ["lay_out", "square_cut"]

Pattern = tuple[int, ...]
SawUp = Callable[[int, Stick, Sequence[tuple[str, Fraction]], int], Cut | None]


def lay_out(job: Job, model: SectionModel, loads: Sequence[Load], saw_up: SawUp | None = None) -> tuple[Cut, ...]:
    """Turn the loads of one section into cuts.

    Marks are given in runs so that alike sticks keep alike marks, parts on a
    stick longest first, equal lengths together. `saw_up` (kind, stick, parts, sticks alike) makes the cuts of
    kinds that aren't plain sticks.
    """
    marks = _MarkSupply(model)
    rows = None
    if model.instance.rows is not None:
        from cutting.laying.angled.layout import RowLayouts  # noqa: PLC0415 - only where ends are angled

        rows = RowLayouts(job, model)
    cuts: list[Cut] = []
    for load in sorted(loads, key=lambda entry: (-entry.times, tuple(map(neg, entry.pattern)), entry.kind)):
        stick = model.sticks[load.kind]
        for count, chosen in marks.take(load.pattern, load.times):
            one = None if saw_up is None else saw_up(load.kind, stick, chosen, count)
            if one is not None:
                cuts.append(one)
            elif rows is not None and rows.has_angles(load.pattern):
                cuts.append(rows.cut(stick, load.pattern, [mark for mark, _ in chosen], count))
            else:
                cuts.append(square_cut(stick, chosen, count, job.saw))
    line = {stick.id: number for number, stick in enumerate(job.sticks)}
    return tuple(sorted(_merged(cuts), key=lambda cut: (line[cut.stick], [-piece.length for piece in cut.pieces])))


def _merged(cuts: Sequence[Cut]) -> Iterator[Cut]:
    groups: dict[tuple[str, tuple[Piece, ...], tuple[Fraction, ...]], list[Cut]] = {}
    for cut in cuts:
        groups.setdefault((cut.stick, cut.pieces, cut.marks), []).append(cut)
    for group in groups.values():
        yield replace(group[0], quantity=sum(cut.quantity for cut in group))


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


class _MarkSupply:
    """Hands out marks so that alike sticks carry alike marks wherever enough pieces of one mark are left."""

    def __init__(self, model: SectionModel) -> None:
        self._lengths = [parts[0].length for parts in model.parts]
        self._left = [{part.mark: part.quantity for part in parts} for parts in model.parts]

    def take(self, pattern: Pattern, times: int) -> Iterator[tuple[int, list[tuple[str, Fraction]]]]:
        """Yield (sticks alike, their parts longest first) until `times` sticks are filled."""
        held = [(size, count) for size, count in enumerate(pattern) if count]
        sizes = [size for size, count in held for _ in range(count)]
        while times:
            alike = times
            chosen: list[tuple[str, Fraction]] = []
            for size, count in held:
                marks, alike = self._run(size, count, alike)
                chosen += [(mark, self._lengths[size]) for mark in marks]
            for size, (mark, _) in zip(sizes, chosen, strict=True):
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
