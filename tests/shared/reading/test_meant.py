"""What can hardly be meant is asked, in a way that can be answered; sets are asked once; tables keep every column."""

from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question.job import PerStick, Source
from shared.reading import Kind, read_offers, read_parts


def parts_of(text: str) -> list[tuple[int, str, Fraction]]:
    found, questions = read_parts(text)
    assert questions == ()
    return [(part.quantity, part.section.name, part.length) for part in found.parts]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("2 off SHS 100x100x5 95", "is less than SHS 100x100x5 is deep"),
        ("2 off SHS 100x100x5 185 m", "is longer than any stick it could be cut from"),
        ("2 off FB 80x8 39", "is less than FLAT 80x8 is deep"),
    ],
)
def test_a_length_that_can_hardly_be_meant_is_asked_and_can_be_confirmed(text: str, why: str) -> None:
    found, (question,) = read_parts(text)
    assert found.parts == ()
    assert why in question.message
    as_it_stands = question.choices[-1].line
    assert as_it_stands == f"{text} (sure)"
    again, questions = read_parts(as_it_stands)
    assert questions == ()
    assert [part.note for part in again.parts] == [""]


def test_what_is_short_but_a_bar_is_not_asked() -> None:
    assert parts_of("2 off SHS 100x100x5 105\n4 off FB 80x8 60") == [
        (2, "SHS 100x100x5", Fraction(105)),
        (4, "FLAT 80x8", Fraction(60)),
    ]


def test_the_word_that_it_is_meant_stands_in_a_cell_as_well() -> None:
    table = "Qty,Section,Length\n2,SHS 100x100x5,95\n1,SHS 100x100x5,900\n"
    _, (question,) = read_parts(table)
    again, questions = read_parts(table.replace("2,SHS 100x100x5,95", question.choices[-1].line))
    assert questions == ()
    assert [part.length for part in again.parts] == [95, 900]


def test_a_price_far_off_its_neighbours_is_asked() -> None:
    lines = ["SHS 40x40x3 6000 £29.50", "SHS 60x60x3 6000 £4.58", "RHS 60x40x3 6000 £36.10", "SHS 50x50x3 6000 £37.40"]
    found, (question,) = read_offers("\n".join(lines), kind=Source.STICKS)
    assert (question.line, len(found.offers)) == (2, 3)
    again, questions = read_offers("\n".join([lines[0], question.choices[0].line, *lines[2:]]), kind=Source.STICKS)
    assert (questions, len(again.offers)) == ((), 4)


@pytest.mark.parametrize(
    ("heading", "quantities"),
    [
        ("4 Tische, pro Tisch:", [8, 16]),
        ("Kajakrek 2x maken, aantallen voor 1 rek", [4, 8]),
        ("6 mesas iguales, cantidades por mesa", [12, 24]),
        ("4 stands - quantities below are totals for all four", [2, 4]),
    ],
)
def test_sets_multiply_where_a_line_says_what_the_quantities_are_for(heading: str, quantities: list[int]) -> None:
    assert [each[0] for each in parts_of(f"{heading}\n2 x SHS 40x40x3 720\n4 x SHS 40x40x3 900")] == quantities


def test_sets_are_asked_once_where_it_does_not_and_either_answer_settles_them() -> None:
    below = "\n2 x SHS 40x40x3 720\n4 x SHS 40x40x3 900"
    found, (question,) = read_parts("FIREWOOD RACK (qty 4)" + below)
    assert (found.parts, question.line) == ((), 1)
    assert [line.kind for line in found.lines] == [Kind.QUESTION] * 3
    assert [[each[0] for each in parts_of(choice.line + below)] for choice in question.choices] == [[8, 16], [2, 4]]


def test_ditto_behind_a_quantity_is_a_part_and_multiplies_nothing() -> None:
    text = '2 off SHS 40x40x3 x 1200\n2 off ditto x 900\n3 off -"- x 640\n1 off as above 455'
    assert [(quantity, length) for quantity, _, length in parts_of(text)] == [(2, 1200), (2, 900), (3, 640), (1, 455)]


def test_feet_and_inches_in_two_columns_under_a_row_of_units() -> None:
    table = "Item\tSection\tLength\t\tQty\n\t\tft\tin\t\n1\t2x2x1/8 sq tube\t4\t6 1/2\t2\n2\t2x2x1/8 sq tube\t\t9\t8\n"
    assert [(quantity, length / Fraction("25.4")) for quantity, _, length in parts_of(table)] == [
        (2, Fraction(109, 2)),
        (8, 9),
    ]


def test_no_counts_pieces_or_rows_by_its_values() -> None:
    assert [each[0] for each in parts_of("No.\tSection\tLength\n4\tSHS 40x40x3\t1200\n12\tSHS 40x40x3\t900\n")] == [
        4,
        12,
    ]
    found, questions = read_parts("No.\tSection\tLength\n1\tSHS 40x40x3\t1200\n2\tSHS 40x40x3\t900\n")
    assert (found.parts, len(questions)) == ((), 2)


def test_two_columns_of_angles_are_the_ends() -> None:
    found, _ = read_parts("Pos\tAnz\tProfil\tLänge\tWinkel li\tWinkel re\n1\t2\tRR 60x40x3\t1720\t90\t90\n")
    assert [part.ends for part in found.parts] == [None]
    _, questions = read_parts("Pos\tAnz\tProfil\tLänge\tWinkel li\tWinkel re\n1\t2\tRR 60x40x3\t1720\t38\t52\n")
    assert questions


def test_a_price_list_without_a_header_is_told_by_what_its_columns_hold() -> None:
    text = "Quadratrohr 40x40x3;6000;28,90;12\nRechteckrohr 60x40x3;6000;35,75;7\nFlachstahl 50x6;6000;19,20;30\n"
    found, questions = read_offers(text, kind=Source.STICKS)
    assert questions == ()
    first = found.offers[0]
    assert (first.length, first.available, first.price) == (6000, 12, PerStick(amount=Decimal("28.90")))


@pytest.mark.parametrize(
    "text",
    [
        "a few SHS 40x40x3 500",
        "varias uds tubo redondo 48,3x3,2 de 400",
        "l off SHS 40x40x3 940",
        "2 off each hand flat 60x8 180",
        "2uds tubo 40x40x2 unos 1100",
        "two sq tube 2x2x1/8 34 3/4 strong",
        "2 off 50x50x3 SHS 1190 ends as drawing",
        "2 tube 50x50x3 lg 640 coupe biaise un côté",
    ],
)
def test_what_is_counted_measured_or_cut_roughly_is_asked(text: str) -> None:
    found, questions = read_parts(text)
    assert found.parts == ()
    assert len(questions) == 1


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("B2 2/1180 EA 50/50/6", 2),
        ("3 + 3 off RHS 60x40x3 1180", 6),
        ("two RHS 60x40x3 1180", 2),
        ("half dozen RHS 60x40x3 1180", 6),
        ("twee stuks koker 40x40x3 1180 mm", 2),
        ("4 x 40x5 flat 1180", 4),
    ],
)
def test_quantities_as_trades_write_them(text: str, quantity: int) -> None:
    assert [(found, length) for found, _, length in parts_of(text)] == [(quantity, Fraction(1180))]


@pytest.mark.parametrize(
    ("text", "price"),
    [
        ("SHS 60x60x3 6m was £49 now £41", "41"),
        ("Quadratrohr 40x40x4 6000 statt 36,00 nur 29,00 €", "29.00"),
        ("Plat 50x6 barre 6 m 17 €40", "17.40"),
        ("Flach 40x5, 6 m Stab: 13,-", "13"),
    ],
)
def test_prices_as_yards_write_them(text: str, price: str) -> None:
    found, questions = read_offers(text, kind=Source.STICKS)
    assert questions == ()
    assert [(offer.length, offer.available, offer.price) for offer in found.offers] == [
        (6000, None, PerStick(amount=Decimal(price)))
    ]


def test_a_smallest_number_is_asked_and_can_be_left_out() -> None:
    _, (question,) = read_offers("FB 40x5 6m £11.90 min 5 lengths", kind=Source.STICKS)
    found, questions = read_offers(question.choices[0].line, kind=Source.STICKS)
    assert questions == ()
    assert [(offer.available, offer.price) for offer in found.offers] == [(None, PerStick(amount=Decimal("11.90")))]


def test_columns_pasted_one_below_another_are_asked_once() -> None:
    text = "Section\nSHS 40x40x3\nSHS 40x40x3\nFB 50x6\nLength\n1200\n900\n300\nQty\n4\n2\n12\n"
    found, (question,) = read_parts(text)
    assert (found.parts, question.line) == ((), 1)
    assert len(parts_of("SHS 40x40x3\n1200\n900\n640\nRHS 60x40x3\n1480\n1200\n")) == 5


def test_a_material_stated_once_holds_where_a_line_names_none() -> None:
    found, questions = read_parts("All S355 unless marked\n4 off RHS 80x40x4 1620\n6 off flat 80x10 160 S275")
    assert questions == ()
    assert [part.section.material for part in found.parts] == ["S355", "s275"]


def test_one_material_is_written_in_one_way() -> None:
    found, questions = read_parts(
        "2 off SHS 40x40x3 A36 900\n3 off SHS 40x40x3 a36 700\n1 off SHS 40x40x3 V2A 500\n1 off SHS 40x40x3 SS304 400\n"
        "1 off SHS 40x40x3 HDG 640\n1 off SHS 40x40x3 galvanised 620\n1 off SHS 40x40x3 316L 610"
    )
    assert questions == ()
    assert len({part.section.key for part in found.parts}) == 4
    offers, _ = read_offers("SHS 40x40x3 verzinkt 6000 29.50 EUR", kind=Source.STICKS, known=[found.parts[4].section])
    assert offers.offers[0].section == found.parts[4].section


@pytest.mark.parametrize(
    ("text", "length"),
    [
        ("4 St Quadratrohr 40x40x3 1m20", "1200"),
        ("1 UPN 100 de 3m075", "3075"),
        ("2 off SHS 40x40x3 0.75mtrs", "750"),
        ("2 off SHS 40x40x3 1200 m.m.", "1200"),
        ("1 off 2x2x1/8 angle 3ft6", "1066.8"),
        ("1650mm of 40x40x3 SHS - 4 off", "1650"),
        ("2 x Quadratrohr 40x40x3 1.4301 900", "900"),
        ("2 x SHS 40x40x3 304L 980", "980"),
    ],
)
def test_lengths_as_trades_write_them(text: str, length: str) -> None:
    assert [each[2] for each in parts_of(text)] == [Fraction(length)]


@pytest.mark.parametrize("text", ["NOT NEEDED 2 off SHS 40x40x3 500", "1 - 2x2x1/8 box 2ft6 and a bit"])
def test_what_is_struck_or_left_open_is_asked(text: str) -> None:
    assert len(read_parts(text)[1]) == 1


def test_section_once_and_quantities_below_multiply_nothing() -> None:
    text = "SHS 40x40x3\n1200 - 4 off\n950 - 2 off"
    assert [(quantity, length) for quantity, _, length in parts_of(text)] == [(4, 1200), (2, 950)]
