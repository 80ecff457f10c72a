"""Where the yard cuts a stick, and how each carried piece is sawn at home."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from cutting.job import Job, Stick
from cutting.layouts import square_cut
from cutting.market.ways import reach_of
from cutting.market.windows import window_lengths
from cutting.plan import Carried, Cut, Piece

__all__ = ["deal", "windowed_cut"]

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
    yard = next(yard for yard in job.yards if yard.name == stick.yard)
    reach = reach_of(job, stick)
    assert yard.cuts is not None
    assert reach is not None
    allowance, cuts = yard.cuts.allowance, len(contents) - 1
    most = window_lengths(stick, cuts=cuts, reach=reach, allowance=allowance)
    assert most is not None
    widths = _widths(stick.clear - cuts * allowance, most, [_steel(job, inside) for inside in contents])
    begins = [sum(widths[:at], Fraction(0)) + at * allowance for at in range(cuts + 1)]
    marks = tuple(stick.trims[0] + begin - allowance / 2 for begin in begins[1:])
    bounds = (Fraction(0), *marks, stick.length)
    tails = [*(allowance / 2 for _ in marks), stick.trims[1]]
    pieces: list[Piece] = []
    unheld: list[int] = []
    carried = []
    for at, (inside, width, begin, tail) in enumerate(zip(contents, widths, begins, tails, strict=True)):
        sawn = _sawn(job, stick, inside, width, tail)
        unheld += [len(pieces) + number for number in sawn.unheld]
        pieces += [replace(each, start=each.start + begin, end=each.end + begin) for each in sawn.pieces]
        length = bounds[at + 1] - bounds[at]
        mass = stick.section.mass
        carried.append(
            Carried(
                length=length,
                weight=None if mass is None else mass * length / 1000,
                begin=begin,
                parts=len(inside),
                drop=sawn.drop,
                skim=sawn.skim,
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
        marks=marks,
        carried=tuple(carried),
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


def _sawn(job: Job, stick: Stick, inside: Sequence[Marked], width: Fraction, tail: Fraction) -> Cut:
    """Saw one window as if it were a stick; one that holds nothing is a drop as it is."""
    alone = replace(stick, length=width + tail, trims=(Fraction(0), tail), usable=None)
    if inside:
        return square_cut(alone, inside, 1, job.saw)
    return Cut(
        stick=stick.id,
        section=stick.section,
        length=alone.length,
        source=stick.source,
        quantity=1,
        pieces=(),
        drop=width,
        skim=False,
    )
