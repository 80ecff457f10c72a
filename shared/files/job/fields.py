"""Kinds of fields of the job file: how one reads a value exactly or says what to write, and how it is written again."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, Final, NoReturn

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, PydanticCustomError
from pydantic_core.core_schema import (
    SerializationInfo,
    plain_serializer_function_ser_schema,
    with_info_plain_validator_function,
)

from cutting.question.errors import LengthError
from cutting.question.feasible import MOST_PIECES
from cutting.question.lengths import Unit, format_length, parse_length
from cutting.question.money import is_currency

__all__ = [
    "CountField",
    "CurrencyField",
    "FlagField",
    "FreeField",
    "KerfField",
    "Kind",
    "LengthField",
    "MarkField",
    "NameField",
    "Reading",
    "TextField",
    "ToleranceField",
    "TrimsField",
    "UnitField",
    "as_it_is",
    "digits",
    "length_of",
    "length_text",
    "readable",
    "refuse",
    "value_text",
]

_LONGEST_NAME: Final = 100
_LONGEST_TEXT: Final = 500
_MOST_FREE: Final = 100_000
_MOST_PLACES: Final = 13


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """What a field must know about its job to be read or written.

    Attributes
    ----------
    unit : Unit
        What a bare number means.
    currency : str or None
        ISO 4217 code, None where none is stated.
    """

    unit: Unit
    currency: str | None


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """A kind of field; stands in ``Annotated[type, Kind(...)]``.

    Attributes
    ----------
    read : callable
        Makes a value of what a file says, or refuses it (`refuse`).
    write : callable
        Makes of a value what `read` makes the same value of.
    schema : dict
        Its JSON Schema.
    """

    read: Callable[[Any, Reading], Any]
    write: Callable[[Any, Reading], Any]
    schema: dict[str, Any]

    def __get_pydantic_core_schema__(self, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        def read(value: Any, info: ValidationInfo) -> Any:
            return self.read(value, _reading(info.context))

        def write(value: Any, info: SerializationInfo) -> Any:
            return self.write(value, _reading(info.context))

        written = plain_serializer_function_ser_schema(write, info_arg=True)
        return with_info_plain_validator_function(read, serialization=written)

    def __get_pydantic_json_schema__(self, _core: CoreSchema, _handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return self.schema.copy()


def _reading(context: Any) -> Reading:
    if not isinstance(context, Reading):
        raise TypeError("a job file is read by read_job, which knows its unit")
    return context


def refuse(message: str, position: int | None = None) -> NoReturn:
    """Refuse the value being read: say what to write instead, and where in the text a caret helps."""
    raise PydanticCustomError("value", "{message}", {"message": message, "position": position})


def as_it_is(value: Any, _: Reading) -> Any:
    """Write a value that TOML and JSON know themselves."""
    return value


def value_text(value: Any, _: Reading) -> str:
    """Write a choice by its own word."""
    return str(value.value)


def length_of(value: Any, reading: Reading) -> Fraction:
    """Read a length of more than 0."""
    length = _not_negative(value, reading)
    if length == 0:
        refuse("must be longer than 0")
    return length


def _not_negative(value: Any, reading: Reading) -> Fraction:
    try:
        return parse_length(value, reading.unit)
    except LengthError as error:
        refuse(error.wanted, error.position if isinstance(value, str) else None)
    except TypeError:
        refuse('write a length as a number or a text, such as 80.5 or "6\' 8-1/2\\""')


def length_text(mm: Fraction, reading: Reading) -> str:
    """Write a length, exactly."""
    return format_length(mm, reading.unit)


def digits(value: Fraction) -> str | None:
    """Write a number as a decimal; None where it has no end, or more places than the job file takes."""
    places = next((places for places in range(_MOST_PLACES) if (value * 10**places).denominator == 1), None)
    return None if places is None else f"{Decimal(int(value * 10**places)).scaleb(-places):f}"


def _trims(value: Any, reading: Reading) -> tuple[Fraction, Fraction]:
    first, *rest = _one_or_two(value, reading)
    return first, (rest[0] if rest else Fraction(0))


def _trims_text(trims: tuple[Fraction, Fraction], reading: Reading) -> str | list[str]:
    both = _pair_text(trims, reading)
    return both if trims[1] else both[0]


def _tolerance(value: Any, reading: Reading) -> tuple[Fraction, Fraction]:
    first, *rest = _one_or_two(value, reading)
    return first, (rest[0] if rest else first)


def _pair_text(pair: tuple[Fraction, Fraction], reading: Reading) -> list[str]:
    return [length_text(each, reading) for each in pair]


def _one_or_two(value: Any, reading: Reading) -> list[Fraction]:
    if not isinstance(value, list | tuple):
        return [_not_negative(value, reading)]
    if len(value) not in {1, 2}:
        refuse(f'write one length or a list of two, such as ["1/4", "1/8"]; this list has {len(value)}')
    return [_not_negative(each, reading) for each in value]


def _count(value: Any, _: Reading) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        refuse("write a whole number without quotes, such as 24")
    if value < 1:
        refuse("write a whole number of 1 or more")
    if value > MOST_PIECES:
        refuse(f"at most {MOST_PIECES}; check the number")
    return value


def _free(value: Any, _: Reading) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= _MOST_FREE:
        refuse(f"write a whole number from 0 to {_MOST_FREE}, without quotes")
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


def readable(text: str, _: Reading | None = None) -> str:
    """Return a text as a job file can hold it: in one line, a space for what has no place in a text.

    A library's caller, or a list, may have put a control character in it.
    """
    return " ".join("".join(" " if _is_control(character) else character for character in text).split())


def _name(value: Any, _: Reading) -> str:
    text = _checked_text(value, _LONGEST_NAME)
    if not text:
        refuse("is empty; write a name, or leave the field out where it may be missing")
    return text


def _text(value: Any, _: Reading) -> str:
    return _checked_text(value, _LONGEST_TEXT)


def _unit(value: Any, _: Reading) -> Unit:
    if isinstance(value, str) and value in {unit.value for unit in Unit}:
        return Unit(value)
    refuse(f"write what a bare number means: {', '.join(Unit)}")


def _currency(value: Any, _: Reading) -> str:
    if isinstance(value, str) and is_currency(value):
        return value
    if isinstance(value, str) and is_currency(value.strip().upper()):
        refuse(f'write it as "{value.strip().upper()}"')
    refuse('write the three-letter code of ISO 4217, such as "USD" or "EUR"')


def _flag(value: Any, _: Reading) -> bool:
    if not isinstance(value, bool):
        refuse("write true or false, without quotes")
    return value


_MEASURE: Final = {"type": ["string", "number"], "examples": ["80 1/2", "6' 8-1/2\"", "2042.5 mm", 80.5]}
_PAIR: Final = {"anyOf": [_MEASURE, {"type": "array", "items": _MEASURE, "minItems": 1, "maxItems": 2}]}
_COUNT: Final = {"type": "integer", "minimum": 1, "maximum": MOST_PIECES}
_FREE: Final = {"type": "integer", "minimum": 0, "maximum": _MOST_FREE}
_NAME: Final = {"type": "string", "minLength": 1, "maxLength": _LONGEST_NAME}
_CODE: Final = {"type": "string", "pattern": "^[A-Z]{3}$", "examples": ["USD"]}
_Pair = tuple[Fraction, Fraction]

LengthField = Annotated[Fraction, Kind(length_of, length_text, _MEASURE)]
KerfField = Annotated[Fraction, Kind(_not_negative, length_text, _MEASURE)]
MarkField = KerfField  # which marks a tape has, none of them 0, the question says, with what to write
TrimsField = Annotated[_Pair, Kind(_trims, _trims_text, _PAIR)]
ToleranceField = Annotated[_Pair, Kind(_tolerance, _pair_text, _PAIR)]
CountField = Annotated[int, Kind(_count, as_it_is, _COUNT)]
FreeField = Annotated[int, Kind(_free, as_it_is, _FREE)]
NameField = Annotated[str, Kind(_name, readable, _NAME)]
TextField = Annotated[str, Kind(_text, readable, {"type": "string", "maxLength": _LONGEST_TEXT})]
UnitField = Annotated[Unit, Kind(_unit, value_text, {"enum": [unit.value for unit in Unit]})]
CurrencyField = Annotated[str, Kind(_currency, as_it_is, _CODE)]
FlagField = Annotated[bool, Kind(_flag, as_it_is, {"type": "boolean"})]
