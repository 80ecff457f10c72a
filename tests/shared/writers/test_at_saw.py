"""A plan in hand as it is shown at the saw."""

from fractions import Fraction
from pathlib import Path

import pytest

from shared.store import ShopStore
from shared.view.at_saw import AtSaw, StickAtSaw, at_saw
from shared.work.rack.bars import Received
from shared.work.replan.anew import replan
from shared.work.saw.work import SlotState, WorkState
from tests.builders import PATIENCE
from tests.shared.store.scene import WHO, begun, open_slots, opened, part, stalls

JOB = stalls(parts=(part("LEG", 2100, 6), part("RAIL", 900, 3)))


@pytest.fixture
def shop(tmp_path: Path):
    with opened(tmp_path / "store.sqlite3") as found:
        yield found
        assert found.balance() == ()


def shown(shop: ShopStore, work: str) -> AtSaw:
    return at_saw(shop.work(work))


def sticks(view: AtSaw) -> dict[str, StickAtSaw]:
    return {stick.bar: stick for layout in view.layouts for stick in layout.sticks if stick.state is not SlotState.VOID}


def accept(shop: ShopStore, work: str) -> None:
    book = shop.work(work)
    proposal = replan(book, shop.bars(), cores=1, limit=PATIENCE)
    assert proposal.possible, proposal.reasons
    shop.accept(work, proposal, book.work.version, WHO)


def test_what_is_left_and_what_each_stick_is(shop: ShopStore) -> None:
    work = begun(shop, JOB)
    first, second = shop.work(work).slots[:2]
    shop.receive(work, (Received(bar=first.bar, length=Fraction(6010), heat="48213"),), WHO)
    view = shown(shop, work)
    assert (view.mark, view.revision, view.watch, view.state) == ("A", "", (), WorkState.OPEN)
    assert view.said == f"0 of 9 parts are made; {len(open_slots(shop.work(work)))} sticks to saw."
    known = sticks(view)
    assert known[f"D{first.bar}"].facts == ("heat 48213", "measured 6010 mm")
    assert known[f"D{second.bar}"].facts == ("not come yet",)
    assert not view.whole


def test_a_sawn_stick_and_its_drop(shop: ShopStore) -> None:
    work = begun(shop, JOB)
    slot = next(slot for slot in shop.work(work).slots if slot.cut.drop >= 300)
    (drop,) = shop.tick(work, slot.id, WHO).bars
    view = shown(shop, work)
    stick = sticks(view)[f"D{slot.bar}"]
    assert (stick.state, stick.said, stick.drop, stick.locked) == (SlotState.SAWN, "sawn", f"D{drop}", True)
    assert stick.drop_length.endswith(" mm")
    assert stick.made == tuple(range(1, len(slot.cut.pieces) + 1))
    assert view.said.startswith(f"{len(slot.cut.pieces)} of 9 parts are made; ")


def test_what_no_longer_fits_is_locked_and_said(shop: ShopStore) -> None:
    work = begun(shop, JOB)
    slot = shop.work(work).slots[0]
    shop.short(work, slot.id, Fraction(4000), WHO)
    view = shown(shop, work)
    stick = sticks(view)[f"D{slot.bar}"]
    assert stick.locked
    assert "is short by" in stick.watch
    assert view.watch == (stick.watch,)


def test_paper_for_another_blade_is_said(shop: ShopStore) -> None:
    work = begun(shop, JOB)
    shop.blade(work, Fraction(2), WHO)
    view = shown(shop, work)
    assert view.kerf == "2 mm"
    assert any("the blade takes another width now" in words for words in view.watch)
    assert not any(stick.locked for stick in sticks(view).values())


def test_a_spoilt_part_leaves_a_stick_given_up_and_parts_on_no_layout(shop: ShopStore) -> None:
    work = begun(shop, JOB)
    slot = shop.work(work).slots[0]
    shop.spoilt(work, slot.id, 1, WHO)
    view = shown(shop, work)
    stick = sticks(view)[f"D{slot.bar}"]
    assert (stick.state, stick.made) == (SlotState.STOPPED, ())
    assert stick.said == "given up after 1 part: saw no more from it here"
    assert view.watch[-1].startswith("On no layout: ")


def test_a_layout_that_was_replaced_stands_last_and_says_where_its_stick_is_sawn_now(shop: ShopStore) -> None:
    work = begun(shop, JOB)
    before = shop.work(work).slots
    shop.blade(work, Fraction(2), WHO)
    accept(shop, work)
    view = shown(shop, work)
    gone = [layout for layout in view.layouts if layout.gone]
    assert {layout.number for layout in gone} == {slot.number for slot in before}
    assert view.layouts[-len(gone) :] == tuple(gone)
    now = {stick.bar: layout.number for layout in view.layouts if not layout.gone for stick in layout.sticks}
    for layout in gone:
        assert layout.since == "A"
        for stick in layout.sticks:
            assert stick.locked
            assert stick.said == f"sawn to layout {now[stick.bar]} now, not to this one"
    replaced = "layout 1 is" if len(gone) == 1 else f"layouts 1–{len(gone)} are"
    assert view.revision.startswith(f"Revision B is in force: {replaced} replaced; new ")


def test_a_work_that_is_all_sawn_is_whole(shop: ShopStore) -> None:
    work = begun(shop, JOB)
    for slot in shop.work(work).slots:
        shop.tick(work, slot.id, WHO)
    view = shown(shop, work)
    assert view.whole
    assert view.said == "9 of 9 parts are made; no stick is left to saw."
    shop.finish(work, WHO)
    assert shown(shop, work).state is WorkState.DONE
