"""The checker's own geometry: right plans pass, and every fault planted in one is caught."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.answer.plan import Cut, Plan
from cutting.checking.check import check
from cutting.checking.poses import cosine, sine, tangent
from cutting.question.job import Ends, Job, Lean, Measure, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.solve import solve
from tests.builders import PATIENCE

TUBE = Section(name="SHS 50x50x3", family="shs", sides=(Fraction(50), Fraction(50)))
FLAT_TUBE = Section(name="RHS 60x40x3", family="rhs", sides=(Fraction(60), Fraction(40)))
THIN = Section(name="L 40x40x4", family="angle", sides=(Fraction(40), Fraction(40)), walls=(Fraction(4), Fraction(4)))
TEE = Section(name="TEE 40x40x5", family="tee", sides=(Fraction(40), Fraction(40)), walls=(Fraction(5), Fraction(5)))
ANGLE = Section(name="L 50x50x5", family="angle", sides=(Fraction(50), Fraction(50)))
UNEQUAL = Section(name="L 60x40x5", family="angle", sides=(Fraction(60), Fraction(40)))
CHANNEL = Section(name="C 80x40", family="channel", sides=(Fraction(80), Fraction(40)))
PIPE = Section(name="pipe 48", family="chs", sides=(Fraction(48), Fraction(48)))


def job_of(
    section: Section, *, angles: tuple[int, int] = (45, 45), quantity: int = 4, saw: Saw | None = None, **more
) -> Job:
    ends = Ends(
        angles=(Fraction(angles[0]), Fraction(angles[1])),
        **({"lean": Lean.OPPOSED, "measure": Measure.LONG_POINT} | more),
    )
    return Job(
        parts=(
            Part(mark="A", section=section, length=Fraction(500), quantity=quantity, ends=ends),
            Part(mark="B", section=section, length=Fraction(700), quantity=1),
        ),
        sticks=(
            Stick(
                id="S1",
                section=section,
                length=Fraction(3000),
                source=Source.STICKS,
                price=PerStick(amount=Decimal(30)),
                available=None,
                trims=(Fraction(10), Fraction(0)),
            ),
        ),
        saw=saw or Saw(kerf=Fraction(5, 2), hold=Fraction(100)),
        unit=Unit.MM,
        currency="EUR",
    )


def plan_of(job: Job) -> Plan:
    plan = solve(job, cores=1, limit=PATIENCE).plan
    assert plan is not None
    assert check(job, plan) == ()
    return plan


def with_cut(plan: Plan, **changes: object) -> Plan:
    return replace(plan, cuts=(replace(plan.cuts[0], **changes), *plan.cuts[1:]))  # type: ignore[arg-type]


def with_piece(plan: Plan, number: int, **changes: object) -> Plan:
    pieces = list(plan.cuts[0].pieces)
    pieces[number] = replace(pieces[number], **changes)  # type: ignore[arg-type]
    return with_cut(plan, pieces=tuple(pieces))


def with_lie(plan: Plan, number: int, **changes: object) -> Plan:
    lie = plan.cuts[0].pieces[number].lie
    assert lie is not None
    return with_piece(plan, number, lie=replace(lie, **changes))  # type: ignore[arg-type]


def with_stroke(plan: Plan, number: int, **changes: object) -> Plan:
    strokes = list(plan.cuts[0].strokes)
    strokes[number] = replace(strokes[number], **changes)  # type: ignore[arg-type]
    return with_cut(plan, strokes=tuple(strokes))


def shifted(cut: Cut, first: int, by: Fraction) -> Cut:
    """Move the pieces from number `first` on."""
    pieces = [
        piece if number < first else replace(piece, start=piece.start + by, end=piece.end + by)
        for number, piece in enumerate(cut.pieces)
    ]
    return replace(cut, pieces=tuple(pieces), drop=cut.drop - by)


def angled(plan: Plan) -> list[int]:
    return [number for number, piece in enumerate(plan.cuts[0].pieces) if piece.lie is not None]


@pytest.mark.parametrize(
    "degrees", [Fraction(0), Fraction(15), Fraction(45, 2), Fraction(30), Fraction(45), Fraction(60)]
)
def test_own_trigonometry(degrees: Fraction) -> None:
    # Pythagoras, and the half-angle formula tan(x/2) = (1 - cos x) / sin x
    assert abs(sine(degrees) ** 2 + cosine(degrees) ** 2 - 1) < Decimal("1e-26")
    if degrees:
        assert abs(tangent(degrees / 2) - (1 - cosine(degrees)) / sine(degrees)) < Decimal("1e-26")


def test_own_trigonometry_has_the_known_values() -> None:
    assert abs(sine(Fraction(30)) - Decimal("0.5")) < Decimal("1e-26")
    assert abs(cosine(Fraction(60)) - Decimal("0.5")) < Decimal("1e-26")
    assert abs(tangent(Fraction(45)) - 1) < Decimal("1e-26")


@pytest.mark.parametrize("section", [TUBE, FLAT_TUBE, ANGLE, UNEQUAL, CHANNEL, PIPE])
@pytest.mark.parametrize("measure", list(Measure))
@pytest.mark.parametrize("angles", [(45, 45), (30, 0), (60, 15)])
def test_right_plans_pass(section: Section, measure: Measure, angles: tuple[int, int]) -> None:
    plan_of(job_of(section, angles=angles, measure=measure))


def test_a_shared_cut_that_is_not_parallel() -> None:
    """Every A lies alike: what was face to face now leans against its neighbour, kerf and all."""
    job = job_of(TUBE)
    plan = plan_of(job)
    first, second = angled(plan)[:2]
    lie = plan.cuts[0].pieces[first].lie
    faults = check(job, with_piece(plan, second, lie=lie))
    assert any("too close" in fault for fault in faults)


def test_an_angle_rolled_where_it_may_not_be() -> None:
    job = job_of(ANGLE, planes=(0, 0))
    plan = plan_of(job)
    number = angled(plan)[0]
    faults = check(job, with_lie(plan, number, roll=1))
    assert any("may not lie so" in fault for fault in faults)
    assert any("may not lie so" in fault for fault in check(job, with_lie(plan, number, turned=True, roll=0)))


def test_an_unequal_angle_turned() -> None:
    job = job_of(UNEQUAL)
    plan = plan_of(job)
    for roll in range(4):
        assert any(
            "may not lie so" in fault for fault in check(job, with_lie(plan, angled(plan)[0], turned=True, roll=roll))
        )


def test_kerf_not_lengthened_by_the_angle() -> None:
    """Pieces moved together until only the square kerf is left between them."""
    job = job_of(TUBE)
    plan = plan_of(job)
    first = angled(plan)[1]
    wrong = replace(plan, cuts=(shifted(plan.cuts[0], first, Fraction("2.5") - Fraction("3.54")), *plan.cuts[1:]))
    assert any("too close" in fault for fault in check(job, wrong))


def test_a_hundredth_too_close_and_a_hundredth_to_spare() -> None:
    job = job_of(TUBE)
    plan = plan_of(job)
    first = angled(plan)[1]
    close = replace(plan, cuts=(shifted(plan.cuts[0], first, Fraction(-1, 100)), *plan.cuts[1:]))
    assert any("too close" in fault for fault in check(job, close))
    wide = replace(plan, cuts=(shifted(plan.cuts[0], first, Fraction(1, 100)), *plan.cuts[1:]))
    assert not any("too close" in fault for fault in check(job, wide))


def test_a_shared_cut_across_planes() -> None:
    job = job_of(FLAT_TUBE, planes=(0, 1))
    plan = plan_of(job)
    number = angled(plan)[0]
    lie = plan.cuts[0].pieces[number].lie
    assert lie is not None
    wrong = with_lie(plan, number, planes=(lie.planes[1], lie.planes[0]))
    assert any("otherwise than the part lies" in fault for fault in check(job, wrong))


def beyond_the_stick(plan: Plan) -> Plan:
    cut = plan.cuts[0]
    return replace(plan, cuts=(shifted(cut, len(cut.pieces) - 1, cut.drop + 100), *plan.cuts[1:]))


def forgotten(plan: Plan) -> Plan:
    """Leave unsaid how the stick lies at a square cut behind an angled one."""
    number = next(n for n, stroke in enumerate(plan.cuts[0].strokes) if n and not stroke.angle)
    return with_stroke(plan, number, back=None)


FAULTS: list[tuple[str, Callable[[Plan], Plan], str]] = [
    ("a pose is missing", lambda p: with_piece(p, angled(p)[0], lie=None), "doesn't say how"),
    (
        "an end leans the other way",
        lambda p: with_lie(p, angled(p)[0], leans=(Fraction(45), Fraction(45))),
        "otherwise than",
    ),
    ("another angle", lambda p: with_lie(p, angled(p)[0], leans=(Fraction(-44), Fraction(44))), "otherwise than"),
    (
        "a length between short points that is one between long points",
        lambda p: with_lie(p, angled(p)[0], lengths=(Fraction(500), Fraction(450), Fraction(450))),
        "for a length of A",
    ),
    (
        "a piece begins before the stick",
        lambda p: with_cut(p, pieces=shifted(p.cuts[0], 0, Fraction(-1)).pieces),
        "before the",
    ),
    ("a piece ends beyond the stick", beyond_the_stick, "too full"),
    ("a drop too long", lambda p: with_cut(p, drop=p.cuts[0].drop + 50), "leaves a drop"),
    ("a drop too short", lambda p: with_cut(p, drop=p.cuts[0].drop - 1), "leaves a drop"),
    ("a drop off the grid", lambda p: with_cut(p, drop=p.cuts[0].drop - Fraction(1, 300)), "leaves a drop"),
    ("a cut that isn't there", lambda p: with_cut(p, unheld=(9,)), "no such cuts"),
    ("a stroke off the grid", lambda p: with_stroke(p, 1, at=p.cuts[0].strokes[1].at + Fraction(1, 300)), "lies at"),
    (
        "a length off the grid",
        lambda p: with_lie(p, angled(p)[0], lengths=(Fraction(500), Fraction(450) + Fraction(1, 300), Fraction(400))),
        "for a length of A",
    ),
    ("a stick that lies as it likes after it was laid", forgotten, "which has been laid before"),
    ("a stroke left out", lambda p: with_cut(p, strokes=p.cuts[0].strokes[1:]), "does not free every part"),
    ("a stroke elsewhere", lambda p: with_stroke(p, 1, at=p.cuts[0].strokes[1].at + 1), "the end lies at"),
    ("a stroke at another angle", lambda p: with_stroke(p, 0, angle=Fraction(44)), "it is set to 44"),
    ("a stroke the wrong way", lambda p: with_stroke(p, 1, swing=-p.cuts[0].strokes[1].swing), "the wrong way"),
    (
        "a roll that isn't one",
        lambda p: with_stroke(p, 2, roll=(p.cuts[0].strokes[2].roll + 1) % 4),
        "rolled otherwise",
    ),
    ("a skim cut that is none", lambda p: with_cut(p, skim=True), "skim"),
    ("a cut held that isn't", lambda p: with_cut(p, unheld=(1,)), "held otherwise"),
    (
        "shared cuts counted wrongly",
        lambda p: replace(p, sharing=(replace(p.sharing[0], shared=p.sharing[0].shared + 1),)),
        "shared cuts",
    ),
]


@pytest.mark.parametrize(("what", "spoil", "says"), FAULTS, ids=[fault[0] for fault in FAULTS])
def test_planted_faults_are_caught(what: str, spoil: Callable[[Plan], Plan], says: str) -> None:
    job = job_of(TUBE)
    plan = plan_of(job)
    wrong = spoil(plan)
    assert wrong != plan, what
    assert any(says in fault for fault in check(job, wrong)), check(job, wrong)


def test_cuts_that_no_saw_was_said_to_be_unable_to_hold() -> None:
    job = job_of(TUBE, saw=Saw(kerf=Fraction(5, 2)))
    assert any("no such cuts" in fault for fault in check(job, with_cut(plan_of(job), unheld=(1,))))


def test_what_the_saw_cannot_do() -> None:
    plan = plan_of(job_of(TUBE))
    small = job_of(TUBE, saw=Saw(kerf=Fraction(5, 2), hold=Fraction(100), largest=Fraction(40)))
    assert any("at most" in fault for fault in check(small, plan))
    one_way = job_of(TUBE, saw=Saw(kerf=Fraction(5, 2), hold=Fraction(100), one_way=True))
    swung = [n for n, stroke in enumerate(plan.cuts[0].strokes) if stroke.swing < 0]
    if swung:
        assert any("one side only" in fault for fault in check(one_way, plan))
    assert check(one_way, plan_of(one_way)) == ()
    assert all(stroke.swing >= 0 for cut in plan_of(one_way).cuts for stroke in cut.strokes)


def test_angled_cuts_in_a_plan_of_square_parts() -> None:
    job = job_of(TUBE)
    plan = plan_of(job)
    square = replace(job, parts=tuple(replace(part, ends=None) for part in job.parts))
    assert any("all its parts are square" in fault for fault in check(square, plan))


def tight(clear: str, quantity: int, length: int) -> Job:
    """Mitred pieces of a thin angle on sticks of a length, long points at the top, the upright leg in the plane."""
    whole = job_of(THIN, quantity=quantity, saw=Saw(kerf=Fraction(2)), toward=(1, 1))
    stick = replace(whole.sticks[0], length=Fraction(clear), trims=(Fraction(0), Fraction(0)))
    return replace(whole, parts=(replace(whole.parts[0], length=Fraction(length)),), sticks=(stick,))


def test_mitred_angles_turned_end_for_end_need_little_more_than_their_steel() -> None:
    # 13 x 480 are 6,240 mm between long points; each gap of 6.83 takes 33.17 off: 5,841.96 in all.
    assert plan_of(tight("6000", 13, 480)).cost == 30
    assert plan_of(tight("6000", 26, 480)).cost == 60
    # 2 x 500 - 40 + 6.83
    assert plan_of(tight("966.83", 2, 500)).cost == 30
    assert plan_of(tight("966.82", 2, 500)).cost == 60


def test_the_checker_measures_over_the_steel_itself() -> None:
    question = tight("966.83", 2, 500)
    found = plan_of(question)
    first, second = found.cuts[0].pieces
    near = replace(second, start=second.start - Fraction(1, 100), end=second.end - Fraction(1, 100))
    faults = check(question, replace(found, cuts=(replace(found.cuts[0], pieces=(first, near)),)))
    assert any("too close behind A" in fault for fault in faults)
    thicker = replace(THIN, walls=(Fraction(5), Fraction(5)))
    stick, part = replace(question.sticks[0], section=thicker), replace(question.parts[0], section=thicker)
    cuts = (replace(found.cuts[0], section=thicker),)
    buy = (replace(found.buy[0], section=thicker),)
    faults = check(replace(question, sticks=(stick,), parts=(part,)), replace(found, cuts=cuts, buy=buy))
    assert any("too close behind A" in fault for fault in faults)


@pytest.mark.parametrize("planes", [(0, 0), (1, 1), (0, 1)])
def test_a_tee_is_measured_along_its_flange(planes: tuple[int, int]) -> None:
    question = job_of(TEE, planes=planes)
    found = plan_of(question)
    assert {cut.edge for cut in found.cuts} == {"flange"}
    # The first part's long points lie at the top, where the flange is, or at its right end.
    first = next(cut for cut in found.cuts if cut.pieces[0].mark == "A")
    lie, stroke = first.pieces[0].lie, first.strokes[0]
    assert lie is not None
    there = lie.leans[0] < 0 if lie.planes[0] == 0 else lie.leans[0] > 0
    assert stroke.at == (0 if there else 40)


@pytest.mark.parametrize("section", [TUBE, THIN, TEE, CHANNEL, PIPE])
def test_an_edge_that_strokes_are_not_measured_along_is_noticed(section: Section) -> None:
    question = job_of(section, toward=(1, 1))
    found = plan_of(question)
    other = "corner" if found.cuts[0].edge != "corner" else "heel"
    faults = check(question, replace(found, cuts=(replace(found.cuts[0], edge=other), *found.cuts[1:])))
    assert any(f"measures its strokes along {other}" in fault for fault in faults), faults
