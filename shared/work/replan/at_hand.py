"""What a work may still be cut from: its own steel, the free pieces on the rack, and what the yards still offer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from cutting.question.job import Job, Part, Source, Stick
from cutting.question.variants import at_fixed_prices
from cutting.question.yards import Yard, YardCuts
from shared.files.job import read_job
from shared.files.plan import read_plan
from shared.work.rack.bars import Bar, BarState, parse_bar_name
from shared.work.rack.own_lines import own_sticks
from shared.work.saw.sawing import rest_of
from shared.work.saw.work import Revision, Slot, WorkBook

__all__ = ["bars_at_hand", "offers", "sticks_of", "with_sticks"]

_BOUGHT = " (bought)"
_HELD = frozenset({BarState.EXPECTED, BarState.RESERVED})


def bars_at_hand(book: WorkBook, rack: Iterable[Bar], open_slots: Sequence[Slot]) -> tuple[Bar, ...]:
    """Return every piece of steel that this work may be cut from, as it is now.

    Parameters
    ----------
    book : WorkBook
        The work.
    rack : iterable of Bar
        The shop's bars; those that are free, or reserved by this work, count.
    open_slots : sequence of Slot
        Sticks that still have parts to be sawn from them.

    Returns
    -------
    tuple of Bar
        By number. Of a stick that is being sawn what is left of it, its first end sawn. Steel that was bought for
        this work and hasn't come yet counts as if it had.
    """
    slots = {slot.bar: slot for slot in open_slots}
    held = [bar for bar in book.bars if bar.state in _HELD and bar.work == book.work.id]
    found = {bar.number: bar for bar in rack if _may_be_taken(bar, book)}
    found |= {bar.number: bar for bar in held}
    whole = (found[number] for number in sorted(found))
    left = (_as_left(slots[bar.number], bar, book) if bar.number in slots else bar for bar in whole)
    return tuple(bar for bar in left if bar.counted_on > 0)


def _may_be_taken(bar: Bar, book: WorkBook) -> bool:
    return bar.state is BarState.FREE or (bar.state in _HELD and bar.work == book.work.id)


def _as_left(slot: Slot, bar: Bar, book: WorkBook) -> Bar:
    first, second = slot.stick.trims if bar.trims is None else bar.trims
    rest = rest_of(slot, bar, book.work.job.saw.kerf)
    return replace(
        bar,
        length=rest.length,
        usable=None if rest.counted_on == rest.length else rest.counted_on,
        trims=(Fraction(0) if slot.sawn else first, second),
    )


def sticks_of(bars: Iterable[Bar], job: Job, trims: tuple[Fraction, Fraction]) -> tuple[Stick, ...]:
    """Return bars as own sticks of a job, as far as its parts may be cut from them.

    Parameters
    ----------
    bars : iterable of Bar
        From `bars_at_hand`.
    job : Job
        Its parts, its saw.
    trims : tuple of Fraction
        mm for bars that don't state their own.
    """
    return own_sticks(tuple(_offered(bar, job.saw.kerf, trims) for bar in bars), job, trims)


def _offered(bar: Bar, kerf: Fraction, trims: tuple[Fraction, Fraction]) -> Bar:
    """Write an end that is never cut, and shorter than a kerf, as length that can't be counted on: exactly as much."""
    first, second = trims if bar.trims is None else bar.trims
    if 0 < second < kerf:
        return replace(bar, state=BarState.FREE, trims=(first, Fraction(0)), usable=bar.counted_on - second)
    return replace(bar, state=BarState.FREE)


def offers(book: WorkBook, bars: Iterable[Bar]) -> tuple[Stick, ...]:
    """Return what a work's job still offers beside the shop's bars, at the prices that were stated.

    Limited sticks, rack pieces and own pieces without a label are fewer by what was planned to be cut from them in any
    revision, whether it came or not. Trims are 0 or at least one kerf of the blade as it is now.

    Parameters
    ----------
    book : WorkBook
        The work.
    bars : iterable of Bar
        Steel at hand, whose labels no other line may bear: one that does gets a longer name.
    """
    labels = {bar.name for bar in bars}
    taken = Counter[str]()
    for revision in book.revisions:
        taken.update(dict(_taken(revision)))
    kerf = book.work.job.saw.kerf
    beside = (stick for stick in at_fixed_prices(book.work.job).sticks if not _is_bar(stick))
    lines = (_still_offered(stick, taken[stick.id] + taken[stick.id + _BOUGHT]) for stick in beside)
    listed = [_named(_trimmed(stick, kerf), labels) for stick in lines if stick is not None]
    order = list(Source)
    return tuple(sorted(listed, key=lambda stick: order.index(stick.source)))


def _taken(revision: Revision) -> Iterator[tuple[str, int]]:
    """How many of each line were planned to be cut in one revision."""
    if not revision.plan:
        return
    job, problems = read_job(revision.document)
    if job is None:
        raise ValueError(f"revision {revision.mark} has a job that can't be read: {problems[0].message}")
    stated, problems = read_plan(revision.plan, job)
    if stated is None:
        raise ValueError(f"revision {revision.mark} has a plan that can't be read: {problems[0].message}")
    if stated.plan is not None:
        yield from ((line.stick, line.quantity) for line in stated.plan.buy)


def _is_bar(stick: Stick) -> bool:
    """Whether a line is one of the shop's bars, which say themselves whether they are still there."""
    return stick.source is Source.OWN and parse_bar_name(stick.id) is not None


def _still_offered(stick: Stick, taken: int) -> Stick | None:
    """Return a line without what was taken of it, and without breaks that it doesn't reach any more."""
    if stick.available is None or not taken:
        return stick
    left = stick.available - taken
    breaks = tuple(each for each in stick.breaks if each.least <= left)
    return replace(stick, available=left, breaks=breaks) if left > 0 else None


def _named(stick: Stick, labels: set[str]) -> Stick:
    return replace(stick, id=stick.id + _BOUGHT) if stick.id in labels else stick


def _trimmed(stick: Stick, kerf: Fraction) -> Stick:
    first, second = (max(trim, kerf) if trim else trim for trim in stick.trims)
    return replace(stick, trims=(first, second))


def with_sticks(job: Job, parts: Sequence[Part], sticks: Sequence[Stick]) -> Job:
    """Return a job with these parts and sticks, on the terms of another.

    What further layouts cost is left out: those that are open already are set up for, whatever is planned beside them.
    Where nothing with a price is left there is no money to speak of, and terms that speak of it are left out.
    """
    changed = replace(job, parts=tuple(parts), sticks=tuple(sticks), yards=_yards(job), layout_cost=Decimal(0))
    if job.currency is None or any(stick.price is not None for stick in sticks):
        return changed
    return replace(changed, currency=None, yards=(), kind_cost=Decimal(0), keep_value=None)


def _yards(job: Job) -> tuple[Yard, ...]:
    """Return the yards, which lose at least the blade's width as it is now at each of their cuts."""

    def wide(cuts: YardCuts) -> YardCuts:
        return replace(cuts, allowance=max(cuts.allowance, job.saw.kerf))

    return tuple(yard if yard.cuts is None else replace(yard, cuts=wide(yard.cuts)) for yard in job.yards)
