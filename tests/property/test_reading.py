"""Every exact length we can print is read back exactly in every writing; noise never crashes or hangs the reader."""

from fractions import Fraction

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cutting.question.job import Source
from cutting.question.lengths import Unit, show_length
from shared.reading import echo, read_offers, read_parts

INCH_SECTIONS = st.sampled_from(
    ["3x3x1/8 sq tube", "HSS 1.5 x 1.5 x .125", "L2x2x3/16", "C3x4.1", "Pipe 1-1/4 sch40", "FB 2x1/4", "2x2x11ga tube"]
)
MM_SECTIONS = st.sampled_from(["SHS 40x40x3", "RHS 60x40x3", "L 50x50x5", "UPN 100", "Flachstahl 50x5", "CHS 48,3x3,2"])
PIECES = st.integers(1, 999)
BEFORE = st.sampled_from(
    ["{n} - ", "{n} x ", "({n}) ", "{n} pcs ", "{n} off ", "{n}x ", "{n} Stk. ", "qty {n} ", "{n} ea. "]
)
BEHIND = st.sampled_from([" x{n}", " ({n})", " - {n} off", ", {n} pcs", " qty: {n}", " {n} No.", " ×{n}", " {n} Stück"])
AT = st.sampled_from([" @ ", "  ", " - ", ", ", " | ", " L=", "\t"])


@st.composite
def shop_lengths(draw):
    """A length in 1/64 in and one of the ways to write it."""
    feet, inches = draw(st.integers(1, 40)), draw(st.integers(0, 11))  # less than a section is deep would be asked
    part = Fraction(draw(st.integers(0, 63)), 64)
    value = 12 * feet + inches + part
    tail = f"{inches} {part}" if part else str(inches)
    dashed = f"{inches}-{part}" if part else str(inches)
    whole = 12 * feet + inches
    over = (f"{whole} {part}" if whole else str(part)) if part else str(whole)
    decimal = format(float(value), "f").rstrip("0").rstrip(".")
    ways = [
        f'{over}"',
        f"{over} in",
        f"{over} inches",
        f"{over}''",
        f"{over}″",
        f"{over}”",
        f"{decimal} in",
        f'{decimal}"',
    ]
    ways += [show_length(value * Unit.IN.mm, Unit.IN), show_length(value * Unit.IN.mm, Unit.IN, feet=True)]
    if feet:
        ways += [
            f"{feet}'-{tail}\"",
            f"{feet}' {dashed}\"",
            f"{feet} ft {tail} in",
            f"{feet}′ {tail}″",
            f"{feet}’-{dashed}”",
        ]
    return value * Unit.IN.mm, draw(st.sampled_from(ways))


@st.composite
def metric_lengths(draw):
    """A length in 0.1 mm and one of the ways to write it."""
    tenths = draw(st.integers(1100, 154_999))  # shorter than a section is deep and longer than a stick would be asked
    mm = Fraction(tenths, 10)
    decimal = format(tenths / 10, ".1f")
    grouped = f"{tenths // 10_000}\u00a0{tenths // 10 % 1000:03d}" if tenths >= 10_000 else str(tenths // 10)
    ways = [f"{decimal} mm", f"{decimal}mm", f"{decimal.replace('.', ',')} mm", show_length(mm, Unit.MM)]
    ways += [
        f"{grouped},{tenths % 10} mm",
        show_length(mm, Unit.CM),
        f"{tenths / 10_000:.4f} m",
        f"{tenths / 10_000:.4f} m",
    ]
    return mm, draw(st.sampled_from(ways))


def the_part(line):
    found, questions = read_parts(line)
    assert questions == (), (line, questions)
    (part,) = found.parts
    return part


@given(length=shop_lengths(), section=INCH_SECTIONS, pieces=PIECES, before=BEFORE, at=AT)
@settings(max_examples=300)
def test_inch_lengths_with_the_quantity_before(length, section, pieces, before, at):
    mm, written = length
    part = the_part(f"{before.format(n=pieces)}{section}{at}{written}")
    assert (part.length, part.quantity, part.note) == (mm, pieces, "")


@given(length=shop_lengths(), section=INCH_SECTIONS, pieces=PIECES, behind=BEHIND)
@settings(max_examples=300)
def test_inch_lengths_with_the_quantity_behind(length, section, pieces, behind):
    mm, written = length
    part = the_part(f"{section} @ {written}{behind.format(n=pieces)}")
    assert (part.length, part.quantity, part.note) == (mm, pieces, "")


@given(length=metric_lengths(), section=MM_SECTIONS, pieces=PIECES, before=BEFORE, at=AT)
@settings(max_examples=300)
def test_metric_lengths(length, section, pieces, before, at):
    mm, written = length
    part = the_part(f"{before.format(n=pieces)}{section}{at}{written}")
    assert (part.length, part.quantity, part.note) == (mm, pieces, "")


@given(length=shop_lengths(), pieces=PIECES, delimiter=st.sampled_from("\t;"))
def test_lengths_in_a_table(length, pieces, delimiter):
    mm, written = length
    rows = [
        ["Mark", "Section", "Length", "Qty"],
        ["A1", "HSS 2x2x1/8", written, str(pieces)],
        ["A2", "HSS 2x2x1/8", "7 in", "1"],
    ]
    found, questions = read_parts("\n".join(delimiter.join(row) for row in rows))
    assert questions == ()
    assert (found.parts[0].length, found.parts[0].quantity, found.parts[0].mark) == (mm, pieces, "A1")


NOISE = st.one_of(
    st.text(max_size=300),
    st.text(alphabet="0123456789 x/.-'\"@()|,;\t\nLHSCft½mmgaq", max_size=300),
    st.lists(
        st.sampled_from(
            ["4", "x", "@", "SHS", "40x40x3", "1/2", "6'", '"', "ditto", "total", "45/45", "LP", "make", "6", "sets",
             "frame", "48 x 24", "mitred", "butted", "pcs", "(", ")", "|", ";", ",", "\n", "1.200", "6-8", "ga",
             "sch 40", "pipe", "$6", "%"]
        ),
        max_size=40,
    ).map(" ".join),
)  # fmt: skip


@given(text=NOISE, unit=st.sampled_from([None, *Unit]))
@settings(max_examples=400, suppress_health_check=[HealthCheck.too_slow], deadline=None)
def test_noise_is_read_or_asked_about(text, unit):
    found, questions = read_parts(text, unit=unit)
    assert list(echo(found.lines, questions)) is not None
    marks = [part.mark for part in found.parts]
    assert len(set(marks)) == len(marks)
    for part in found.parts:
        assert part.length > 0
        assert part.quantity >= 1
    for question in questions:
        assert question.message
        assert question.position is None or 0 <= question.position <= max(len(question.text), 1)


@given(text=NOISE, kind=st.sampled_from(Source))
@settings(max_examples=200, suppress_health_check=[HealthCheck.too_slow], deadline=None)
def test_noise_in_a_list_of_sticks(text, kind):
    found, questions = read_offers(text, kind=kind)
    for offer in found.offers:
        assert offer.length > 0
        assert offer.available is None or offer.available >= 1
    assert all(question.message for question in questions)


@given(data=st.binary(max_size=400))
@settings(max_examples=200, deadline=None)
def test_any_bytes(data):
    found, _ = read_parts(data)
    assert found.lines is not None


@given(data=st.binary(max_size=200))
def test_any_bytes_that_say_they_are_a_workbook(data):
    found, questions = read_parts(b"PK\x03\x04" + data)
    assert found.parts == ()
    assert questions
