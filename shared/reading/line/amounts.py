"""Amounts of money with their currency and what they are for, in cells and in text."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Final

from cutting.question.money import is_currency
from shared.reading.values.draft import Ask, Draft, Money, Rewrite

__all__ = ["AMOUNT", "CURRENCY", "HUNDRED", "PER", "money_of", "read_price", "read_sum"]

_SIGNS: Final = {"€": "EUR", "£": "GBP", "$": "USD", "¥": "JPY", "₹": "INR", "zł": "PLN", "kč": "CZK"}
_CODES: Final = r"USD|EUR|GBP|CAD|AUD|NZD|CHF|SEK|NOK|DKK|PLN|CZK|JPY|MXN|ZAR|INR|BRL"
CURRENCY: Final = rf"(?:(?:{_CODES}|euros?|dollars?)(?![A-Za-z])|(?:US|CA|AU|NZ)?\$|€|£|¥|₹|zł|Kč)"
AMOUNT: Final = r"(?:\d{1,3}(?:[ '\u00a0,.]\d{3})+(?:[.,]\d{2})?(?!\d)|\d{1,7}(?:[.,]\d{1,4})?|[.,]\d{1,4})"
PER: Final = (
    r"(?:(?:\s*(?:p?/|per\b|pro\b|par\b|por\b|je\b|a\b)\s*|\s+(?=(?:lbs?|cwt)\b))(?P<per>100\s*kg|kgs?|lbs?|pounds?|cwt|t|ton(?:ne)?s?|ft"
    r"|foot|feet|lfdm|lfd\.?\s?m|lfm|lm|ml|m(?:et(?:er|re))?|mètre"
    r"|metro|mm|cm|in(?:ch)?|ea(?:ch)?|pcs?|piece|stick|bar|length|st(?:k|ück|ab|ange)?|barre|barra|pièce|unité"
    r"|ud)(?![^\W_])\.?"
    r"|\s*(?P<each>each|ea\.?|apiece|a\s+piece|pro\s+stück|pièce|c/u))?"
)
_LENGTHS: Final = {"ft": "304.8", "foot": "304.8", "feet": "304.8", "in": "25.4", "inch": "25.4", "mm": "1", "cm": "10"}
_WEIGHTS: Final = {
    "lb": "0.45359237",
    "lbs": "0.45359237",
    "pound": "0.45359237",
    "pounds": "0.45359237",
    "cwt": "45.359237",
    "kg": "1",
    "kgs": "1",
    "t": "1000",
    "ton": "1000",
    "tons": "1000",
    "tonne": "1000",
    "tonnes": "1000",
}
_METRES: Final = frozenset({"lfdm", "lfd.m", "lfdm.", "m", "ml", "lfm", "lm", "meter", "metre", "mètre", "metro"})
HUNDRED: Final = 100
_GROUP: Final = 3


def money_of(draft: Draft, amount: str, per: str, sign: str, position: int) -> Money | None:
    """Return a price; asks where its amount has two readings."""
    value = _amount(amount)
    unit = per.lower().replace(" ", "").rstrip(".")
    if value is None:
        _ask_amount(draft, amount, position)
        return None
    currency = _currency(sign)
    if sign == "$":
        draft.notes.append("$ taken as USD")
    if unit == "100kg":
        return Money(amount=value / HUNDRED, per="weight", base=Fraction(1), currency=currency)
    if unit in _WEIGHTS:
        return Money(amount=value, per="weight", base=Fraction(_WEIGHTS[unit]), currency=currency)
    if unit in _METRES:
        return Money(amount=value, per="length", base=Fraction(1000), currency=currency)
    if unit in _LENGTHS:
        return Money(amount=value, per="length", base=Fraction(_LENGTHS[unit]), currency=currency)
    return Money(amount=value, currency=currency)


def _currency(sign: str) -> str:
    """Return the ISO 4217 code of a currency's sign or code."""
    upper = sign.upper()
    if upper.startswith(("EURO", "DOLLAR")):
        return "EUR" if upper.startswith("EURO") else "USD"
    if is_currency(upper):
        return upper
    prefixed = {"US$": "USD", "CA$": "CAD", "AU$": "AUD", "NZ$": "NZD"}
    return prefixed.get(upper) or _SIGNS.get(sign.lower(), "")


def _amount(text: str) -> Decimal | None:
    """Return an amount; None where a sign may be a decimal's or a group's."""
    body = re.sub(r"[ '\u00a0]", "", text)
    last = max(body.rfind("."), body.rfind(","))
    if last < 0:
        return Decimal(body)
    digits, tail = re.sub(r"\D", "", body[:last]), body[last + 1 :]
    mixed = {"."} <= set(body) and {","} <= set(body)
    if len(tail) == _GROUP and digits not in {"", "0"} and not mixed:
        return Decimal(digits + tail) if body.count(body[last]) > 1 else None
    return Decimal(f"{digits or '0'}.{tail}")


def _ask_amount(draft: Draft, text: str, position: int) -> None:
    """Ask whether a sign in an amount is a decimal's or a thousands separator."""
    readings = (re.sub(r"\D", "", text), f"{text.replace(',', '.')}0")
    draft.asks.append(
        Ask(
            message=f"{text} as a price is {readings[0]} or {readings[1]}? write it without a thousands separator",
            position=position,
            rewrites=tuple(
                Rewrite(reading=reading, start=position, end=position + len(text), text=reading) for reading in readings
            ),
        )
    )


def read_price(text: str, draft: Draft, *, header: str = "") -> Money | None:
    """Read a cell of a price column; None where it is empty or open (then the draft has a question)."""
    body = text.strip()
    if not body:
        return None
    if body.endswith("%"):
        share = _amount(body.rstrip("% "))
        return None if share is None else Money(amount=share / HUNDRED, per="discount")
    found = re.fullmatch(
        rf"(?P<before>{CURRENCY})?\s*(?P<amount>{AMOUNT})\s*(?P<after>{CURRENCY})?{PER}", body, re.IGNORECASE
    )
    if found is None:
        draft.asks.append(
            Ask(
                message=f"{body} is no price; write an amount such as 61.40, 3.07/ft or 0.82/lb",
                position=0,
                rewrites=(Rewrite(reading="no price", start=0, end=len(text), text=""),),
            )
        )
        return None
    sign = found["before"] or found["after"] or _sign_in(header)
    per = found["per"] or _per_in(header)
    return money_of(draft, found["amount"], per, sign, 0)


def read_sum(text: str) -> tuple[Decimal, str] | None:
    """Read an amount that stands by itself, with its currency's code where it states one; None where it is none.

    Examples
    --------
    >>> read_sum("$45"), read_sum("45,00 €"), read_sum("12.50"), read_sum("a lot")
    ((Decimal('45'), 'USD'), (Decimal('45.00'), 'EUR'), (Decimal('12.50'), ''), None)
    """
    found = re.fullmatch(
        rf"(?P<before>{CURRENCY})?\s*(?P<amount>{AMOUNT})\s*(?P<after>{CURRENCY})?", text.strip(), re.IGNORECASE
    )
    value = None if found is None else _amount(found["amount"])
    if found is None or value is None:
        return None
    return value, _currency(found["before"] or found["after"] or "")


def _sign_in(header: str) -> str:
    found = re.search(CURRENCY, header, re.IGNORECASE)
    return found.group() if found else ""


def _per_in(header: str) -> str:
    found = re.search(
        r"(?:/|per|pro|par|por)\s*(ft|foot|feet|lbs?|kg|cwt|100\s*kg|lfm|lfdm|lm|ml|m|met(?:er|re)|t|ton(?:ne)?)(?![^\W_])",
        header,
        re.IGNORECASE,
    )
    return found.group(1) if found else ""
