"""Field types of the job file: each reads one value exactly or says what to write instead."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Final, NoReturn

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from cutting.question.errors import LengthError
from cutting.question.feasible import MOST_PIECES
from cutting.question.job import PerLength, PerWeight
from cutting.question.lengths import Unit, parse_length
from cutting.question.money import is_currency, minor_digits, read_amount

__all__ = [
    "WEIGHTS",
    "AmountField",
    "CountField",
    "CurrencyField",
    "FlagField",
    "KerfField",
    "LengthField",
    "NameField",
    "PerLengthField",
    "PerWeightField",
    "Reading",
    "ShareField",
    "TextField",
    "ToleranceField",
    "TrimsField",
    "UnitField",
    "amount_of",
    "readable",
    "refuse",
]

WEIGHTS: Final = {
    "lb": Fraction("0.45359237"),
    "kg": Fraction(1),
    "cwt": 100 * Fraction("0.45359237"),
    "t": Fraction(1000),
}
"""Units that steel is priced by, in kg: the international pound, the US hundredweight of 100 lb, the tonne."""

_LONGEST_NAME: Final = 100
_LONGEST_TEXT: Final = 500
_PER: Final = re.compile(r"\s*(?P<amount>[^/]*?)\s*/\s*(?P<unit>[A-Za-z]+)\s*")
_SHARE: Final = re.compile(r"\s*(?P<number>\d{1,3}(?:\.\d{1,8})?)\s*%\s*")


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """What a field must know about its job to be read.

    Attributes
    ----------
    unit : Unit
        What a bare number means.
    currency : str or None
        ISO 4217 code, None where none is stated.
    """

    unit: Unit
    currency: str | None


def refuse(message: str, position: int | None = None) -> NoReturn:
    """Refuse the value being read: say what to write instead, and where in the text a caret helps."""
    raise PydanticCustomError("value", "{message}", {"message": message, "position": position})


def _reading(info: ValidationInfo) -> Reading:
    if not isinstance(info.context, Reading):
        raise TypeError("a job file is read by read_job, which knows its unit")
    return info.context


def _length(value: Any, info: ValidationInfo) -> Fraction:
    length = _not_negative(value, info)
    if length == 0:
        refuse("must be longer than 0")
    return length


def _not_negative(value: Any, info: ValidationInfo) -> Fraction:
    try:
        return parse_length(value, _reading(info).unit)
    except LengthError as error:
        refuse(error.wanted, error.position if isinstance(value, str) else None)
    except TypeError:
        refuse('write a length as a number or a text, such as 80.5 or "6\' 8-1/2\\""')


def _trims(value: Any, info: ValidationInfo) -> tuple[Fraction, Fraction]:
    first, *rest = _one_or_two(value, info)
    return first, (rest[0] if rest else Fraction(0))


def _tolerance(value: Any, info: ValidationInfo) -> tuple[Fraction, Fraction]:
    first, *rest = _one_or_two(value, info)
    return first, (rest[0] if rest else first)


def _one_or_two(value: Any, info: ValidationInfo) -> list[Fraction]:
    if not isinstance(value, list | tuple):
        return [_not_negative(value, info)]
    if len(value) not in {1, 2}:
        refuse(f'write one length or a list of two, such as ["1/4", "1/8"]; this list has {len(value)}')
    return [_not_negative(each, info) for each in value]


def _count(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        refuse("write a whole number without quotes, such as 24")
    if value < 1:
        refuse("write a whole number of 1 or more")
    if value > MOST_PIECES:
        refuse(f"at most {MOST_PIECES}; check the number")
    return value


def _checked_text(value: Any, longest: int) -> str:
    if not isinstance(value, str):
        refuse('write a text in quotes, such as "posts"')
    text = value.strip()
    if len(text) > longest:
        refuse(f"at most {longest} characters, this has {len(text)}")
    for position, character in enumerate(value):
        if _is_control(character):
            refuse("a control character has no place in a text; delete it", position)
    return " ".join(text.split())


def _is_control(character: str) -> bool:
    return unicodedata.category(character) in {"Cc", "Cs"} and not character.isspace()


def readable(text: str) -> str:
    """Return a text as a job file can hold it: in one line, a space for what has no place in a text."""
    return " ".join("".join(" " if _is_control(character) else character for character in text).split())


def _name(value: Any) -> str:
    text = _checked_text(value, _LONGEST_NAME)
    if not text:
        refuse("is empty; write a name, or leave the field out where it may be missing")
    return text


def _text(value: Any) -> str:
    return _checked_text(value, _LONGEST_TEXT)


def _unit(value: Any) -> Unit:
    if isinstance(value, str) and value in {unit.value for unit in Unit}:
        return Unit(value)
    refuse(f"write what a bare number means: {', '.join(Unit)}")


def _currency(value: Any) -> str:
    if isinstance(value, str) and is_currency(value):
        return value
    if isinstance(value, str) and is_currency(value.strip().upper()):
        refuse(f'write it as "{value.strip().upper()}"')
    refuse('write the three-letter code of ISO 4217, such as "USD" or "EUR"')


def _plain_amount(value: Any) -> Decimal:
    try:
        return read_amount(value)
    except TypeError:
        refuse('write an amount as a number or a text, such as "61.40"')
    except ValueError as error:
        refuse(str(error))


def amount_of(value: Any, info: ValidationInfo) -> Decimal:
    """Read an amount that can be paid in the job's currency."""
    amount = _plain_amount(value)
    currency = _reading(info).currency
    if currency is not None and amount != round(amount, minor_digits(currency)):
        refuse(f"{currency} has {minor_digits(currency) or 'no'} decimals; write an amount that can be paid")
    return amount


def _per(value: Any, units: dict[str, Fraction], example: str) -> tuple[Decimal, Fraction]:
    found = _PER.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        refuse(f'write an amount and what it is for, such as "{example}"')
    if found["unit"] not in units:
        refuse(f'can\'t be priced by "{found["unit"]}"; write one of {", ".join(units)}', found.start("unit"))
    return _plain_amount(found["amount"]), units[found["unit"]]


def _per_length(value: Any) -> PerLength:
    amount, per = _per(value, {unit.value: unit.mm for unit in Unit}, "3.07/ft")
    return PerLength(amount=amount, per=per)


def _per_weight(value: Any) -> PerWeight:
    amount, per = _per(value, WEIGHTS, "0.82/lb")
    return PerWeight(amount=amount, per=per)


def _share(value: Any) -> Decimal:
    found = _SHARE.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        refuse('write a share with its sign, such as "40 %"')
    share = Decimal(found["number"]) / 100
    if share > 1:
        refuse("a discount is at most 100 %")
    return share


def _flag(value: Any) -> bool:
    if not isinstance(value, bool):
        refuse("write true or false, without quotes")
    return value


_MEASURE: Final = {"type": ["string", "number"], "examples": ["80 1/2", "6' 8-1/2\"", "2042.5 mm", 80.5]}
_PAIR: Final = {"anyOf": [_MEASURE, {"type": "array", "items": _MEASURE, "minItems": 1, "maxItems": 2}]}
_MONEY: Final = {"type": ["string", "number"], "examples": ["61.40"]}

LengthField = Annotated[Fraction, PlainValidator(_length), WithJsonSchema(_MEASURE)]
KerfField = Annotated[Fraction, PlainValidator(_not_negative), WithJsonSchema(_MEASURE)]
TrimsField = Annotated[tuple[Fraction, Fraction], PlainValidator(_trims), WithJsonSchema(_PAIR)]
ToleranceField = Annotated[tuple[Fraction, Fraction], PlainValidator(_tolerance), WithJsonSchema(_PAIR)]
CountField = Annotated[
    int, PlainValidator(_count), WithJsonSchema({"type": "integer", "minimum": 1, "maximum": MOST_PIECES})
]
NameField = Annotated[
    str, PlainValidator(_name), WithJsonSchema({"type": "string", "minLength": 1, "maxLength": _LONGEST_NAME})
]
TextField = Annotated[str, PlainValidator(_text), WithJsonSchema({"type": "string", "maxLength": _LONGEST_TEXT})]
UnitField = Annotated[Unit, PlainValidator(_unit), WithJsonSchema({"enum": [unit.value for unit in Unit]})]
CurrencyField = Annotated[
    str, PlainValidator(_currency), WithJsonSchema({"type": "string", "pattern": "^[A-Z]{3}$", "examples": ["USD"]})
]
FlagField = Annotated[bool, PlainValidator(_flag), WithJsonSchema({"type": "boolean"})]
AmountField = Annotated[Decimal, PlainValidator(amount_of), WithJsonSchema(_MONEY)]
PerLengthField = Annotated[
    PerLength, PlainValidator(_per_length), WithJsonSchema({"type": "string", "examples": ["3.07/ft", "9.80/m"]})
]
PerWeightField = Annotated[
    PerWeight,
    PlainValidator(_per_weight),
    WithJsonSchema({"type": "string", "examples": ["0.82/lb", "82/cwt", "1.35/kg"]}),
]
ShareField = Annotated[Decimal, PlainValidator(_share), WithJsonSchema({"type": "string", "examples": ["40 %"]})]
