"""Single lines: what belongs to what, angled ends, take-off, money, and the doctests of the reader."""

import doctest
import importlib
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question.job import Discount, Lean, Measure, PerLength, PerStick, PerWeight, Source
from cutting.question.lengths import Unit
from shared.reading import Kind, read_offers, read_parts

INCH = Unit.IN.mm


def one(line, **options):
    found, questions = read_parts(line, **options)
    assert questions == (), questions
    (part,) = found.parts
    return part


def asked(line):
    found, questions = read_parts(line)
    assert found.parts == ()
    return questions


@pytest.mark.parametrize(
    ("line", "angles", "lean", "measure"),
    [
        ("4 - SHS 40x40x3 @ 500 mm 45/45 LP", (45, 45), Lean.OPPOSED, Measure.LONG_POINT),
        ("4 - SHS 40x40x3 @ 500 mm, 45°/45°, short points", (45, 45), Lean.OPPOSED, Measure.SHORT_POINT),
        ("4 - SHS 40x40x3 @ 500 mm both ends mitred 45 CL", (45, 45), Lean.OPPOSED, Measure.CENTRE_LINE),
        ("4 - SHS 40x40x3 @ 500 mm 45/45 parallel LP", (45, 45), Lean.PARALLEL, Measure.LONG_POINT),
        ("4 - SHS 40x40x3 @ 500 mm one end 22.5° LP", (Fraction("22.5"), 0), Lean.OPPOSED, Measure.LONG_POINT),
        ("4 - SHS 40x40x3 @ 500 mm one end 67.5° LP", (Fraction("22.5"), 0), Lean.OPPOSED, Measure.LONG_POINT),
        ("4 - SHS 40x40x3 @ 500 mm one end 30 from square LP", (30, 0), Lean.OPPOSED, Measure.LONG_POINT),
        ("4 - SHS 40x40x3 @ 500 mm one end 30 from the axis LP", (60, 0), Lean.OPPOSED, Measure.LONG_POINT),
        ("4 - SHS 40x40x3 @ 500 mm 45/90 LP", (45, 0), Lean.OPPOSED, Measure.LONG_POINT),
        ("4 Stk SHS 40x40x3 500 mm beide Enden Gehrung 45° LP", (45, 45), Lean.OPPOSED, Measure.LONG_POINT),
    ],
)
def test_angled_ends(line, angles, lean, measure):
    part = one(line)
    assert (part.ends.angles, part.ends.lean, part.ends.measure) == (angles, lean, measure)
    assert (part.quantity, part.length) == (4, 500)


@pytest.mark.parametrize("line", ["2 - SHS 40x40x3 @ 500 mm square cut", "2 - SHS 40x40x3 @ 500 mm 90/90"])
def test_square_ends_are_said_and_are_square(line):
    assert one(line).ends is None


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("2 - SHS 40x40x3 @ 500 mm 45/45", "between which points"),
        ("2 - SHS 40x40x3 @ 500 mm one end 30 LP", "from square or from the bar's axis"),
        ("2 - RHS 60x40x3 @ 500 mm 45/45 LP", "which side lies in the plane"),
        ("2 - L 50x50x5 @ 500 mm 45/45 LP", "toe or at its heel"),
        ("2 - SHS 40x40x3 @ 500 mm LP", "angled ends aren't understood"),
        ("2 - SHS 40x40x3 @ 500 mm 45° skew", "angled ends aren't understood"),
    ],
)
def test_what_is_open_about_ends_is_asked(line, says):
    assert says in asked(line)[0].message


def test_the_side_in_the_plane_and_the_edge_of_the_long_points():
    assert one("2 - RHS 60x40x3 @ 500 mm 45/45 LP 40 in plane").ends.planes == (1, 1)
    assert one("2 - RHS 60x40x3 @ 500 mm 45/45 LP 60 in plane").ends.planes == (0, 0)
    assert one("2 - L 50x50x5 @ 500 mm 45/45 LP at the heel").ends.toward == (-1, -1)
    assert one("2 - L 50x50x5 @ 500 mm 45/45 LP at the toe").ends.toward == (1, 1)


def lengths(line):
    found, questions = read_parts(line)
    assert questions == (), questions
    assert all(part.derived.startswith("line 1: ") for part in found.parts)
    return [(part.quantity, part.length, part.ends is not None) for part in found.parts]


def test_a_mitred_frame_is_its_outside_over_the_long_points():
    assert lengths("6 frames 48 x 24, SHS 1-1/2x1-1/2x1/8, mitred corners") == [
        (12, 48 * INCH, True),
        (12, 24 * INCH, True),
    ]


def test_a_butted_frame_loses_two_widths_between_and_the_gaps():
    line = "2 gates 900 x 600, SHS 40x40x3, butted corners, {} run through{}"
    assert lengths(line.format("long sides", "")) == [(4, 900, False), (4, 600 - 80, False)]
    assert lengths(line.format("short sides", "")) == [(4, 600, False), (4, 900 - 80, False)]
    assert lengths(line.format("uprights", ", weld gap 2 mm")) == [(4, 600, False), (4, 900 - 80 - 4, False)]


def test_cross_members_and_legs():
    line = "1 frame 900 x 600, SHS 40x40x3, mitred, 2 cross members between long sides, 4 legs 750"
    assert lengths(line)[2:] == [(2, 600 - 80, False), (4, 750, False)]
    line = "1 frame 900 x 600, RHS 60x40x3, mitred, 40 in plane, 1 vertical cross bar, 4 legs 750 overall height"
    assert lengths(line)[2:] == [(1, 600 - 80, False), (4, 750 - 60, False)]


def test_a_weld_gap_in_a_mitre_takes_gap_times_root_two_and_never_too_much():
    for _, length, _ in lengths("1 frame 900 x 600, SHS 40x40x3, mitred, weld gap 2 mm"):
        outside = 900 if length > 700 else 600
        loss = outside - length
        assert loss**2 <= 2 * 2**2 < (loss + Fraction(1, 10)) ** 2


def test_inside_sizes_and_sets():
    assert lengths("4 frames 600 x 400 inside, SHS 30x30x3, mitred") == [(8, 660, True), (8, 460, True)]
    found, _ = read_parts("Make 3 sets:\n2 frames 600 x 400, SHS 30x30x3, mitred")
    assert [part.quantity for part in found.parts] == [12, 12]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("1 frame 900 x 600, SHS 40x40x3", "mitred or butted"),
        ("1 frame 900 x 600, SHS 40x40x3, butted", "which sides run through"),
        ("1 frame 900 x 600, RHS 60x40x3, mitred", "plane of the frame"),
        ("1 frame 900 x 600, SHS 40x40x3, mitred, 2 cross members", "between which sides"),
        ("1 frame 70 x 60 SHS 40x40x3 mitred", "smaller than two widths"),
        ("1 frame 900 x 600, L 50x50x5, mitred", "take-off works for"),
        ("1 frame 900 x 600, SHS 40x40x3, mitred, 4 legs", "how long are the legs"),
    ],
)
def test_what_is_open_about_a_frame_is_asked(line, says):
    assert says in asked(line)[0].message


@pytest.mark.parametrize(
    ("line", "price", "available"),
    [
        ("HSS 2x2x1/8 20' $48.20", PerStick(amount=Decimal("48.20")), None),
        ("HSS 2x2x1/8 20' @ 48.20 qty 12", PerStick(amount=Decimal("48.20")), 12),
        ("SHS 40x40x3 6 m 24,50 €", PerStick(amount=Decimal("24.50")), None),
        ("SHS 40x40x3 6 m EUR 1.024,50", PerStick(amount=Decimal("1024.50")), None),
        ("HSS 2x2x1/8 20' 3.07/ft", PerLength(amount=Decimal("3.07"), per=Unit.FT.mm), None),
        ("SHS 40x40x3 6 m 4,10 €/m", PerLength(amount=Decimal("4.10"), per=Fraction(1000)), None),
        ("HSS 2x2x1/8 20' 0.82 per lb", PerWeight(amount=Decimal("0.82"), per=Fraction("0.45359237")), None),
        ("SHS 40x40x3 6 m 98,00 EUR/100 kg", PerWeight(amount=Decimal("0.98"), per=Fraction(1)), None),
        ("SHS 40x40x3 6 m 980,00 EUR/t, 5 Stück", PerWeight(amount=Decimal("980.00"), per=Fraction(1000)), 5),
        ("SHS 40x40x3 6000 24.50", PerStick(amount=Decimal("24.50")), None),
        ("4 pcs SHS 40x40x3 6 m", None, 4),
    ],
)
def test_prices(line, price, available):
    found, questions = read_offers(line, kind=Source.STICKS)
    assert questions == ()
    (offer,) = found.offers
    assert (offer.price, offer.available) == (price, available)


def test_rack_discount_and_own_pieces():
    found, questions = read_offers("SHS 3x3x1/8 41 3/8 40% off", kind=Source.RACK)
    assert questions == ()
    assert (found.offers[0].price, found.offers[0].available) == (Discount(share=Decimal("0.4")), 1)
    assert "rack" in read_offers("SHS 3x3x1/8 41 3/8 40% off", kind=Source.STICKS)[1][0].message
    found, _ = read_offers('2 x 30" SHS 2x2x1/8 $5', kind=Source.OWN)
    assert (found.offers[0].price, found.offers[0].available) == (None, 2)


def test_a_rack_line_without_a_section_takes_the_only_one_of_the_parts():
    parts, _ = read_parts('4 - HSS 2x2x1/8 @ 48"')
    found, questions = read_offers("3 pcs 20' @ 58.40", kind=Source.RACK, known=(parts.parts[0].section,))
    assert questions == ()
    assert found.offers[0].section.name == "SHS 2x2x1/8"


def test_a_stated_unit_is_what_a_bare_length_means():
    assert one("4 - SHS 40x40x3 @ 48", unit=Unit.IN).length == 48 * INCH
    assert one("4 - SHS 40x40x3 @ 1.2", unit=Unit.M).length == 1200
    assert one("4 - SHS 40x40x3 @ 1.2 m", unit=Unit.IN).length == 1200
    assert "which unit" in asked("4 - our rail 3x3x3 @ 48")[0].message or asked("4 - our rail @ 48")


def test_kinds_of_line():
    text = "Stall frame:\n4 - SHS 40x40x3 @ 500 mm\n\n8 bolts M10\nTotal 4 pcs\nthanks and regards"
    found, questions = read_parts(text)
    assert questions == ()
    assert [line.kind for line in found.lines] == [
        Kind.HEADING,
        Kind.PART,
        Kind.BLANK,
        Kind.ALSO,
        Kind.TOTAL,
        Kind.REMARK,
    ]
    assert [(also.quantity, also.text) for also in found.also] == [(8, "bolts M10")]


@pytest.mark.parametrize(
    "module",
    [
        "lists.echo",
        "text.evidence",
        "lists.offers",
        "lists.parts",
        "grid.cells",
        "grid.delimited",
        "grid.sheets",
        "grid.stock",
        "grid.titles",
        "grid.structure",
        "text.tokens",
        "text.vocabulary",
    ],
)
def test_doctests(module):
    result = doctest.testmod(importlib.import_module(f"shared.reading.{module}"))
    assert result.attempted > 0
    assert result.failed == 0
