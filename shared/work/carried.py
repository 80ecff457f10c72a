"""Sticks that a yard cut come to the saw as several pieces: each of them stands here as a stick of its own.

Whoever writes for the saw (cut sheet, drawing, labels, the list of layouts) takes job and plan from here, so that
running dimensions start where a piece in one's hands starts. What is bought and what it costs is not for here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from cutting.answer.plan import Carried, Cut, Plan, Stroke
from cutting.question.job import Job, Stick

__all__ = ["as_carried", "as_taken", "origins", "piece_id", "rough_ends", "whole_sticks", "yard_cuts"]

_ALPHABET = 26


def yard_cuts(plan: Plan) -> tuple[tuple[int, Cut], ...]:
    """Return the layouts that a yard cuts for carrying, numbered from 1."""
    return tuple(enumerate((cut for cut in plan.cuts if cut.marks), start=1))


def piece_id(cut: Cut, number: int, index: int) -> str:
    """Name one piece of a yard-cut stick.

    Parameters
    ----------
    cut : Cut
        Its layout.
    number : int
        Of the layout among those that a yard cuts, from 1.
    index : int
        Which piece, 0 at the stick's raw first end.

    Returns
    -------
    str
        Such as ``R-L20 1a``: the stick's own name, the number, a letter from the first end on.
    """
    times, letter = divmod(index, _ALPHABET)
    return f"{cut.stick} {number}{chr(ord('a') + letter) * (times + 1)}"


def as_taken(job: Job, plan: Plan) -> Job:
    """Return the job with each part of the section that it is cut from, where that is a substitute."""
    if not plan.changes:
        return job
    taken = {change.mark: change.taken for change in plan.changes}
    return replace(job, parts=tuple(replace(part, section=taken.get(part.mark, part.section)) for part in job.parts))


def origins(plan: Plan) -> dict[str, str]:
    """Return for each carried piece, by its name, the stick that it was cut from."""
    return {
        piece_id(cut, number, index): cut.stick for number, cut in yard_cuts(plan) for index in range(len(cut.carried))
    }


def rough_ends(plan: Plan) -> dict[str, tuple[bool, bool]]:
    """Return for each carried piece, by its name, whether a yard cut its first and its second end."""
    return {
        piece_id(cut, number, index): (index > 0, index < len(cut.marks))
        for number, cut in yard_cuts(plan)
        for index in range(len(cut.carried))
    }


def as_carried(job: Job, plan: Plan, *, empty: bool = False) -> tuple[Job, Plan]:
    """Set each piece of every yard-cut stick apart as a stick of its own.

    Parameters
    ----------
    job : Job
        The question.
    plan : Plan
        Its answer.
    empty : bool
        Keep pieces from which no part is cut, behind all others; whoever draws them has nothing to draw.

    Returns
    -------
    tuple of (Job, Plan)
        For what happens at the saw: the same where no yard cuts. Lines to buy, costs and orders are still the plan's.
    """
    job = as_taken(job, plan)
    if not any(cut.marks for cut in plan.cuts):
        return job, plan
    sticks = {stick.id: stick for stick in job.sticks}
    pieces: list[Stick] = []
    cuts: list[Cut] = []
    unused: list[Cut] = []
    number = 0
    for cut in plan.cuts:
        if not cut.marks:
            cuts.append(cut)
            continue
        number += 1
        for each in _pieces(cut, sticks[cut.stick], number):
            pieces.append(each.stick)
            (cuts if each.cut.pieces else unused).append(each.cut)
    kept = (*cuts, *unused) if empty else tuple(cuts)
    return replace(job, sticks=(*job.sticks, *pieces)), replace(plan, cuts=kept)


def whole_sticks(job: Job, plan: Plan) -> tuple[Cut, ...]:
    """Return the sticks that stay whole as layouts without parts, for whoever keeps account of all steel."""
    sticks = {stick.id: stick for stick in job.sticks}
    whole = [(sticks[line], count) for each in plan.idle for line, count in each.sticks]
    return tuple(
        Cut(
            stick=stick.id,
            section=stick.section,
            length=stick.length,
            source=stick.source,
            quantity=count,
            pieces=(),
            drop=stick.clear,
            skim=False,
        )
        for stick, count in whole
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Piece:
    """One carried piece as a stick, and the layout on it."""

    stick: Stick
    cut: Cut


def _pieces(cut: Cut, stick: Stick, number: int) -> Iterator[_Piece]:
    first = 0
    last = len(cut.carried) - 1
    half = cut.carried[1].begin + stick.trims[0] - cut.marks[0]  # what a yard's cut costs on each side of its mark
    for index, carried in enumerate(cut.carried):
        parts = cut.pieces[first : first + carried.parts]
        strokes = tuple(_moved(cut, first, carried))
        short = stick.length - stick.usable if stick.usable is not None and index == last else None
        bar = replace(
            stick,
            id=piece_id(cut, number, index),
            length=carried.length,
            trims=(half if index else stick.trims[0], half if index < last else stick.trims[1]),
            usable=None if short is None else carried.length - short,
            available=None,
        )
        yield _Piece(
            stick=bar,
            cut=replace(
                cut,
                stick=bar.id,
                length=carried.length,
                pieces=tuple(
                    replace(piece, start=piece.start - carried.begin, end=piece.end - carried.begin) for piece in parts
                ),
                drop=carried.drop,
                skim=carried.skim,
                strokes=strokes,
                edge=cut.edge if strokes else "",
                unheld=tuple(each - first for each in cut.unheld if first < each <= first + carried.parts),
                marks=(),
                carried=(),
                credit=None,
            ),
        )
        first += carried.parts


def _moved(cut: Cut, before: int, carried: Carried) -> Iterator[Stroke]:
    """Yield the strokes of one carried piece, its places and parts counted from its own first end."""
    for stroke in cut.strokes:
        ends, begins = (None if each is None else each - before for each in (stroke.ends, stroke.begins))
        part = begins if ends is None else ends
        if part is not None and 0 < part <= carried.parts:
            yield replace(stroke, at=stroke.at - carried.begin, ends=ends, begins=begins)
