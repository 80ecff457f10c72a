"""From lists to a job, and back through the job file."""

from decimal import Decimal
from fractions import Fraction

from cutting.question.job import Job, PerStick, Saw, Source
from cutting.question.lengths import Unit
from shared.files.job import read_job, write_job
from shared.reading import job_of_lists, join_sections, offers_table, parts_table, read_offers, read_parts

PARTS = '4 - HSS 2x2x1/8 @ 48" posts\n2 - HSS 2x2x1/8 @ 36 1/2"\n'
STICKS = "HSS 2x2x1/8 20' $48.20\n"
RACK = '2 pcs 49" $6.00\n'
SAW = Saw(kerf=Fraction(3, 32) * Unit.IN.mm)


def stated(*, saw=SAW, currency=None):
    """What a job states once, before it has lists."""
    return Job(parts=(), sticks=(), saw=saw, unit=Unit.IN, currency=currency)


def lists(parts=PARTS, sticks=STICKS, rack=RACK):
    read, questions = read_parts(parts)
    known = tuple(dict.fromkeys(part.section for part in read.parts))
    yard, more = read_offers(sticks, kind=Source.STICKS, known=known)
    pieces, most = read_offers(rack, kind=Source.RACK, known=known)
    assert (*questions, *more, *most) == ()
    return read.parts, (*pieces.offers, *yard.offers), yard.currency


def test_a_job_of_three_lists():
    parts, offers, currency = lists()
    job, problems = job_of_lists(parts, offers, stated(currency=currency))
    assert problems == ()
    assert [(part.mark, part.quantity, part.length / Unit.IN.mm, part.note) for part in job.parts] == [
        ("P1", 4, 48, "posts"),
        ("P2", 2, Fraction(73, 2), ""),
    ]
    assert [(stick.id, stick.source, stick.available, stick.price) for stick in job.sticks] == [
        ("S1", Source.STICKS, None, PerStick(amount=Decimal("48.20"))),
        ("R1", Source.RACK, 2, PerStick(amount=Decimal("6.00"))),
    ]
    assert job.currency == "USD"
    again, _ = read_job(write_job(job))
    assert again == job


def test_problems_name_the_list_and_line():
    parts, offers, _ = lists()
    assert "currency" in job_of_lists(parts, offers, stated())[1][0].message
    wide = Saw(kerf=Fraction(2000))
    job, problems = job_of_lists(parts, offers, stated(saw=wide, currency="USD"))
    assert job is None
    assert any(problem.where.startswith(("parts, line 1", "parts, line 2")) for problem in problems)


def test_dimensions_without_a_family_are_joined_across_lists():
    parts, _ = read_parts('4 - 2x2x1/8 @ 48"')
    yard, _ = read_offers("HSS 2x2x1/8 20' $48.20\nL 3x3x1/8 20' $30.00", kind=Source.STICKS)
    joined, _ = join_sections(parts.parts, yard.offers)
    assert joined[0].section == yard.offers[0].section
    yard, _ = read_offers("HSS 2x2x1/8 20' $48.20\nL 2x2x1/8 20' $30.00", kind=Source.STICKS)
    joined, _ = join_sections(parts.parts, yard.offers)
    assert joined[0].section.family == ""


def test_tables_for_programs():
    read, questions = read_parts("P7: 4 - SHS 40x40x3 @ 1250 mm 45/45 LP\n2 - SHS 40x40x3 @ 1.200 mm\n8 bolts M10")
    table = parts_table(read, questions)
    (part,) = table["parts"]
    assert (part["line"], part["mark"], part["section"], part["length"], part["quantity"]) == (
        1,
        "P7",
        "SHS 40x40x3",
        "1250 mm",
        4,
    )
    assert part["ends"]["angles"] == ["45", "45"]
    (problem,) = table["problems"]
    assert (problem["line"], problem["text"]) == (2, "2 - SHS 40x40x3 @ 1.200 mm")
    assert [choice["line"] for choice in problem["choices"]] == [
        "2 - SHS 40x40x3 @ 1200 mm",
        "2 - SHS 40x40x3 @ 1.2 mm",
    ]
    assert table["also"] == [{"line": 3, "text": "bolts M10", "quantity": 8}]
    yard, questions = read_offers("SHS 40x40x3 6 m 24,50 €", kind=Source.STICKS)
    assert offers_table(yard, questions)["offers"][0]["price"] == {"amount": "24.50", "per": "stick"}
