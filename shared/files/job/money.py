"""Kinds of fields of the job file that say amounts, prices, rates and weights."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Final

from cutting.question.job import Discount, PerLength, PerStick, PerWeight
from cutting.question.lengths import Unit
from cutting.question.money import minor_digits, read_amount
from cutting.question.yards import Charge
from shared.files.job.fields import Kind, Reading, digits, refuse

__all__ = [
    "WEIGHTS",
    "AmountField",
    "ChargesField",
    "DiscountField",
    "FeeField",
    "PerLengthField",
    "PerWeightField",
    "PriceField",
    "RateField",
    "WeightField",
]

WEIGHTS: Final = {
    "lb": Fraction("0.45359237"),
    "kg": Fraction(1),
    "cwt": 100 * Fraction("0.45359237"),
    "t": Fraction(1000),
}
"""Units that steel is priced by, in kg: the international pound, the US hundredweight of 100 lb, the tonne."""

_LENGTHS: Final = {unit.value: unit.mm for unit in Unit}
_PER: Final = re.compile(r"\s*(?P<amount>[^/]*?)\s*/\s*(?P<unit>[A-Za-z]+)\s*")
_SHARE: Final = re.compile(r"\s*(?P<number>\d{1,3}(?:\.\d{1,8})?)\s*%\s*")
_WEIGHT: Final = re.compile(r"\s*(?P<number>\d{1,30}(?:\.\d{1,30}|/[1-9]\d{0,29})?)\s*(?P<unit>[A-Za-z]+)\s*")


def _plain_amount(value: Any) -> Decimal:
    try:
        return read_amount(value)
    except TypeError:
        refuse('write an amount as a number or a text, such as "61.40"')
    except ValueError as error:
        refuse(str(error))


def _amount(value: Any, reading: Reading) -> Decimal:
    """Read an amount that can be paid in the job's currency."""
    amount, currency = _plain_amount(value), reading.currency
    if currency is not None and amount != round(amount, minor_digits(currency)):
        refuse(f"{currency} has {minor_digits(currency) or 'no'} decimals; write an amount that can be paid")
    return amount


def _amount_text(amount: Decimal, _: Reading) -> str:
    return f"{amount:f}"


def _price(value: Any, reading: Reading) -> PerStick:
    return PerStick(amount=_amount(value, reading))


def _price_text(price: PerStick, reading: Reading) -> str:
    return _amount_text(price.amount, reading)


def _fee(value: Any, reading: Reading) -> Decimal | None:
    if value is False:
        return None
    if value is True:
        refuse("write what it costs, 0 where it costs nothing, or false where it isn't done at all")
    return _amount(value, reading)


def _fee_text(fee: Decimal | None, reading: Reading) -> str | bool:
    return False if fee is None else _amount_text(fee, reading)


def _per(value: Any, units: dict[str, Fraction], example: str) -> tuple[Decimal, Fraction]:
    found = _PER.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        refuse(f'write an amount and what it is for, such as "{example}"')
    if found["unit"] not in units:
        refuse(f'can\'t be priced by "{found["unit"]}"; write one of {", ".join(units)}', found.start("unit"))
    return _plain_amount(found["amount"]), units[found["unit"]]


def _per_length(value: Any, _: Reading) -> PerLength:
    amount, per = _per(value, _LENGTHS, "3.07/ft")
    return PerLength(amount=amount, per=per)


def _per_weight(value: Any, _: Reading) -> PerWeight:
    amount, per = _per(value, WEIGHTS, "0.82/lb")
    return PerWeight(amount=amount, per=per)


def _per_text(price: PerLength | PerWeight, reading: Reading) -> str:
    units, what = (_LENGTHS, "mm") if isinstance(price, PerLength) else (WEIGHTS, "kg")
    unit = next((unit for unit, base in units.items() if base == price.per), None)
    if unit is None:
        raise ValueError(f"no unit of the job file is {price.per} {what}")
    return f"{_amount_text(price.amount, reading)}/{unit}"


def _share(value: Any, what: str, example: str) -> Decimal:
    found = _SHARE.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        refuse(f'write a {what} with its sign, such as "{example}"')
    return Decimal(found["number"]) / 100


def _discount(value: Any, _: Reading) -> Discount:
    share = _share(value, "share", "40 %")
    if share > 1:
        refuse("a discount is at most 100 %")
    return Discount(share=share)


def _discount_text(discount: Discount, reading: Reading) -> str:
    return _rate_text(discount.share, reading)


def _rate(value: Any, _: Reading) -> Decimal:
    rate = _share(value, "rate", "8.25 %")
    if rate > 1:
        refuse("a rate is at most 100 %")
    return rate


def _rate_text(rate: Decimal, _: Reading) -> str:
    return f"{(rate * 100).normalize():f} %"


def _charges(value: Any, _: Reading) -> tuple[Charge, ...]:
    known = [charge.value for charge in Charge]
    if not isinstance(value, list | tuple) or not value or not all(isinstance(each, str) for each in value):
        refuse(f"write a list of what it applies to: {', '.join(known)}")
    for each in value:
        if each not in known:
            refuse(f"it can't apply to {each!r}; write any of {', '.join(known)}")
    if len(set(value)) < len(value):
        refuse("write each of what it applies to once")
    return tuple(charge for charge in Charge if charge.value in value)


def _charges_text(charges: tuple[Charge, ...], _: Reading) -> list[str]:
    return [charge.value for charge in charges]


def _weight(value: Any, _: Reading) -> Fraction:
    found = _WEIGHT.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        refuse('write a weight with its unit, such as "900 lb" or "400 kg"')
    if found["unit"] not in WEIGHTS:
        refuse(f'"{found["unit"]}" is no unit of weight here; write one of {", ".join(WEIGHTS)}', found.start("unit"))
    weight = Fraction(found["number"]) * WEIGHTS[found["unit"]]
    if not weight:
        refuse("must be more than 0")
    return weight


def _weight_text(kg: Fraction, reading: Reading) -> str:
    """Write a weight in the unit that holds it in fewest digits, pounds first beside inches and feet."""
    names = ["lb", "kg", "t"] if reading.unit in {Unit.IN, Unit.FT} else ["kg", "t", "lb"]
    texts = {name: text for name in names if (text := digits(kg / WEIGHTS[name])) is not None}
    if not texts:
        return f"{kg} kg"
    name = min(texts, key=lambda each: len(texts[each]))
    return f"{texts[name]} {name}"


def _texts(*examples: str) -> dict[str, Any]:
    return {"type": "string", "examples": list(examples)}


_MONEY: Final = {"type": ["string", "number"], "examples": ["61.40"]}
_FEE: Final = {"anyOf": [{"type": ["string", "number"]}, {"const": False}], "examples": ["45.00", False]}
_CHARGES: Final = {
    "type": "array",
    "items": {"enum": [charge.value for charge in Charge]},
    "minItems": 1,
    "uniqueItems": True,
    "default": [charge.value for charge in Charge],
}

AmountField = Annotated[Decimal, Kind(_amount, _amount_text, _MONEY)]
PriceField = Annotated[PerStick, Kind(_price, _price_text, _MONEY)]
PerLengthField = Annotated[PerLength, Kind(_per_length, _per_text, _texts("3.07/ft", "9.80/m"))]
PerWeightField = Annotated[PerWeight, Kind(_per_weight, _per_text, _texts("0.82/lb", "82/cwt", "1.35/kg"))]
DiscountField = Annotated[Discount, Kind(_discount, _discount_text, _texts("40 %"))]
FeeField = Annotated[Decimal | None, Kind(_fee, _fee_text, _FEE)]
RateField = Annotated[Decimal, Kind(_rate, _rate_text, _texts("8.25 %"))]
ChargesField = Annotated[tuple[Charge, ...], Kind(_charges, _charges_text, _CHARGES)]
WeightField = Annotated[Fraction, Kind(_weight, _weight_text, _texts("900 lb", "400 kg"))]
