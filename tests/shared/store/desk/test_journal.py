"""The journal sees every change, and an entry that doesn't add up is never kept."""

import json
from fractions import Fraction

import pytest
from sqlalchemy import select, text, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from shared.store import ShopStore
from shared.store.database import WRITES
from shared.store.desk.journal import BooksError
from shared.store.desk.run import Asked, Told, run
from shared.store.desk.tables import BarRow, ChangeRow, EntryRow, LedgerRow, SlotRow
from shared.work.errors import NotPossibleError
from shared.work.rack.bars import BarState, NewBar, Origin
from shared.work.saw.ledger import Account
from tests.clock import milliseconds
from tests.shared.store.scene import TUBE, WHO, begun, put

ASKED = Asked(kind="test", who=WHO, what=())


def test_steel_out_of_nowhere_is_refused(shop: ShopStore) -> None:
    def conjure(desk):
        desk.put(TUBE, Fraction(1000), origin=Origin.COUNTED, state=BarState.FREE)
        return Told(words="from nowhere")

    with pytest.raises(BooksError, match="SHS 50x50x3 : 1000 mm"):
        run(shop.engine, ASKED, conjure, milliseconds())
    assert shop.bars(states=None) == ()


def test_steel_that_vanishes_is_refused(shop: ShopStore) -> None:
    put(shop, 1000)

    def vanish(desk):
        desk.bar(1).length = "999"
        desk.journal.book(TUBE.key, Account.KERF, Fraction(1, 2))
        return Told(words="gone")

    with pytest.raises(BooksError):
        run(shop.engine, ASKED, vanish, milliseconds())
    assert shop.bar(1).length == 1000


def test_what_is_held_cannot_be_booked_by_hand(shop: ShopStore) -> None:
    with pytest.raises(BooksError, match="counted from the rows"):
        run(shop.engine, ASKED, lambda desk: desk.journal.book(TUBE.key, Account.STOCK, Fraction(1)), milliseconds())


def test_changes_behind_the_session_are_refused(shop: ShopStore) -> None:
    put(shop, 1000)

    def behind(desk):
        desk.session.execute(update(BarRow).values(place="nowhere"))
        return Told(words="behind")

    with pytest.raises(BooksError, match="one by one"):
        run(shop.engine, ASKED, behind, milliseconds())
    assert shop.bar(1).place == ""


def test_only_what_changed_is_written_down(shop: ShopStore) -> None:
    put(shop, 1000)

    def move(desk):
        bar = desk.bar(1)
        bar.place, bar.heat = "A", ""
        desk.session.flush()
        bar.place = "B"
        return Told(words="moved")

    run(shop.engine, ASKED, move, milliseconds())
    with Session(shop.engine) as session:
        (change,) = session.scalars(select(ChangeRow).where(ChangeRow.entry == 2))
        assert (change.table_name, change.row) == ("bars", "1")
        assert json.loads(change.before) == {"place": "", "version": 1}
        assert json.loads(change.after) == {"place": "B", "version": 2}


def test_no_bar_lies_in_two_open_slots_whoever_says_so(shop: ShopStore) -> None:
    begun(shop)
    with Session(shop.engine.execution_options(**{WRITES: True})) as session:
        slots = list(session.scalars(select(SlotRow)))
        slots[1].bar = slots[0].bar
        with pytest.raises(IntegrityError):
            session.flush()


@pytest.mark.parametrize("statement", ["state = 'reserved'", "work = (SELECT id FROM works)"])
def test_a_reserved_bar_has_one_owner_and_a_free_one_none(shop: ShopStore, statement: str) -> None:
    begun(shop)
    put(shop, 100)
    free = shop.bars()[0].number
    with shop.engine.execution_options(**{WRITES: True}).connect() as connection, pytest.raises(IntegrityError):
        connection.execute(text(f"UPDATE bars SET {statement} WHERE number = {free}"))


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        ("UPDATE bars SET length = '999' WHERE number = 1", "stock: 1000 mm in the ledger, 999 mm there"),
        ("UPDATE ledger SET amount = '-999' WHERE account = 'counted'", "Entry 1 misses zero by 1 mm"),
        ("DELETE FROM ledger", "stock: 0 mm in the ledger, 1000 mm there"),
        ("UPDATE bars SET state = 'scrap'", "stock: 1000 mm in the ledger, 0 mm there"),
    ],
)
def test_the_balance_finds_what_was_altered_behind_our_backs(tmp_path, statement: str, says: str) -> None:
    from tests.shared.store.scene import opened

    with opened(tmp_path / "store.sqlite3") as shop:
        put(shop, 1000)
        with shop.engine.execution_options(**{WRITES: True}).begin() as connection:
            connection.execute(text(statement))
        assert any(says in difference.words for difference in shop.balance())


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        ("UPDATE slots SET sawn = 0", "1 parts are in the books, 0 were sawn"),
        ("UPDATE works SET state = 'done'", "reserved for a plan that isn't open"),
        ("UPDATE made SET became = 1", "is in two places"),
        ("UPDATE bars SET state = 'free', work = NULL", "and an open layout counts on it"),
        ("UPDATE slots SET used = '9999' WHERE state = 'open'", "used up beyond its length"),
    ],
)
def test_the_balance_finds_promises_that_are_broken(tmp_path, statement: str, says: str) -> None:
    from tests.shared.store.scene import opened

    with opened(tmp_path / "store.sqlite3") as shop:
        work = begun(shop)
        shop.tick(work, shop.work(work).slots[0].id, WHO, parts=1)
        with shop.engine.execution_options(**{WRITES: True}).begin() as connection:
            connection.execute(text(statement))
        assert any(says in difference.words for difference in shop.balance()), shop.balance()


def test_a_refused_event_leaves_no_entry_and_its_key_free(shop: ShopStore) -> None:
    with pytest.raises(NotPossibleError):
        shop.add_bars([NewBar(section=TUBE, length=Fraction(0))], WHO, key="k")
    with Session(shop.engine) as session:
        assert session.scalar(select(EntryRow)) is None
        assert session.scalar(select(LedgerRow)) is None
    assert shop.add_bars([NewBar(section=TUBE, length=Fraction(9))], WHO, key="k").bars == (1,)


def test_who_did_what_when_stands_in_the_history(shop: ShopStore) -> None:
    work = begun(shop)
    slot = shop.work(work).slots[0]
    shop.tick(work, slot.id, "Kim's phone")
    put(shop, 50)
    newest, *_ = shop.history(work=work)
    assert (newest.who, newest.kind, newest.work) == ("Kim's phone", "sawn", work)
    assert slot.bar in newest.bars
    assert [entry.kind for entry in shop.history(number=slot.bar)] == ["sawn", "begun"]
    assert [entry.kind for entry in shop.history(limit=1)] == ["added"]
