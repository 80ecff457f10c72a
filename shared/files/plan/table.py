"""Tables of the plan file: each field declared once, written from what the plan has of it and read back."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Annotated, Any, Final, Self, get_args

from pydantic import ConfigDict, Field

from cutting.question.errors import LengthError
from cutting.question.job import Section
from cutting.question.lengths import Unit, format_length, parse_length
from cutting.question.problems import Problem
from shared.files.job.table import Declared
from shared.wording.amounts import GRAMS, decimal_text, exact_text

__all__ = [
    "AmountText",
    "Back",
    "DegreesText",
    "ExactText",
    "LengthText",
    "Meaning",
    "MoneyText",
    "Table",
    "WeightText",
    "as_value",
    "shown",
]

_MOST_SHOWN: Final = 60


@dataclass(frozen=True, slots=True, eq=False)
class Meaning:
    """What a text of the plan file means; stands in ``Annotated[str, Meaning(...)]``.

    Attributes
    ----------
    read : callable
        Makes a value of a text in the plan's unit.
    write : callable
        Makes of a value the text that `read` makes it of.
    """

    read: Callable[[Any, Unit], Any]
    write: Callable[[Any, Unit], Any]


def shown(value: object) -> str:
    """Return what stands in a file, for a message."""
    text = str(value)
    return text if len(text) <= _MOST_SHOWN else text[: _MOST_SHOWN - 3] + "..."


class Back:
    """Turns the texts of one file back into values and keeps what could not be.

    Parameters
    ----------
    unit : Unit
        Of every length.
    sections : iterable of Section
        Those that the job knows.
    """

    def __init__(self, unit: Unit, sections: Iterable[Section]) -> None:
        self.unit = unit
        self.problems: list[Problem] = []
        self._sections = {section.key: section for section in sections}

    def read(self, meaning: Meaning, text: str, where: str) -> Any:
        """Return a text's value, 0 where it has none."""
        try:
            return meaning.read(text, self.unit)
        except LengthError as error:
            self.problems.append(Problem(where=where, text=text, message=error.wanted, position=error.position))
        except (ArithmeticError, ValueError):
            self.problems.append(Problem(where=where, text=shown(text), message="write an amount such as 61.40"))
        return Fraction(0)

    def length(self, text: str, where: str) -> Fraction:
        """Return a length, 0 where it is none."""
        length: Fraction = self.read(_LENGTH, text, where)
        return length

    def section(self, name: str, material: str) -> Section:
        """Return the section of this name, as the job knows it."""
        return self._sections.get((name, material), Section(name=name, material=material))


class Table(Declared):
    """A table of the plan file: unknown fields are refused."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    def value(self, back: Back, where: str, **more: Any) -> Any:
        """Return what it states; `more` are attributes that no field states alone."""
        return self.makes(**self.told(back, where, **more))

    def told(self, back: Back, where: str, **more: Any) -> dict[str, Any]:
        """Return attributes by name."""
        found = dict(more)
        for field, attribute, _, meaning in _columns(type(self)):
            if attribute not in more:
                found[attribute] = _back(back, getattr(self, field), f"{where}.{field}", meaning)
        return found

    @classmethod
    def of(cls, value: Any, unit: Unit, **more: Any) -> Self:
        """Return the table that states a value; `more` are fields of its own that no attribute alone is stated by."""
        told = {
            alias: _told(getattr(value, attribute), unit, meaning)
            for field, attribute, alias, meaning in _columns(cls)
            if field not in more
        }
        return cls.model_validate(told | more)


@cache
def _columns(table: type[Table]) -> tuple[tuple[str, str, str, Any], ...]:
    """Return for each field that states an attribute: its name, the attribute, its name in the file, what it means."""
    return tuple(
        (field, attribute, info.alias or field, next(_meanings(info.annotation, info.metadata), None))
        for field, attribute in table.attributes().items()
        for info in (table.model_fields[field],)
    )


def _meanings(annotation: Any, metadata: Iterable[Any] = ()) -> Any:
    """Yield tables and meanings named in an annotation such as ``LengthText | None`` or ``tuple[PieceFields, ...]``."""
    yield from (each for each in metadata if isinstance(each, Meaning))
    if isinstance(annotation, type) and issubclass(annotation, Table):
        yield annotation
    for inner in get_args(annotation):
        yield from (inner,) if isinstance(inner, Meaning) else _meanings(inner)


def _back(back: Back, stated: Any, where: str, meaning: Any) -> Any:
    if isinstance(stated, tuple):
        return tuple(_back(back, each, f"{where}[{n}]", meaning) for n, each in enumerate(stated))
    if isinstance(stated, Table):
        return stated.value(back, where)
    return stated if stated is None or meaning is None else back.read(meaning, stated, where)


def _told(value: Any, unit: Unit, meaning: Any) -> Any:
    if isinstance(value, tuple):
        return tuple(_told(each, unit, meaning) for each in value)
    if value is None or meaning is None:
        return value
    return meaning.write(value, unit) if isinstance(meaning, Meaning) else meaning.of(value, unit)


def as_value(kind: type[Any]) -> Meaning:
    """Return what a choice means: the member of an enumeration that has this word."""
    return Meaning(lambda text, _: kind(text), lambda member, _: member.value)


def _degrees(angle: Fraction, _: Unit) -> str:
    """Write an angle so that it reads back exactly: as a decimal number where it is one."""
    decimal = Decimal(angle.numerator) / Decimal(angle.denominator)
    return f"{decimal.normalize():f}" if Fraction(decimal) == angle else str(angle)


def _fraction(text: str, _: Unit) -> Fraction:
    return Fraction(text)


_LENGTH: Final = Meaning(parse_length, format_length)
LengthText = Annotated[
    str, Field(description="In the plan's unit, exactly.", examples=["80 1/2"], max_length=300), _LENGTH
]
ExactText = Annotated[
    str,
    Field(pattern=r"^\d+(\.\d+|/[1-9]\d*)?$", examples=["10.05", "1270/127"], max_length=600),
    Meaning(_fraction, lambda value, _: exact_text(Fraction(value))),
]
"""What nobody pays isn't rounded: a decimal, or a fraction where a decimal has no end."""
AmountText = Annotated[str, Field(pattern=r"^\d+(\.\d+)?$", examples=["61.40"], max_length=60)]
MoneyText = Annotated[AmountText, Meaning(lambda text, _: Decimal(text), lambda amount, _: f"{amount:f}")]
WeightText = Annotated[AmountText, Meaning(_fraction, lambda kg, _: decimal_text(kg, GRAMS))]
"""kg to the gram."""
DegreesText = Annotated[
    str, Field(pattern=r"^-?\d+(\.\d+|/\d+)?$", examples=["45", "-22.5"], max_length=40), Meaning(_fraction, _degrees)
]
