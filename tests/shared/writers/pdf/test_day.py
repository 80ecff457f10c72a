"""A day at the saw, kept in a store and printed after every event: paper and books say the same."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from shared.store import ShopStore
from shared.view.issue import Issue, Paper
from shared.view.labels.sizes import LABEL_SHEETS
from shared.view.labels.work import work_labels
from shared.view.sheet.model import Box, CutSheet, LayoutSheet
from shared.view.work.sheet import work_cut_sheet
from shared.view.work.trace_list import trace_list
from shared.work.rack.bars import Received
from shared.work.replan.anew import replan
from shared.work.saw.trace import TraceState, trace_rows
from shared.work.saw.work import SlotState, WorkBook
from tests.builders import PATIENCE
from tests.shared.store.scene import WHO, begun, mitre, open_slots, opened, part, stalls, stick

ISSUE = Issue(date=date(2026, 11, 26), paper=Paper.A4)


@dataclass
class Printed:
    """Every layout that was ever printed, by its number."""

    rows: dict[str, tuple[object, ...]] = field(default_factory=dict)

    def add(self, view: CutSheet) -> None:
        """A number on paper never means something new: parts and running dimensions are those of its first print."""
        for layout in layouts(view):
            said = (layout.rows, layout.strokes)
            assert self.rows.setdefault(layout.title, said) == said


def layouts(view: CutSheet) -> list[LayoutSheet]:
    return [layout for section in view.sections for layout in section.layouts]


def boxes(view: CutSheet) -> Iterator[Box]:
    for layout in layouts(view):
        yield from layout.sticks


def agreed(book: WorkBook, printed: Printed) -> CutSheet:
    """Print everything, and compare it with the book."""
    view = work_cut_sheet(book, ISSUE)
    assert (view.block.revision, view.block.large) == (book.work.mark, True)
    held = {f"{slot.number}.{slot.copy}": slot for slot in book.slots if slot.state is not SlotState.VOID}
    assert {box.label: box.bar.split(",")[0] for box in boxes(view)} == {
        name: f"D{slot.bar}" for name, slot in held.items()
    }
    assert {box.label for box in boxes(view) if box.state == "sawn"} == {
        name for name, slot in held.items() if slot.state is SlotState.SAWN
    }
    printed.add(view)
    printed.add(work_cut_sheet(book, ISSUE, changed_only=True))
    good = [row for row in trace_rows(book) if row.state is TraceState.GOOD]
    assert len(good) == sum(book.good().values())
    assert trace_list(book, ISSUE).lead.startswith(f"Sawn: {len(good)} of ")
    for label in work_labels(book, ISSUE, LABEL_SHEETS["a4-70x37"]).labels:
        assert f"plan {view.block.plan} revision {book.work.mark}" in " ".join(label.lines)
    return view


def accepted(shop: ShopStore, work: str) -> WorkBook:
    found = replan(shop.work(work), shop.bars(), limit=PATIENCE, cores=1)
    shop.accept(work, found, found.version, WHO)
    return shop.work(work)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[ShopStore]:
    with opened(tmp_path / "store.sqlite3") as found:
        yield found


def lines(view: CutSheet) -> tuple[str, ...]:
    assert view.revision is not None
    return view.revision.lines


@pytest.mark.parametrize("angled", [False, True])
def test_a_day(shop: ShopStore, angled: bool) -> None:
    length, ends = mitre(900) if angled else (Fraction(900), None)
    rail = part("RAIL", int(length), 9, ends=ends)
    work = begun(shop, stalls(stick("MILL", 6000), parts=(part("LEG", 2100, 8), rail)))
    printed = Printed()
    first = agreed(shop.work(work), printed)
    assert lines(first) == ()
    assert {box.bar.endswith("not come yet") for box in boxes(first)} == {True}

    bars = sorted({slot.bar for slot in shop.work(work).slots})
    shop.receive(work, [Received(bar=bar, heat=f"H{bar}") for bar in bars], WHO)
    came = agreed(shop.work(work), printed)
    assert {box.bar for box in boxes(came)} == {f"D{bar}, heat H{bar}" for bar in bars}

    sawn = open_slots(shop.work(work))[0]
    shop.tick(work, sawn.id, WHO)
    agreed(shop.work(work), printed)
    row = next(row for row in trace_rows(shop.work(work)) if row.state is TraceState.GOOD)
    assert (row.bar, row.heat) == (sawn.bar, f"H{sawn.bar}")

    spoilt = open_slots(shop.work(work))[0]
    shop.spoilt(work, spoilt.id, 2, WHO)
    stopped = agreed(shop.work(work), printed)
    name = f"{spoilt.number}.{spoilt.copy}"
    assert [(box.state, box.said) for box in boxes(stopped) if box.label == name] == [
        ("stopped", "given up after part 2, part 2 spoilt")
    ]

    before = {slot.number for slot in shop.work(work).slots}
    book = accepted(shop, work)
    view = agreed(book, printed)
    new = {slot.number for slot in book.slots if slot.revision == 2}
    assert new
    assert min(new) > max(before)
    assert view.revision is not None
    assert view.revision.words.endswith(", replaces A")
    only = work_cut_sheet(book, ISSUE, changed_only=True)
    assert {layout.title for layout in layouts(only)} == {f"Layout {number}" for number in new}
    assert f"Saw no more from stick {name}: it was given up after part 2." in lines(only)

    shop.blade(work, Fraction(3), WHO)
    worn = agreed(shop.work(work), printed)
    assert any(layout.hold for layout in layouts(worn))
    book = accepted(shop, work)
    fresh = agreed(book, printed)
    assert fresh.block.revision == "C"
    assert not any(layout.hold for layout in layouts(fresh))
    assert fresh.block.plan == first.block.plan

    for slot in open_slots(book):
        shop.tick(work, slot.id, WHO)
    done = agreed(shop.work(work), printed)
    assert done.lead.startswith("Nothing is left to saw.")
    assert shop.work(work).good() == {"LEG": 8, "RAIL": 9}
    from_drops = [row for row in trace_rows(shop.work(work)) if row.ancestors]
    assert all(row.heat for row in from_drops)


def test_thrown_away_layouts_are_those_that_the_replan_voided(shop: ShopStore) -> None:
    parts = tuple(part(f"P{number}", length, 1) for number, length in enumerate((3000, 2900, 1500, 1400), start=1))
    work = begun(shop, stalls(stick("MILL", 6000), parts=parts))
    slot = open_slots(shop.work(work))[0]
    shop.receive(work, [Received(bar=each.bar) for each in shop.work(work).slots], WHO)
    shop.short(work, slot.id, Fraction(2500), WHO)
    flagged = work_cut_sheet(shop.work(work), ISSUE)
    assert any(layout.hold for layout in layouts(flagged))
    book = accepted(shop, work)
    void = sorted({each.number for each in book.slots if each.state is SlotState.VOID})
    assert slot.number in void
    told = lines(work_cut_sheet(book, ISSUE, changed_only=True))
    plural = "" if len(void) == 1 else "s"
    assert any(line.startswith(f"Throw away: layout{plural} {void[0]}") for line in told)
