"""How lengths are written on paper."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutting.question.lengths import Unit, parse_length
from shared.wording.tape import ROUNDED, Tape, is_mixed, is_plain, tape_of
from tests.builders import inch, job, part, stick


@pytest.mark.parametrize(
    ("text", "unit", "written"),
    [
        ("80 1/2", Unit.IN, "80 1/2 in"),
        ("80.593", Unit.IN, "80.593 in"),
        ("6' 8 1/2\"", Unit.FT, "6' 8 1/2\""),
        ("2042.5 mm", Unit.MM, "2042.5 mm"),
        ("2042.5 mm", Unit.CM, "204.25 cm"),
        ("2042.5 mm", Unit.M, "2.0425 m"),
        # 2000 mm are 78.740 in (exactly 10000/127): the nearest 1/64 is 78 47/64 = 78.734375.
        ("2000 mm", Unit.IN, "≈78 47/64 in"),
        # 1/16 in is 1.5875 mm.
        ("1/16 in", Unit.MM, "≈1.6 mm"),
    ],
)
def test_lengths_are_exact_where_a_tape_shows_them_and_marked_where_not(text: str, unit: Unit, written: str) -> None:
    assert Tape(unit=unit).text(parse_length(text, unit)) == written


@given(st.fractions(min_value=0, max_value=20_000, max_denominator=1000), st.sampled_from(list(Unit)))
def test_what_is_written_reads_back_within_half_a_step(mm: Fraction, unit: Unit) -> None:
    text, _, exact = Tape(unit=unit).text(mm).removesuffix(")").partition(" (")
    back = parse_length(text.removeprefix(ROUNDED), unit)
    assert not exact or parse_length(exact, unit) == mm
    step = Fraction(1, 10) if unit in {Unit.MM, Unit.CM, Unit.M} else inch("1/64")
    assert abs(back - mm) <= step / 2
    assert (ROUNDED in text) == (back != mm) == (not is_plain(mm, unit))


def test_a_job_in_one_system_shows_one() -> None:
    plain = job([part("A", "80 1/2", 1)], [stick("S", "20 ft", "1")], kerf="3/32")
    assert not is_mixed(plain)
    assert tape_of(plain) == Tape(unit=Unit.IN)


@pytest.mark.parametrize("odd", ["kerf", "part", "stick", "trim"])
def test_one_length_of_the_other_system_is_enough_to_show_both(odd: str) -> None:
    mixed = job(
        [part("A", "2000 mm" if odd == "part" else 80, 1)],
        [stick("S", "6 m" if odd == "stick" else "20 ft", "1", trims=("10 mm" if odd == "trim" else "1/4", 0))],
        kerf="2.4 mm" if odd == "kerf" else "3/32",
    )
    assert is_mixed(mixed)
    assert tape_of(mixed) == Tape(unit=Unit.IN, other=Unit.MM)
    assert tape_of(replace(mixed, unit=Unit.FT)).other is Unit.MM


def test_both_systems_side_by_side() -> None:
    tape = Tape(unit=Unit.MM, other=Unit.IN)
    assert tape.text(Fraction(254)) == "254 mm [10 in]"
    assert tape.bare(Fraction(1000)) == "1000 [≈39 3/8]"
    assert tape.heading == "mm [in]"


def test_yards_talk_of_mill_lengths_in_feet() -> None:
    tape = Tape(unit=Unit.IN)
    assert [tape.stick(inch(text)) for text in ("20 ft", "24 ft", "9 ft", "245")] == [
        "20 ft",
        "24 ft",
        "108 in",
        "245 in",
    ]
    assert Tape(unit=Unit.IN, other=Unit.MM).stick(inch("20 ft")) == "20 ft [6096 mm]"
    assert Tape(unit=Unit.MM).stick(Fraction(6096)) == "6096 mm"
