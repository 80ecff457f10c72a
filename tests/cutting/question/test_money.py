"""Amounts: exact, refused where they are none; currencies as ISO 4217 has them."""

import doctest
from decimal import Decimal

import pytest
from babel.core import get_global

from cutting.question import money
from cutting.question.money import from_minor, is_currency, minor_digits, read_amount, round_half_up, to_minor

# ISO 4217 gives these two (IQD three) decimals; CLDR states what is used in daily life, which is none.
CUSTOMARILY_WHOLE = {"AFN", "ALL", "IQD", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER"}


def test_minor_digits_agree_with_unicode_cldr():
    # Unicode CLDR supplemental data (currency fractions), as packaged in babel
    fractions = get_global("currency_fractions")
    codes = [code for code in money._DIGITS if code not in CUSTOMARILY_WHOLE]
    assert len(codes) > 130
    different = {code for code in codes if fractions.get(code, fractions["DEFAULT"])[0] != minor_digits(code)}
    assert different == set()


def test_every_tender_of_today_is_known():
    territories = get_global("territory_currencies").values()
    tenders = {code for uses in territories for code, _since, until, tender in uses if tender and until is None}
    assert tenders - set(money._DIGITS) == set()


def test_currency_codes():
    assert is_currency("USD")
    assert is_currency("EUR")
    assert not any(map(is_currency, ["usd", "US", "", "dollar", "XXX", "$"]))
    with pytest.raises(ValueError, match="ISO 4217"):
        minor_digits("EURO")


@pytest.mark.parametrize(
    ("amount", "currency", "rounded"),
    [
        ("61.405", "USD", "61.41"),
        ("61.404999", "USD", "61.40"),
        ("0.005", "EUR", "0.01"),
        ("2.5", "JPY", "3"),
        ("3.5", "JPY", "4"),
        ("1.0005", "KWD", "1.001"),
        ("999999999999.995", "USD", "1000000000000.00"),
    ],
)
def test_halves_go_up(amount, currency, rounded):
    result = round_half_up(Decimal(amount), currency)
    assert str(result) == rounded


def test_minor_units_round_trip():
    assert to_minor(Decimal("61.40"), "USD") == 6140
    assert from_minor(6140, "USD") == Decimal("61.40")
    assert str(from_minor(6000, "USD")) == "60.00"
    assert to_minor(Decimal(61), "JPY") == 61
    assert from_minor(to_minor(Decimal("1.234"), "KWD"), "KWD") == Decimal("1.234")
    with pytest.raises(ValueError, match="smallest unit"):
        to_minor(Decimal("0.5"), "JPY")


@pytest.mark.parametrize(
    ("value", "amount"),
    [("61.40", "61.40"), (" 6 ", "6"), (".5", "0.5"), (0, "0"), (12, "12"), (Decimal("0.82"), "0.82"), ("0", "0")],
)
def test_read_amount(value, amount):
    assert read_amount(value) == Decimal(amount)


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("", "no amount"),
        ("abc", "no amount"),
        ("61,40", "point for decimals"),
        ("$6", "no amount"),
        ("1e9", "no amount"),
        ("NaN", "no amount"),
        (Decimal("NaN"), "no amount"),
        (Decimal("Infinity"), "no amount"),
        ("-1", "negative"),
        (-1, "negative"),
        (Decimal("-0.01"), "negative"),
        ("0.123456789", "digits"),
        (10**12, "digits"),
        pytest.param(10**5000, "digits", id="5001 digits"),
        (Decimal("1E+999"), "digits"),
        ("9" * 50, "no amount"),
        ("６", "no amount"),
    ],
)
def test_refused_amounts(value, says):
    with pytest.raises(ValueError, match=says) as caught:
        read_amount(value)
    assert len(str(caught.value)) < 200


@pytest.mark.parametrize("value", [6.1, True, None])
def test_refused_types(value):
    with pytest.raises(TypeError):
        read_amount(value)


def test_doctests():
    result = doctest.testmod(money)
    assert result.attempted > 5
    assert result.failed == 0
