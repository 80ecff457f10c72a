"""Geometry of angled ends against values that anyone can redo: facts marked [G], trigonometry with sources beside
it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutting.fit.angled.gaps import Gaps, is_shared
from cutting.fit.angled.model import gaps_of, group_parts, model_rows
from cutting.fit.angled.order import RowOrders
from cutting.fit.angled.outline import corners_of
from cutting.fit.angled.poses import poses_of, rolls_of
from cutting.fit.angled.reals import exact, round_up, secant, tangent
from cutting.fit.angled.shape import SQUARE, Face, faces_of, lengths_of, thinnest
from cutting.question.job import Ends, Job, Lean, Measure, Part, Saw, Section
from cutting.question.lengths import Unit

INCH = Fraction(127, 5)
CENTRE, LONG, SHORT = Measure.CENTRE_LINE, Measure.LONG_POINT, Measure.SHORT_POINT


def section(family: str, first: Fraction | int, second: Fraction | int, wall: int = 0) -> Section:
    walls = (Fraction(wall), Fraction(wall)) if wall else ()
    return Section(name=family or "profile", family=family, sides=(Fraction(first), Fraction(second)), walls=walls)


def mitred(where: Section, length: Fraction | int, angles: tuple[int | str, int | str], **more: object) -> Part:
    ends = {"lean": Lean.OPPOSED, "measure": LONG, **more}
    angled = Ends(angles=(Fraction(angles[0]), Fraction(angles[1])), **ends)  # type: ignore[arg-type]
    return Part(mark="A", section=where, length=Fraction(length), quantity=1, ends=angled)


def gaps(
    first: Fraction | int,
    second: Fraction | int,
    kerf: Fraction,
    step: Fraction = Fraction(1, 100),
    *,
    is_round: bool = False,
) -> Gaps:
    depths = (Fraction(first), Fraction(second))
    corners = corners_of(section("rhs", *depths), depths)
    return Gaps(depths=depths, kerf=kerf, step=step, corners=corners, is_round=is_round)


def most_in_a_row(part: Part, clear: Fraction, kerf: Fraction, unit: Unit) -> int:
    job = Job(parts=(part,), sticks=(), saw=Saw(kerf=kerf), unit=unit)
    orders = RowOrders(model_rows(job, part.section, group_parts(part.section, [part]), [clear]))
    count = 0
    while orders.span([count + 1]) <= orders.model.capacities[0]:
        count += 1
    return count


@pytest.mark.parametrize(
    ("angle", "value"),  # closed forms, in any table of exact trigonometric values
    [
        (Fraction(30), Fraction(1, 3)),  # tan^2 30 = 1/3
        (Fraction(60), Fraction(3)),  # tan^2 60 = 3
        (Fraction(45), Fraction(1)),
    ],
)
def test_tangent_squared(angle: Fraction, value: Fraction) -> None:
    real = tangent(angle)
    assert real.low**2 <= value <= real.high**2
    assert real.high - real.low < Fraction(1, 10**40)


def test_tangent_of_a_half_right_angle_s_half() -> None:
    # tan 22.5 = sqrt 2 - 1, so (tan + 1)^2 = 2; tan 15 = 2 - sqrt 3
    assert (tangent(Fraction(45, 2)).low + 1) ** 2 < 2 < (tangent(Fraction(45, 2)).high + 1) ** 2
    assert (2 - tangent(Fraction(15)).high) ** 2 < 3 < (2 - tangent(Fraction(15)).low) ** 2


def test_rational_values_are_exact() -> None:
    # Niven, Irrational Numbers (1956): at these angles only
    assert tangent(Fraction(45)).is_exact
    assert secant(Fraction(60)) == exact(Fraction(2))
    assert not secant(Fraction(45)).is_exact


def test_only_irrational_amounts_are_rounded_and_always_up() -> None:
    assert round_up(exact(Fraction(1, 3)), Fraction(1, 100)) == Fraction(1, 3)
    assert round_up(secant(Fraction(45)).times(Fraction(5, 2)), Fraction(1, 100)) == Fraction("3.54")
    assert round_up(-secant(Fraction(45)).times(Fraction(5, 2)), Fraction(1, 100)) == Fraction("-3.53")


def test_sums_of_tangents_that_are_rational_are_exact() -> None:
    # tan 60 + tan 15 = sqrt 3 + 2 - sqrt 3 = 2
    assert round_up((tangent(Fraction(60)) + tangent(Fraction(15))).times(Fraction(25)), Fraction(1, 100)) == 50


@pytest.mark.parametrize(
    ("kerf", "angle", "along"),  # facts.md, mitre check values [G]
    [
        (Fraction(3, 32), Fraction(45), "0.1326"),
        (Fraction(5, 2), Fraction(45), "3.536"),
        (Fraction(5, 2), Fraction(45, 2), "2.706"),
    ],
)
def test_kerf_along_the_bar(kerf: Fraction, angle: Fraction, along: str) -> None:
    value = gaps(1, 1, kerf).middle(Face(0, angle, CENTRE), Face(0, angle, CENTRE))
    places = len(along.partition(".")[2])
    assert round(float(value.high), places) == float(along)


def test_faces_in_different_planes() -> None:
    # facts.md [G]: 60x40 at 45/45 across planes, kerf 2.5: 53.54 mm
    assert gaps(60, 40, Fraction(5, 2)).between(
        Face(0, Fraction(45), CENTRE), Face(1, Fraction(45), CENTRE)
    ) == Fraction("53.54")


@pytest.mark.parametrize(
    ("where", "leans", "gap"),  # mm between mid-depth ends at 45 degrees, kerf 2: 2 sqrt 2 = 2.828 along the stick
    [
        # L 40x40x4, its legs' long points on the side where there is no steel: the toe's inner corner at 20 up and
        # 16 to the left decides, 4 + 2.828; the box around it would say 40 + 2.828.
        (section("angle", 40, 40, 4), (45, -45), "6.83"),
        (section("angle", 40, 40), (45, -45), "42.83"),  # a wall nobody stated: the box
        (section("angle", 40, 40, 4), (-45, 45), "42.83"),  # towards the heel, where all of the box is steel
        (section("angle", 40, 40, 4), (45, 45), "42.83"),  # towards a toe
        (section("angle", 60, 40, 5), (45, -45), "17.83"),  # lying toe 20 - 25, upright toe 30 - 15: 15 more
        (section("tee", 40, 40, 5), (45, 45), "42.83"),  # towards an end of the flange
        (section("tee", 40, 40, 5), (-45, 45), "25.33"),  # foot of the web: 20 down, 2.5 left
        (section("channel", 40, 20), (45, -45), "32.83"),
        (section("chs", 40, 40), (45, -45), "31.12"),  # 20 sqrt 2
    ],
)
def test_faces_in_different_planes_meet_where_there_is_steel(where: Section, leans: tuple[int, int], gap: str) -> None:
    part = mitred(where, 500, (45, 45), planes=(0, 1))
    job = Job(parts=(part,), sticks=(), saw=Saw(kerf=Fraction(2)), unit=Unit.MM)
    right, left = (Face(plane, Fraction(lean), CENTRE) for plane, lean in enumerate(leans))
    assert gaps_of(job, where).between(right, left) == Fraction(gap)


def test_unflipped_trapezoids_touch_at_their_long_points() -> None:
    # 45/45 trapezoids on 2 in unflipped: gap 2 + k sqrt 2 (in), so between long points the kerf alone is left
    some = gaps(2, 2, Fraction(3, 32), Fraction(1, 1024))
    left, right = Face(0, Fraction(45), CENTRE), Face(0, Fraction(-45), CENTRE)
    assert some.middle(left, right).low == 2 + secant(Fraction(45)).times(Fraction(3, 32)).low
    assert some.between(Face(0, Fraction(45), LONG), Face(0, Fraction(-45), LONG)) == Fraction(
        136, 1024
    )  # 0.1326 up to 1/1024


def test_round_sections_at_another_roll() -> None:
    # r sqrt(tan^2 a + tan^2 b) + k / cos: 24 sqrt 2 + 2.5 sqrt 2 = 37.4766...
    some = gaps(48, 48, Fraction(5, 2), is_round=True)
    assert some.between(Face(0, Fraction(45), CENTRE), Face(1, Fraction(45), CENTRE)) == Fraction("37.48")


def test_what_is_shared() -> None:
    assert is_shared(Face(0, Fraction(45), LONG), Face(0, Fraction(45), SHORT))
    assert not is_shared(Face(0, Fraction(45), LONG), Face(0, Fraction(-45), LONG))
    assert not is_shared(Face(0, Fraction(45), LONG), Face(1, Fraction(45), LONG))
    assert is_shared(SQUARE, SQUARE)


@pytest.mark.parametrize("angle", [Fraction(15), Fraction(45, 2), Fraction(30), Fraction(45), Fraction(60)])
def test_a_shared_cut_saves_depth_times_tangent(angle: Fraction) -> None:
    some = gaps(40, 40, Fraction(5, 2))
    flat, steep = Face(0, angle, CENTRE), Face(0, -angle, CENTRE)
    saved = some.middle(flat, steep) - some.middle(flat, flat)
    assert saved.low <= tangent(angle).times(Fraction(40)).high
    assert saved.high >= tangent(angle).times(Fraction(40)).low


@pytest.mark.parametrize("count", [1, 2, 5, 9])
def test_row_formula(count: int) -> None:
    # facts.md [G]: n alike in a row, all shared: n CL + (n-1) k/cos(a) + d tan(a)
    part = mitred(section("shs", 50, 50), 400, (45, 45), measure=CENTRE)
    job = Job(parts=(part,), sticks=(), saw=Saw(kerf=Fraction(5, 2)), unit=Unit.MM)
    orders = RowOrders(model_rows(job, part.section, group_parts(part.section, [part]), [Fraction(6000)]))
    kerf = Fraction("3.54")  # 2.5 sqrt 2 = 3.5355..., rounded up once for each joint
    assert orders.span([count]) * orders.model.unit == count * 400 + (count - 1) * kerf + 50


@pytest.mark.parametrize(
    ("unit", "depth", "length", "kerf", "clear", "unshared", "shared"),  # facts.md, mitre check values [G]
    [
        (Unit.IN, 2 * INCH, 24 * INCH, Fraction(3, 32) * INCH, 240 * INCH - INCH / 4, 9, 10),
        (Unit.MM, Fraction(40), Fraction(500), Fraction(5, 2), Fraction(5990), 11, 12),
        (Unit.MM, Fraction(60), Fraction(600), Fraction(5, 2), Fraction(5990), 9, 10),
    ],
)
def test_pieces_from_a_stick(
    unit: Unit, depth: Fraction, length: Fraction, kerf: Fraction, clear: Fraction, unshared: int, shared: int
) -> None:
    part = mitred(section("shs", depth, depth), length, (45, 45))
    assert most_in_a_row(part, clear, kerf, unit) == shared
    # a channel with its flanges in the plane of the cut may not be flipped: nothing is shared
    channel = mitred(section("channel", depth * 2, depth), length, (45, 45), planes=(1, 1))
    assert most_in_a_row(channel, clear, kerf, unit) == unshared


def test_three_lengths() -> None:
    part = mitred(section("rhs", 3 * INCH, 2 * INCH), 24 * INCH, (45, 45), planes=(1, 1))
    assert lengths_of(part).shown(Unit.IN) == (24 * INCH, 22 * INCH, 20 * INCH)
    one = mitred(section("shs", 40, 40), 500, (30, 0), measure=SHORT)
    # 40 tan 30 = 23.094: long 523.10, centre 511.55, rounded up
    assert lengths_of(one).shown(Unit.MM) == (Fraction("523.10"), Fraction("511.55"), Fraction(500))


def test_ends_that_meet_in_the_steel() -> None:
    square = section("shs", 40, 40)
    assert thinnest(mitred(square, 80, (45, 45))).high == 0
    assert thinnest(mitred(square, 81, (45, 45))).low > 0
    # a parallelogram is as long as its centre line everywhere
    assert thinnest(mitred(square, 81, (45, 45), lean=Lean.PARALLEL)).low == 41
    # cut in both planes, an angle is as short as a box only where it has steel
    apart = {"planes": (0, 1), "measure": CENTRE}
    assert thinnest(mitred(square, 40, (45, 45), **apart)).high == 0
    angle = section("angle", 40, 40, 4)
    assert thinnest(mitred(angle, 40, (45, 45), toward=(1, 1), **apart)).low == 0
    assert thinnest(mitred(angle, 40, (45, 45), toward=(-1, -1), **apart)).low == 36
    tube = section("chs", 40, 40)
    assert float(thinnest(mitred(tube, 40, (45, 45), **apart)).low) == pytest.approx(40 - 20 * 2**0.5)


@pytest.mark.parametrize(
    ("family", "first", "second", "count"),  # design's symmetry groups: proper rotations of the section
    [
        ("rhs", 60, 40, 4),
        ("flat", 50, 8, 4),
        ("shs", 40, 40, 8),
        ("square", 20, 20, 8),
        ("channel", 80, 40, 2),
        ("tee", 50, 50, 2),
        ("angle", 50, 50, 2),
        ("angle", 60, 40, 1),
        ("", 60, 40, 1),
    ],
)
def test_how_many_poses(family: str, first: int, second: int, count: int) -> None:
    assert len(poses_of(section(family, first, second))) == count


@pytest.mark.parametrize("family", ["rhs", "shs", "channel", "angle", "tee", "chs", "flat", "square", ""])
def test_poses_form_a_group_of_proper_rotations(family: str) -> None:
    sides = (60, 40) if family in ("rhs", "channel", "flat", "") else (40, 40)
    poses = poses_of(section(family, *sides))
    for pose in poses:
        (a, b), (c, d) = pose.matrix
        assert a * d - b * c == (-1 if pose.turned else 1)  # in space the determinant is 1
        for other in poses:
            (e, f), (g, h) = other.matrix
            product = ((a * e + b * g, a * f + b * h), (c * e + d * g, c * f + d * h))
            assert any(p.matrix == product and p.turned == (pose.turned != other.turned) for p in poses)
    assert all(not roll.turned for roll in rolls_of(section(family, *sides)))


def test_the_turn_of_an_equal_angle_swaps_its_legs() -> None:
    part = mitred(section("angle", 50, 50), 500, (45, 0), planes=(0, 0))
    turned = next(pose for pose in poses_of(part.section) if pose.turned)
    left, right = turned.faces(faces_of(part))
    assert (left.square, right.plane) == (True, 1)


def test_a_mirrored_piece_is_another_piece() -> None:
    where = section("channel", 80, 40)
    left, right = (mitred(where, 500, (45, 0), toward=(sign, 1)) for sign in (1, -1))
    assert len(group_parts(where, [left, right])) == 2
    tube = section("rhs", 80, 40)
    left, right = (mitred(tube, 500, (45, 0), toward=(sign, 1)) for sign in (1, -1))
    assert len(group_parts(tube, [left, right])) == 1


def test_step_follows_the_unit_of_the_job() -> None:
    part = mitred(section("shs", 50, 50), 400, (30, 30))
    for unit, step in (
        (Unit.IN, INCH / 1024),
        (Unit.FT, INCH / 1024),
        (Unit.MM, Fraction(1, 100)),
        (Unit.M, Fraction(1, 100)),
    ):
        job = Job(parts=(part,), sticks=(), saw=Saw(kerf=Fraction(5, 2)), unit=unit)
        assert gaps_of(job, part.section).step == step
