"""Every exact length that we print is read back exactly, in every writing; noise never breaks the parser."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from cutting.question.errors import LengthError
from cutting.question.lengths import LONGEST, Unit, format_length, parse_length, show_length

UNITS = st.sampled_from(Unit)
ANY = st.fractions(min_value=0, max_value=10**6, max_denominator=10**9)
SHOP = st.builds(Fraction, st.integers(0, 2**22), st.sampled_from([2**n for n in range(12)])).map(
    lambda inches: inches * Unit.IN.mm
)
DECIMAL = st.builds(Fraction, st.integers(0, 10**9), st.sampled_from([10**n for n in range(7)]))
LENGTHS = st.one_of(ANY, SHOP, DECIMAL)

GLYPHS = {Fraction(1, 2): "½", Fraction(1, 4): "¼", Fraction(3, 4): "¾", Fraction(1, 8): "⅛", Fraction(7, 8): "⅞"}


@given(mm=LENGTHS, unit=UNITS)
def test_format_is_read_back(mm, unit):
    assert parse_length(format_length(mm, unit), unit) == mm


@given(mm=LENGTHS, unit=UNITS, other=UNITS, feet=st.booleans())
def test_show_is_read_back_whatever_the_unit(mm, unit, other, feet):
    assert parse_length(show_length(mm, unit, feet=feet), other) == mm


@given(
    feet=st.integers(0, 400),
    inches=st.integers(0, 11),
    part=st.sampled_from([Fraction(n, 64) for n in range(64)]),
    foot=st.sampled_from(["'", "′", "’", " ft", "ft ", " ft. ", " feet", "'-", "' - ", "′ "]),
    between=st.sampled_from([" ", "-", "\u00a0", "\u2009", " - ", "–", "  "]),
    inch=st.sampled_from(['"', "″", "”", "''", " in", "in.", " inches", ""]),
    glyph=st.booleans(),
)
def test_feet_and_inches_in_every_writing(*, feet, inches, part, foot, between, inch, glyph):
    if glyph and part in GLYPHS:
        tail = f"{inches}{GLYPHS[part]}"
    else:
        tail = f"{inches}{between}{part.numerator}/{part.denominator}" if part else str(inches)
    foot = foot if feet else ""
    text = f"{feet}{foot}{tail}{inch}" if feet else f"{tail}{inch}"
    assert parse_length(text, Unit.IN) == ((12 * feet if foot else 0) + inches + part) * Unit.IN.mm


@given(text=st.text(max_size=60), unit=UNITS)
def test_noise_is_a_length_or_a_length_error(text, unit):
    try:
        mm = parse_length(text, unit)
    except LengthError as error:
        assert 0 <= error.position <= len(text)  # noqa: PT017
    else:
        assert 0 <= mm <= LONGEST


@given(text=st.text(alphabet="0123456789 -/.,'\"½inftm", max_size=25), unit=UNITS)
def test_near_noise_that_is_read_prints_and_reads_back(text, unit):
    try:
        mm = parse_length(text, unit)
    except LengthError as error:
        assert 0 <= error.position <= len(text)  # noqa: PT017
    else:
        assert parse_length(format_length(mm, unit), unit) == mm
