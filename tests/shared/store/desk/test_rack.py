"""The rack: every piece with a label of its own, every correction with its trace."""

from fractions import Fraction

import pytest

from cutting.question.job import Source
from shared.store import ShopStore
from shared.work.errors import NotPossibleError, UnknownError
from shared.work.rack.bars import BarChanges, BarState, Counted, NewBar, Origin
from shared.work.saw.ledger import Account
from tests.shared.store.scene import FLAT, TUBE, WHO, account, begun, put, stalls, stick


def test_pieces_come_back_as_they_were_put_there(shop: ShopStore) -> None:
    new = NewBar(
        section=FLAT,
        length=Fraction(20447, 10),
        trims=(Fraction(0), Fraction(1, 3)),
        place="B2",
        remark="drilled",
        heat="H 77",
    )
    (number,) = shop.add_bars([new], WHO).bars
    bar = shop.bar(number)
    assert (bar.section, bar.length, bar.trims, bar.place) == (FLAT, Fraction(20447, 10), (0, Fraction(1, 3)), "B2")
    assert (bar.remark, bar.heat, bar.origin, bar.state) == ("drilled", "H 77", Origin.COUNTED, BarState.FREE)
    assert shop.bars(section=TUBE.key) == ()
    assert shop.bars(section=FLAT.key) == (bar,)


def test_all_that_is_wrong_is_said_at_once_and_nothing_is_kept(shop: ShopStore) -> None:
    good, none, eaten = (
        NewBar(section=TUBE, length=Fraction(5)),
        NewBar(section=TUBE, length=Fraction(0)),
        NewBar(section=TUBE, length=Fraction(5), trims=(Fraction(3), Fraction(2))),
    )
    with pytest.raises(NotPossibleError) as refused:
        shop.add_bars([good, none, eaten], WHO)
    assert [reason.split(":")[0] for reason in refused.value.reasons] == ["Line 2", "Line 3"]
    assert shop.bars() == ()


def test_an_event_told_twice_counts_once_and_is_answered_alike(shop: ShopStore) -> None:
    new = [NewBar(section=TUBE, length=Fraction(700))]
    first = shop.add_bars(new, WHO, key="phone-1")
    again = shop.add_bars(new, "another device", key="phone-1")
    assert (again.entry, again.bars, again.repeated) == (first.entry, first.bars, True)
    assert len(shop.bars()) == 1
    with pytest.raises(NotPossibleError, match="used for another event"):
        shop.add_bars([*new, *new], WHO, key="phone-1")


def test_a_correction_is_measured_steel_and_leaves_a_trace(shop: ShopStore) -> None:
    (number,) = put(shop, 1000)
    shop.correct(number, BarChanges(length=Fraction(990), place="C1"), WHO, "tape")
    assert (shop.bar(number).length, shop.bar(number).place) == (990, "C1")
    assert account(shop, Account.CORRECTED) == 10
    assert [entry.words for entry in shop.history(number)] == [
        "D1 corrected: 990 mm instead of 1000 mm, place C1 (tape).",
        "1 piece put on the rack: D1.",
    ]
    with pytest.raises(NotPossibleError, match="Nothing about D1 is different"):
        shop.correct(number, BarChanges(length=Fraction(990)), WHO)


def test_another_section_moves_the_steel_between_the_accounts(shop: ShopStore) -> None:
    (number,) = put(shop, 1000)
    shop.correct(number, BarChanges(section=FLAT), WHO)
    assert (account(shop, Account.STOCK), account(shop, Account.STOCK, FLAT)) == (0, 1000)
    assert (account(shop, Account.CORRECTED), account(shop, Account.CORRECTED, FLAT)) == (1000, -1000)


def test_scrapped_lost_and_found(shop: ShopStore) -> None:
    one, two = put(shop, 1000, 400)
    shop.scrap(one, WHO, "bent")
    shop.lost(two, WHO)
    assert (account(shop, Account.SCRAP), account(shop, Account.LOST), account(shop, Account.STOCK)) == (1000, 400, 0)
    with pytest.raises(NotPossibleError, match="D1 can't be found again: it was scrapped"):
        shop.found(one, WHO)
    shop.found(two, WHO)
    assert (account(shop, Account.LOST), account(shop, Account.STOCK), shop.bar(two).state) == (0, 400, "free")
    with pytest.raises(UnknownError, match="no D9"):
        shop.scrap(9, WHO)


def test_a_stock_take_is_one_entry(shop: ShopStore) -> None:
    one, two, three = put(shop, 1000, 400, 500)
    shop.lost(three, WHO)
    outcome = shop.stock_take(
        [
            Counted(number=one, changes=BarChanges(length=Fraction(998), place="A")),
            Counted(number=two, found=False),
            Counted(number=three, changes=BarChanges(place="B")),
            Counted(new=NewBar(section=FLAT, length=Fraction(77))),
        ],
        WHO,
    )
    assert [(bar.number, bar.length, bar.place) for bar in shop.bars()] == [(1, 998, "A"), (3, 500, "B"), (4, 77, "")]
    assert outcome.bars == (4,)
    assert shop.history()[0].bars == (1, 2, 3, 4)
    shop.undo(outcome.entry, WHO)
    assert [(bar.number, bar.length, bar.place) for bar in shop.bars()] == [(1, 1000, ""), (2, 400, "")]
    assert shop.bar(three).state is BarState.LOST


def test_a_stock_take_with_anything_wrong_changes_nothing(shop: ShopStore) -> None:
    one, two = put(shop, 1000, 400)
    shop.scrap(two, WHO)
    with pytest.raises(NotPossibleError) as refused:
        shop.stock_take(
            [Counted(number=one, found=False), Counted(number=two, found=False), Counted(number=8), Counted()], WHO
        )
    assert [reason.split(":")[0] for reason in refused.value.reasons] == ["Line 2", "Line 3", "Line 4"]
    with pytest.raises(NotPossibleError, match="D1 stands in the list twice"):
        shop.stock_take([Counted(number=one, found=False), Counted(number=one)], WHO)
    assert shop.bar(one).state is BarState.FREE


def test_a_reserved_piece_is_not_thrown_away_and_keeps_its_section(shop: ShopStore) -> None:
    (number,) = put(shop, 2500)
    begun(shop, stalls(stick("D1", 2500, source=Source.OWN, count=1), stick("MILL", 6000)))
    with pytest.raises(NotPossibleError, match="D1 is reserved for Market stalls"):
        shop.scrap(number, WHO)
    with pytest.raises(NotPossibleError, match="D1 is planned for Market stalls"):
        shop.correct(number, BarChanges(section=FLAT), WHO)
    flagged = shop.correct(number, BarChanges(length=Fraction(800)), WHO)
    assert [(flag.bar, flag.short > 0) for flag in flagged.flags] == [(number, True)]
    gone = shop.lost(number, WHO)
    assert "has no steel: D1 wasn't found" in gone.flags[0].words
    shop.found(number, WHO)
    assert shop.bar(number).state is BarState.RESERVED


def test_numbers_are_never_used_again(shop: ShopStore) -> None:
    outcome = shop.add_bars([NewBar(section=TUBE, length=Fraction(5))], WHO)
    shop.undo(outcome.entry, WHO)
    assert shop.bars(states=None) == ()
    assert put(shop, 6) == [2]
