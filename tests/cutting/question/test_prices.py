from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.question.errors import JobError
from cutting.question.job import Discount, Job, Part, PerLength, PerStick, PerWeight, Price, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.question.prices import lowest_rate, stick_prices

FOOT = Fraction(1524, 5)
POUND = Fraction("0.45359237")
# Mass of HSS 2x2x1/8: 3.05 lb/ft, AISC Steel Construction Manual table of HSS (nominal wall).
TUBE = Section(name="SHS 2x2x1/8", mass=Fraction("3.05") * POUND / FOOT * 1000)
PLAIN = Section(name="hat channel")


def stick(
    identity: str,
    length: Fraction,
    price: Price | None,
    source: Source = Source.STICKS,
    section: Section = TUBE,
    count: int | None = None,
) -> Stick:
    zero = Fraction(0)
    return Stick(
        id=identity, section=section, length=length, source=source, price=price, available=count, trims=(zero, zero)
    )


def job(*sticks: Stick, currency: str | None = "USD") -> Job:
    part = Part(mark="P1", section=TUBE, length=FOOT, quantity=1)
    return Job(parts=(part,), sticks=sticks, saw=Saw(kerf=Fraction(0)), unit=Unit.IN, currency=currency)


def test_a_stick_price_stands() -> None:
    assert stick_prices(job(stick("S1", 20 * FOOT, PerStick(amount=Decimal("61.40"))))) == {"S1": Decimal("61.40")}


def test_a_price_by_length_gives_the_stick_price_first() -> None:
    assert stick_prices(job(stick("S1", 20 * FOOT, PerLength(amount=Decimal("3.07"), per=FOOT)))) == {
        "S1": Decimal("61.40")
    }


def test_a_price_by_weight_uses_the_table_weight() -> None:
    # 20 ft at 3.05 lb/ft are 61 lb; at 0.82 a pound that is 50.02.
    assert stick_prices(job(stick("S1", 20 * FOOT, PerWeight(amount=Decimal("0.82"), per=POUND)))) == {
        "S1": Decimal("50.02")
    }


def test_a_hundredweight_is_a_hundred_pounds() -> None:
    pounds = stick("S1", 20 * FOOT, PerWeight(amount=Decimal("0.82"), per=POUND))
    hundreds = stick("S2", 20 * FOOT, PerWeight(amount=Decimal(82), per=100 * POUND))
    assert set(stick_prices(job(pounds, hundreds)).values()) == {Decimal("50.02")}


@pytest.mark.parametrize(
    ("currency", "per_metre", "expected"),
    [("USD", "1.005", "1.01"), ("USD", "1.0049", "1.00"), ("JPY", "120.5", "121"), ("KWD", "1.0005", "1.001")],
)
def test_prices_are_rounded_half_up_to_the_smallest_unit(currency: str, per_metre: str, expected: str) -> None:
    metre = Fraction(1000)
    found = stick_prices(job(stick("S1", metre, PerLength(amount=Decimal(per_metre), per=metre)), currency=currency))
    assert str(found["S1"]) == expected


def test_a_discount_comes_off_the_lowest_price_per_length_of_the_rounded_sticks() -> None:
    dear = stick("S1", 20 * FOOT, PerStick(amount=Decimal("61.40")))
    cheap = stick("S2", 24 * FOOT, PerStick(amount=Decimal("72.00")))
    other = stick("S3", 20 * FOOT, PerStick(amount=Decimal("1.00")), section=PLAIN)
    rack = stick("R1", 5 * FOOT, Discount(share=Decimal("0.40")), source=Source.RACK, count=1)
    cheaper_rack = stick("R2", 5 * FOOT, PerStick(amount=Decimal("0.10")), source=Source.RACK, count=1)
    whole = job(rack, dear, cheap, other, cheaper_rack)
    assert lowest_rate(whole, rack) == 3 / FOOT
    assert stick_prices(whole)["R1"] == Decimal("9.00")
    assert list(stick_prices(whole)) == ["R1", "S1", "S2", "S3", "R2"]


def test_the_discount_is_taken_from_rounded_prices() -> None:
    # 0.125 a metre on 1 m is 0.13 once rounded; half off 10 m of it is 0.65, not 0.625 -> 0.63.
    metre = Fraction(1000)
    base = stick("S1", metre, PerLength(amount=Decimal("0.125"), per=metre))
    rack = stick("R1", 10 * metre, Discount(share=Decimal("0.5")), source=Source.RACK, count=1)
    assert stick_prices(job(base, rack))["R1"] == Decimal("0.65")


def test_own_pieces_cost_nothing() -> None:
    assert stick_prices(job(stick("O1", FOOT, None, source=Source.OWN, count=1))) == {"O1": Decimal("0.00")}


def test_a_job_without_prices_has_none() -> None:
    own = stick("O1", FOOT, None, source=Source.OWN, count=1)
    assert stick_prices(job(stick("S1", FOOT, None), own, currency=None)) == {"S1": None, "O1": None}


@pytest.mark.parametrize(
    "unknown",
    [
        stick("X", FOOT, None),
        stick("X", FOOT, PerWeight(amount=Decimal(1), per=POUND), section=PLAIN),
        stick("X", FOOT, Discount(share=Decimal("0.4")), source=Source.RACK, section=PLAIN, count=1),
    ],
)
def test_a_price_that_cannot_be_known_is_an_error(unknown: Stick) -> None:
    known = stick("S1", FOOT, PerStick(amount=Decimal(1)))
    with pytest.raises(JobError) as caught:
        stick_prices(job(known, unknown))
    assert caught.value.problems[0].where == "X"
