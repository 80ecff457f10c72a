"""Plans that are hard to put on paper, each a job and a plan that passes the checker."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache

from cutting.answer.plan import Plan
from cutting.checking.check import check
from cutting.question.job import Ends, Job, Lean, Measure, Part, Section, Source
from cutting.question.lengths import Unit
from cutting.question.yards import Yard
from cutting.solve import solve
from shared.sections import understand
from shared.view.issue import Paper
from tests.builders import PATIENCE, cut, job, part, plan, stick

SHS = Section(
    name="SHS 2x2x1/8",
    mass=Fraction("4.539"),
    surface=Fraction("0.192"),
    family="shs",
    sides=(Fraction("50.8"), Fraction("50.8")),
)
FLAT = Section(name="flat bar, galvanised by the yard", material="galvanised")

Scene = tuple[Job, Plan]


def plan_of(question: Job, cuts: Sequence[tuple[str, Sequence[str], int]], prices: dict[str, str]) -> Plan:
    """Lay marks on sticks by hand: of which line, which marks, how many alike."""
    answer = plan(question, [cut(question, line, marks, times) for line, marks, times in cuts], prices)
    assert check(question, answer) == ()
    return answer


def _scene(question: Job, cuts: Sequence[tuple[str, Sequence[str], int]], prices: dict[str, str]) -> Scene:
    return question, plan_of(question, cuts, prices)


def one_part() -> Scene:
    """One part as long as its stick: nothing is trimmed, cut or left."""
    question = job([part("P", 240, 1, SHS)], [stick("S", 240, "60", section=SHS, trims=(0, 0))])
    return _scene(question, [("S", ["P"], 1)], {"S": "60"})


def speck() -> Scene:
    """A 5 mm part on a 12 m stick."""
    question = job([part("S1", "5 mm", 1, SHS)], [stick("S", "12 m", "60", section=SHS)], kerf="3 mm", unit=Unit.MM)
    return _scene(question, [("S", ["S1"], 1)], {"S": "60"})


def specks() -> Scene:
    """A long part and a dozen of 5 mm behind it."""
    question = job(
        [part("long", "11 m", 1, SHS), part("S1", "5 mm", 12, SHS)],
        [stick("S", "12 m", "60", section=SHS)],
        kerf="3 mm",
        unit=Unit.MM,
    )
    return _scene(question, [("S", ["long", *["S1"] * 12], 1)], {"S": "60"})


MARKS = (
    "Querträger links Stall-Rahmen 1",
    "Traverse supérieure côté façade",
    "Διαδοκίδα άνω αριστερά πλαισίου",
    "Стойка передняя левая, каркас 1",
    "#set page(fill: red) $x$ *b* _i_",
    "<b>&amp; \"quoted\" 'single' \\ `",
    "=SUM(A1:A9)",
    "横梁上",
    "שלב עליון",
    "W" * 30,
)


def marks() -> Scene:
    """Marks of 30 characters in many scripts, some in letters that no font here has, some that look like code."""
    parts = [part(mark, 20 + number, 2, SHS, f"note of {mark}") for number, mark in enumerate(MARKS)]
    question = replace(
        job(parts, [stick("S-1", 240, "60", section=SHS, trims=("1/4", "1/4"))], kerf="3/32"),
        title="Ständer & Стойки, «Ελλάς» #1",
        keep_from=Fraction(200),
        tolerance=(Fraction(1), Fraction(1)),
    )
    first, second = MARKS[:5], MARKS[5:]
    return _scene(question, [("S-1", first, 2), ("S-1", second, 2)], {"S-1": "60"})


def mixed() -> Scene:
    """Inch parts beside metric ones, on a metric saw."""
    question = replace(
        job(
            [replace(part("A1", "23 7/16", 6, SHS), assembly="frame"), part("B2", "415.5 mm", 9, SHS, "drill 11 mm")],
            [
                stick("S", "6 m", "51.20", section=SHS, trims=("10 mm", "10 mm")),
                stick("R", "63 1/4", "6", 1, source=Source.RACK, section=SHS),
            ],
            kerf="2.4 mm",
            unit=Unit.MM,
        ),
        title="Inch parts on a metric saw",
        keep_from=Fraction(300),
    )
    rows = [("S", ["A1"] * 3 + ["B2"] * 3, 2), ("R", ["B2"] * 3, 1)]
    return _scene(question, rows, {"S": "51.20", "R": "6"})


def watched() -> Scene:
    """Everything that has to be watched: a skim cut, cuts the saw can't hold, a stick that may come short."""
    question = replace(
        job(
            [part("A", 80, 2, SHS), part("B", "2 1/2", 4, SHS), part("C", "117 1/16", 2, FLAT)],
            [
                stick("T", 88, "40", section=SHS, usable="87 1/2", trims=("1/4", 0)),
                stick("F", 120, "20", section=FLAT, trims=("1/4", 0)),
                stick("O", "117 1/8", None, 1, source=Source.OWN, section=FLAT, trims=(0, 0)),
            ],
            hold="3",
        ),
        title="Watch out",
        tolerance=(Fraction("0.5"), Fraction(0)),
    )
    answer = plan(
        question,
        [
            cut(question, "T", ["A", "B", "B"], 2, unheld=(3,)),
            cut(question, "F", ["C"]),
            cut(question, "O", ["C"]),
        ],
        {"T": "40", "F": "20", "O": "0"},
    )
    assert check(question, answer) == ()
    return question, answer


def crowded() -> Scene:
    """A stick of 230 parts: its drawing goes on in several strips, its table overleaf."""
    question = job(
        [part("L1", "1 1/2", 230, SHS)], [stick("S", 480, "90", section=SHS)], kerf="3/32", hold=None, unit=Unit.IN
    )
    return _scene(question, [("S", ["L1"] * 230, 1)], {"S": "90"})


def many(sticks: int) -> Scene:
    """So many sticks, each with a layout of its own."""
    lengths = [Fraction(300 + 7 * number) for number in range(sticks)]
    parts = [part(f"P{number}", f"{length} mm", 7, SHS, "weld prep") for number, length in enumerate(lengths, start=1)]
    question = job(
        parts, [stick("S", f"{7 * 2600 + 700} mm", "60", section=SHS)], kerf="2 mm", unit=Unit.MM, currency="EUR"
    )
    rows = [("S", [f"P{number}"] * 7, 1) for number in range(1, sticks + 1)]
    return _scene(question, rows, {"S": "60"})


def _mitred(mark: str, length: str, quantity: int, section: Section, angles: tuple[str, str], **ends: object) -> Part:
    fields = {"lean": Lean.OPPOSED, "measure": Measure.LONG_POINT, **ends}
    first, second = (Fraction(angle) for angle in angles)
    return replace(part(mark, length, quantity, section), ends=Ends(angles=(first, second), **fields))


def long_names() -> Scene:
    """Names as long as a job file lets them be, without a space to break them at."""
    section = replace(SHS, name="S" * 100, material="M" * 60)
    parts = [
        replace(part("P" * 100, 20, 3, section, "N" * 300), assembly="A" * 100),
        replace(part("Q" * 99, 30, 3, section, "note " * 60), assembly="B " * 50),
    ]
    question = replace(job(parts, [stick("I" * 100, 240, "60", section=section)], kerf="3/32"), title="T" * 200)
    return _scene(question, [("I" * 100, ["P" * 100, "Q" * 99], 3)], {"I" * 100: "60"})


@cache
def mitred() -> Scene:
    """Frames with mitred corners, ends in both planes, parallel ends, and a few square parts among them."""
    square, flat_side = understand("SHS 40x40x3"), understand("RHS 60x40x3")
    parts = [
        _mitred("M1", "500 mm", 6, square, ("45", "45")),
        _mitred("M2", "700 mm", 2, square, ("45", "0")),
        part("Q", "300 mm", 2, square),
        _mitred("N1", "650 mm", 2, flat_side, ("30", "45"), measure=Measure.CENTRE_LINE, planes=(0, 1)),
        _mitred("N2", "450 mm", 3, flat_side, ("22.5", "22.5"), lean=Lean.PARALLEL, planes=(1, 1)),
        _mitred("N3", "600 mm", 2, flat_side, ("45", "45"), measure=Measure.SHORT_POINT),
    ]
    sticks = [
        stick("S6", "6000 mm", "30", section=square, trims=("10 mm", 0)),
        stick("R6", "6000 mm", "40", section=flat_side, trims=("10 mm", 0)),
    ]
    question = replace(job(parts, sticks, kerf="2.5 mm", unit=Unit.MM, currency="EUR"), title="Mitred frames")
    found = solve(question, limit=PATIENCE).plan
    assert found is not None
    assert check(question, found) == ()
    return question, found


@cache
def whole() -> Scene:
    """Ten posts on ten sticks, and an eleventh that stays whole since it makes delivery free."""
    question = job([part("POST", "14 ft", 10, SHS)], [stick("S20", "20 ft", "61.40", section=SHS)], kerf="3/32")
    yard = Yard(name="Harbour yard", delivery=Decimal(95), delivery_free_from=Decimal(650), collecting=None)
    sold = tuple(replace(each, yard=yard.name) for each in question.sticks)
    question = replace(question, title="Posts", yards=(yard,), sticks=sold)
    found = solve(question, limit=PATIENCE).plan
    assert found is not None
    assert found.idle
    return question, found


ALL = {
    "one_part": one_part,
    "speck": speck,
    "specks": specks,
    "marks": marks,
    "mixed": mixed,
    "watched": watched,
    "crowded": crowded,
    "many": lambda: many(40),
    "mitred": mitred,
    "long_names": long_names,
    "whole": whole,
}

ON_PAPER = [*((name, Paper.LETTER) for name in ALL), *((name, Paper.A4) for name in ("marks", "mixed", "mitred"))]
"""Every scene on letter, and those that differ most on A4."""
