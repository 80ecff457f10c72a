"""A work in hand as plain values, for tests of the replan: begun from a plan, sawn, spoilt, short, with another blade.

It does with values what the store does with rows, written down anew and only as far as these tests go.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from fractions import Fraction

from cutting.answer.plan import Plan, Result
from cutting.question.job import Job, Section, Source
from cutting.solve import solve
from shared.files.job import write_job
from shared.files.plan import write_plan
from shared.work.rack.bars import Bar, BarState, Origin, parse_bar_name
from shared.work.saw.lay import lay
from shared.work.saw.sawing import rest_of, saw
from shared.work.saw.work import Made, MadeState, PlanInHand, Revision, Slot, SlotState, WorkBook, WorkState
from tests.builders import PATIENCE

NOW = datetime(2026, 11, 2, 7, 30, tzinfo=UTC)
ZERO = Fraction(0)
WORK = "w1"


@dataclass
class Scene:
    """One work and the rack, changed by events."""

    book: WorkBook
    rack: tuple[Bar, ...]
    result: Result

    @property
    def plan(self) -> Plan:
        assert self.result.plan is not None
        return self.result.plan

    def slot(self, number: int, copy: int = 1) -> Slot:
        return next(slot for slot in self.book.slots if (slot.number, slot.copy) == (number, copy))

    def holding(self, mark: str) -> Slot:
        """The first open slot that cuts a part."""
        return next(slot for slot in self.book.slots if any(piece.mark == mark for piece in slot.left))

    def bar_of(self, slot: Slot) -> Bar:
        return self.book.bar(slot.bar)

    def put(self, *, slots: tuple[Slot, ...] = (), bars: tuple[Bar, ...] = (), made: tuple[Made, ...] = ()) -> None:
        """Replace what has the same id, and add what is new."""
        changed = {slot.id: slot for slot in slots}
        known = {bar.number: bar for bar in self.book.bars} | {bar.number: bar for bar in bars}
        pieces = {each.id: each for each in self.book.made} | {each.id: each for each in made}
        work = replace(self.book.work, version=self.book.work.version + 1)
        self.book = replace(
            self.book,
            work=work,
            slots=tuple(changed.get(slot.id, slot) for slot in self.book.slots),
            bars=tuple(known[number] for number in sorted(known)),
            made=tuple(pieces[number] for number in sorted(pieces)),
        )

    def _next_bar(self) -> int:
        return max((bar.number for bar in (*self.book.bars, *self.rack)), default=0) + 1

    def saw(self, slot: Slot, count: int | None = None) -> None:
        """Saw a stick, all of it or its first parts."""
        count = len(slot.cut.pieces) if count is None else count
        bar = self.bar_of(slot)
        cuts = saw(slot, bar, self.book.work.kerf, count)
        first = len(self.book.made) + 1
        made = tuple(
            Made(
                id=first + at,
                work=WORK,
                mark=slot.cut.pieces[slot.sawn + at].mark,
                slot=slot.id,
                position=slot.sawn + at + 1,
                bar=bar.number,
                length=length,
            )
            for at, length in enumerate(cuts.parts)
        )
        whole = count == len(slot.cut.pieces)
        after = replace(slot, sawn=count, used=cuts.used, reached=cuts.reached)
        done = replace(bar, state=BarState.RESERVED)
        if whole:
            after, done = replace(after, state=SlotState.SAWN), replace(bar, state=BarState.CUT)
            rest = rest_of(after, bar, self.book.work.kerf).length
            if rest >= self.book.work.keep_from:
                self._to_rack(bar, rest)
        self.put(slots=(after,), bars=(done,), made=made)

    def _to_rack(self, bar: Bar, length: Fraction) -> None:
        tail = bar.trims[1] if bar.trims else ZERO
        number = self._next_bar()
        drop = Bar(number=number, section=bar.section, length=length, trims=(ZERO, tail), origin=Origin.DROP, made=NOW)
        self.rack = (*self.rack, replace(drop, parent=bar.number))

    def spoil(self, slot: Slot, position: int) -> None:
        """Spoil a part: those before it on the stick are good, the rest of the bar stays reserved for the work."""
        if slot.state is SlotState.OPEN:
            self.saw(slot, position)
            slot = next(each for each in self.book.slots if each.id == slot.id)
            bar = self.bar_of(slot)
            if slot.state is SlotState.OPEN:
                rest = rest_of(slot, bar, self.book.work.kerf)
                left = replace(bar, length=rest.length, usable=None, trims=(ZERO, slot.stick.trims[1]))
                state = BarState.RESERVED if rest.length else BarState.CUT
                stopped = replace(slot, state=SlotState.STOPPED, used=ZERO)
                self.put(slots=(stopped,), bars=(replace(left, state=state),))
        bad = next(each for each in self.book.made if (each.slot, each.position) == (slot.id, position))
        self.put(made=(replace(bad, state=MadeState.SPOILT),))

    def measure(self, slot: Slot, length: Fraction) -> None:
        """The stick has come and is so long."""
        bar = replace(self.bar_of(slot), length=length, usable=None, state=BarState.RESERVED)
        self.put(bars=(bar,))

    def cancel(self, slot: Slot) -> None:
        self.put(bars=(replace(self.bar_of(slot), state=BarState.CANCELLED),))

    def blade(self, kerf: Fraction) -> None:
        """Another blade is on."""
        job = replace(self.book.work.job, saw=replace(self.book.work.job.saw, kerf=kerf))
        self.book = replace(self.book, work=replace(self.book.work, kerf=kerf, job=job))

    def ask(self, job: Job) -> None:
        """Put another parts list in force; what was made of parts that it wants otherwise is surplus."""
        kerf = self.book.work.kerf
        now = replace(job, saw=replace(job.saw, kerf=kerf))
        self.book = replace(self.book, work=replace(self.book.work, job=now, document=write_job(job)))


def begin(job: Job, rack: tuple[Bar, ...] = (), *, received: bool = True, keep_from: Fraction | None = None) -> Scene:
    """Plan a job and take it in hand."""
    result = solve(job, cores=1, limit=PATIENCE)
    assert result.plan is not None, result
    return in_hand(job, result, rack, received=received, keep_from=keep_from)


def in_hand(
    job: Job,
    result: Result,
    rack: tuple[Bar, ...] = (),
    *,
    received: bool = True,
    keep_from: Fraction | None = None,
) -> Scene:
    """Take a planned job in hand: a bar for every stick, those of the rack by their labels."""
    assert result.plan is not None
    labelled = {bar.number: bar for bar in rack}
    slots: list[Slot] = []
    bars: list[Bar] = []
    free = 100
    for number, laid in enumerate(lay(job, result.plan), start=1):
        known = parse_bar_name(laid.stick.id) if laid.stick.source is Source.OWN else None
        if known is None:
            free += 1
            bar = Bar(
                number=free,
                section=laid.stick.section,
                length=laid.stick.length,
                usable=laid.stick.usable,
                trims=laid.stick.trims,
                origin=Origin.BOUGHT,
                state=BarState.RESERVED if received else BarState.EXPECTED,
                work=WORK,
                made=NOW,
            )
        else:
            bar = replace(labelled.pop(known), state=BarState.RESERVED, work=WORK)
        bars.append(bar)
        slots.append(
            Slot(
                id=1000 + number,
                work=WORK,
                number=laid.number,
                copy=laid.copy,
                revision=1,
                cut=laid.cut,
                stick=laid.stick,
                parts=laid.parts,
                kerf=job.saw.kerf,
                unit=job.unit,
                bar=bar.number,
            )
        )
    work = PlanInHand(
        id=WORK,
        title=job.title,
        state=WorkState.OPEN,
        revision=1,
        kerf=job.saw.kerf,
        keep_from=keep_from or job.keep_from or Fraction(300),
        job=job,
        document=write_job(job),
        version=1,
        made=NOW,
    )
    plan = write_plan(job, result)
    first = Revision(work=WORK, number=1, document=write_job(job), plan=plan, reason="taken in hand", made=NOW)
    ordered = tuple(sorted(bars, key=lambda bar: bar.number))
    book = WorkBook(work=work, slots=tuple(slots), bars=ordered, revisions=(first,))
    return Scene(book=book, rack=tuple(labelled.values()), result=result)


def free_bar(number: int, section: Section, length: Fraction, **more: object) -> Bar:
    """Make a piece on the rack, both ends sawn unless said otherwise."""
    return replace(Bar(number=number, section=section, length=length, trims=(ZERO, ZERO), made=NOW), **more)  # type: ignore[arg-type]
