"""Field types of yards' terms and of the road: fees, rates, weights, yes and no."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Final

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema

from cutting.question.yards import Charge
from shared.files.job.fields import WEIGHTS, amount_of, refuse

__all__ = ["ChargesField", "FeeField", "FreeField", "RateField", "WeightField", "YesField"]

_WEIGHT: Final = re.compile(r"\s*(?P<number>\d{1,30}(?:\.\d{1,30}|/[1-9]\d{0,29})?)\s*(?P<unit>[A-Za-z]+)\s*")
_RATE: Final = re.compile(r"\s*(?P<number>\d{1,3}(?:\.\d{1,8})?)\s*%\s*")
_MOST_FREE: Final = 100_000


def _fee(value: Any, info: ValidationInfo) -> Decimal | None:
    if value is False:
        return None
    if value is True:
        refuse("write what it costs, 0 where it costs nothing, or false where it isn't done at all")
    return amount_of(value, info)


def _weight(value: Any) -> Fraction:
    found = _WEIGHT.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        refuse('write a weight with its unit, such as "900 lb" or "400 kg"')
    if found["unit"] not in WEIGHTS:
        refuse(f'"{found["unit"]}" is no unit of weight here; write one of {", ".join(WEIGHTS)}', found.start("unit"))
    weight = Fraction(found["number"]) * WEIGHTS[found["unit"]]
    if not weight:
        refuse("must be more than 0")
    return weight


def _rate(value: Any) -> Decimal:
    found = _RATE.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        refuse('write a rate with its sign, such as "8.25 %"')
    rate = Decimal(found["number"]) / 100
    if rate > 1:
        refuse("a rate is at most 100 %")
    return rate


def _charges(value: Any) -> tuple[Charge, ...]:
    known = [charge.value for charge in Charge]
    if not isinstance(value, list | tuple) or not value or not all(isinstance(each, str) for each in value):
        refuse(f"write a list of what it applies to: {', '.join(known)}")
    for each in value:
        if each not in known:
            refuse(f"it can't apply to {each!r}; write any of {', '.join(known)}")
    if len(set(value)) < len(value):
        refuse("write each of what it applies to once")
    return tuple(charge for charge in Charge if charge.value in value)


def _free(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= _MOST_FREE:
        refuse(f"write a whole number from 0 to {_MOST_FREE}, without quotes")
    return value


def _yes(value: Any) -> bool:
    if not isinstance(value, bool):
        refuse("write true or false, without quotes")
    return value


FeeField = Annotated[
    Decimal | None,
    PlainValidator(_fee),
    WithJsonSchema({"anyOf": [{"type": ["string", "number"]}, {"const": False}], "examples": ["45.00", False]}),
]
WeightField = Annotated[
    Fraction, PlainValidator(_weight), WithJsonSchema({"type": "string", "examples": ["900 lb", "400 kg"]})
]
RateField = Annotated[Decimal, PlainValidator(_rate), WithJsonSchema({"type": "string", "examples": ["8.25 %"]})]
ChargesField = Annotated[
    tuple[Charge, ...],
    PlainValidator(_charges),
    WithJsonSchema(
        {
            "type": "array",
            "items": {"enum": [charge.value for charge in Charge]},
            "minItems": 1,
            "uniqueItems": True,
            "default": [charge.value for charge in Charge],
        }
    ),
]
FreeField = Annotated[
    int, PlainValidator(_free), WithJsonSchema({"type": "integer", "minimum": 0, "maximum": _MOST_FREE})
]
YesField = Annotated[bool, PlainValidator(_yes), WithJsonSchema({"type": "boolean"})]
