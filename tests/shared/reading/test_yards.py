"""Price lists of several yards, prices by quantity, and sections that will do as well."""

from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question.job import Break, Job, PerLength, PerStick, Saw, Source
from cutting.question.lengths import Unit
from shared.reading import (
    Kind,
    echo,
    job_of_lists,
    offers_table,
    parts_table,
    place_in_yards,
    read_offers,
    read_parts,
    yards_named,
)

TUBE = "SHS 2x2x1/8 20 ft $61.40"
STATED = Job(parts=(), sticks=(), saw=Saw(kerf=Fraction(2)), unit=Unit.IN, currency="USD")


def read(text: str, **more):
    """Read a list of sticks that leaves nothing open."""
    found, questions = read_offers(text, kind=Source.STICKS, **more)
    assert [question.message for question in questions] == []
    return found


def yards(text: str, **more) -> list[str]:
    return [offer.yard for offer in read(text, **more).offers]


def one(text: str):
    return read(text).offers[0]


@pytest.mark.parametrize(
    "heading",
    [
        "Harbour Steel:",
        "## Harbour Steel",
        "**Harbour Steel**",
        "yard: Harbour Steel",
        "Supplier = Harbour Steel",
    ],
)
def test_a_heading_names_the_yard_of_the_lines_below(heading: str) -> None:
    text = f"{TUBE}\n{heading}\n{TUBE}\n\n{TUBE}\nNorth Yard Metals:\n{TUBE}"
    assert yards(text) == ["", "Harbour Steel", "Harbour Steel", "North Yard Metals"]
    said = read(text).lines
    assert said[1].kind is Kind.HEADING
    assert said[1].understood == ("the yard of the lines below: Harbour Steel",)
    assert said[2].understood[0].endswith("61.40 USD each, from Harbour Steel")


@pytest.mark.parametrize(
    "heading", ["Square tube:", "Hollow sections, galvanised:", "Price list:", "## Angles", "Rack:"]
)
def test_headings_of_goods_and_lists_name_no_yard(heading: str) -> None:
    assert yards(f"{heading}\n{TUBE}") == [""]


@pytest.mark.parametrize(
    "line",
    [
        f"{TUBE} from Harbour Steel",
        f"{TUBE} (Harbour Steel)",
        f"{TUBE} [harbour  steel]",
        f"Harbour Steel: {TUBE}",
        f"{TUBE}, Harbour Steel",
        f"{TUBE} yard: Harbour Steel",
    ],
)
def test_a_word_in_the_line_goes_before_the_heading(line: str) -> None:
    found = read(f"North Yard Metals:\n{line}\n{TUBE}", yards=["Harbour Steel"])
    assert [offer.yard for offer in found.offers] == ["Harbour Steel", "North Yard Metals"]
    assert found.offers[0].section.name == "SHS 2x2x1/8"
    assert found.offers[0].price == PerStick(amount=Decimal("61.40"))
    assert found.offers[0].note == ""


def test_a_name_that_no_one_said_is_a_yard_stays_a_remark() -> None:
    offer = one(f"{TUBE} from Harbour Steel")
    assert (offer.yard, offer.note) == ("", "from Harbour Steel")


@pytest.mark.parametrize("heading", ["North Yard Metals", "North Yard price list:"])
def test_what_may_be_a_yard_is_asked_and_both_answers_settle_it(heading: str) -> None:
    text = f"Harbour Steel:\n{TUBE}\n{heading}\n{TUBE}"
    _, questions = read_offers(text, kind=Source.STICKS)
    assert len(questions) == 1
    asked = questions[0]
    assert (asked.line, asked.text) == (3, heading)
    yard, remark = (text.replace(heading, choice.line) for choice in asked.choices)
    assert yards(yard) == ["Harbour Steel", heading.rstrip(":")]
    assert yards(remark) == ["Harbour Steel", "Harbour Steel"]


def test_a_column_names_the_yard_of_each_row() -> None:
    table = (
        "Supplier;Section;Length;Price\n"
        "Harbour Steel;SHS 40x40x3;6000 mm;38,20\n"
        "North Yard Metals;SHS 40x40x3;6000 mm;36,10"
    )
    assert yards(table) == ["Harbour Steel", "North Yard Metals"]


def test_a_heading_works_between_the_rows_of_a_table() -> None:
    table = (
        "section,length,price\nHarbour Steel:\nSHS 2x2x1/8,240,61.40\nSHS 3x3x1/8,240,71.40\n"
        "North Yard:\nSHS 2x2x1/8,240,60\n"
    )
    assert yards(table, unit=Unit.IN) == ["Harbour Steel", "Harbour Steel", "North Yard"]


def test_own_drops_have_no_yard() -> None:
    found, questions = read_offers('Harbour Steel:\nSHS 2x2x1/8 30"', kind=Source.OWN)
    assert questions == ()
    assert found.offers[0].yard == ""


def breaks(text: str) -> list[tuple[int, Decimal]]:
    return [(each.least, each.price.amount) for each in one(text).breaks]


@pytest.mark.parametrize(
    "text",
    [
        f"{TUBE}, from 10: $57.90",
        f"{TUBE} from 10 $57.90",
        f"{TUBE}; from 10 pcs @ 57.90",
        f"{TUBE}, 10+ $57.90",
        f"{TUBE}, 10 or more: 57.90",
        f"{TUBE}, 10 pcs and up $57.90",
        f"{TUBE}\n  from 10: $57.90",
        f"{TUBE}\n10+: 57.90",
        "SHS 2x2x1/8, 20 ft, 61.40, ab 10 Stk: 57,90",
        "section,length,price,10+\nSHS 2x2x1/8,20 ft,61.40,57.90\nSHS 3x3x1/8,20 ft,71.40,",
        "section,length,1-9,10-49\nSHS 2x2x1/8,20 ft,61.40,57.90\nSHS 3x3x1/8,20 ft,71.40,",
    ],
)
def test_prices_by_quantity(text: str) -> None:
    assert breaks(text) == [(10, Decimal("57.90"))]
    offer = one(text)
    assert offer.price == PerStick(amount=Decimal("61.40"))
    assert (offer.length, offer.available, offer.note) == (Fraction(6096), None, "")


def test_several_prices_by_quantity_in_the_line_and_below_it() -> None:
    found = read(f"{TUBE}, from 10: $57.90, 25+ $55\n  from 50: $52\n{TUBE}")
    assert [each.least for each in found.offers[0].breaks] == [10, 25, 50]
    assert found.offers[1].breaks == ()
    assert found.lines[1].kind is Kind.ADDITION
    assert found.lines[1].understood == ("for line 1: from 50: 52 USD each",)
    assert "from 25: 55 USD each" in found.lines[0].understood[0]


def test_a_price_by_quantity_is_for_the_same_as_the_price_before_it() -> None:
    per_foot = PerLength(amount=Decimal("2.90"), per=Unit.FT.mm)
    assert one("SHS 2x2x1/8 20 ft $3.07/ft, from 10: $2.90").breaks == (Break(least=10, price=per_foot),)
    assert one("SHS 2x2x1/8 20 ft $3.07/ft, from 10: $2.90/ft").breaks == (Break(least=10, price=per_foot),)
    each = PerStick(amount=Decimal(55))
    assert one("SHS 2x2x1/8 20 ft $3.07/ft, from 10: $55 each").breaks == (Break(least=10, price=each),)
    assert "from 10: 2.90 USD for 1 ft" in read("SHS 2x2x1/8 20 ft $3.07/ft, from 10: $2.90").lines[0].understood[0]


def test_a_price_by_quantity_with_two_readings_is_asked() -> None:
    _, questions = read_offers(f"{TUBE}, from 10: 1.200 EUR", kind=Source.STICKS)
    assert "1200" in questions[0].message
    assert [choice.line for choice in questions[0].choices] == [
        f"{TUBE}, from 10: 1200 EUR",
        f"{TUBE}, from 10: 1.2000 EUR",
    ]


def test_a_price_by_quantity_without_a_stick_above_is_asked() -> None:
    _, questions = read_offers(f"from 10: $57.90\n{TUBE}", kind=Source.STICKS)
    assert (questions[0].line, questions[0].message[:28]) == (1, "what does this belong to? wr")


def test_lengths_and_counts_are_no_prices_by_quantity() -> None:
    assert one("10 pcs SHS 2x2x1/8 20 ft $61.40").breaks == ()
    assert one("SHS 2x2x1/8 20 ft $61.40 (cut from 40 ft)").breaks == ()


def substitutes(text: str) -> list[tuple[str, str]]:
    found, questions = read_parts(text)
    assert [question.message for question in questions] == []
    return [(each.section.label, each.remark) for each in found.parts[0].substitutes]


@pytest.mark.parametrize(
    "text",
    [
        "4 - SHS 2x2x1/8 @ 80 1/2 posts, or SHS 2x2x3/16 (heavier)",
        "4 - SHS 2x2x1/8 or SHS 2x2x3/16 (heavier) @ 80 1/2 posts",
        "4 - SHS 2x2x1/8 @ 80 1/2 posts\n   or SHS 2x2x3/16 (heavier)",
        "4 - SHS 2x2x1/8 @ 80 1/2 posts, alt: SHS 2x2x3/16 (heavier)",
        "4 - SHS 2x2x1/8 @ 80 1/2 posts, substitute SHS 2x2x3/16 (heavier)",
        "4 Stk SHS 2x2x1/8 @ 80 1/2 posts, oder SHS 2x2x3/16 (heavier)",
        "qty,section,length,note,substitutes\n4,SHS 2x2x1/8,80 1/2,posts,SHS 2x2x3/16 (heavier)\n2,SHS 2x2x1/8,30,,",
        "qty,section,length,note\n4,SHS 2x2x1/8 or SHS 2x2x3/16 (heavier),80 1/2,posts\n2,SHS 2x2x1/8,30,",
    ],
)
def test_sections_that_will_do_as_well(text: str) -> None:
    assert substitutes(text) == [("SHS 2x2x3/16", "heavier")]
    part = read_parts(text)[0].parts[0]
    assert (part.quantity, part.section.name, part.length, part.note) == (
        4,
        "SHS 2x2x1/8",
        Fraction(20447, 10),
        "posts",
    )
    assert "or SHS 2x2x3/16 (heavier)" in read_parts(text)[0].lines[text.count("qty")].understood[0] or "\n" in text


def test_several_in_order_each_with_its_remark() -> None:
    text = "4 - SHS 2x2x1/8 @ 80, or SHS 2x2x3/16 (heavier) or SHS 2-1/2x2-1/2x1/8\n or SHS 2x2x1/4 (last choice)"
    assert substitutes(text) == [
        ("SHS 2x2x3/16", "heavier"),
        ("SHS 2-1/2x2-1/2x1/8", ""),
        ("SHS 2x2x1/4", "last choice"),
    ]
    column = "qty,section,length,alternative\n4,SHS 2x2x1/8,80 in,SHS 2x2x3/16; SHS 2x2x1/4\n1,SHS 2x2x1/8,40 in,none"
    assert substitutes(column) == [("SHS 2x2x3/16", ""), ("SHS 2x2x1/4", "")]


def test_a_substitute_is_of_the_parts_material_unless_it_states_one() -> None:
    assert substitutes("4 - galvanised SHS 2x2x1/8 @ 80 or SHS 2x2x3/16") == [("SHS 2x2x3/16 (galvanised)", "")]


def test_a_substitute_without_a_family_is_asked() -> None:
    _, questions = read_parts("2 pcs SHS 40x40x3 1250 mm or 50x50x3")
    assert [question.message for question in questions] == [
        "which kind of section is 50x50x3? write it out, such as or SHS 50x50x3"
    ]
    assert questions[0].position == len("2 pcs SHS 40x40x3 1250 mm or ")


def test_a_cell_that_names_no_section_is_asked() -> None:
    _, questions = read_parts("qty,section,length,substitute\n4,SHS 2x2x1/8,80 in,ask Pat\n1,SHS 2x2x1/8,40 in,")
    assert "ask Pat is no section" in questions[0].message


def test_other_words_or_stay_in_the_note() -> None:
    found, questions = read_parts("4 - SHS 2x2x1/8 @ 80 posts or legs")
    assert questions == ()
    assert (found.parts[0].note, found.parts[0].substitutes) == ("posts or legs", ())


def test_a_question_beside_it_keeps_the_whole_line_in_its_choices() -> None:
    text = "2 pcs SHS 2x2x1/8 6-8, or SHS 2x2x3/16 (heavier)"
    _, questions = read_parts(text)
    assert questions[0].text == text
    assert all(choice.line.endswith(", or SHS 2x2x3/16 (heavier)") for choice in questions[0].choices)
    table = "qty,section,length,note\n2,SHS 2x2x1/8 or SHS 2x2x3/16,6-8,\n1,SHS 2x2x1/8,40 in,"
    _, questions = read_parts(table)
    assert all("2,SHS 2x2x1/8 or SHS 2x2x3/16," in choice.line for choice in questions[0].choices)
    assert questions[0].choices


def test_lines_go_to_the_only_yard_and_are_asked_about_where_there_are_two() -> None:
    offers = read(f"{TUBE}\n{TUBE}\nHarbour Steel:\n{TUBE}").offers
    placed, open_ = place_in_yards(offers, yards_named(offers))
    assert ([offer.yard for offer in placed], open_) == (["Harbour Steel"] * 3, ())
    placed, open_ = place_in_yards(offers, ["Harbour Steel", "North Yard Metals"])
    assert (placed, open_) == (offers, ((0, 2),))
    assert place_in_yards(offers[:2], []) == (offers[:2], ())


def test_a_job_of_lists_has_yards_breaks_and_substitutes() -> None:
    parts, _ = read_parts("4 - SHS 2x2x1/8 @ 80 or SHS 2x2x3/16 (heavier)")
    offers = read(f"Harbour Steel:\n{TUBE}, from 10: $57.90\nNorth Yard Metals:\n{TUBE}").offers
    job, problems = job_of_lists(parts.parts, offers, STATED)
    assert problems == ()
    assert [(stick.id, stick.yard, len(stick.breaks)) for stick in job.sticks] == [
        ("S1", "Harbour Steel", 1),
        ("S2", "North Yard Metals", 0),
    ]
    assert job.parts[0].substitutes[0].remark == "heavier"
    mixed = (*offers, *read(TUBE).offers)
    job, problems = job_of_lists(parts.parts, mixed, STATED)
    assert job is None
    assert "which yard is this line from?" in problems[0].message


def test_the_tables_for_programs_have_them_too() -> None:
    found, questions = read_offers(f"Harbour Steel:\n{TUBE}, from 10: $57.90", kind=Source.STICKS)
    offer = offers_table(found, questions)["offers"][0]
    assert offer["yard"] == "Harbour Steel"
    assert offer["breaks"] == [{"from_quantity": 10, "price": {"amount": "57.90", "per": "stick"}}]
    parts, questions = read_parts("4 - SHS 2x2x1/8 @ 80 or SHS 2x2x3/16 (heavier)")
    assert parts_table(parts, questions)["parts"][0]["substitutes"] == [
        {"section": "SHS 2x2x3/16", "material": "", "remark": "heavier"}
    ]


def test_the_echo_shows_them() -> None:
    found, questions = read_offers(f"Harbour Steel:\n{TUBE}\n from 10: $57.90", kind=Source.STICKS)
    shown = list(echo(found.lines, questions))
    assert "      = the yard of the lines below: Harbour Steel" in shown
    assert "      = for line 2: from 10: 57.90 USD each" in shown
