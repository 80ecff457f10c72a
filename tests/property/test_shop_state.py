"""A shop's days at random: whatever happens in whatever order, no steel is lost, doubled or promised twice.

The model is kept apart from the store's own ledger: it adds up what was told to come in and go away, and compares that
with the pieces themselves and with what the books say was cut up, thrown away or lost.
"""

from __future__ import annotations

import shutil
import tempfile
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from cutting.answer.plan import Result
from cutting.question.job import Job, Source
from shared.files.job import Format, write_job
from shared.store import ShopStore, open_database
from shared.work.errors import NotPossibleError, ShopError, TakenError
from shared.work.rack.bars import Bar, BarChanges, BarState, Counted, NewBar, Received
from shared.work.replan.anew import replan
from shared.work.saw.ledger import Account
from shared.work.saw.work import MadeState, Outcome, Slot, SlotState, WorkBook, WorkState
from tests.builders import PATIENCE
from tests.clock import milliseconds
from tests.shared.store.scene import TUBE, WHO, kept, mitre, part, solved, stalls, stick

HAPPENED: Counter[str] = Counter()
SPENT = (Account.KERF, Account.TRIM, Account.SCRAP, Account.LOST)
LENGTHS = st.sampled_from([Fraction(length) for length in (150, 700, 1200, 2500)] + [Fraction(2000, 3)])
KERFS = st.sampled_from([Fraction(0), Fraction(5, 2), Fraction(3), Fraction(127, 40)])
PICK = st.integers(0, 10**6)


@cache
def empty_store() -> Path:
    path = Path(tempfile.mkdtemp()) / "empty.sqlite3"
    open_database(f"sqlite:///{path}").dispose()
    return path


@cache
def questions() -> tuple[tuple[Job, Result], ...]:
    length, ends = mitre(800, 30)
    square = stalls(stick("MILL", 3000), parts=(part("LEG", 1100, 3), part("RAIL", 400, 2)))
    mitred = stalls(
        stick("MILL", 3000, trims=(5, 4), usable=2990),
        parts=(replace(part("BRACE", 800, 4), length=length, ends=ends), part("PEG", 250, 2)),
    )
    return tuple((job, solved(job)) for job in (square, mitred))


class Shop(RuleBasedStateMachine):
    """One shop, and what was told to it."""

    @initialize()
    def open(self) -> None:
        self.folder = Path(tempfile.mkdtemp())
        shutil.copy(empty_store(), self.folder / "store.sqlite3")
        self.shop = ShopStore(open_database(f"sqlite:///{self.folder / 'store.sqlite3'}"), milliseconds)
        self.told: dict[int, Fraction] = {}
        self.last: tuple[int, object] | None = None
        self.replans = 0

        self.known: tuple[tuple[Bar, ...], tuple[WorkBook, ...]] | None = None
        self.begin(0)

    def teardown(self) -> None:
        if hasattr(self, "shop"):
            self.shop.engine.dispose()
            shutil.rmtree(self.folder)

    # -- the model ------------------------------------------------------------------------------

    def now(self) -> tuple[tuple[Bar, ...], tuple[WorkBook, ...]]:
        """All bars and works, looked up once for each step."""
        if self.known is None:
            books = tuple(self.shop.work(work.id) for work in self.shop.works())
            self.known = self.shop.bars(states=None), books
        return self.known

    def bars(self, *states: BarState) -> list[Bar]:
        return [bar for bar in self.now()[0] if bar.state in (states or (BarState.FREE, BarState.RESERVED))]

    def snapshot(self) -> object:
        self.known = None
        bars, books = self.now()
        unversioned = tuple(replace(bar, version=0) for bar in bars)
        return unversioned, tuple(
            (replace(book.work, version=0), book.slots, book.made, book.revisions) for book in books
        )

    def tell(self, name: str, act, came: Fraction = Fraction(0)) -> Outcome | None:
        """Tell an event; note what steel it brought. A refusal must leave everything as it was."""
        before = self.snapshot()
        try:
            outcome = act()
            self.known = None
        except ShopError:
            assert self.snapshot() == before
            HAPPENED[f"{name} refused"] += 1
            return None
        HAPPENED[name] += 1
        self.told[outcome.entry] = came
        self.last = (outcome.entry, before)
        return outcome

    def books(self) -> list[WorkBook]:
        return [book for book in self.now()[1] if book.work.state is WorkState.OPEN]

    def open_slots(self) -> list[Slot]:
        return [slot for book in self.books() for slot in book.slots if slot.left]

    # -- the rack -------------------------------------------------------------------------------

    @rule(length=LENGTHS)
    def put(self, length: Fraction) -> None:
        new = NewBar(section=TUBE, length=length)
        self.tell("put", lambda: self.shop.add_bars([new, new], WHO), 2 * length)

    @precondition(lambda self: self.bars())
    @rule(pick=PICK, length=LENGTHS, found=st.booleans())
    def take_stock(self, pick: int, length: Fraction, found: bool) -> None:
        bars = self.bars()
        bar = bars[pick % len(bars)]
        changes = BarChanges(length=length) if pick % 2 and found else BarChanges(place="B1")
        lines = [
            Counted(number=bar.number, found=found, changes=changes),
            Counted(new=NewBar(section=TUBE, length=length)),
        ]
        came = length + (length - bar.length if changes.length and found else 0)
        self.tell("stock", lambda: self.shop.stock_take(lines, WHO), came)

    @precondition(lambda self: self.bars(BarState.LOST))
    @rule(pick=PICK)
    def find(self, pick: int) -> None:
        bars = self.bars(BarState.LOST)
        self.tell("find", lambda: self.shop.found(bars[pick % len(bars)].number, WHO))

    @precondition(lambda self: self.bars())
    @rule(pick=PICK)
    def scrap(self, pick: int) -> None:
        bars = self.bars()
        self.tell("scrap", lambda: self.shop.scrap(bars[pick % len(bars)].number, WHO))

    # -- works ----------------------------------------------------------------------------------

    @precondition(lambda self: len(self.now()[1]) < 3)
    @rule(which=st.integers(0, 1))
    def another(self, which: int) -> None:
        self.begin(which)

    def begin(self, which: int) -> None:
        work = kept(self.shop, *questions()[which])
        self.tell("begin", lambda: self.shop.begin(work, WHO))

    @precondition(lambda self: len(self.now()[1]) < 3 and self.bars(BarState.FREE))
    @rule(pick=PICK)
    def begin_from_the_rack(self, pick: int) -> None:
        """Two plans that count on the same piece: the second must not get it."""
        bars = self.bars(BarState.FREE)
        bar = bars[pick % len(bars)]
        own = stick(bar.name, 1, source=Source.OWN, count=1)
        job = stalls(replace(own, length=bar.length), parts=(part("TAG", 100, 1),))
        result = solved(job)
        first, second = kept(self.shop, job, result), kept(self.shop, job, result)
        self.tell("own", lambda: self.shop.begin(first, WHO))
        try:
            self.shop.begin(second, WHO)
        except TakenError:
            return
        raise AssertionError(f"{bar.name} was given to two plans")

    @precondition(lambda self: self.bars(BarState.EXPECTED))
    @rule(pick=PICK, less=st.sampled_from([None, Fraction(0), Fraction(8), Fraction(1100)]))
    def receive(self, pick: int, less: Fraction | None) -> None:
        bars = self.bars(BarState.EXPECTED)
        bar = bars[pick % len(bars)]
        length = None if less is None or less >= bar.length else bar.length - less
        line = Received(bar=bar.number, length=length, heat="H1")
        self.tell("receive", lambda: self.shop.receive(bar.work, [line], WHO), length or bar.length)

    def coming(self, slot: Slot) -> Fraction:
        """Steel that is sawn before anybody said that it came."""
        bar = next(bar for bar in self.now()[0] if bar.number == slot.bar)
        return bar.length if bar.state is BarState.EXPECTED else Fraction(0)

    @precondition(lambda self: self.open_slots())
    @rule(pick=PICK)
    def saw_a_part(self, pick: int) -> None:
        self.saw(pick, whole=False)

    @precondition(lambda self: self.open_slots())
    @rule(pick=PICK)
    def saw_a_stick(self, pick: int) -> None:
        self.saw(pick, whole=True)

    def saw(self, pick: int, *, whole: bool) -> None:
        slots = self.open_slots()
        slot = slots[pick % len(slots)]
        count = None if whole else slot.sawn + 1
        key = f"{slot.id}/{count}/{pick}"
        came = self.coming(slot)
        first = self.tell("saw", lambda: self.shop.tick(slot.work, slot.id, WHO, key, parts=count), came)
        if first is not None:
            again = self.shop.tick(slot.work, slot.id, WHO, key, parts=count)
            assert again == replace(first, repeated=True)

    @precondition(lambda self: self.open_slots())
    @rule(pick=PICK, off=st.sampled_from([None, Fraction(0), Fraction(3)]))
    def spoil(self, pick: int, off: Fraction | None) -> None:
        slots = self.open_slots()
        slot = slots[pick % len(slots)]
        position = pick % len(slot.cut.pieces) + 1
        came = self.coming(slot)
        outcome = self.tell("spoil", lambda: self.shop.spoilt(slot.work, slot.id, position, WHO), came)
        if off is None or outcome is None or not outcome.bars:
            return
        rest = self.shop.bar(outcome.bars[0])
        self.tell("measure", lambda: self.shop.correct(rest.number, BarChanges(length=rest.length + off), WHO), off)

    @precondition(lambda self: self.open_slots())
    @rule(pick=PICK, less=st.sampled_from([Fraction(1, 3), Fraction(40), Fraction(900)]))
    def shorten(self, pick: int, less: Fraction) -> None:
        slots = self.open_slots()
        slot = slots[pick % len(slots)]
        bar = self.shop.bar(slot.bar)
        length = bar.length - less
        if slot.sawn or length <= 0:
            return
        self.tell("short", lambda: self.shop.short(slot.work, slot.id, length, WHO), self.coming(slot) - less)

    @precondition(lambda self: self.books())
    @rule(pick=PICK, kerf=KERFS)
    def change_blade(self, pick: int, kerf: Fraction) -> None:
        books = self.books()
        self.tell("blade", lambda: self.shop.blade(books[pick % len(books)].work.id, kerf, WHO))

    @precondition(lambda self: self.books())
    @rule(pick=PICK, quantity=st.integers(1, 4))
    def revise(self, pick: int, quantity: int) -> None:
        books = self.books()
        book = books[pick % len(books)]
        first, *others = book.work.job.parts
        job = replace(book.work.job, parts=(replace(first, quantity=quantity), *others))
        self.tell("revise", lambda: self.shop.revise(book.work.id, write_job(job, Format.TOML), WHO))
        surplus = [each.id for each in self.shop.work(book.work.id).made if each.state is MadeState.SURPLUS]
        if surplus:
            self.tell("surplus", lambda: self.shop.surplus_to_rack(book.work.id, surplus, WHO))

    @precondition(lambda self: self.books() and self.replans < 2)
    @rule(pick=PICK)
    def plan_anew(self, pick: int) -> None:
        self.replans += 1
        books = self.books()
        book = books[pick % len(books)]
        found = replan(book, self.shop.bars(), limit=PATIENCE, cores=1)
        outcome = self.tell("replan", lambda: self.shop.accept(book.work.id, found, found.version, WHO))
        if outcome is not None:
            assert (outcome.flags, outcome.missing) == ((), ()), "what was planned anew can be sawn"

    @precondition(lambda self: self.books())
    @rule(pick=PICK, end=st.sampled_from(["finish", "drop", "call off"]))
    def end(self, pick: int, end: str) -> None:
        books = self.books()
        work = books[pick % len(books)].work.id
        if end == "finish":
            self.tell(end, lambda: self.shop.finish(work, WHO))
        elif pick % 3 == 0:
            self.tell(end, lambda: self.shop.drop(work, WHO, call_off=end == "call off"))

    # -- taking back ----------------------------------------------------------------------------

    @precondition(lambda self: self.last is not None)
    @rule()
    def undo_the_last(self) -> None:
        """The last entry can always be taken back, and everything is as it was; and once more, as after it."""
        entry, before = self.last
        after = self.snapshot()
        undone = self.shop.undo(entry, WHO)
        assert self.snapshot() == before
        again = self.shop.undo(undone.entry, WHO)
        assert self.snapshot() == after
        HAPPENED["undo"] += 1
        self.last = None
        self.told[undone.entry], self.told[again.entry] = -self.told[entry], self.told[entry]

    @precondition(lambda self: self.told)
    @rule(pick=PICK)
    def undo_any(self, pick: int) -> None:
        entries = sorted(self.told)[-6:]
        entry = entries[pick % len(entries)]
        try:
            outcome = self.shop.undo(entry, WHO)
            self.known = None
        except NotPossibleError:
            HAPPENED["undo any refused"] += 1
            return
        HAPPENED["undo any"] += 1
        self.told[outcome.entry] = -self.told[entry]
        self.last = None

    # -- what must be true ----------------------------------------------------------------------

    @invariant()
    def steel_is_conserved(self) -> None:
        if not hasattr(self, "shop"):
            return
        assert self.shop.balance() == (), self.shop.balance()
        stock = sum((bar.length for bar in self.bars()), Fraction(0))
        begun = parts = Fraction(0)
        for book in self.now()[1]:
            begun += sum((slot.used for slot in book.slots if slot.state is SlotState.OPEN), Fraction(0))
            good = (each for each in book.made if each.state in {MadeState.GOOD, MadeState.SURPLUS})
            parts += sum((each.length for each in good), Fraction(0))
        spent = sum((amount for (_, name), amount in self.shop.accounts().items() if name in SPENT), Fraction(0))
        assert stock - begun + parts + spent == sum(self.told.values(), Fraction(0))

    @invariant()
    def every_piece_is_in_one_place(self) -> None:
        if not hasattr(self, "shop"):
            return
        books = self.now()[1]
        held = Counter(slot.bar for book in books for slot in book.slots if slot.state is SlotState.OPEN)
        assert all(count == 1 for count in held.values())
        owners = {slot.bar: slot.work for book in books for slot in book.slots if slot.state is SlotState.OPEN}
        for bar in self.bars():
            assert (bar.state is BarState.RESERVED) == (bar.work is not None)
            assert bar.number not in owners or bar.work == owners[bar.number]
        places = Counter((each.slot, each.position) for book in books for each in book.made)
        assert all(count == 1 for count in places.values())
        racked = Counter(each.became for book in books for each in book.made if each.became is not None)
        assert all(count == 1 for count in racked.values())


WANTED = ("saw", "spoil", "receive", "short", "blade", "stock", "own", "replan", "revise", "drop", "undo", "undo any")


def test_days_in_the_shop() -> None:
    few = settings(max_examples=10, stateful_step_count=30, deadline=None, suppress_health_check=list(HealthCheck))
    run_state_machine_as_test(Shop, settings=settings(few, derandomize=True, database=None))
    assert [name for name in WANTED if not HAPPENED[name]] == [], HAPPENED
