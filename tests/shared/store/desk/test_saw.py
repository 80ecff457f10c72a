"""At the saw: what is cut, spoilt and short, and that not a hair of steel goes missing."""

from dataclasses import replace
from fractions import Fraction

import pytest

from cutting.question.job import Source
from shared.store import ShopStore
from shared.work.carried import as_carried
from shared.work.errors import NotPossibleError, UnknownError
from shared.work.rack.bars import BarChanges, BarState, Origin, Received
from shared.work.saw.ledger import Account
from shared.work.saw.work import MadeState, SlotState
from tests.shared.store.scene import (
    TUBE,
    WHO,
    account,
    begun,
    kept,
    mitre,
    open_slots,
    part,
    planned,
    put,
    solved,
    stalls,
    stick,
)
from tests.shared.two_yards import demo

SPENT = (Account.KERF, Account.TRIM, Account.SCRAP, Account.PARTS, Account.STOCK)


def posts(shop: ShopStore, *lengths: int, keep_from: int = 300) -> tuple[str, int]:
    """One stick of 6000 mm, 5 mm trimmed off its first end and 3 off its second; return work and slot."""
    parts = tuple(part(f"P{number}", length, 1) for number, length in enumerate(lengths, start=1))
    work = begun(shop, stalls(stick("MILL", 6000, trims=(5, 3)), parts=parts, keep_from=keep_from))
    (slot,) = shop.work(work).slots
    shop.receive(work, [Received(bar=slot.bar, heat="H1")], WHO)
    return work, slot.id


def spent(shop: ShopStore) -> list[Fraction]:
    return [account(shop, name) for name in SPENT]


def test_a_stick_becomes_parts_kerf_trim_and_a_drop_with_a_label(shop: ShopStore) -> None:
    work, slot = posts(shop, 2000, 1000)
    outcome = shop.tick(work, slot, WHO, "t1")
    (number,) = outcome.bars
    drop = shop.bar(number)
    assert (drop.length, drop.trims, drop.origin, drop.parent) == (2990, (0, 3), Origin.DROP, 1)
    assert (drop.state, drop.heat, drop.work) == (BarState.FREE, "H1", None)
    assert shop.bar(1).state is BarState.CUT
    assert spent(shop) == [5, 5, 0, 3000, 2990]
    assert [(each.mark, each.bar, each.length, each.state) for each in shop.work(work).made] == [
        ("P1", 1, 2000, MadeState.GOOD),
        ("P2", 1, 1000, MadeState.GOOD),
    ]
    assert outcome.words == "Layout 1, stick 1 (D1) sawn: P1, P2, drop D2 to the rack."


def test_a_drop_too_short_to_keep_is_scrap_and_the_trim_of_its_raw_end(shop: ShopStore) -> None:
    work, slot = posts(shop, 5700)
    outcome = shop.tick(work, slot, WHO, "t1")
    # 6000 - 5 - 5700 - 2.5 leave 292.5, 3 of which is the raw end's trim.
    assert (outcome.bars, spent(shop)) == ((), [Fraction(5, 2), 8, Fraction(579, 2), 5700, 0])


def test_a_last_cut_that_finds_no_whole_kerf(shop: ShopStore) -> None:
    work, slot = posts(shop, 5992)
    shop.tick(work, slot, WHO, "t1")
    assert spent(shop) == [Fraction(5, 2), Fraction(11, 2), 0, 5992, 0]


def test_part_by_part_comes_to_the_same_as_all_at_once(shop: ShopStore) -> None:
    work, slot = posts(shop, 2000, 1000, 500)
    assert shop.tick(work, slot, WHO, "a", parts=1).words == "Layout 1, stick 1 (D1): 1 of 3 parts sawn."
    assert spent(shop) == [Fraction(5, 2), 5, 0, 2000, Fraction(7985, 2)]
    shop.tick(work, slot, WHO, "b", parts=2)
    with pytest.raises(NotPossibleError, match="3 parts, 2 of them sawn already; 2 was said"):
        shop.tick(work, slot, WHO, "c", parts=2)
    shop.tick(work, slot, WHO, "d")
    assert spent(shop) == [Fraction(15, 2), 5, 0, 3500, Fraction(4975, 2)]
    with pytest.raises(NotPossibleError, match="sawn already"):
        shop.tick(work, slot, WHO, "e")
    assert shop.tick(work, slot, WHO, "d").repeated


def test_a_stick_that_is_sawn_has_come(shop: ShopStore) -> None:
    work = begun(shop)
    slot = shop.work(work).slots[0]
    shop.tick(work, slot.id, WHO)
    assert account(shop, Account.BOUGHT) == -6000


def test_a_spoilt_part_stops_the_stick_and_the_rest_stays_with_the_work(shop: ShopStore) -> None:
    work, slot = posts(shop, 2000, 1000, 500)
    outcome = shop.spoilt(work, slot, 2, WHO, "s")
    (number,) = outcome.bars
    rest = shop.bar(number)
    assert (rest.length, rest.trims, rest.state, rest.work) == (2990, (0, 3), BarState.RESERVED, work)
    assert outcome.missing == (("P2", 1), ("P3", 1))
    book = shop.work(work)
    assert book.slots[0].state is SlotState.STOPPED
    assert [(each.mark, each.state) for each in book.made] == [("P1", MadeState.GOOD), ("P2", MadeState.SPOILT)]
    assert spent(shop) == [5, 5, 1000, 2000, 2990]
    with pytest.raises(NotPossibleError, match="given up"):
        shop.tick(work, slot, WHO)


def test_what_is_left_behind_a_spoilt_part_may_be_measured(shop: ShopStore) -> None:
    work, slot = posts(shop, 2000, 1000)
    with pytest.raises(NotPossibleError, match="can't be left of"):
        shop.spoilt(work, slot, 1, WHO, left=Fraction(7000))
    (number,) = shop.spoilt(work, slot, 1, WHO, left=Fraction(3980)).bars
    assert shop.bar(number).length == 3980
    assert account(shop, Account.CORRECTED) == Fraction(25, 2)


def test_a_part_found_spoilt_later_is_only_that_part(shop: ShopStore) -> None:
    work, slot = posts(shop, 2000, 1000)
    shop.tick(work, slot, WHO)
    outcome = shop.spoilt(work, slot, 2, WHO)
    assert (outcome.bars, outcome.missing) == ((), (("P2", 1),))
    assert spent(shop) == [5, 5, 1000, 2000, 2990]
    with pytest.raises(NotPossibleError, match="spoilt already"):
        shop.spoilt(work, slot, 2, WHO)
    with pytest.raises(NotPossibleError, match="nothing is left behind"):
        shop.spoilt(work, slot, 1, WHO, left=Fraction(5))
    with pytest.raises(NotPossibleError, match="has 2 parts; 3 was said"):
        shop.spoilt(work, slot, 3, WHO)


def test_a_part_of_a_begun_stick_found_spoilt_lets_the_stick_go_on(shop: ShopStore) -> None:
    work, slot = posts(shop, 2000, 1000)
    shop.tick(work, slot, WHO, parts=1)
    shop.spoilt(work, slot, 1, WHO)
    shop.tick(work, slot, WHO)
    assert [each.state for each in shop.work(work).made] == [MadeState.SPOILT, MadeState.GOOD]


def test_a_short_stick_is_flagged_and_not_sawn(shop: ShopStore) -> None:
    work, slot = posts(shop, 3000, 2900)
    outcome = shop.short(work, slot, Fraction(5909), WHO)
    # 5 + 3000 + 2.5 + 2900 + 3 make 5910.5.
    assert [flag.short for flag in outcome.flags] == [Fraction(3, 2)]
    assert account(shop, Account.CORRECTED) == 91
    with pytest.raises(NotPossibleError, match=r"short by 1.5 mm"):
        shop.tick(work, slot, WHO)
    shop.tick(work, slot, WHO, parts=1)
    with pytest.raises(NotPossibleError, match=r"short by 1.5 mm"):
        shop.tick(work, slot, WHO)


def test_what_is_left_of_a_begun_stick_is_measured_from_its_last_cut(shop: ShopStore) -> None:
    work, slot = posts(shop, 3000, 2900)
    shop.tick(work, slot, WHO, parts=1)
    outcome = shop.short(work, slot, Fraction(2902), WHO)
    assert shop.bar(1).length == Fraction(11819, 2)
    # 3 mm is trimmed off the raw end, and 2900 doesn't leave them.
    assert [flag.short for flag in outcome.flags] == [1]
    shop.short(work, slot, Fraction(2903), WHO)
    shop.tick(work, slot, WHO)
    assert spent(shop) == [5, Fraction(11, 2), 0, 5900, 0]


def test_another_blade_takes_more_from_now_on(shop: ShopStore) -> None:
    work, slot = posts(shop, 3000, 2900)
    shop.tick(work, slot, WHO, parts=1)
    outcome = shop.blade(work, Fraction(16, 5), WHO)
    assert (outcome.flags, shop.work(work).work.kerf, shop.work(work).work.job.saw.kerf) == (
        (),
        Fraction(16, 5),
        Fraction(16, 5),
    )
    shop.tick(work, slot, WHO)
    # 2.5 by the old blade, 3.2 by the new one; 89.3 are left, 3 of them trim.
    assert spent(shop) == [Fraction(57, 10), 8, Fraction(863, 10), 5900, 0]
    with pytest.raises(NotPossibleError, match=r"takes 3.2 mm already"):
        shop.blade(work, Fraction(16, 5), WHO)
    with pytest.raises(NotPossibleError, match="can't take 51 mm"):
        shop.blade(work, Fraction(51), WHO)


def test_what_is_left_of_a_begun_stick_was_cut_by_the_blade_as_it_was_then(shop: ShopStore) -> None:
    work, slot = posts(shop, 2000, 1000)
    shop.tick(work, slot, WHO, parts=1)
    shop.blade(work, Fraction(16, 5), WHO)
    shop.drop(work, WHO)
    assert (shop.bar(1).length, shop.bar(1).state) == (Fraction(7985, 2), BarState.FREE)


def test_a_wider_blade_flags_the_sticks_that_no_longer_suffice(shop: ShopStore) -> None:
    work, slot = posts(shop, 3000, 2989)
    outcome = shop.blade(work, Fraction(4), WHO)
    assert [(flag.slot, flag.short) for flag in outcome.flags] == [(slot, 1)]
    assert shop.blade(work, Fraction(2), WHO).flags == ()


def test_mitred_parts_and_their_gaps_add_up(shop: ShopStore) -> None:
    length, ends = mitre(1000)
    job = stalls(parts=(replace(part("RAFTER", 1000, 3), ends=ends, length=length),))
    result = solved(job)
    work = kept(shop, job, result)
    shop.begin(work, WHO)
    (slot,) = shop.work(work).slots
    (number,) = shop.tick(work, slot.id, WHO).bars
    # Two shared cuts and the last one take 2.5 mm / cos 45 = 3.54 mm each; half the tube's 50 mm are cut away before
    # the first part, and as much sticks out behind the last one.
    gap = Fraction(354, 100)
    assert account(shop, Account.PARTS) == 3 * 950
    assert account(shop, Account.KERF) == 25 + 3 * gap
    assert account(shop, Account.SCRAP) == 25
    assert shop.bar(number).length == planned(result).cuts[0].drop == 6000 - 5 - 50 - 3 * 950 - 3 * gap


@pytest.mark.parametrize("degrees", [10, 30, 37])
def test_irrational_gaps_add_up_too_part_by_part_and_at_once(shop: ShopStore, degrees: int) -> None:
    length, ends = mitre(700, degrees)
    parts = (replace(part("BRACE", 700, 6), ends=ends, length=length), part("POST", 800, 2))
    job = stalls(parts=parts)
    result = solved(job)
    for whole in (True, False):
        work = kept(shop, job, result)
        shop.begin(work, WHO)
        for slot in open_slots(shop.work(work)):
            for count in [] if whole else range(1, len(slot.cut.pieces)):
                shop.tick(work, slot.id, WHO, parts=count)
            bars = shop.tick(work, slot.id, WHO).bars
            assert [shop.bar(number).length for number in bars] == ([slot.cut.drop] if bars else [])
        assert shop.balance() == ()


def test_sticks_that_a_yard_cut_come_as_pieces_of_their_own(shop: ShopStore) -> None:
    question, result = demo()
    work = kept(shop, question, result)
    shop.begin(work, WHO)
    book = shop.work(work)
    carried = as_carried(question, planned(result), empty=True)[1]
    assert len(book.slots) == sum(cut.quantity for cut in carried.cuts)
    steel = sum(cut.length * cut.quantity for cut in planned(result).cuts if cut.source is not Source.OWN)
    shop.receive(work, [Received(bar=bar.number) for bar in book.bars if bar.state is BarState.EXPECTED], WHO)
    assert -sum(amount for (_, name), amount in shop.accounts().items() if name is Account.BOUGHT) == steel
    for slot in open_slots(shop.work(work)):
        shop.tick(work, slot.id, WHO)
    asked = {each.mark: each.quantity for each in question.parts}
    assert shop.work(work).good() == asked
    shop.finish(work, WHO)


def test_a_drop_of_a_stick_nobody_measured_may_be_shorter(shop: ShopStore) -> None:
    work = begun(shop, stalls(stick("MILL", 6000, usable=5990), parts=(part("LEG", 2000, 1),)))
    (slot,) = shop.work(work).slots
    (number,) = shop.tick(work, slot.id, WHO).bars
    assert (shop.bar(number).length, shop.bar(number).counted_on) == (Fraction(7985, 2), Fraction(7965, 2))
    shop.correct(number, BarChanges(length=shop.bar(number).length), WHO)
    assert shop.bar(number).counted_on == shop.bar(number).length


def test_a_drop_nobody_measured_is_kept_by_what_can_be_counted_on(shop: ShopStore) -> None:
    work = begun(shop, stalls(stick("MILL", 6000, usable=5990), parts=(part("LEG", 5690, 1),)))
    (slot,) = shop.work(work).slots
    # 302.5 mm are left if the stick is whole, 292.5 if it is as short as it may be: not surely 300.
    assert shop.tick(work, slot.id, WHO).bars == ()
    assert account(shop, Account.SCRAP) == Fraction(605, 2)


def test_steel_that_is_gone_is_not_sawn(shop: ShopStore) -> None:
    work, slot = posts(shop, 2000, 1000)
    shop.tick(work, slot, WHO, parts=1)
    shop.lost(1, WHO)
    assert shop.work(work).slots[0].state is SlotState.STOPPED
    assert account(shop, Account.LOST) == Fraction(7985, 2)
    with pytest.raises(NotPossibleError, match="given up"):
        shop.tick(work, slot, WHO)
    other, unsawn = posts(shop, 2000)
    shop.lost(2, WHO)
    with pytest.raises(NotPossibleError, match=r"D2 isn't there, the books say \(lost\)"):
        shop.tick(other, unsawn, WHO)
    with pytest.raises(UnknownError, match="no stick 99"):
        shop.tick(other, 99, WHO)


def test_surplus_steel_of_another_section_is_another_account(shop: ShopStore) -> None:
    put(shop, 700)
    assert account(shop, Account.STOCK, TUBE) == 700
