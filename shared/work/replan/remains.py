"""What is left to do in a work: parts still to be made, layouts that stand, steel to cut from; and jobs made of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from cutting.question.job import Job, Part, Section, Stick
from shared.files.job.document import read_document
from shared.files.job.read import usual_trims
from shared.work.rack.bars import Bar
from shared.work.replan.at_hand import bars_at_hand, offers, sticks_of, with_sticks
from shared.work.replan.standing import Judged, judged, open_slots, standing
from shared.work.saw.needs import needed
from shared.work.saw.work import MadeState, WorkBook

__all__ = ["Remains", "remains_of", "settled"]

_Key = tuple[str, str]


@dataclass(frozen=True, kw_only=True, slots=True)
class Remains:
    """What is left to do in a work, and with what.

    Attributes
    ----------
    job : Job
        In force, with the blade as it is now.
    wanted : tuple of Part
        Parts still to be made, in the order of the job. One that was begun keeps the section it was begun from.
    open : tuple of Judged
        Every layout that still has parts to be sawn.
    pins : tuple of Judged
        Those of them that may all stand, since their parts are wanted.
    bars : tuple of Bar
        Steel to cut from, that of the open layouts included.
    offers : tuple of Stick
        What the yards still offer.
    trims : tuple of Fraction
        mm off both ends of a bar that doesn't state its own.
    """

    job: Job
    wanted: tuple[Part, ...]
    open: tuple[Judged, ...]
    pins: tuple[Judged, ...]
    bars: tuple[Bar, ...]
    offers: tuple[Stick, ...]
    trims: tuple[Fraction, Fraction]

    def missing(self, pins: Sequence[Judged]) -> tuple[Part, ...]:
        """Return the parts that these layouts leave to be planned; a part cut by one of them keeps its section."""
        marks = sum((each.marks for each in pins), Counter[str]())
        left = (
            replace(part, quantity=part.quantity - marks[part.mark])
            for part in self.as_pinned(pins)
            if part.quantity > marks[part.mark]
        )
        return tuple(left)

    def as_pinned(self, pins: Sequence[Judged]) -> tuple[Part, ...]:
        """Return the wanted parts, those that these layouts cut in the section they are cut from."""
        taken = {mark: each.slot.cut.section.key for each in pins for mark in each.marks}
        return tuple(settled(part, taken[part.mark]) if part.mark in taken else part for part in self.wanted)

    def question(self, pins: Sequence[Judged], sections: frozenset[_Key] | None = None) -> Job:
        """Return what there is to plan while some layouts stand.

        Parameters
        ----------
        pins : sequence of Judged
            Layouts that stand with their sticks and parts.
        sections : frozenset or None
            Keys of the sections to plan; None for all.
        """
        parts = [part for part in self.missing(pins) if sections is None or part.section.key in sections]
        return self.with_bars(parts, self.loose(pins))

    def with_bars(self, parts: Sequence[Part], bars: Iterable[Bar]) -> Job:
        """Return a job of these parts from these bars and the offers."""
        bare = replace(self.job, parts=tuple(parts), sticks=())
        return with_sticks(self.job, parts, (*self.offers, *sticks_of(bars, bare, self.trims)))

    def loose(self, pins: Sequence[Judged]) -> tuple[Bar, ...]:
        """Return the bars that none of these layouts is cut from."""
        held = {each.slot.bar for each in pins}
        return tuple(bar for bar in self.bars if bar.number not in held)

    def bar(self, number: int) -> Bar:
        """Return a bar at hand."""
        return next(bar for bar in self.bars if bar.number == number)


def remains_of(book: WorkBook, rack: Iterable[Bar]) -> Remains:
    """Look at a work as it is now.

    Parameters
    ----------
    book : WorkBook
        The work.
    rack : iterable of Bar
        The shop's bars, at least the free ones.
    """
    job = book.work.job
    lacking = needed(book)
    sections = _begun(book)
    left = (replace(part, quantity=lacking[part.mark]) for part in job.parts)
    wanted = tuple(settled(part, sections.get(part.mark)) for part in left if part.quantity > 0)
    every = judged(book)
    bars = bars_at_hand(book, rack, open_slots(book))
    return Remains(
        job=job,
        wanted=wanted,
        open=every,
        pins=standing(every, Counter({part.mark: part.quantity for part in wanted})),
        bars=bars,
        offers=tuple(stick for stick in offers(book, bars) if stick.clear > 0),
        trims=usual_trims(read_document(book.work.document, name="")[0] or {}),
    )


def _begun(book: WorkBook) -> dict[str, _Key]:
    """Return the sections that good parts were cut from, by mark."""
    return {each.mark: book.bar(each.bar).section.key for each in book.made if each.state is MadeState.GOOD}


def settled(part: Part, key: _Key | None) -> Part:
    """Return a part that is cut from one section only: its own or that of a substitute.

    Parameters
    ----------
    part : Part
        The part as asked for.
    key : tuple of str or None
        The section that it is cut from; as it is where that is None or nothing that it accepts.
    """
    accepted: dict[_Key, Section] = {part.section.key: part.section}
    accepted |= {each.section.key: each.section for each in part.substitutes}
    if key is None or key not in accepted:
        return part
    return replace(part, section=accepted[key], substitutes=())
