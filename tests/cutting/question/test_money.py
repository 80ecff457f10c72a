"""Amounts: exact, refused where they are none; currencies as ISO 4217 has them."""

import doctest
from decimal import Decimal

import pytest

from cutting.question import money
from cutting.question.money import from_minor, is_currency, minor_digits, read_amount, round_half_up, to_minor

# ISO 4217:2015, list one, as it stood on 1 January 2026: codes by where they are tender, with the decimals of their
# minor unit. Written down from memory, apart from the table it checks and in another order; Unicode CLDR has fewer
# decimals for many of these (HUF, COP, IDR, ...), since it states what is customary.
LIST_ONE = {
    "Europe": {2: "ALL BAM CHF CZK DKK EUR GBP GIP HUF MDL MKD NOK PLN RON RSD SEK TRY UAH", 0: "ISK"},
    "Russia, Caucasus, Central Asia": {2: "AMD AZN BYN GEL KGS KZT RUB TJS TMT UZS"},
    "Near East": {2: "AED ILS IRR LBP QAR SAR SYP YER", 3: "BHD IQD JOD KWD OMR"},
    "South Asia": {2: "AFN BDT BTN INR LKR MVR NPR PKR"},
    "East Asia": {2: "CNY HKD KPW MNT MOP TWD", 0: "JPY KRW"},
    "South-East Asia": {2: "BND IDR KHR LAK MMK MYR PHP SGD THB", 0: "VND"},
    "Pacific": {2: "AUD FJD NZD PGK SBD TOP WST", 0: "VUV XPF"},
    "North America": {2: "CAD MXN USD"},
    "Central America": {2: "BZD CRC GTQ HNL NIO PAB SVC"},
    "Caribbean, Bermuda": {2: "AWG BBD BMD BSD CUP DOP HTG JMD KYD TTD XCD XCG"},
    "South America, Falklands": {2: "ARS BOB BRL COP FKP GYD PEN SRD UYU VED VES", 0: "CLP PYG"},
    "North Africa": {2: "DZD EGP MAD MRU SDG", 3: "LYD TND"},
    "West Africa, Saint Helena": {2: "CVE GHS GMD LRD NGN SHP SLE", 0: "GNF XOF"},
    "Central Africa": {2: "AOA CDF STN", 0: "BIF RWF XAF"},
    "East Africa, Indian Ocean": {2: "ERN ETB KES MGA MUR SCR SOS SSP TZS", 0: "DJF KMF UGX"},
    "Southern Africa": {2: "BWP LSL MWK MZN NAD SZL ZAR ZMW ZWG"},
}
DROPPED = {"ANG": 2, "BGN": 2}  # Netherlands Antilles (2025) and Bulgaria (2026): tender when older jobs were written


def test_currencies_and_their_minor_units_are_those_of_iso_4217() -> None:
    listed = [(code, digits) for area in LIST_ONE.values() for digits, codes in area.items() for code in codes.split()]
    expected = dict(listed) | DROPPED
    assert len(listed) + len(DROPPED) == len(expected)
    assert {code: minor_digits(code) for code in money._DIGITS} == expected


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
