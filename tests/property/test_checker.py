"""Property tests of the checker: plans laid out by hand pass, and any single change to one is caught."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from cutting.answer.plan import Plan
from cutting.checking.check import check
from cutting.question.job import Job
from tests.builders import cut, inch, job, part, plan, stick, swap

STEP = inch("1/64")


@st.composite
def planned(draw: st.DrawFn) -> tuple[Job, Plan]:
    """Make a job and a plan for it: part after part on the first stick that still has room."""
    lengths = draw(st.lists(st.integers(640, 5000), min_size=1, max_size=5, unique=True))
    parts = [
        replace(part(f"P{n}", 1, draw(st.integers(1, 4))), length=STEP * length) for n, length in enumerate(lengths)
    ]
    kerf = draw(st.sampled_from(["0", "3/32", "1/8"]))
    bars = [
        stick("S1", 120, "10.00", trims=(draw(st.sampled_from(["0", "1/4"])), draw(st.sampled_from(["0", "1/8"])))),
        stick("S2", draw(st.integers(80, 240)), "12.34", 99),
    ]
    question = job(parts, bars, kerf=kerf, hold=draw(st.sampled_from([None, "12", "60"])))
    rows: list[tuple[str, list[str]]] = []
    for each in parts:
        for _ in range(each.quantity):
            place = next((row for row in rows if _fits(question, row[0], [*row[1], each.mark])), None)
            if place is None:
                place = (draw(st.sampled_from(["S1", "S2"])), [])
                rows.append(place)
            place[1].append(each.mark)
    cuts = [_held(question, cut(question, name, marks)) for name, marks in rows]
    return question, plan(question, cuts, {"S1": "10.00", "S2": "12.34"})


def _fits(question: Job, name: str, marks: list[str]) -> bool:
    bar = next(each for each in question.sticks if each.id == name)
    steel = sum((each.length * marks.count(each.mark) for each in question.parts), Fraction(0))
    return steel + (len(marks) - 1) * question.saw.kerf <= bar.clear


def _held(question: Job, layout: object) -> object:
    """Number the cuts with too little on both sides, from the ends as they lie."""
    hold, kerf = question.saw.hold, question.saw.kerf
    if hold is None:
        return layout
    bar = next(each for each in question.sticks if each.id == layout.stick)  # type: ignore[attr-defined]
    whole = bar.clear + bar.trims[1]
    short = tuple(
        number
        for number, piece in enumerate(layout.pieces, start=1)  # type: ignore[attr-defined]
        if piece.end < whole and piece.length < hold and whole - piece.end - kerf < hold
    )
    return replace(layout, unheld=short)  # type: ignore[type-var]


@settings(max_examples=80, deadline=None)
@given(planned())
def test_a_plan_laid_out_by_hand_passes(case: tuple[Job, Plan]) -> None:
    question, answer = case
    assert check(question, answer) == ()


def _pieces(answer: Plan, change: Callable[[list[object]], list[object]]) -> Plan:
    return swap(answer, 0, pieces=tuple(change(list(answer.cuts[0].pieces))))


CHANGES: dict[str, Callable[[Plan], Plan]] = {
    "a part fewer": lambda p: _pieces(p, lambda pieces: pieces[:-1]),
    "a part twice": lambda p: _pieces(p, lambda pieces: [*pieces, pieces[-1]]),
    "a part longer": lambda p: _pieces(p, lambda x: [replace(x[0], length=x[0].length + STEP), *x[1:]]),  # type: ignore[attr-defined,type-var]
    "a running dimension off": lambda p: _pieces(p, lambda x: [*x[:-1], replace(x[-1], end=x[-1].end + STEP)]),  # type: ignore[attr-defined,type-var]
    "everything shifted": lambda p: _pieces(
        p, lambda x: [replace(y, start=y.start + STEP, end=y.end + STEP) for y in x]
    ),  # type: ignore[attr-defined,type-var]
    "another mark": lambda p: _pieces(p, lambda x: [replace(x[0], mark="Z"), *x[1:]]),  # type: ignore[type-var]
    "a stick more": lambda p: swap(p, 0, quantity=p.cuts[0].quantity + 1),
    "a layout fewer": lambda p: replace(p, cuts=p.cuts[1:]),
    "a layout twice": lambda p: replace(p, cuts=(*p.cuts, p.cuts[0])),
    "a drop too long": lambda p: swap(p, 0, drop=p.cuts[0].drop + STEP),
    "a skim cut": lambda p: swap(p, 0, skim=not p.cuts[0].skim),
    "a short end": lambda p: swap(p, 0, unheld=(*p.cuts[0].unheld, 99)),
    "another length of stick": lambda p: swap(p, 0, length=p.cuts[0].length + STEP),
    "another stick": lambda p: swap(p, 0, stick="S1" if p.cuts[0].stick == "S2" else "S2"),
    "a cent more": lambda p: replace(p, cost=p.cost + Fraction(1, 100)),
    "a price": lambda p: replace(p, buy=(replace(p.buy[0], price=Decimal("9.99")), *p.buy[1:])),
    "a line's sum": lambda p: replace(p, buy=(replace(p.buy[0], cost=Decimal("0.01")), *p.buy[1:])),
    "a line fewer": lambda p: replace(p, buy=p.buy[1:]),
    "one more bought": lambda p: replace(p, buy=(replace(p.buy[0], quantity=p.buy[0].quantity + 1), *p.buy[1:])),
}


@settings(max_examples=250, deadline=None)
@given(planned(), st.sampled_from(sorted(CHANGES)))
def test_any_single_change_is_caught(case: tuple[Job, Plan], name: str) -> None:
    question, answer = case
    assert check(question, CHANGES[name](answer)) != (), name
