"""Angled ends on sticks that a yard cuts: the plan, the checker against planted faults, and rows between marks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest

from cutting.answer.plan import Cut, Plan, Status
from cutting.buying.model import model_market
from cutting.checking.check import check
from cutting.fit.angled.order import RowOrders
from cutting.fit.marked.rows import split_rows
from cutting.fit.marked.windows import Windows
from cutting.question.job import Ends, Job, Lean, Measure, Part, PerStick, Saw, Section, Source, Stick, Substitute
from cutting.question.lengths import Unit
from cutting.question.yards import Carry, Yard, YardCuts
from cutting.solve import solve
from tests.builders import PATIENCE

ZERO = Fraction(0)
LIGHT = Section(name="SHS 40x40x2", family="shs", sides=(Fraction(40), Fraction(40)), mass=Fraction(2))
HEAVY = replace(LIGHT, name="SHS 40x40x4", mass=Fraction(4))
MITRED = Ends(angles=(Fraction(45), Fraction(45)), lean=Lean.OPPOSED, measure=Measure.LONG_POINT)


def stick(name: str, section: Section, length: int, price: str) -> Stick:
    return Stick(
        id=name,
        section=section,
        length=Fraction(length),
        source=Source.STICKS,
        price=PerStick(amount=Decimal(price)),
        available=None,
        trims=(Fraction(5), ZERO),
        yard="X",
    )


@cache
def job() -> Job:
    """Make a job of mitred frames cut from sticks too long for the van: 2 m in one piece is the most."""
    return Job(
        parts=(
            Part(mark="P", section=LIGHT, length=Fraction(600), quantity=9, ends=MITRED),
            Part(mark="Q", section=LIGHT, length=Fraction(450), quantity=2),
            Part(
                mark="R",
                section=HEAVY,
                length=Fraction(500),
                quantity=1,
                ends=MITRED,
                substitutes=(Substitute(section=LIGHT, remark="ask"),),
            ),
        ),
        sticks=(stick("L6", LIGHT, 6000, "30"), stick("H6", HEAVY, 6000, "90")),
        saw=Saw(kerf=Fraction(3)),
        unit=Unit.MM,
        currency="EUR",
        yards=(Yard(name="X", cuts=YardCuts(charge=Decimal("1.50"), allowance=Fraction(12))),),
        carry=Carry(longest=Fraction(2050)),
    )


@cache
def plan() -> Plan:
    result = solve(job(), cores=1, limit=PATIENCE)
    assert result.status is Status.OPTIMAL
    assert result.plan is not None
    return result.plan


def test_two_cut_sticks_hold_the_frames_and_what_may_be_substituted() -> None:
    # 12 pieces of 6,400 mm along their middles (600 - 40, 450 and 500 - 40): more than one stick; the heavy one is 90.
    assert [(line.stick, line.quantity) for line in plan().buy] == [("L6", 2)]
    assert check(job(), plan()) == ()
    assert [change.mark for change in plan().changes] == ["R"]
    assert any(stroke.shared for cut in plan().cuts for stroke in cut.strokes)


def test_no_part_and_no_shared_cut_lies_across_a_mark() -> None:
    for cut in plan().cuts:
        at = 0
        for begin, piece in zip((ZERO, *(mark - Fraction(5) for mark in cut.marks)), cut.carried, strict=True):
            assert all(each.start >= begin for each in cut.pieces[at : at + piece.parts])
            first = [stroke for stroke in cut.strokes if stroke.begins == at + 1]
            assert all(stroke.ends is None for stroke in first)
            at += piece.parts


def _cut_up() -> int:
    return next(at for at, cut in enumerate(plan().cuts) if cut.marks and cut.strokes)


def _with(change: Callable[[Cut], Cut]) -> Plan:
    cuts = list(plan().cuts)
    cuts[_cut_up()] = change(cuts[_cut_up()])
    return replace(plan(), cuts=tuple(cuts))


def _moved_stroke(cut: Cut) -> Cut:
    first, *rest = cut.strokes
    return replace(cut, strokes=(replace(first, at=first.at + 1), *rest))


def _lost_stroke(cut: Cut) -> Cut:
    return replace(cut, strokes=cut.strokes[:-1])


def _swapped_strokes(cut: Cut) -> Cut:
    first, second, *rest = cut.strokes
    return replace(cut, strokes=(second, first, *rest))


def _moved_mark(cut: Cut) -> Cut:
    return replace(cut, marks=(cut.marks[0] + 1, *cut.marks[1:]))


def _longer_drop(cut: Cut) -> Cut:
    return replace(cut, carried=tuple(replace(piece, drop=piece.drop + 1) for piece in cut.carried))


def _nearer(cut: Cut) -> Cut:
    """Move all of the second carried piece's parts towards the mark."""
    first = cut.carried[0].parts
    pieces = tuple(
        replace(piece, start=piece.start - 1, end=piece.end - 1)
        if first <= at < first + cut.carried[1].parts
        else piece
        for at, piece in enumerate(cut.pieces)
    )
    return replace(cut, pieces=pieces)


def _over_the_mark(cut: Cut) -> Cut:
    """Say that one part more lies in front of the first mark."""
    one, two, *rest = cut.carried
    return replace(cut, carried=(replace(one, parts=one.parts + 1), replace(two, parts=two.parts - 1), *rest))


FAULTS = [_moved_stroke, _lost_stroke, _swapped_strokes, _moved_mark, _longer_drop, _nearer, _over_the_mark]


@pytest.mark.parametrize("fault", FAULTS)
def test_a_planted_fault_is_noticed(fault: Callable[[Cut], Cut]) -> None:
    assert check(job(), _with(fault)) != ()


def test_a_substitute_lies_by_the_symmetry_of_its_own_section() -> None:
    """A part drawn in square tube and cut from an angle of that size may not be rolled like the tube."""
    angle = replace(LIGHT, name="L 40x40x4", family="angle")
    part = Part(
        mark="R",
        section=LIGHT,
        length=Fraction(500),
        quantity=2,
        ends=MITRED,
        substitutes=(Substitute(section=angle, remark="ask"),),
    )
    small = replace(job(), parts=(part,), sticks=(stick("A", angle, 2000, "20"),))
    found = solve(small, cores=1, limit=PATIENCE).plan
    assert found is not None
    assert check(small, found) == ()
    (cut,) = found.cuts
    rolled = tuple(
        replace(piece, lie=None if piece.lie is None else replace(piece.lie, roll=(piece.lie.roll + 2) % 4))
        for piece in cut.pieces
    )
    faults = check(small, replace(found, cuts=(replace(cut, pieces=rolled),)))
    assert any("may not lie so" in fault for fault in faults)


def test_rows_are_split_so_that_each_fits_between_its_marks() -> None:
    market = model_market(job())
    room = market.rooms[0]
    assert room.instance.rows is not None
    orders = RowOrders(room.instance.rows)
    frame = next(size for size, parts in enumerate(room.parts) if parts[0].mark == "P")
    three = tuple(3 * (size == frame) for size in range(len(room.parts)))
    one, two = (orders.span(tuple(n * (size == frame) for size in range(len(room.parts)))) for n in (1, 2))
    assert split_rows(orders, three, Windows(caps=(two, two), totals=(one + two,) * 2)) is not None
    assert split_rows(orders, three, Windows(caps=(two, two), totals=(one + two - 1,) * 2)) is None
    assert split_rows(orders, three, Windows(caps=(two - 1, two - 1), totals=(2 * two,) * 2)) is None
