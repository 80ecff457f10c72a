"""Kinds of line that were misread without a word: money at the wrong number, glued letters, rough lengths."""

from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question.job import PerLength, PerStick, Source
from shared.reading import Kind, read_offers, read_parts
from tests.builders import inch


def offered(line: str, kind: Source = Source.STICKS) -> tuple:
    found, questions = read_offers(line, kind=kind)
    assert questions == (), questions
    (offer,) = found.offers
    return offer.section.name, offer.length, offer.price, offer.available


@pytest.mark.parametrize(
    ("line", "section", "length", "amount"),
    [
        ("2x2x1/8 tube 63 $6", "SHS 2x2x1/8", inch(63), "6"),
        ("SHS 40x40x3 6000 £29.50", "SHS 40x40x3", Fraction(6000), "29.50"),
        ("koker 40x40x3 6000 € 27,80", "SHS 40x40x3", Fraction(6000), "27.80"),
        ("Quadratrohr 40x40x3 6000 28,90 €", "SHS 40x40x3", Fraction(6000), "28.90"),
        ("Rundrohr 48,3x3,2 6000 € 31,-", "CHS 48.3x3.2", Fraction(6000), "31"),
        ("SHS 60x60x3 6m was £49 now £41", "SHS 60x60x3", Fraction(6000), "41"),
        ("SHS 40x40x3\t6000 mm\t£29.50\nSHS 50x50x3\t6000 mm\t£36.40", "SHS 40x40x3", Fraction(6000), "29.50"),
    ],
)
def test_a_sign_belongs_to_the_number_it_is_written_with(
    line: str, section: str, length: Fraction, amount: str
) -> None:
    found, questions = read_offers(line, kind=Source.STICKS)
    assert questions == ()
    first = found.offers[0]
    assert (first.section.name, first.length, first.price) == (section, length, PerStick(amount=Decimal(amount)))


def test_pieces_and_a_price_before_its_each() -> None:
    found = offered("2 x RHS 60x40x3 1780 £8 each", Source.RACK)
    assert found == ("RHS 60x40x3", Fraction(1780), PerStick(amount=Decimal(8)), 2)


def test_cents_are_money_and_no_count() -> None:
    section, length, price, available = offered("2x2x1/8 sq tube 24' 289¢/ft")
    assert (section, length, available) == ("SHS 2x2x1/8", inch(288), None)
    assert price == PerLength(amount=Decimal("2.89"), per=inch(12))


def test_a_sign_that_stands_free_between_two_such_numbers_is_asked_with_both_readings() -> None:
    _, questions = read_offers("SHS 40x40x3 63 $ 60", kind=Source.RACK, unit=None)
    assert [choice.reading for choice in questions[0].choices] == ["$60", "$63"]
    for choice in questions[0].choices:
        again, open_ = read_offers(choice.line, kind=Source.RACK)
        assert open_ == ()
        assert again.offers[0].price == PerStick(amount=Decimal(choice.reading.removeprefix("$")))


def test_a_price_for_the_lot_is_asked() -> None:
    _, questions = read_offers("4 x SHS 40x40x3 815 mm £10 the lot", kind=Source.RACK)
    assert "for all 4 together, or for each" in questions[0].message


@pytest.mark.parametrize("words", ["out of stock", "nicht lieferbar", "épuisé", "agotado", "esaurito", "uitverkocht"])
def test_what_can_t_be_had_is_not_offered_and_said(words: str) -> None:
    found, questions = read_offers(f"FB 50x10 6 m £29.90 {words}\nFB 40x10 6 m £24.90", kind=Source.RACK)
    assert [offer.section.name for offer in found.offers] == ["FLAT 40x10"]
    assert questions == ()
    assert found.lines[0].kind is Kind.REMARK
    assert found.lines[0].notes == (f"{words}: not offered",)


@pytest.mark.parametrize(
    "line",
    [
        "2 off SHS 40x40x3 85O",
        "2 off SHS 40x40x3 77S",
        "2 sq tube 2x2x1/8 34 5/8+",
        "2 sq tube 2x2x1/8 about 34",
        "2 sq tube 2x2x1/8 34 3/4 or 35",
        "4 tubo cuadrado 40x40x3 1200 en inglete",
        "4 tube carré 40x40x3 lg 1200 coupe d'onglet",
        "2 off SHS 40x40x3 500 bevel one end",
        "3 st hoeklijn 40x40x4 900 verstek",
    ],
)
def test_what_can_t_be_taken_at_its_word_is_asked(line: str) -> None:
    found, questions = read_parts(line)
    assert found.parts == ()
    assert len(questions) == 1


@pytest.mark.parametrize(
    ("line", "section", "material"),
    [
        ("n. 4 tubo quadro 40x40x3 zincato L 1200", "SHS 40x40x3", "zincato"),
        ("n. 2 piatto 50x6 L 640", "FLAT 50x6", ""),
        ("4 st koker 60x40x3 1200 mm", "RHS 60x40x3", ""),
        ("4 st hoeklijn 40x40x4 900 mm", "L 40x40x4", ""),
        ("4 uds tubo cuadrado 40x40x3 acero inoxidable 1200", "SHS 40x40x3", "inoxidable"),
        ("2 pcs V2A Quadratrohr 40x40x3 1200", "SHS 40x40x3", "V2A"),
    ],
)
def test_families_and_materials_of_six_languages(line: str, section: str, material: str) -> None:
    found, questions = read_parts(line)
    assert questions == ()
    (part,) = found.parts
    assert part.section.name == section
    assert part.section.material.lower() == material.lower()


def lengths(text: str) -> tuple[list[Fraction], list[str]]:
    found, questions = read_parts(text)
    return [part.length for part in found.parts], [question.text for question in questions]


def test_bare_lengths_beside_cm_are_asked_where_mm_may_be_meant() -> None:
    cm = "4 off SHS 40x40x3 60 cm"
    assert lengths(f"{cm}\n2 off SHS 40x40x3 85") == ([Fraction(600), Fraction(850)], [])
    assert lengths(f"{cm}\n2 off SHS 40x40x3 750") == ([Fraction(600)], ["2 off SHS 40x40x3 750"])
    assert lengths(f"{cm}\n2 off SHS 40x40x3 1850") == ([Fraction(600), Fraction(1850)], [])


def test_bare_lengths_beside_metres_are_mm_where_nothing_is_so_many_metres_long() -> None:
    m = "4 off SHS 40x40x3 2.1 m"
    assert lengths(f"{m}\n2 off SHS 40x40x3 1.95") == ([Fraction(2100), Fraction(1950)], [])
    assert lengths(f"{m}\n2 off SHS 40x40x3 2400") == ([Fraction(2100), Fraction(2400)], [])
    found, _ = read_parts(f"{m}\n2 off SHS 40x40x3 2400")
    assert "2400 taken as mm: nothing is 2400 m long" in found.lines[1].notes


@pytest.mark.parametrize(
    "line",
    [
        "4 off SHS 40x40x3 1200?",
        "4? off SHS 40x40x3 1200",
        "4 off SHS 40x40x3 1200 max",
        "4 off SHS 40x40x3 min 1200",
        "4 off SHS 40x40x3 -1200",
        "4 off SHS 40x40x3 half 1200",
        "4 off SHS 40x40x3 double 1200",
        "no SHS 40x40x3 1200",
        "keine SHS 40x40x3 1200",
        "tubolare 40x40x3 pz 4 L=640 tagli a 45",
        "4 tubes carrés 40x40x3 640 coupés à 45",
        "4 off SHS 40x40x3 48",
    ],
)
def test_a_length_that_is_left_open_or_hardly_meant_is_asked(line: str) -> None:
    found, questions = read_parts(line)
    assert found.parts == ()
    assert [question.text for question in questions] == [line]


@pytest.mark.parametrize(
    ("line", "section", "length", "quantity"),
    [
        ("6 piatti 80x8 da cm 20", "FLAT 80x8", 200, 6),
        ("n. 6 tubolari quadri 40x40x2 da mm 900", "SHS 40x40x2", 900, 6),
        ("2 angolari 40x40x4 cm 75", "L 40x40x4", 750, 2),
        ("tondo ø12 n° 8 mm 300", "ROUND 12", 300, 8),
        ("piatto 50x6 pz 8 L=120", "FLAT 50x6", 120, 8),
        ("piatto 30x4 pz. 10 lungh. 250", "FLAT 30x4", 250, 10),
        ("4 tubos rectangulares 60x40x2 de 1,80 mts", "RHS 60x40x2", 1800, 4),
        ("6 tubes rectangles 60x30x2 longueur 85 cm", "RHS 60x30x2", 850, 6),
        ("n. 4 tubolari rett. 50x30x2 L. 1200", "RHS 50x30x2", 1200, 4),
        ("2 No 50 x 5 FLT x 2350", "FLAT 50x5", 2350, 2),
    ],
)
def test_units_before_their_number_and_more_words_for_sections(
    line: str, section: str, length: int, quantity: int
) -> None:
    found, questions = read_parts(line)
    assert questions == ()
    assert [(part.section.name, part.length, part.quantity) for part in found.parts] == [(section, length, quantity)]


def test_a_quoted_line_is_asked_unless_all_are_quoted() -> None:
    own, quoted = "4 off SHS 40x40x3 1200", "> 2 off SHS 40x40x3 900"
    assert lengths(f"{own}\n{quoted}") == ([Fraction(1200)], [quoted])
    assert lengths(f"> {own}\n{quoted}") == ([Fraction(1200), Fraction(900)], [])


def test_a_full_length_that_is_not_stated_is_asked_and_heads_no_list() -> None:
    found, questions = read_offers("FB 50x6 - full length\nSHS 40x40x3 1200", kind=Source.RACK)
    assert [question.line for question in questions] == [1]
    assert [offer.length for offer in found.offers] == [Fraction(1200)]


def test_rods_that_are_bought_ready_are_no_bars() -> None:
    found, questions = read_parts("4 pcs 2x2x1/8 sq tube 54\n1 ea drop rod 5/8 x 24\n4 tie rods round 5/8 24")
    assert questions == ()
    assert [each.quantity for each in found.also] == [1]
    assert [part.section.name for part in found.parts] == ["SHS 2x2x1/8", "ROUND 5/8"]
