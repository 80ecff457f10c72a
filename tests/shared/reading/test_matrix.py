"""Tables of section by length, as yards send them: a stick for each price, its length from the column."""

from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question.job import PerLength, PerStick, Source
from shared.reading import read_offers, read_parts

METRIC = [
    ("SHS 40x40x3", 6000, "38.20"),
    ("SHS 40x40x3", 7500, "47.10"),
    ("SHS 40x40x3", 12000, "74.00"),
    ("SHS 50x50x3", 6000, "49.00"),
    ("SHS 50x50x3", 12000, "96.00"),
]


@pytest.mark.parametrize(
    "text",
    [
        "Section\t6 m\t7.5 m\t12 m\nSHS 40x40x3\t38.20\t47.10\t74.00\nSHS 50x50x3\t49.00\t-\t96.00\n",
        "Preise in EUR\nProfil;6000;7500;12000\nSHS 40x40x3;38,20;47,10;74,00\nSHS 50x50x3;49,00;;96,00\n",
        (
            "size          6 m     7.5 m    12 m\n40x40x3 SHS   38.20   47.10    74.00\n"
            "50x50x3 SHS   49.00   n/a      96.00\n"
        ),
    ],
)
def test_each_price_is_a_stick_as_long_as_its_column_says(text):
    found, questions = read_offers(text, kind=Source.STICKS)
    assert questions == ()
    assert [(each.section.name, each.length, each.price) for each in found.offers] == [
        (name, Fraction(length), PerStick(amount=Decimal(price))) for name, length, price in METRIC
    ]


def test_feet_and_signs():
    found, questions = read_offers(
        "size    20'    24'\n2x2x1/8 sq tube   $61.40   $74.00\n3x3x1/8 sq tube   $88.00   $105\n", kind=Source.STICKS
    )
    assert questions == ()
    assert [(int(each.length / Fraction("304.8")), str(each.price.amount)) for each in found.offers] == [
        (20, "61.40"),
        (24, "74.00"),
        (20, "88.00"),
        (24, "105"),
    ]


def test_prices_by_length_where_the_corner_says_so():
    found, _ = read_offers("EUR/m;6 m;12 m\nSHS 40x40x3;6,40;6,20\n", kind=Source.STICKS)
    assert [each.price for each in found.offers] == [
        PerLength(amount=Decimal("6.40"), per=Fraction(1000)),
        PerLength(amount=Decimal("6.20"), per=Fraction(1000)),
    ]


def test_lengths_without_a_unit_are_asked_once():
    found, questions = read_offers("Profile;6;7.5;12\nSHS 40x40x3;38.20;47.10;74\n", kind=Source.STICKS)
    assert found.offers == ()
    assert [question.line for question in questions] == [1]
    assert "lengths in which unit?" in questions[0].message


def test_parts_by_section_and_length():
    found, questions = read_parts("Section,1200,900,450\nSHS 40x40x3,4,2,8\nSHS 50x50x3,,6,\n")
    assert questions == ()
    assert [(each.quantity, each.section.name, int(each.length)) for each in found.parts] == [
        (4, "SHS 40x40x3", 1200),
        (2, "SHS 40x40x3", 900),
        (8, "SHS 40x40x3", 450),
        (6, "SHS 50x50x3", 900),
    ]


def test_a_table_of_parts_stays_one():
    found, _ = read_parts("Frame A\t2\t4\nSHS 40x40x3\t1200\t4\nSHS 40x40x3\t900\t2\n")
    assert [(each.quantity, int(each.length)) for each in found.parts] == [(4, 1200), (2, 900)]
