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
        '6 pcs 2x2x1/8 sq tube 6ft8 3/4"',
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
