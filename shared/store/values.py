"""Values of the domain as JSON text and back, exactly: fractions and money as text, each table with its type's name.

What is written here is read back by the same types only; job files and plan files are for everybody else.
"""

from __future__ import annotations

import json
import types
from dataclasses import MISSING, Field, fields, is_dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from cutting.answer.plan import Cut
from cutting.question.job import Part, Section, Stick

__all__ = [
    "cut_of",
    "fraction_of",
    "fraction_text",
    "pair_of",
    "pair_text",
    "parts_of",
    "section_of",
    "stick_of",
    "told_text",
    "value_text",
]

_KIND: Final = "is"
T = TypeVar("T")


def value_text(value: object) -> str:
    """Write a value of the domain, or a tuple of them, as JSON."""
    return json.dumps(_plain(value), ensure_ascii=False, separators=(",", ":"))


def told_text(value: object) -> str:
    """Write a value of the domain so that the same thing told is the same text in every release.

    Names of types are left out, and so is every field that says what it says by default: a release that adds a field
    or renames a type reads what an older one was told as the same.
    """
    return json.dumps(_told(value), ensure_ascii=False, sort_keys=True, separators=(",", ":"))


@lru_cache(maxsize=8192)
def cut_of(text: str) -> Cut:
    """Read back a layout."""
    return _read(Cut, text)


@lru_cache(maxsize=4096)
def stick_of(text: str) -> Stick:
    """Read back a kind of stick."""
    return _read(Stick, text)


@lru_cache(maxsize=8192)
def parts_of(text: str) -> tuple[Part, ...]:
    """Read back a list of parts."""
    return tuple(cast("Part", _valued(Part, each)) for each in json.loads(text))


@lru_cache(maxsize=4096)
def section_of(text: str) -> Section:
    """Read back a section."""
    return _read(Section, text)


def fraction_text(value: Fraction) -> str:
    """Write a length exactly, such as ``20447/10``."""
    return str(value)


def fraction_of(text: str) -> Fraction:
    """Read back a length."""
    return Fraction(text)


def pair_text(pair: tuple[Fraction, Fraction] | None) -> str | None:
    """Write two lengths, None as None."""
    return None if pair is None else f"{pair[0]} {pair[1]}"


def pair_of(text: str | None) -> tuple[Fraction, Fraction] | None:
    """Read back two lengths."""
    if text is None:
        return None
    first, second = text.split(" ")
    return Fraction(first), Fraction(second)


def _read(kind: type[T], text: str) -> T:
    return cast("T", _valued(kind, json.loads(text)))


def _plain(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        named = {each.name: _plain(getattr(value, each.name)) for each in fields(value) if each.init}
        return {_KIND: type(value).__name__, **named}
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Fraction | Decimal):
        return str(value)
    if value is None or isinstance(value, bool | int | str):
        return value
    raise TypeError(f"no way to write {type(value).__name__}")


def _told(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        said = [(each.name, getattr(value, each.name)) for each in fields(value) if not _usual(each, value)]
        return {name: _told(what) for name, what in said}
    if isinstance(value, tuple):
        return [_told(each) for each in value]
    return value.hex() if isinstance(value, bytes) else _plain(value)


def _usual(field: Field[Any], value: Any) -> bool:
    """Whether a field says what it says by default, or only repeats what others say."""
    if not field.init:
        return True
    usual = field.default if field.default_factory is MISSING else field.default_factory()
    return bool(getattr(value, field.name) == usual)


def _valued(hint: Any, plain: Any) -> Any:
    origin = get_origin(hint)
    if origin in {Union, types.UnionType}:
        return None if plain is None else _valued(_chosen(get_args(hint), plain), plain)
    if origin is tuple:
        return _tuple(get_args(hint), plain)
    if is_dataclass(hint):
        hints = _hints(cast("type", hint))
        return hint(**{name: _valued(hints[name], each) for name, each in plain.items() if name != _KIND})  # type: ignore[operator]
    if hint in {Fraction, Decimal} or issubclass(hint, Enum):
        return hint(plain)
    return plain


def _chosen(choices: tuple[Any, ...], plain: Any) -> Any:
    """Which of several types a plain value was written from: by its name, or the only one there is."""
    real = [choice for choice in choices if choice is not types.NoneType]
    if isinstance(plain, dict):
        return next(choice for choice in real if choice.__name__ == plain[_KIND])
    return real[0]


def _tuple(hints: tuple[Any, ...], plain: list[Any]) -> tuple[Any, ...]:
    if len(hints) > 1 and hints[1] is Ellipsis:
        return tuple(_valued(hints[0], each) for each in plain)
    return tuple(_valued(hint, each) for hint, each in zip(hints, plain, strict=True))


@lru_cache(maxsize=64)
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)
