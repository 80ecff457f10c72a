"""Values of the domain come back from the store equal in every field."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question.job import Break, Discount, PerLength, PerStick, PerWeight, Section, Source, Substitute
from shared.store.values import cut_of, pair_of, pair_text, parts_of, section_of, stick_of, value_text
from tests.shared.store.scene import FLAT, TUBE, mitre, part, planned, solved, stalls, stick

ODD = Section(
    name='odd "name" ü',
    material="Fe 1/3",
    mass=Fraction(1, 3),
    surface=None,
    family="",
    sides=(Fraction(1, 7),),
    source="x",
)


@pytest.mark.parametrize("section", [TUBE, FLAT, ODD, Section(name="plain")])
def test_sections(section: Section) -> None:
    assert section_of(value_text(section)) == section


@pytest.mark.parametrize(
    "price",
    [
        None,
        PerStick(amount=Decimal("12.30")),
        PerLength(amount=Decimal("0.10"), per=Fraction(127, 5)),
        PerWeight(amount=Decimal(2), per=Fraction(1)),
        Discount(share=Decimal("0.40")),
    ],
)
def test_sticks(price) -> None:
    whole = replace(
        stick("a", 6000, source=Source.RACK, usable=5990),
        price=price,
        yard="North",
        breaks=(Break(least=3, price=PerStick(amount=Decimal(7))),),
    )
    again = stick_of(value_text(whole))
    assert again == whole
    assert repr(again) == repr(whole), "types too: a fraction of whole mm stays a fraction, an enumeration stays one"


def test_parts_and_layouts() -> None:
    length, ends = mitre(700, 37)
    substitute = Substitute(section=FLAT, remark="or flat")
    parts = (replace(part("BRACE", 700, 3), ends=ends, length=length, substitutes=(substitute,)), part("LEG", 900, 1))
    assert parts_of(value_text(parts)) == parts
    plain = tuple(replace(each, substitutes=()) for each in parts)
    for cut in planned(solved(stalls(parts=plain))).cuts:
        again = cut_of(value_text(cut))
        assert again == cut
        assert repr(again) == repr(cut)


def test_pairs() -> None:
    assert pair_of(pair_text((Fraction(1, 3), Fraction(0)))) == (Fraction(1, 3), 0)
    assert pair_of(pair_text(None)) is None


def test_a_value_that_is_none_of_ours_is_refused() -> None:
    with pytest.raises(TypeError, match="float"):
        value_text((1.5,))
