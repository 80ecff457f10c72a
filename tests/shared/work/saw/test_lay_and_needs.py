"""Sticks set apart for the saw, and what a work still needs of them."""

from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction

import pytest

from cutting.question.job import Job
from shared.work.carried import as_carried
from shared.work.rack.bars import Bar, BarState, bar_name, parse_bar_name
from shared.work.saw.lay import lay
from shared.work.saw.ledger import Account, Line, unbalanced
from shared.work.saw.needs import flags_of, missing, needed, same_piece
from shared.work.saw.sawing import measured_whole, rest_of, saw, shortage
from shared.work.saw.work import Made, MadeState, PlanInHand, Slot, SlotState, WorkBook, WorkState, revision_mark
from shared.work.words import said
from tests.shared.store.scene import FLAT, TUBE, mitre, part, planned, solved, stalls, stick
from tests.shared.two_yards import demo
from tests.shared.writers.pdf import scenes

NOW = datetime(2026, 11, 25, 13, 0, tzinfo=UTC)
ZERO = Fraction(0)


def book(job: Job, **changes) -> WorkBook:
    """A work begun from a job's plan, its sticks come as they were bought."""
    slots, bars = [], []
    for number, each in enumerate(lay(job, planned(solved(job))), start=1):
        bars.append(
            Bar(number=number, section=TUBE, length=each.cut.length, state=BarState.RESERVED, work="w", made=NOW)
        )
        slots.append(
            Slot(
                id=number,
                work="w",
                number=each.number,
                copy=each.copy,
                revision=1,
                cut=each.cut,
                stick=each.stick,
                parts=each.parts,
                kerf=job.saw.kerf,
                unit=job.unit,
                bar=number,
            )
        )
    work = PlanInHand(
        id="w",
        title="",
        state=WorkState.OPEN,
        revision=1,
        kerf=job.saw.kerf,
        keep_from=Fraction(300),
        job=job,
        document=b"",
        version=1,
        made=NOW,
    )
    return replace(WorkBook(work=work, slots=tuple(slots), bars=tuple(bars)), **changes)


def test_every_stick_stands_alone_numbered_as_on_the_cut_sheet() -> None:
    job = stalls(parts=(part("POST", 2900, 4), part("RAIL", 900, 1)))
    laid = lay(job, planned(solved(job)), first=7)
    assert [(each.number, each.copy) for each in laid] == [(7, 1), (7, 2), (8, 1)]
    assert all(each.cut.quantity == 1 for each in laid)
    assert [[one.mark for one in each.parts] for each in laid] == [[p.mark for p in each.cut.pieces] for each in laid]


def test_pieces_a_yard_cut_are_sticks_of_their_own() -> None:
    job, result = demo()
    laid = lay(job, planned(result))
    carried, plan = as_carried(job, planned(result), empty=True)
    assert [each.cut.stick for each in laid] == [cut.stick for cut in plan.cuts for _ in range(cut.quantity)]
    assert {each.stick.id for each in laid} <= {each.id for each in carried.sticks}


def test_a_stick_that_stays_whole_is_steel_without_parts_behind_all_others() -> None:
    laid = lay(*scenes.whole())
    assert [(each.number, each.copy) for each in laid] == [*((1, copy) for copy in range(1, 11)), (2, 1)]
    assert [len(each.parts) for each in laid] == [1] * 10 + [0]
    assert laid[-1].cut.drop == laid[-1].stick.clear


def test_what_is_needed_is_asked_and_not_good() -> None:
    job = stalls(parts=(part("POST", 2900, 2), part("RAIL", 900, 1)))
    made = tuple(
        Made(id=number, work="w", mark="POST", slot=1, position=number, bar=1, length=Fraction(2900), state=state)
        for number, state in enumerate((MadeState.GOOD, MadeState.SPOILT), start=1)
    )
    whole = book(job)
    assert (needed(whole), missing(whole)) == ({"POST": 2, "RAIL": 1}, {})
    part_made = replace(whole, made=made)
    assert needed(part_made) == {"POST": 1, "RAIL": 1}
    stopped = replace(part_made, slots=tuple(replace(slot, state=SlotState.STOPPED) for slot in whole.slots))
    assert missing(stopped) == {"POST": 1, "RAIL": 1}


def test_another_length_section_or_end_is_another_piece() -> None:
    one = part("A", 900, 1)
    length, ends = mitre(900)
    assert same_piece(one, replace(one, quantity=7, note="x", mark="B"))
    assert not same_piece(one, part("A", 901, 1))
    assert not same_piece(one, part("A", 900, 1, section=FLAT))
    assert not same_piece(one, replace(one, ends=ends, length=length))


@pytest.mark.parametrize(
    ("state", "words"),
    [
        (BarState.LOST, "has no steel: D1 wasn't found"),
        (BarState.SCRAP, "has no steel: D1 was scrapped"),
        (BarState.CANCELLED, "has no steel: D1 won't come"),
        (BarState.CUT, "has no steel: D1 was cut up"),
    ],
)
def test_a_stick_without_its_steel_is_flagged(state: BarState, words: str) -> None:
    whole = book(stalls(parts=(part("POST", 2900, 2),)))
    (bar,) = whole.bars
    (flag,) = flags_of(replace(whole, bars=(replace(bar, state=state),)))
    assert words in flag.words


def test_square_cuts_by_hand() -> None:
    whole = book(stalls(stick("MILL", 6000, trims=(5, 3)), parts=(part("A", 2000, 1), part("B", 1000, 1))))
    (slot,), (bar,) = whole.slots, whole.bars
    first = saw(slot, bar, Fraction(5, 2), 1)
    assert (first.parts, first.trim, first.kerf, first.used, first.reached) == (
        (2000,),
        5,
        Fraction(5, 2),
        Fraction(4015, 2),
        2000,
    )
    begun = replace(slot, sawn=1, used=first.used, reached=first.reached)
    assert rest_of(begun, bar, Fraction(5, 2)).length == 6000 - Fraction(4015, 2)
    assert measured_whole(begun, Fraction(5, 2), Fraction(100)) == Fraction(4215, 2)
    assert shortage(slot, bar, Fraction(5, 2)) == 5 + 2000 + Fraction(5, 2) + 1000 + 3 - 6000
    assert shortage(slot, replace(bar, usable=Fraction(3000)), Fraction(5, 2)) == Fraction(21, 2)
    assert shortage(slot, replace(bar, usable=Fraction(3000)), Fraction(5, 2), counted=False) < 0


@pytest.mark.parametrize("degrees", [15, 30, 45, 52])
def test_a_plan_that_fits_is_never_short_and_leaves_the_drop_it_says(degrees: int) -> None:
    length, ends = mitre(640, degrees)
    parts = (replace(part("BRACE", 640, 7), ends=ends, length=length), part("POST", 700, 3))
    whole = book(stalls(stick("MILL", 3000, trims=(5, 4)), parts=parts))
    for slot in whole.slots:
        bar = whole.bar(slot.bar)
        assert shortage(slot, bar, slot.kerf) <= 0
        tight = 3000 + shortage(slot, bar, slot.kerf)
        assert shortage(slot, replace(bar, length=tight), slot.kerf) == 0
        count = len(slot.cut.pieces)
        done = saw(slot, bar, slot.kerf, count)
        ended = replace(slot, sawn=count, used=done.used, reached=done.reached)
        rest = rest_of(ended, bar, slot.kerf)
        if slot.cut.drop:
            assert rest.length == slot.cut.drop + 4
        assert done.trim + done.kerf + sum(done.parts) + rest.wedge + rest.length == 3000
        assert done.kerf > 0
        assert rest.wedge >= 0


def test_revisions_and_label_numbers() -> None:
    assert [revision_mark(number) for number in (1, 2, 26, 27, 28, 52, 53, 702, 703)] == [
        *("A", "B", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA")
    ]
    assert [parse_bar_name(bar_name(number)) for number in (1, 17, 999)] == [1, 17, 999]
    assert [parse_bar_name(text) for text in ("D0", "D-1", "17", "D1a", "", "D1 2")] == [None] * 6


def test_lines_that_miss_zero_are_found_by_section() -> None:
    lines = [
        Line(section=TUBE.key, account=Account.BOUGHT, amount=Fraction(-5)),
        Line(section=TUBE.key, account=Account.STOCK, amount=Fraction(14, 3)),
        Line(section=FLAT.key, account=Account.BOUGHT, amount=Fraction(-1)),
        Line(section=FLAT.key, account=Account.STOCK, amount=Fraction(1)),
    ]
    assert unbalanced(lines) == {TUBE.key: Fraction(-1, 3)}


def test_lengths_of_a_shop_whose_unit_is_not_known() -> None:
    assert [said(Fraction(990)), said(Fraction(127, 2)), said(Fraction(1, 3))] == [
        "990 mm",
        "63.5 mm (2 1/2 in)",
        "≈0.3 mm",
    ]
