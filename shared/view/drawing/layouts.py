"""From a plan's layouts to bars ready to be drawn."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from cutting.answer.plan import Cut, Piece, Plan, Stroke
from cutting.question.job import Job, Part, Stick
from shared.view.drawing.bar import Bar, BarPiece, Dimension
from shared.view.drawing.faces import ends_of
from shared.wording.angled import angle_text
from shared.wording.tape import Tape, tape_of
from shared.work.carried import as_carried

__all__ = ["bar_of", "drop_text", "plan_bars", "stick_ranges", "whole_drop"]


def plan_bars(job: Job, plan: Plan) -> tuple[Bar, ...]:
    """Return a bar for each layout of a plan, in its order, each with its title."""
    job, plan = as_carried(job, plan)
    sticks = {stick.id: stick for stick in job.sticks}
    parts = {part.mark: part for part in job.parts}
    tape = tape_of(job)
    return tuple(
        bar_of(cut, sticks[cut.stick], parts, tape, title=_title(named, cut, tape), keep_from=job.keep_from)
        for cut, (named, _) in zip(plan.cuts, stick_ranges(plan), strict=True)
    )


def _title(named: str, cut: Cut, tape: Tape) -> str:
    return f"{named}: {cut.section.label}, {tape.stick(cut.length)}"


def stick_ranges(plan: Plan) -> tuple[tuple[str, tuple[int, ...]], ...]:
    """Number a plan's sticks through, in cutting order: for each layout its name and its sticks' numbers.

    A stick keeps its number on every sheet and label: ``Sticks 1 to 6`` and ``(1, 2, 3, 4, 5, 6)``.
    """
    ranges = []
    begin = 1
    for cut in plan.cuts:
        numbers = tuple(range(begin, begin + cut.quantity))
        named = f"Stick {begin}" if cut.quantity == 1 else f"Sticks {begin} to {numbers[-1]}"
        ranges.append((named, numbers))
        begin += cut.quantity
    return tuple(ranges)


def whole_drop(cut: Cut, stick: Stick) -> Fraction:
    """Length of what is left as a tape says, mm: with the raw end, which isn't trimmed off a drop; 0 without a drop."""
    return cut.drop + stick.trims[1] if cut.drop else Fraction(0)


def drop_text(cut: Cut, stick: Stick, tape: Tape, keep_from: Fraction | None = None) -> str:
    """Say what is left: ``drop 41 3/8 in``, or ``scrap`` where that isn't worth a label; empty where nothing is.

    Where the stick may come short of its nominal length, the drop is at least as long as planned.
    """
    whole = whole_drop(cut, stick)
    if not whole:
        return "end trim" if stick.trims[1] else ""
    word = "scrap" if keep_from is not None and whole < keep_from else "drop"
    return f"{word} {'at least ' if stick.usable is not None else ''}{tape.text(whole)}"


def bar_of(
    cut: Cut,
    stick: Stick,
    parts: Mapping[str, Part],
    tape: Tape,
    *,
    title: str,
    keep_from: Fraction | None = None,
) -> Bar:
    """Return the bar of one layout.

    Parameters
    ----------
    cut : Cut
        The layout.
    stick : Stick
        The line its sticks come from.
    parts : mapping of str to Part
        The job's parts by mark.
    tape : Tape
        How lengths are written.
    title : str
        Its name.
    keep_from : Fraction or None
        mm, the shortest drop worth a label.
    """
    return Bar(
        title=title,
        unit=tape.heading,
        pieces=tuple(
            BarPiece(
                number=number,
                mark=piece.mark,
                start=ends[0],
                end=ends[1],
                dimensions=_dimensions(cut, number, tape),
                told=_told(piece, parts[piece.mark], tape),
            )
            for number, (piece, ends) in enumerate(zip(cut.pieces, ends_of(cut, parts), strict=True), start=1)
        ),
        trim=f"trim {tape.text(stick.trims[0])}" if stick.trims[0] else "",
        rest=drop_text(cut, stick, tape, keep_from),
        beyond=whole_drop(cut, stick),
    )


def _dimensions(cut: Cut, number: int, tape: Tape) -> tuple[Dimension, ...]:
    """Return the running dimensions at a piece: to its end, or where ends are angled, to each stroke that makes one."""
    if not cut.strokes:
        end = cut.pieces[number - 1].end
        return (Dimension(at=end, text=tape.bare(end)),)
    own = [stroke for stroke in cut.strokes if number == (stroke.begins if stroke.ends is None else stroke.ends)]
    return tuple(Dimension(at=stroke.at, text=_stroke(stroke, tape)) for stroke in own)


def _stroke(stroke: Stroke, tape: Tape) -> str:
    angle = f" {angle_text(stroke.angle)}" if stroke.angle else ""
    return tape.bare(stroke.at) + angle + (" shared" if stroke.shared else "")


def _told(piece: Piece, part: Part, tape: Tape) -> str:
    told = f"{piece.mark}, {tape.text(piece.length)}"
    if part.ends is not None and piece.lie is not None:
        first, second = (angle_text(abs(lean)) for lean in piece.lie.leans)
        told += f" {part.ends.measure.value}, ends {first} and {second}"
    return f"{told}, from {tape.bare(piece.start)} to {tape.bare(piece.end)}"
