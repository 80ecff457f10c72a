"""The rest planned anew, another parts list, and the end of a work."""

from dataclasses import replace
from fractions import Fraction

import pytest

from cutting.question.job import Job, Source
from shared.files.job import Format, read_job, write_job
from shared.files.plan import read_plan
from shared.store import ShopStore
from shared.work.errors import NotPossibleError, StaleError, TakenError, UnknownError
from shared.work.rack.bars import BarState, Origin, Received
from shared.work.replan.anew import Replanned, replan
from shared.work.saw.ledger import Account
from shared.work.saw.needs import missing
from shared.work.saw.work import MadeState, SlotState, WorkState
from tests.builders import PATIENCE
from tests.shared.store.scene import TUBE, WHO, account, begun, kept, mitre, open_slots, part, put, stalls, stick


def proposal(shop: ShopStore, work: str) -> Replanned:
    return replan(shop.work(work), shop.bars(), limit=PATIENCE, cores=1)


def accepted(shop: ShopStore, work: str):
    found = proposal(shop, work)
    return shop.accept(work, found, found.version, WHO)


def saw_all(shop: ShopStore, work: str) -> None:
    for slot in open_slots(shop.work(work)):
        shop.tick(work, slot.id, WHO)


def posts(shop: ShopStore, *lengths: int, count: int | None = None) -> str:
    parts = tuple(part(f"P{number}", length, 1) for number, length in enumerate(lengths, start=1))
    return begun(shop, stalls(stick("MILL", 6000, count=count), parts=parts))


def in_force(job: Job) -> bytes:
    return write_job(job, Format.TOML)


def test_after_a_spoilt_part_the_rest_is_planned_from_the_remnant(shop: ShopStore) -> None:
    work = posts(shop, 2000, 1500, 800)
    (slot,) = shop.work(work).slots
    (remnant,) = shop.spoilt(work, slot.id, 2, WHO).bars
    outcome = accepted(shop, work)
    book = shop.work(work)
    assert outcome.missing == ()
    assert (book.work.mark, [revision.mark for revision in book.revisions]) == ("B", ["A", "B"])
    new = open_slots(book)
    assert {each.revision for each in new} == {2}
    assert [each.number for each in new] == list(range(2, 2 + len(new))), "numbers go on, none means something new"
    assert remnant in {each.bar for each in new}
    saw_all(shop, work)
    assert shop.work(work).good() == {"P1": 1, "P2": 1, "P3": 1}
    shop.finish(work, WHO)
    assert shop.work(work).work.state is WorkState.DONE


def test_a_revision_keeps_job_and_plan_of_what_was_planned_new(shop: ShopStore) -> None:
    work = posts(shop, 2000, 1500, 800)
    (slot,) = shop.work(work).slots
    shop.spoilt(work, slot.id, 1, WHO)
    found = proposal(shop, work)
    shop.accept(work, found, found.version, WHO)
    revision = shop.work(work).revisions[1]
    job, problems = read_job(revision.document)
    assert (job, problems) == (found.job, ())
    stated, problems = read_plan(revision.plan, job)
    assert (stated.plan, problems) == (found.plan, ())
    assert revision.reason == " ".join(found.words)


def test_a_short_stick_is_replaced_and_goes_free(shop: ShopStore) -> None:
    work = posts(shop, 3000, 2900)
    (slot,) = shop.work(work).slots
    shop.receive(work, [Received(bar=slot.bar)], WHO)
    shop.short(work, slot.id, Fraction(2500), WHO)
    outcome = accepted(shop, work)
    book = shop.work(work)
    assert book.slots[0].state is SlotState.VOID
    assert outcome.flags == ()
    assert (shop.bar(slot.bar).state, shop.bar(slot.bar).work) == (BarState.FREE, None)
    with pytest.raises(NotPossibleError, match="replaced by revision B"):
        shop.tick(work, slot.id, WHO)
    with pytest.raises(NotPossibleError, match="replaced by revision B"):
        shop.spoilt(work, slot.id, 1, WHO)


def test_a_begun_stick_that_is_planned_anew_keeps_its_number_and_its_rest(shop: ShopStore) -> None:
    work = posts(shop, 2000, 1900, 1500, count=1)
    put(shop, 2000)
    (slot,) = shop.work(work).slots
    shop.tick(work, slot.id, WHO, parts=1)
    shop.short(work, slot.id, Fraction(3000), WHO)
    accepted(shop, work)
    book = shop.work(work)
    assert book.slots[0].state is SlotState.STOPPED
    rest = shop.bar(slot.bar)
    assert (rest.length, rest.trims, rest.state) == (3000, (0, 0), BarState.RESERVED)
    saw_all(shop, work)
    assert next((each.mark, each.bar) for each in shop.work(work).made if each.bar == slot.bar) == ("P1", slot.bar)
    assert missing(shop.work(work)) == {}


def test_a_proposal_is_refused_when_anything_changed_since(shop: ShopStore) -> None:
    work = posts(shop, 2000, 1500, 800)
    (slot,) = shop.work(work).slots
    shop.spoilt(work, slot.id, 2, WHO)
    found = proposal(shop, work)
    (heat,) = [bar.number for bar in shop.work(work).bars if bar.state is BarState.RESERVED]
    shop.lost(heat, WHO)
    with pytest.raises(StaleError, match="plan the rest anew"):
        shop.accept(work, found, found.version, WHO)
    with pytest.raises(StaleError):
        shop.accept(work, found, shop.work(work).work.version, WHO)
    assert shop.work(work).work.revision == 1


def test_a_proposal_is_refused_when_somebody_else_took_the_steel(shop: ShopStore) -> None:
    work = posts(shop, 2000, 1500, count=1)
    (slot,) = shop.work(work).slots
    shop.spoilt(work, slot.id, 1, WHO)
    shop.lost(2, WHO)
    put(shop, 2400, 2400)
    other = kept(shop, stalls(stick("D3", 2400, source=Source.OWN, count=1), parts=(part("X", 2300, 1),)))
    found = proposal(shop, work)
    assert 3 in found.used
    shop.begin(other, WHO)
    with pytest.raises(TakenError, match="D3 is reserved for Market stalls"):
        shop.accept(work, found, found.version, WHO)
    assert shop.work(work).work.mark == "A"
    assert shop.bar(3).work == other


def test_a_revision_taken_back_is_as_if_it_never_was_but_its_letter_is_gone(shop: ShopStore) -> None:
    work = posts(shop, 2000, 1500, 800)
    (slot,) = shop.work(work).slots
    shop.spoilt(work, slot.id, 2, WHO)
    before = shop.work(work)
    outcome = accepted(shop, work)
    highest = max(each.number for each in shop.work(work).slots)
    shop.undo(outcome.entry, WHO)
    after = shop.work(work)
    assert (after.slots, after.made, after.revisions) == (before.slots, before.made, before.revisions)
    assert after.work == replace(before.work, version=after.work.version)
    accepted(shop, work)
    book = shop.work(work)
    assert book.work.mark == "C"
    assert min(each.number for each in open_slots(book)) == highest + 1


def test_another_parts_list_keeps_what_serves_and_calls_the_rest_surplus(shop: ShopStore) -> None:
    job = stalls(parts=(part("LEG", 1400, 3), part("RAIL", 900, 1)))
    work = begun(shop, job)
    saw_all(shop, work)
    fewer = replace(job, parts=(part("LEG", 1400, 2), part("RAIL", 950, 1), part("SHELF", 600, 1)))
    outcome = shop.revise(work, in_force(fewer), WHO)
    assert outcome.missing == (("RAIL", 1), ("SHELF", 1))
    assert outcome.words == "Market stalls: a new parts list is in force, 2 parts made for nothing."
    made = shop.work(work).made
    assert sorted((each.mark, each.state) for each in made if each.state is not MadeState.GOOD) == [
        ("LEG", MadeState.SURPLUS),
        ("RAIL", MadeState.SURPLUS),
    ]
    back = shop.revise(work, in_force(job), WHO)
    assert back.words.endswith("2 parts made before wanted again.")
    with pytest.raises(NotPossibleError, match="in force already"):
        shop.revise(work, in_force(job), WHO)
    with pytest.raises(NotPossibleError) as refused:
        shop.revise(work, b'title = "x"\nparts = 7', WHO)
    assert refused.value.reasons


def test_sticks_that_cut_what_nobody_wants_any_more_are_flagged(shop: ShopStore) -> None:
    job = stalls(parts=(part("LEG", 2900, 4), part("RAIL", 950, 1)))
    work = begun(shop, job)
    outcome = shop.revise(work, in_force(replace(job, parts=(part("LEG", 2900, 3), part("RAIL", 940, 1)))), WHO)
    words = " ".join(flag.words for flag in outcome.flags)
    assert "cuts more of LEG than are still needed" in words
    assert "cuts RAIL as it was before the drawing changed" in words
    gone = shop.revise(work, in_force(replace(job, parts=(part("RAIL", 950, 1),))), WHO)
    assert all("cuts LEG, which is no longer asked for" in flag.words for flag in gone.flags)


def test_parts_cut_for_nothing_go_on_the_rack(shop: ShopStore) -> None:
    length, ends = mitre(1000)
    parts = (replace(part("RAFTER", 1000, 1), ends=ends, length=length), part("LEG", 700, 1))
    job = stalls(parts=parts)
    work = begun(shop, job)
    saw_all(shop, work)
    shop.revise(work, in_force(replace(job, parts=(part("SHELF", 600, 1),))), WHO)
    made = {each.mark: each.id for each in shop.work(work).made}
    outcome = shop.surplus_to_rack(work, [made["RAFTER"], made["LEG"]], WHO)
    rafter, leg = (shop.bar(number) for number in outcome.bars)
    assert (rafter.length, rafter.origin, rafter.trims, rafter.remark) == (
        900,
        Origin.PART,
        (0, 0),
        "was cut as RAFTER",
    )
    assert (leg.length, leg.section, leg.parent) == (700, TUBE, 1)
    assert [each.became for each in shop.work(work).made] == [
        rafter.number if each.mark == "RAFTER" else leg.number for each in shop.work(work).made
    ]
    with pytest.raises(NotPossibleError, match="LEG from D1 isn't surplus, it is back"):
        shop.surplus_to_rack(work, [made["LEG"]], WHO)
    with pytest.raises(UnknownError):
        shop.surplus_to_rack(work, [99], WHO)
    with pytest.raises(NotPossibleError, match="went to the rack as"):
        shop.spoilt(work, shop.work(work).slots[0].id, 1, WHO)
    accepted(shop, work)
    assert open_slots(shop.work(work))[0].bar in (
        rafter.number,
        leg.number,
        *(bar.number for bar in shop.work(work).bars),
    )


def test_dropping_frees_what_was_reserved_and_keeps_what_was_cut(shop: ShopStore) -> None:
    work = begun(shop)
    first, second = shop.work(work).slots[:2]
    shop.tick(work, first.id, WHO, parts=1)
    shop.receive(work, [Received(bar=second.bar)], WHO)
    with pytest.raises(NotPossibleError, match="isn't sawn yet"):
        shop.finish(work, WHO)
    shop.drop(work, WHO)
    book = shop.work(work)
    assert book.work.state is WorkState.DROPPED
    assert [slot.state for slot in book.slots[:2]] == [SlotState.STOPPED, SlotState.VOID]
    assert [(shop.bar(slot.bar).state, shop.bar(slot.bar).work) for slot in book.slots[:2]] == [
        (BarState.FREE, None)
    ] * 2
    assert len(book.made) == 1
    with pytest.raises(NotPossibleError, match="was dropped"):
        shop.tick(work, second.id, WHO)


def test_what_is_still_expected_by_a_dropped_work_comes_for_anybody(shop: ShopStore) -> None:
    work = begun(shop)
    numbers = [bar.number for bar in shop.work(work).bars]
    shop.drop(work, WHO)
    assert shop.bar(numbers[0]).state is BarState.EXPECTED
    shop.receive(work, [Received(bar=numbers[0])], WHO)
    assert (shop.bar(numbers[0]).state, shop.bar(numbers[0]).work) == (BarState.FREE, None)
    other = begun(shop)
    expected = [bar.number for bar in shop.work(other).bars]
    shop.drop(other, WHO, call_off=True)
    assert {shop.bar(number).state for number in expected} == {BarState.CANCELLED}


def test_remnants_too_short_to_keep_are_scrap_when_a_work_ends(shop: ShopStore) -> None:
    work = begun(shop, stalls(parts=(part("LEG", 5800, 1),)))
    (slot,) = shop.work(work).slots
    (rest,) = shop.spoilt(work, slot.id, 1, WHO).bars
    assert shop.bar(rest).length == Fraction(385, 2)
    shop.drop(work, WHO)
    assert shop.bar(rest).state is BarState.SCRAP
    assert account(shop, Account.STOCK) == 0


def test_a_short_piece_that_lay_on_the_rack_goes_back_there(shop: ShopStore) -> None:
    put(shop, 200)
    work = begun(shop, stalls(stick("D1", 200, source=Source.OWN, count=1), parts=(part("TAG", 100, 1),)))
    shop.drop(work, WHO)
    assert shop.bar(1).state is BarState.FREE


def test_finishing_says_what_is_still_to_be_made(shop: ShopStore) -> None:
    work = posts(shop, 2000, 1500)
    (slot,) = shop.work(work).slots
    shop.spoilt(work, slot.id, 2, WHO)
    with pytest.raises(NotPossibleError) as refused:
        shop.finish(work, WHO)
    assert refused.value.reasons[0] == "1 of P2 still to be made."
