"""Taking back: exactly what was, or a refusal that names what was built on it."""

from fractions import Fraction

import pytest

from shared.store import ShopStore
from shared.work.errors import NotPossibleError, UnknownError
from shared.work.rack.bars import BarChanges, NewBar
from tests.shared.store.scene import TUBE, WHO, begun, put, stalls


def state(shop: ShopStore):
    books = [shop.work(work.id) for work in shop.works()]
    return (
        [(bar.number, bar.length, bar.place, bar.state, bar.work) for bar in shop.bars(states=None)],
        [(book.work.revision, book.work.kerf, book.slots, book.made) for book in books],
        shop.accounts(),
    )


def test_an_entry_that_something_was_built_on_is_not_taken_back(shop: ShopStore) -> None:
    first = shop.add_bars([NewBar(section=TUBE, length=Fraction(700))], WHO)
    later = shop.correct(1, BarChanges(place="A"), WHO)
    with pytest.raises(NotPossibleError) as refused:
        shop.undo(first.entry, WHO)
    assert str(refused.value) == (
        "Entry 1 (1 piece put on the rack: D1.) can't be taken back: entry 2 (D1 corrected: place A.) was built on it. "
        "Take that back first."
    )
    shop.undo(later.entry, WHO)
    undone = shop.undo(first.entry, WHO)
    assert shop.bars(states=None) == ()
    with pytest.raises(NotPossibleError, match=f"taken back already, by entry {undone.entry}"):
        shop.undo(first.entry, WHO)
    with pytest.raises(UnknownError, match="no entry 99"):
        shop.undo(99, WHO)


def test_taking_back_can_be_taken_back_and_again(shop: ShopStore) -> None:
    work = begun(shop)
    slot = shop.work(work).slots[0]
    states = [state(shop)]
    ticked = shop.tick(work, slot.id, WHO)
    states.append(state(shop))
    undone = shop.undo(ticked.entry, WHO)
    assert state(shop)[:2] == states[0][:2]
    again = shop.undo(undone.entry, WHO)
    assert state(shop)[:2] == states[1][:2]
    assert again.words == f"Counts again: {ticked.words}"
    assert shop.undo(again.entry, WHO).words == f"Taken back: {ticked.words}"
    assert state(shop)[:2] == states[0][:2]
    entries = {entry.id: entry for entry in shop.history(work=work)}
    assert entries[ticked.entry].undone_by is not None
    assert entries[undone.entry].undoes == ticked.entry


def test_all_of_a_day_taken_back_from_its_end_leaves_nothing(shop: ShopStore) -> None:
    put(shop, 500, 600)
    work = begun(shop)
    slots = shop.work(work).slots
    shop.tick(work, slots[0].id, WHO, parts=1)
    shop.spoilt(work, slots[0].id, 2, WHO)
    shop.blade(work, Fraction(3), WHO)
    shop.tick(work, slots[1].id, WHO)
    shop.drop(work, WHO, call_off=True)
    for entry in shop.history():
        shop.undo(entry.id, WHO)
        assert shop.balance() == ()
    assert (shop.bars(states=None), shop.works()) == ((), ())
    assert not any(shop.accounts().values())


def test_what_happened_elsewhere_in_between_stays(shop: ShopStore) -> None:
    work = begun(shop)
    one, two = shop.work(work).slots[:2]
    first = shop.tick(work, one.id, WHO)
    shop.tick(work, two.id, WHO)
    shop.undo(first.entry, WHO)
    assert [slot.state for slot in shop.work(work).slots[:2]] == ["open", "sawn"]


def test_a_part_sawn_from_a_stick_keeps_the_stick_from_being_sent_back(shop: ShopStore) -> None:
    from shared.work.rack.bars import Received

    work = begun(shop)
    slot = shop.work(work).slots[0]
    came = shop.receive(work, [Received(bar=slot.bar)], WHO)
    shop.tick(work, slot.id, WHO, parts=1)
    with pytest.raises(NotPossibleError, match=r"1 of 2 parts sawn|1 of 3 parts sawn"):
        shop.undo(came.entry, WHO)


def test_a_drop_that_another_plan_took_keeps_its_stick_sawn(shop: ShopStore) -> None:
    from cutting.question.job import Source
    from tests.shared.store.scene import kept, part, stick

    work = begun(shop, stalls(parts=(part("LEG", 2000, 1),)))
    (slot,) = shop.work(work).slots
    ticked = shop.tick(work, slot.id, WHO)
    (drop,) = ticked.bars
    length = shop.bar(drop).length
    own = stick(f"D{drop}", 1, source=Source.OWN, count=1, trims=(0, 0))
    from dataclasses import replace

    other = kept(shop, stalls(replace(own, length=length), parts=(part("RAIL", 900, 1),)))
    shop.begin(other, WHO)
    with pytest.raises(NotPossibleError, match="taken in hand"):
        shop.undo(ticked.entry, WHO)


def test_an_undone_event_told_again_by_a_late_phone_is_not_done_again(shop: ShopStore) -> None:
    work = begun(shop)
    slot = shop.work(work).slots[0]
    ticked = shop.tick(work, slot.id, WHO, key="k")
    shop.undo(ticked.entry, WHO, key="u")
    assert shop.tick(work, slot.id, WHO, key="k").repeated
    assert shop.undo(ticked.entry, WHO, key="u").repeated
    assert shop.work(work).slots[0].state == "open"
