"""From a row to a layout for people: where each part lies and every stroke of the saw that frees it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import islice
from typing import TYPE_CHECKING

from cutting.answer.load import held
from cutting.answer.plan import Cut, Lie, Piece
from cutting.fit.angled.gaps import Gaps
from cutting.fit.angled.model import gaps_of
from cutting.fit.angled.order import RowOrders
from cutting.fit.angled.poses import Pose, poses_of
from cutting.fit.angled.rows import Faces
from cutting.fit.angled.shape import faces_of, lengths_of
from cutting.fit.knapsack import Pattern
from cutting.fit.marked.rows import split_rows
from cutting.fit.marked.windows import Windows
from cutting.laying.angled.sequence import Laid, Sequencer
from cutting.laying.angled.strokes import edge_of, strokes_of
from cutting.laying.square import SquareLayouts
from cutting.question.job import Job, Part, Stick

if TYPE_CHECKING:
    from cutting.buying.objective import SectionModel

__all__ = ["RowLayouts"]


class RowLayouts:
    """Lays out the rows of one section; see `cutting.laying.layouts.Layouts`.

    Parameters
    ----------
    job : Job
        The job.
    model : SectionModel
        The section, with rows.
    """

    def __init__(self, job: Job, model: SectionModel) -> None:
        rows = model.instance.rows
        assert rows is not None
        self.job = job
        self.section = model.section
        self.gaps: Gaps = gaps_of(job, model.section)
        self.poses = poses_of(model.section)
        self._square = SquareLayouts(job, model)
        self.parts = {part.mark: part for part in job.parts}
        self.faces = [faces_of(parts[0]) for parts in model.parts]
        self._tail, self._plain = (
            Sequencer(RowOrders(rows, tail=tail), self.faces, self.poses, self.gaps, one_way=job.saw.one_way)
            for tail in (True, False)
        )
        self._known: dict[tuple[tuple[int, ...], bool], tuple[Laid, ...]] = {}
        self._lies: dict[tuple[str, Pose], tuple[Faces, Lie | None]] = {}

    def steel(self, pattern: Pattern) -> Fraction:
        """Return the least length (mm) of a row of these parts."""
        orders = self._plain.orders
        return orders.span(pattern) * orders.model.unit if any(pattern) else Fraction(0)

    def split(self, pattern: Pattern, windows: Windows) -> tuple[Pattern, ...] | None:
        """Distribute parts over the windows between a yard's marks, a row for each."""
        return split_rows(self._plain.orders, pattern, windows)

    def _has_angles(self, pattern: Pattern) -> bool:
        return any(not face.square for size, _ in held(pattern) for face in self.faces[size])

    def cut(self, stick: Stick, pattern: Pattern, marks: Sequence[str], times: int) -> Cut:
        """Lay one row on a stick, as square parts where none of them has an angled end.

        Parameters
        ----------
        stick : Stick
            The line it comes from.
        pattern : tuple of int
            Pieces of each group of parts.
        marks : sequence of str
            Their marks, group by group.
        times : int
            Sticks cut alike.
        """
        if not self._has_angles(pattern):
            return self._square.cut(stick, pattern, marks, times)
        pieces, faces = self._pieces(self._row(stick, pattern), pattern, marks)
        last, end = faces[-1][1], pieces[-1].end
        behind = stick.clear - end - self.gaps.outer(last)
        drop = max(Fraction(0), stick.clear - end - self.gaps.behind(last))
        return Cut(
            stick=stick.id,
            section=stick.section,
            length=stick.length,
            source=stick.source,
            quantity=times,
            pieces=pieces,
            drop=drop,
            skim=0 < behind + stick.trims[1] < self.gaps.behind(last) - self.gaps.outer(last),
            unheld=self._unheld(stick, pieces, faces),
            strokes=strokes_of(pieces, faces, self.gaps, behind, one_way=self.job.saw.one_way),
            edge=edge_of(self.section),
        )

    def _row(self, stick: Stick, pattern: tuple[int, ...]) -> tuple[Laid, ...]:
        """Order the row: for the longest drop where there is one, else so that it fits."""
        orders = self._tail.orders
        roomy = orders.span(pattern) * orders.model.unit <= stick.clear
        key = (pattern, roomy)
        if key not in self._known:
            self._known[key] = (self._tail if roomy else self._plain).sequence(pattern)
        return self._known[key]

    def _pieces(
        self, row: Sequence[Laid], pattern: Sequence[int], marks: Sequence[str]
    ) -> tuple[tuple[Piece, ...], list[Faces]]:
        rest = iter(marks)
        waiting = {size: list(islice(rest, count)) for size, count in held(pattern)}
        pieces: list[Piece] = []
        lying: list[Faces] = []
        at = Fraction(0)
        for laid in row:
            part = self.parts[waiting[laid.item].pop(0)]
            (left, right), lie = self._lying(part, laid)
            at += self.gaps.between(lying[-1][1], left) if lying else self.gaps.outer(left)
            pieces.append(
                Piece(
                    mark=part.mark,
                    length=part.length,
                    start=at,
                    end=at + part.length,
                    lie=lie,
                )
            )
            lying.append((left, right))
            at += part.length
        return tuple(pieces), lying

    def _lying(self, part: Part, laid: Laid) -> tuple[Faces, Lie | None]:
        """Return a part's faces as it lies in a row, and what is said of that; the same wherever it lies so."""
        key = (part.mark, laid.pose)
        if key not in self._lies:
            faces = laid.pose.faces(self.faces[laid.item])
            self._lies[key] = (faces, self._lie(part, faces))
        return self._lies[key]

    def _lie(self, part: Part, lying: Faces) -> Lie | None:
        if part.ends is None or not any(part.ends.angles):
            return None
        own = faces_of(part)
        pose = next(pose for pose in self.poses if pose.faces(own) == lying)
        return Lie(
            turned=pose.turned,
            roll=pose.quarter_turns,
            planes=(lying[0].plane, lying[1].plane),
            leans=(lying[0].lean, lying[1].lean),
            lengths=lengths_of(part).shown(self.job.unit),
        )

    def _unheld(self, stick: Stick, pieces: Sequence[Piece], lying: Sequence[Faces]) -> tuple[int, ...]:
        """Cuts where both the part and what is left of the stick are too short to hold, by their shorter sides."""
        hold = self.job.saw.hold
        if hold is None:
            return ()
        found = []
        for number, (piece, faces) in enumerate(zip(pieces, lying, strict=True), start=1):
            if stick.clear - piece.end - self.gaps.outer(faces[1]) <= 0:
                break
            behind = stick.clear + stick.trims[1] - piece.end - self.gaps.behind(faces[1])
            short = lengths_of(self.parts[piece.mark]).short.high
            if short < hold and behind < hold:
                found.append(number)
        return tuple(found)
