"""Where the yard cuts a stick, and how each carried piece is sawn at home."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from cutting.answer.plan import Carried, Cut, Piece, Stroke
from cutting.buying.rules.trips import reach_of
from cutting.fit.marked.windows import window_lengths
from cutting.laying.layouts import square_cut
from cutting.question.job import Job, Stick

__all__ = ["deal", "marked_cut", "unsawn", "windowed_cut"]

Marked = tuple[str, Fraction]


def deal(chosen: Sequence[Marked], lengths: Sequence[Fraction], split: Sequence[Sequence[int]]) -> list[list[Marked]]:
    """Deal parts out to windows.

    Parameters
    ----------
    chosen : sequence of (mark, length)
        Parts of one stick.
    lengths : sequence of Fraction
        Length of each size.
    split : sequence of sequence of int
        For each window its pieces of each size.
    """
    left = list(chosen)
    windows = []
    for pattern in split:
        inside = []
        for length, count in zip(lengths, pattern, strict=True):
            for entry in [entry for entry in left if entry[1] == length][:count]:
                left.remove(entry)
                inside.append(entry)
        windows.append(inside)
    assert not left
    return windows


def windowed_cut(job: Job, stick: Stick, contents: Sequence[Sequence[Marked]], times: int) -> Cut:
    """Lay parts out between the yard's marks.

    Parameters
    ----------
    job : Job
        For the saw and what can be carried.
    stick : Stick
        The line.
    contents : sequence of sequence of (mark, length)
        Parts of each window, longest first.
    times : int
        Sticks cut alike.
    """
    return marked_cut(
        job, stick, [_steel(job, inside) for inside in contents], lambda at, bar: _sawn(job, bar, contents[at]), times
    )


def marked_cut(
    job: Job, stick: Stick, steel: Sequence[Fraction], saw_up: Callable[[int, Stick], Cut], times: int
) -> Cut:
    """Mark a stick and saw up each piece between marks as a stick of its own.

    Parameters
    ----------
    job : Job
        For what can be carried.
    stick : Stick
        The line.
    steel : sequence of Fraction
        mm that each window must have at least.
    saw_up : callable
        From the number of a window and the piece of steel it becomes, its own parts laid out.
    times : int
        Sticks cut alike.
    """
    yard = next(yard for yard in job.yards if yard.name == stick.yard)
    reach = reach_of(job, stick)
    assert yard.cuts is not None
    assert reach is not None
    allowance, cuts = yard.cuts.allowance, len(steel) - 1
    most = window_lengths(stick, cuts=cuts, reach=reach, allowance=allowance)
    assert most is not None
    widths = _widths(stick.clear - cuts * allowance, most, steel)
    begins = [sum(widths[:at], Fraction(0)) + at * allowance for at in range(cuts + 1)]
    marks = tuple(stick.trims[0] + begin - allowance / 2 for begin in begins[1:])
    tails = [*(allowance / 2 for _ in marks), stick.trims[1]]
    bars = [
        replace(stick, length=width + tail, trims=(Fraction(0), tail), usable=None)
        for width, tail in zip(widths, tails, strict=True)
    ]
    return _together(stick, marks, begins, [saw_up(at, bar) for at, bar in enumerate(bars)], times)


def _together(
    stick: Stick, marks: tuple[Fraction, ...], begins: Sequence[Fraction], sawn: Sequence[Cut], times: int
) -> Cut:
    """Put the layouts between marks together to that of the stick."""
    bounds = (Fraction(0), *marks, stick.length)
    pieces: list[Piece] = []
    strokes: list[Stroke] = []
    unheld: list[int] = []
    carried = []
    for begin, (start, end), each in zip(begins, pairwise(bounds), sawn, strict=True):
        before = len(pieces)
        unheld += [before + number for number in each.unheld]
        strokes += [_moved(stroke, begin, before) for stroke in each.strokes]
        pieces += [replace(piece, start=piece.start + begin, end=piece.end + begin) for piece in each.pieces]
        mass = stick.section.mass
        carried.append(
            Carried(
                length=end - start,
                weight=None if mass is None else mass * (end - start) / 1000,
                begin=begin,
                parts=len(each.pieces),
                drop=each.drop,
                skim=each.skim,
            )
        )
    return Cut(
        stick=stick.id,
        section=stick.section,
        length=stick.length,
        source=stick.source,
        quantity=times,
        pieces=tuple(pieces),
        drop=carried[-1].drop,
        skim=carried[-1].skim,
        unheld=tuple(unheld),
        strokes=tuple(strokes),
        edge=next((each.edge for each in sawn if each.edge), ""),
        marks=marks,
        carried=tuple(carried),
    )


def _moved(stroke: Stroke, begin: Fraction, before: int) -> Stroke:
    """Count a stroke's place and pieces from the stick's trimmed end."""
    return replace(
        stroke,
        at=stroke.at + begin,
        ends=None if stroke.ends is None else stroke.ends + before,
        begins=None if stroke.begins is None else stroke.begins + before,
    )


def _steel(job: Job, inside: Sequence[Marked]) -> Fraction:
    """Return the length that parts and the kerfs between them take."""
    return sum((length for _, length in inside), Fraction(0)) + max(0, len(inside) - 1) * job.saw.kerf


def _widths(kept: Fraction, most: Sequence[Fraction], contents: Sequence[Fraction]) -> list[Fraction]:
    """Give what is left over to as few windows as possible, so that drops are long."""
    widths = list(contents)
    slack = kept - sum(contents, Fraction(0))
    for at in sorted(range(len(most)), key=lambda number: contents[number] - most[number]):
        more = min(slack, most[at] - widths[at])
        widths[at] += more
        slack -= more
    if slack or any(width > cap for width, cap in zip(widths, most, strict=True)):
        raise AssertionError("a layout that fits can be marked")
    return widths


def _sawn(job: Job, bar: Stick, inside: Sequence[Marked]) -> Cut:
    """Saw one window as a stick; one that holds nothing is a drop as it is."""
    return square_cut(bar, inside, 1, job.saw) if inside else unsawn(bar)


def unsawn(bar: Stick) -> Cut:
    """Return the layout of a piece that nothing is cut from."""
    return Cut(
        stick=bar.id,
        section=bar.section,
        length=bar.length,
        source=bar.source,
        quantity=1,
        pieces=(),
        drop=bar.clear,
        skim=False,
    )
