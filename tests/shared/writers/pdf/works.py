"""Plans in hand that are hard to put on paper: half sawn, replaced, measured, misspelt, in many scripts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from functools import cache
from typing import Final

from cutting.answer.plan import Plan, Proof, Report, Result
from cutting.question.job import Job, Source
from cutting.question.lengths import Unit
from shared.files.job import write_job
from shared.files.plan import write_plan
from shared.sections import understand
from shared.view.drawing import whole_drop
from shared.work.rack.bars import Bar, BarState, Origin
from shared.work.saw.lay import lay
from shared.work.saw.work import Made, MadeState, PlanInHand, Revision, Slot, SlotState, WorkBook, WorkState
from tests.builders import inch, job, part, stick
from tests.shared.two_yards import demo_plan
from tests.shared.writers.pdf import scenes

DAY: Final = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
HEAT: Final = "H2026/048213-A/77-XY"
"""Twenty characters."""


def begun(question: Job, answer: Plan, *, first_bar: int = 17) -> WorkBook:
    """Take a plan in hand: every stick has its bar, none has come yet."""
    laid = lay(question, answer)
    work = PlanInHand(
        id="w1",
        title=question.title,
        state=WorkState.OPEN,
        revision=1,
        kerf=question.saw.kerf,
        keep_from=question.keep_from or Fraction(300),
        job=question,
        document=write_job(question),
        version=1,
        made=DAY,
    )
    slots = tuple(
        Slot(
            id=number,
            work="w1",
            number=each.number,
            copy=each.copy,
            revision=1,
            cut=each.cut,
            stick=each.stick,
            parts=each.parts,
            kerf=question.saw.kerf,
            unit=question.unit,
            bar=first_bar + number - 1,
        )
        for number, each in enumerate(laid, start=1)
    )
    return WorkBook(
        work=work,
        slots=slots,
        bars=tuple(bar_for(slot) for slot in slots),
        revisions=(revision(1, question, answer, ""),),
    )


def bar_for(slot: Slot, **known: object) -> Bar:
    """The steel of a slot, expected unless more is known."""
    fields = {
        "number": slot.bar,
        "section": slot.cut.section,
        "length": slot.cut.length,
        "usable": slot.stick.usable,
        "trims": slot.stick.trims,
        "origin": Origin.BOUGHT,
        "state": BarState.EXPECTED,
        "work": slot.work,
        "made": DAY,
    }
    return Bar(**{**fields, **known})  # type: ignore[arg-type]


def revision(number: int, question: Job, answer: Plan, reason: str) -> Revision:
    result = Result(plan=answer, proof=Proof(lower_bound=answer.cost), report=Report(seconds=0.1, sections=(), seed=0))
    return Revision(
        work="w1",
        number=number,
        document=write_job(question),
        plan=write_plan(question, result),
        reason=reason,
        made=DAY.replace(day=DAY.day - 3 + number),
    )


def with_bars(book: WorkBook, numbers: Iterable[int], **known: object) -> WorkBook:
    """The book with something known of some bars."""
    chosen = set(numbers)
    return replace(
        book,
        bars=tuple(replace(bar, **known) if bar.number in chosen else bar for bar in book.bars),  # type: ignore[arg-type]
    )


def come(book: WorkBook, heats: Sequence[str] = ("48213",), place: str = "") -> WorkBook:
    """Every bar has come, with its heat number."""
    for index, bar in enumerate(book.bars):
        book = with_bars(book, [bar.number], state=BarState.RESERVED, heat=heats[index % len(heats)], place=place)
    return book


def changed_slots(book: WorkBook, wanted: Callable[[Slot], bool], **fields: object) -> WorkBook:
    return replace(
        book,
        slots=tuple(replace(slot, **fields) if wanted(slot) else slot for slot in book.slots),  # type: ignore[arg-type]
    )


def sawn(book: WorkBook, *numbers: int, copies: Sequence[int] = (), keep: bool = True) -> WorkBook:
    """The book with all sticks of some layouts ticked, their parts made, their drops on the rack."""
    for slot in book.slots:
        if slot.number in numbers and (not copies or slot.copy in copies):
            book = _sawn(book, slot, len(slot.cut.pieces), SlotState.SAWN, keep=keep)
    return book


def stopped(book: WorkBook, number: int, copy: int, after: int) -> WorkBook:
    """The book with one stick given up after some good parts, the next one spoilt."""
    slot = next(slot for slot in book.slots if (slot.number, slot.copy) == (number, copy))
    return _sawn(book, slot, after, SlotState.STOPPED, keep=True, spoilt=True)


def _sawn(book: WorkBook, slot: Slot, count: int, state: SlotState, *, keep: bool, spoilt: bool = False) -> WorkBook:
    made = tuple(
        Made(
            id=len(book.made) + place,
            work="w1",
            mark=piece.mark,
            slot=slot.id,
            position=place,
            bar=slot.bar,
            length=piece.centre,
            state=MadeState.SPOILT if spoilt and place == count + 1 else MadeState.GOOD,
        )
        for place, piece in enumerate(slot.cut.pieces[: count + spoilt], start=1)
    )
    end = slot.cut.pieces[count + spoilt - 1].end
    book = changed_slots(book, lambda each: each.id == slot.id, state=state, sawn=count + spoilt, reached=end)
    bars = book.bars
    whole = whole_drop(slot.cut, slot.stick)
    if keep and whole >= book.work.keep_from:
        number = max(bar.number for bar in bars) + 1
        left = bar_for(
            slot,
            number=number,
            length=whole,
            usable=None,
            origin=Origin.DROP,
            parent=slot.bar,
            state=BarState.FREE,
            work=None,
            heat=book.bar(slot.bar).heat,
        )
        bars = (*bars, left)
    book = replace(book, made=(*book.made, *made), bars=bars)
    return with_bars(book, [slot.bar], state=BarState.CUT)


def replaced(book: WorkBook, reason: str, *numbers: int, copies: Sequence[int] = ()) -> WorkBook:
    """The next revision: open sticks of some layouts under numbers of their own."""
    gone = [
        slot
        for slot in book.slots
        if slot.number in numbers and slot.state is SlotState.OPEN and (not copies or slot.copy in copies)
    ]
    following = max(slot.number for slot in book.slots) + 1
    now = book.work.revision + 1
    names = {number: following + index for index, number in enumerate(sorted({slot.number for slot in gone}))}
    seen: dict[int, int] = {}
    new = []
    for slot in gone:
        seen[slot.number] = seen.get(slot.number, 0) + 1
        new.append(
            replace(
                slot,
                id=len(book.slots) + len(new) + 1,
                number=names[slot.number],
                copy=seen[slot.number],
                revision=now,
                kerf=book.work.kerf,
            )
        )
    book = changed_slots(book, lambda slot: slot in gone, state=SlotState.VOID)
    first = book.revisions[0]
    return replace(
        book,
        work=replace(book.work, revision=now, version=book.work.version + 1),
        slots=(*book.slots, *new),
        revisions=(*book.revisions, replace(first, number=now, reason=reason, made=DAY.replace(day=DAY.day - 3 + now))),
    )


def marked() -> WorkBook:
    """Long marks in many scripts, bars not come yet, places and heats in scripts that the fonts lack too."""
    book = come(begun(*scenes.marks()), heats=("Плавка 48213", "炉号48213", "Χύτ. 9", HEAT), place="Полка 3, 棚の下")
    return with_bars(book, [18], state=BarState.EXPECTED, place="", heat="")


def midway() -> WorkBook:
    """Inches beside millimetres; some sawn, one given up, some replaced, one measured short, one longer."""
    book = come(begun(*scenes.mixed()), heats=(HEAT, "48214", ""), place="bay 3, second shelf, at the back")
    book = sawn(book, 1, copies=[1])
    book = replaced(book, "D18 came short: it measures 5990 mm, and the parts left were planned anew", 1, copies=[2])
    book = with_bars(book, [18], length=Fraction(5990))
    return with_bars(book, [19], length=Fraction("1606.55"), usable=None, remark="bent at one end, painted")


def given_up() -> WorkBook:
    """Alike sticks: sawn, given up after a spoilt part, struck out; a third revision in force."""
    length = Fraction("590")
    question = replace(
        job(
            [part("A", f"{length} mm", 60, scenes.SHS), part("B", "410 mm", 6, scenes.SHS)],
            [stick("S", "6 m", "51.20", section=scenes.SHS, trims=("10 mm", 0))],
            kerf="2 mm",
            unit=Unit.MM,
            currency="EUR",
        ),
        title="Twelve frames for the market stalls, and six for the firewood racks",
        keep_from=Fraction(300),
    )
    answer = scenes.plan_of(question, [("S", ["A"] * 10, 6), ("S", ["B"] * 6, 1)], {"S": "51.20"})
    book = come(begun(question, answer), heats=("48213", "48213", HEAT))
    book = stopped(sawn(book, 1, copies=[1, 2]), 1, 3, 4)
    book = replaced(book, "A part on stick 1.3 was spoilt", 1, copies=[6])
    return replaced(book, "The blade was changed back and forth", 2)


def sixty() -> WorkBook:
    """Sixty layouts, a third sawn, nine replaced."""
    book = come(begun(*scenes.many(60)), heats=[f"48{number:03}" for number in range(60)])
    book = sawn(book, *range(1, 21))
    return replaced(book, "Parts of the last frames were drawn anew", *range(31, 40))


def bundle() -> WorkBook:
    """Sixty sticks alike, each a bar of its own with a heat of its own."""
    question = job(
        [part("L", "1 m", 300, scenes.SHS, "deburr inside")],
        [stick("S", "6 m", "51.20", section=scenes.SHS)],
        kerf="2 mm",
        unit=Unit.MM,
    )
    book = begun(question, scenes.plan_of(question, [("S", ["L"] * 5, 60)], {"S": "51.20"}), first_bar=1234)
    return sawn(come(book, heats=[f"{HEAT[:-2]}{number:02}" for number in range(60)]), 1, copies=range(1, 31))


def mitred() -> WorkBook:
    """Angled ends; one bar came too short, and the rest was planned anew but for one layout."""
    book = come(begun(*scenes.mitred()), heats=("48213", ""))
    book = with_bars(book, [book.slots[-1].bar], length=Fraction(1200), usable=None)
    return replaced(book, "M2 was drawn longer", book.slots[0].number)


def watched() -> WorkBook:
    """Everything to watch at once, and the blade takes another width than the layouts were made for."""
    book = come(begun(*scenes.watched()))
    kerf = Fraction("2.5")
    now = replace(book.work.job, saw=replace(book.work.job.saw, kerf=kerf))
    return replaced(replace(book, work=replace(book.work, kerf=kerf, job=now)), "The blade was changed", 3)


def long_names() -> WorkBook:
    """Names as long as can be, without a space: section, mark, place, heat, remark."""
    book = come(begun(*scenes.long_names(), first_bar=123456789), heats=("H" * 60,), place="P" * 100)
    return replaced(book, "R" * 400, 1, copies=[2])


def yard_cut() -> WorkBook:
    """Sticks that a yard cut for carrying: each piece a bar of its own, some of them without parts."""
    return come(begun(*demo_plan()), heats=("48213", ""))


def traced() -> WorkBook:
    """A bar's drop sawn on in a later layout, no heat here, two heats there, a part on the rack, one nobody wants."""
    book = come(begun(*scenes.mixed()), heats=("48213", "", HEAT))
    book = sawn(book, 1, 2)
    first, second = (next(bar for bar in book.bars if bar.parent == number) for number in (17, 18))
    book = with_bars(book, [first.number], heat="", state=BarState.RESERVED, work="w1")
    book = with_bars(book, [second.number], heat="48999", state=BarState.RESERVED, work="w1")
    book = with_bars(book, [18], heat="48214")
    one = book.slots[-1]
    on_drops = tuple(
        replace(
            one,
            id=10 + copy,
            number=3,
            copy=copy,
            revision=2,
            bar=bar.number,
            state=SlotState.OPEN,
            sawn=0,
            reached=Fraction(0),
            cut=replace(one.cut, length=bar.length, stick=bar.name, source=Source.OWN),
            stick=replace(one.stick, id=bar.name, length=bar.length, source=Source.OWN, price=None, available=1),
        )
        for copy, bar in enumerate((first, second), start=1)
    )
    asked = tuple(replace(each, quantity=each.quantity + 7) for each in book.work.job.parts)
    work = replace(book.work, revision=2, job=replace(book.work.job, parts=asked))
    again = replace(book.revisions[0], number=2, reason="More was asked for")
    book = replace(book, work=work, slots=(*book.slots, *on_drops), revisions=(*book.revisions, again))
    book = sawn(book, 3, keep=False)
    states = {2: MadeState.BACK, 3: MadeState.SURPLUS, 4: MadeState.SPOILT}
    became = {2: 90}
    made = tuple(replace(each, state=states.get(each.id, each.state), became=became.get(each.id)) for each in book.made)
    back = replace(first, number=90, length=Fraction("595.3125"), parent=17, origin=Origin.PART, heat="48213")
    return replace(book, made=made, bars=(*book.bars, back))


def finished() -> WorkBook:
    """Nothing is left to saw."""
    book = sawn(come(begun(*scenes.watched())), 1, 2, 3)
    return replace(book, work=replace(book.work, state=WorkState.DONE))


WORKS: Final[dict[str, Callable[[], WorkBook]]] = {
    make.__name__: cache(make)
    for make in (
        marked,
        midway,
        given_up,
        sixty,
        bundle,
        mitred,
        watched,
        long_names,
        yard_cut,
        traced,
        finished,
    )
}


def rack() -> tuple[Bar, ...]:
    """A rack of hard pieces: both unit systems, long remarks, heats of twenty characters, other scripts, many alike."""
    strange = (
        Bar(number=7, section=scenes.SHS, length=Fraction("3048"), place="bay 3", heat=HEAT, made=DAY),
        Bar(
            number=123456789,
            section=scenes.FLAT,
            length=Fraction("1234.5678"),
            place="bay 3",
            remark="bent 20 mm over the last half metre, drilled 11 mm at 60 mm centres, painted red on one side " * 2,
            made=DAY,
        ),
        Bar(
            number=31,
            section=understand("SHS 40x40x3"),
            length=Fraction(6000),
            usable=Fraction(5985),
            place="Bay 3",
            origin=Origin.BOUGHT,
            state=BarState.RESERVED,
            work="w1",
            made=DAY,
        ),
        Bar(
            number=32,
            section=replace(scenes.SHS, name="S" * 100, material="M" * 60),
            length=Fraction("635.8"),
            place="P" * 100,
            remark="R" * 200,
            heat="H" * 60,
            made=DAY,
        ),
        Bar(
            number=33,
            section=scenes.SHS,
            length=Fraction("2044.7"),
            place="Полка 2, 棚の下",
            remark="gebogen, ø 11 — 錆",
            made=DAY,
        ),
        Bar(number=34, section=scenes.FLAT, length=Fraction(900), remark="=SUM(A1)", heat="-12", made=DAY),
    )
    alike = tuple(
        Bar(
            number=number,
            section=scenes.SHS,
            length=inch(f"{20 + number % 40} {number % 8}/8"),
            place="shelf 1",
            made=DAY,
        )
        for number in range(100, 160)
    )
    return (*strange, *alike)
