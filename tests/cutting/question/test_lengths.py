"""Every writing that the job file allows, and every text that is refused with the place and what to write."""

import doctest
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question import lengths
from cutting.question.errors import LengthError
from cutting.question.lengths import Unit, format_length, parse_length, show_length

INCH = Fraction(127, 5)


def test_the_inch_is_exact():
    # ISO 80000-3: 1 in = 25.4 mm exactly, 1 ft = 12 in
    assert Unit.IN.mm == Fraction(254, 10)
    assert Unit.FT.mm == 12 * Unit.IN.mm
    assert [Unit.MM.mm, Unit.CM.mm, Unit.M.mm] == [1, 10, 1000]


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("6' 8-1/2\"", "161/2"),
        ("6'-8 1/2\"", "161/2"),
        ("6' - 8 1/2\"", "161/2"),
        ("6' 8 1/2", "161/2"),
        ("6′ 8½″", "161/2"),
        ("6’ 8½”", "161/2"),
        ("6' 8 1/2''", "161/2"),
        ("6 ft 8 1/2 in", "161/2"),
        ("6ft8.5in", "161/2"),
        ("6 FT. 8.5 IN.", "161/2"),
        ("6 feet 8 1/2 inches", "161/2"),
        ("80 1/2", "161/2"),
        ("80-1/2", "161/2"),
        ("80–1/2", "161/2"),
        ("80 - 1/2", "161/2"),
        ("80½", "161/2"),
        ("80 ½", "161/2"),
        ("80-½", "161/2"),
        ("80\u00a01⁄2", "161/2"),
        ("80\u20091/2", "161/2"),
        ("80.5", "161/2"),
        ("80.", "80"),
        (".5", "1/2"),
        ("80.5 in", "161/2"),
        ("80.5in.", "161/2"),
        ("  80.5  ", "161/2"),
        ("1.200", "6/5"),
        ("3/32", "3/32"),
        ("3 / 32", "3/32"),
        ("⅜", "3/8"),
        ("⅓ ft", "4"),
        ("5' 0", "60"),
        ("5'", "60"),
        ("20 ft", "240"),
        ("6 1/2 ft", "78"),
        ("８０", "80"),
        ("0", "0"),
        ("7/3", "7/3"),
    ],
)
def test_inch_writings(text, inches):
    assert parse_length(text, Unit.IN) == Fraction(inches) * INCH


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("2042.5 mm", "2042.5"),
        ("2042.5mm", "2042.5"),
        ("204.25 cm", "2042.5"),
        ("2.0425 m", "2042.5"),
        ("2 m", "2000"),
        ("2 metres", "2000"),
        ("2 meters", "2000"),
        ("1 m 20 cm", "1200"),
        ("1 m 5 mm", "1005"),
        ("12 cm 5 mm", "125"),
        ("1250", "1250"),
        ("1250 1/3", "3751/3"),
        ("10 in", "254"),
        ("6' 8\"", "2032"),
    ],
)
def test_metric_writings(text, mm):
    assert parse_length(text, Unit.MM) == Fraction(mm)


@pytest.mark.parametrize(
    ("number", "mm"),
    [
        (80, Fraction(2032)),
        (Decimal("80.1"), Fraction(801, 10) * INCH),
        (Decimal("8E+1"), Fraction(2032)),
        (Fraction(1, 3), INCH / 3),
    ],
)
def test_numbers_are_in_the_unit(number, mm):
    assert parse_length(number, Unit.IN) == mm


@pytest.mark.parametrize(
    ("text", "position", "says"),
    [
        ("", 0, "no length"),
        ("   ", 0, "no length"),
        ("about 80", 0, "no length"),
        ("80 or so", 3, "no length"),
        ("80 inx", 3, "no length"),
        ("-5", 0, "negative"),
        ("−5 mm", 0, "negative"),
        ("nan", 0, "no length"),
        ("inf", 0, "no length"),
        ("1e999", 1, "no length"),
        ("1,200", 1, "two readings; write 1200 or 1.2"),
        ("80,5 mm", 2, "comma"),
        ("1 250 mm", 2, "two numbers"),
        ("6-8", 2, "write 6' 8\""),
        ('6-8 1/2"', 2, "write 6' 8 1/2\""),
        ("80 1/2 1/4", 7, "two numbers"),
        ("80 3/2", 3, "below 1"),
        ("1/0", 2, "divided by 0"),
        ("8 1/0", 4, "divided by 0"),
        ("6' 14\"", 3, "less than one ft"),
        ("6.5' 2\"", 5, "whole number"),
        ("6' 8\" 2", 6, "one length"),
        ("5 mm 3 mm", 5, "one length"),
        ("6' 8 mm", 3, "one length"),
        ("5-", 1, "missing after the dash"),
        ("6'-", 2, "missing after the dash"),
        ("1/2/3", 3, "no length"),
        ("9" * 101, 0, "too many digits"),
        ("0." + "1" * 101, 0, "too many digits"),
        ("8" * 400, 0, "too long"),
        ("8 km", 2, "no length"),
        ("1000001 m", 0, "1000 km"),
    ],
)
def test_refused_texts(text, position, says):
    with pytest.raises(LengthError) as caught:
        parse_length(text, Unit.IN)
    assert caught.value.position == position
    assert says in caught.value.wanted
    assert len(str(caught.value)) < 500


@pytest.mark.parametrize(
    "number",
    [
        -1,
        Decimal(-1),
        Decimal("NaN"),
        Decimal("Infinity"),
        Decimal("1E+999999999"),
        Decimal("1E-999999999"),
        Fraction(-1, 2),
        pytest.param(10**5000, id="5001 digits"),
        pytest.param(Fraction(1, 10**5000), id="one 5001 digits below"),
        Decimal("1E+60"),
    ],
)
def test_refused_numbers(number):
    with pytest.raises(LengthError):
        parse_length(number, Unit.IN)


@pytest.mark.parametrize("value", [80.1, True, None, [80]])
def test_refused_types(value):
    with pytest.raises(TypeError, match="text, int, Decimal or Fraction"):
        parse_length(value, Unit.IN)


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (INCH * Fraction(161, 2), Unit.IN, "80 1/2"),
        (INCH * Fraction(3, 32), Unit.IN, "3/32"),
        (INCH * Fraction(1, 1024), Unit.IN, "1/1024"),
        (INCH * Fraction(1, 2048), Unit.IN, "0.00048828125"),
        (INCH * Fraction(801, 10), Unit.IN, "80.1"),
        (INCH * Fraction(241, 3), Unit.IN, "80 1/3"),
        (Fraction(6096), Unit.FT, "20"),
        (INCH * Fraction(161, 2), Unit.FT, "6' 8 1/2\""),
        (INCH * Fraction(1, 2), Unit.FT, '1/2"'),
        (Fraction(4085, 2), Unit.MM, "2042.5"),
        (Fraction(4085, 2), Unit.M, "2.0425"),
        (Fraction(4, 3), Unit.MM, "1 1/3"),
        (Fraction(0), Unit.MM, "0"),
        (-INCH / 2, Unit.IN, "-1/2"),
    ],
)
def test_format(mm, unit, text):
    assert format_length(mm, unit) == text


def test_show_carries_the_unit():
    assert show_length(INCH * Fraction(161, 2), Unit.IN) == "80 1/2 in"
    assert show_length(INCH * Fraction(161, 2), Unit.IN, feet=True) == "6' 8 1/2\""
    assert show_length(INCH * Fraction(1, 3), Unit.IN, feet=True) == "1/3 in"
    assert show_length(Fraction(6096), Unit.FT) == "20 ft"
    assert show_length(INCH * 75, Unit.FT) == "6' 3\""
    assert show_length(Fraction(-5, 2), Unit.MM) == "-2.5 mm"


def test_doctests():
    result = doctest.testmod(lengths)
    assert result.attempted > 5
    assert result.failed == 0
