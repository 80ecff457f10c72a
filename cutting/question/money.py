"""Money is `decimal.Decimal` in the job's currency; inside the solver it is whole minor units (cents)."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation, localcontext
from typing import Final

__all__ = ["from_minor", "is_currency", "minor_digits", "read_amount", "round_half_up", "to_minor"]

_ZERO_DIGITS: Final = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF"
_THREE_DIGITS: Final = "BHD IQD JOD KWD LYD OMR TND"
_TWO_DIGITS: Final = (
    "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY COP "
    "CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR "
    "JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN "
    "NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP "
    "SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG"
)
# ISO 4217:2015, list one (codes and minor units of the currencies in use), as it stood on 1 January 2026; written down
# from memory, not read off the published list. It states the minor unit that exists, where Unicode CLDR states what is
# customary: two decimals for HUF, COP and IDR here. Funds, metals and testing codes are left out; ANG and BGN, which
# the list dropped in 2025 and 2026, stay for jobs written before.
_DIGITS: Final = {
    **dict.fromkeys(_ZERO_DIGITS.split(), 0),
    **dict.fromkeys(_TWO_DIGITS.split(), 2),
    **dict.fromkeys(_THREE_DIGITS.split(), 3),
}

_MOST_PLACES: Final = 8
_LARGEST: Final = Decimal(10) ** 12
_LONGEST_SHOWN: Final = 40
_AMOUNT: Final = re.compile(r"\d{1,30}(?:\.\d{1,30})?|\.\d{1,30}")


def is_currency(code: str) -> bool:
    """Whether `code` is a currency of ISO 4217 that money is paid in.

    Examples
    --------
    >>> is_currency("USD"), is_currency("usd"), is_currency("XXX")
    (True, False, False)
    """
    return code in _DIGITS


def minor_digits(currency: str) -> int:
    """Return how many decimals a currency has (ISO 4217): 2 for EUR, 0 for JPY, 3 for KWD.

    Raises
    ------
    ValueError
        Not a currency of ISO 4217.

    Examples
    --------
    >>> minor_digits("EUR"), minor_digits("JPY"), minor_digits("KWD")
    (2, 0, 3)
    >>> minor_digits("dollars")
    Traceback (most recent call last):
    ValueError: 'dollars' is no currency code of ISO 4217; write three capital letters such as USD or EUR
    """
    if currency not in _DIGITS:
        shown = _shown(currency)
        raise ValueError(f"{shown!r} is no currency code of ISO 4217; write three capital letters such as USD or EUR")
    return _DIGITS[currency]


def round_half_up(amount: Decimal, currency: str) -> Decimal:
    """Round an amount to the currency's smallest unit, halves away from zero.

    Examples
    --------
    >>> round_half_up(Decimal("61.405"), "USD"), round_half_up(Decimal("61.5"), "JPY")
    (Decimal('61.41'), Decimal('62'))
    """
    with localcontext() as context:
        context.prec = 60
        return amount.quantize(Decimal(1).scaleb(-minor_digits(currency)), rounding=ROUND_HALF_UP)


def to_minor(amount: Decimal, currency: str) -> int:
    """Return an amount in whole minor units.

    Raises
    ------
    ValueError
        The amount has a share of a minor unit; round it first, where the rounding belongs.

    Examples
    --------
    >>> to_minor(Decimal("61.40"), "USD")
    6140
    >>> to_minor(Decimal("61.405"), "USD")
    Traceback (most recent call last):
    ValueError: 61.405 USD is no whole number of its smallest unit
    """
    scaled = amount.scaleb(minor_digits(currency))
    if scaled != scaled.to_integral_value():
        raise ValueError(f"{amount} {currency} is no whole number of its smallest unit")
    return int(scaled)


def from_minor(units: int, currency: str) -> Decimal:
    """Return whole minor units as an amount with the currency's decimals.

    Examples
    --------
    >>> from_minor(6140, "USD"), from_minor(6140, "JPY")
    (Decimal('61.40'), Decimal('6140'))
    """
    return Decimal(units).scaleb(-minor_digits(currency))


def read_amount(value: str | int | Decimal) -> Decimal:
    """Read an amount of money (or of money per something): 0 or more, with a point for decimals.

    Parameters
    ----------
    value : str, int or Decimal
        Up to 8 decimals (a price per millimetre has them) and below 10^12.

    Raises
    ------
    ValueError
        No amount, negative, endless, or with more digits than money has; the message says what to write.
    TypeError
        A binary float was given: it can't hold 0.10.

    Examples
    --------
    >>> read_amount("61.40")
    Decimal('61.40')
    >>> read_amount("61,40")
    Traceback (most recent call last):
    ValueError: '61,40' is no amount; write a plain number with a point for decimals, such as 61.40
    """
    if isinstance(value, (bool, float)) or not isinstance(value, (str, int, Decimal)):
        raise TypeError(f"an amount is given as text, int or Decimal, not as {type(value).__name__}")
    amount = _amount(value)
    exponent = amount.as_tuple().exponent
    if not isinstance(exponent, int):
        raise ValueError(f"{value} is no amount; write a plain number with a point for decimals, such as 61.40")  # noqa: TRY004
    if amount < 0:
        raise ValueError(f"{_shown(value)} is negative; an amount is 0 or more")
    if amount >= _LARGEST or exponent < -_MOST_PLACES:
        raise ValueError(f"{_shown(value)} has more digits than an amount of money; write at most 8 decimals")
    return abs(amount)


def _amount(value: str | int | Decimal) -> Decimal:
    """Return the value as a Decimal, whatever its size."""
    if isinstance(value, str):
        text = value.strip()
        if not text.isascii() or not _AMOUNT.fullmatch(text.removeprefix("-")):
            raise ValueError(
                f"{_shown(value)!r} is no amount; write a plain number with a point for decimals, such as 61.40"
            )
        return Decimal(text)
    try:
        return Decimal(value)
    except (InvalidOperation, ValueError) as error:
        raise ValueError("an amount has at most 12 digits before the point") from error


def _shown(value: str | int | Decimal) -> str:
    """Return a value short enough for a message."""
    if isinstance(value, int) and value.bit_length() > 4 * _LONGEST_SHOWN:
        return "the number"
    text = str(value)
    return text if len(text) <= _LONGEST_SHOWN else text[:_LONGEST_SHOWN] + "…"
