"""A plan taken in hand: whose steel it is, and what comes from the yard."""

from dataclasses import replace
from fractions import Fraction

import pytest

from cutting.question.job import Source
from shared.store import InHandError, NewJob, ShopStore, Store
from shared.work.errors import NoPlanError, NotPossibleError, TakenError, UnknownError
from shared.work.rack.bars import BarChanges, BarState, Origin, Received
from shared.work.saw.ledger import Account
from tests.clock import milliseconds
from tests.shared.store.scene import FLAT, WHO, account, begun, kept, part, put, stalls, stick


def own_and_mill(length: int = 2500, title: str = "Market stalls"):
    job = stalls(stick("D1", length, source=Source.OWN, count=1), stick("MILL", 6000))
    return replace(job, title=title)


def test_own_pieces_are_reserved_and_bought_ones_expected(shop: ShopStore) -> None:
    put(shop, 2500)
    work = begun(shop, own_and_mill())
    book = shop.work(work)
    assert (book.work.title, book.work.mark, book.work.kerf, book.work.keep_from) == (
        "Market stalls",
        "A",
        Fraction(5, 2),
        300,
    )
    assert {bar.state for bar in book.bars if bar.origin is Origin.BOUGHT} == {BarState.EXPECTED}
    assert (shop.bar(1).state, shop.bar(1).work) == (BarState.RESERVED, work)
    assert sum(len(slot.cut.pieces) for slot in book.slots) == 7
    assert all(slot.cut.quantity == 1 and slot.parts[0].mark == slot.cut.pieces[0].mark for slot in book.slots)
    assert account(shop, Account.STOCK) == 2500, "what is expected isn't in stock"
    assert [record.id for record in shop.works()] == [work]


def test_two_plans_never_get_the_same_piece(shop: ShopStore) -> None:
    put(shop, 2500)
    first, second = kept(shop, own_and_mill()), kept(shop, own_and_mill(title="Firewood racks"))
    shop.begin(first, WHO)
    with pytest.raises(TakenError, match="D1 is reserved for Market stalls now"):
        shop.begin(second, WHO)
    with pytest.raises(UnknownError):
        shop.work(second)
    shop.drop(first, WHO, call_off=True)
    shop.begin(second, WHO)
    assert shop.bar(1).work == second


def test_every_piece_that_cannot_be_had_is_named(shop: ShopStore) -> None:
    put(shop, 2500, 2500)
    put(shop, 2500, section=FLAT)
    names = ("D1", "D2", "D3", "D9")
    job = stalls(*(stick(name, 2500, source=Source.OWN, count=1) for name in names), parts=(part("LEG", 2400, 4),))
    work = kept(shop, job)
    shop.scrap(1, WHO)
    shop.correct(2, BarChanges(length=Fraction(2000)), WHO)
    with pytest.raises(TakenError) as refused:
        shop.begin(work, WHO)
    assert [(reason.split()[0], reason.split()[2]) for reason in refused.value.reasons] == [
        ("D1", "be"),
        ("D2", "405"),
        ("D3", "FLAT"),
        ("D9", "in"),
    ]


def test_own_pieces_without_a_label_get_one(shop: ShopStore) -> None:
    work = begun(shop, stalls(stick("behind the shed", 2500, source=Source.OWN, count=9)))
    bars = shop.work(work).bars
    assert {(bar.state, bar.origin, bar.remark) for bar in bars} == {
        (BarState.RESERVED, Origin.COUNTED, "behind the shed in the job")
    }
    assert account(shop, Account.COUNTED) == -sum(bar.length for bar in bars)


def test_a_job_without_a_plan_and_a_work_twice(shop: ShopStore) -> None:
    with pytest.raises(UnknownError):
        shop.begin("nothing", WHO)
    new = NewJob(document=b"{}", title="Racks", digest="d", limit_seconds=1.0, seed=0, client="c")
    waiting, _ = Store(shop.engine, milliseconds).add(new)
    with pytest.raises(NoPlanError, match="Racks has no finished plan yet"):
        shop.begin(waiting.id, WHO)
    work = begun(shop)
    with pytest.raises(NotPossibleError, match="taken in hand already"):
        shop.begin(work, WHO)


def test_what_came_is_stock_as_measured_with_its_heat(shop: ShopStore) -> None:
    work = begun(shop, stalls(stick("MILL", 6000, usable=5990)))
    one, two, *_ = (bar.number for bar in shop.work(work).bars)
    assert shop.bar(one).counted_on == 5990
    outcome = shop.receive(work, [Received(bar=one, length=Fraction(5950), heat=" H1 "), Received(bar=two)], WHO)
    assert (shop.bar(one).length, shop.bar(one).counted_on, shop.bar(one).heat) == (5950, 5950, "H1")
    assert (shop.bar(two).length, shop.bar(two).counted_on, shop.bar(two).state) == (6000, 5990, BarState.RESERVED)
    assert account(shop, Account.BOUGHT) == -11950
    assert outcome.flags == ()


def test_a_stick_that_comes_too_short_is_flagged_at_once(shop: ShopStore) -> None:
    work = begun(shop, stalls(stick("MILL", 6000), parts=(part("POST", 2990, 2),)))
    (bar,) = shop.work(work).bars
    outcome = shop.receive(work, [Received(bar=bar.number, length=Fraction(5987))], WHO)
    # 5 trimmed, 2990, 2.5 kerf, 2990 make 5987.5.
    assert [(flag.work, flag.number, flag.bar, flag.short) for flag in outcome.flags] == [
        (work, 1, bar.number, Fraction(1, 2))
    ]
    assert outcome.flags[0].words == "Layout 1, stick 1 (D1) is short by 0.5 mm."


def test_what_never_came_is_called_off_and_flagged(shop: ShopStore) -> None:
    work = begun(shop)
    bars = shop.work(work).bars
    outcome = shop.receive(
        work, [Received(bar=bars[0].number, came=False, cancel=True), Received(bar=bars[1].number, came=False)], WHO
    )
    assert [shop.bar(bar.number).state for bar in bars[:2]] == [BarState.CANCELLED, BarState.EXPECTED]
    assert "has no steel: D1 won't come" in outcome.flags[0].words
    assert account(shop, Account.BOUGHT) == 0


def test_receiving_says_all_that_is_wrong(shop: ShopStore) -> None:
    work = begun(shop)
    (other,) = put(shop, 50)
    lines = [Received(bar=1), Received(bar=1), Received(bar=2, length=Fraction(0)), Received(bar=77)]
    with pytest.raises(NotPossibleError) as refused:
        shop.receive(work, lines, WHO)
    assert len(refused.value.reasons) == 3
    shop.receive(work, [Received(bar=1)], WHO)
    with pytest.raises(NotPossibleError, match="D1 has come already"):
        shop.receive(work, [Received(bar=1)], WHO)
    with pytest.raises(NotPossibleError, match=r"has come already"):
        shop.receive(work, [Received(bar=other)], WHO)


def test_a_job_in_hand_is_never_forgotten(shop: ShopStore) -> None:
    store = Store(shop.engine, milliseconds)
    draft = kept(shop, stalls(), draft=True)
    shop.begin(draft, WHO)
    with store._write() as session, session.begin():
        session.connection().exec_driver_sql("UPDATE jobs SET draft = 1")
    assert store.forget_drafts(-1) == 0
    with pytest.raises(InHandError, match="Market stalls was taken in hand"):
        store.forget(draft)
    assert store.get(draft) is not None
    other = kept(shop, stalls())
    assert store.forget(other)


def test_a_beginning_taken_back_leaves_nothing_reserved_and_no_letter_used_twice(shop: ShopStore) -> None:
    put(shop, 2500)
    work = kept(shop, own_and_mill())
    outcome = shop.begin(work, WHO)
    shop.undo(outcome.entry, WHO)
    assert shop.works() == ()
    assert [(bar.number, bar.state) for bar in shop.bars(states=None)] == [(1, BarState.FREE)]
    shop.begin(work, WHO)
    assert shop.work(work).work.mark == "B", "paper of a revision A may lie about"
