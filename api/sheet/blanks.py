"""Blanks of the sheet: each declared once, with the field of the job file that it fills in and how people write it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, fields
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final

from cutting.question.errors import LengthError
from cutting.question.lengths import parse_length
from cutting.question.money import minor_digits
from shared.files.job.fields import Reading
from shared.files.job.money import WEIGHTS
from shared.files.job.table import table_at
from shared.files.job.wire import JobFile
from shared.reading.line.amounts import read_sum

__all__ = [
    "Blank",
    "Pen",
    "Place",
    "amount",
    "as_written",
    "blank",
    "blank_at",
    "blanks_of",
    "described",
    "length",
    "never",
    "percent",
    "tick",
    "told",
    "weight",
    "whole",
    "worth",
]

_MOST_DIGITS: Final = 9
_DOLLARS: Final = frozenset({"USD", "CAD", "AUD", "NZD"})
_RATE: Final = re.compile(r"\d{1,3}(\.\d{1,8})?")


@dataclass(frozen=True, kw_only=True, slots=True)
class Pen:
    """Copies a sheet into the tables of a job file, and says what is wrong with it.

    Attributes
    ----------
    reading : Reading
        Unit of the sheet, currency of its lists.
    blame : callable
        Hears a field of the sheet and what is wrong with it.
    blamed : set of str
        Fields that something was said about.
    """

    reading: Reading
    blame: Callable[[str, str], None]
    blamed: set[str] = field(default_factory=set)

    def wrong(self, place: Place, message: str) -> None:
        """Say what is wrong with a blank."""
        self.blamed.add(place.field)
        self.blame(place.field, f"{place.blank.what}: {message}")


Says = Callable[[Pen, "Place", str], Any]
"""Returns a text of a blank as the job file has it; None where it says nothing, or what is wrong has been said."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Blank:
    """A blank of the sheet.

    Attributes
    ----------
    field : str
        The field of the job file: its path, within a yard where it is one of a yard's blanks.
    what : str
        What it is called where something is wrong with it.
    says : callable
        Makes of its text what the job file has.
    missing : str
        What to write where its fellows need it.
    about : str
        What the API says about it; empty for what the job file's field says.
    buying : bool
        Whether it stands among the terms of buying.
    """

    field: str
    what: str
    says: Says
    missing: str = ""
    about: str = ""
    buying: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """A blank, and the name of its field on the sheet."""

    field: str
    blank: Blank


def as_written(_pen: Pen, _place: Place, text: str) -> str:
    """Hand a text on: the job file takes it as people write it."""
    return text


def never(_pen: Pen, _place: Place, _text: str) -> None:
    """Say nothing: the blank is read together with another one."""


def length(pen: Pen, _place: Place, text: str) -> str | None:
    """Hand a length on; none where it is 0."""
    try:
        return text if parse_length(text, pen.reading.unit) != Fraction(0) else None
    except LengthError:
        return text


def amount(pen: Pen, place: Place, text: str) -> str | None:
    """Read an amount that can be paid, whatever signs it has."""
    read, currency = _sum(pen, place, text), pen.reading.currency
    if read is not None and currency and read != round(read, minor_digits(currency)):
        digits = minor_digits(currency) or "no"
        pen.wrong(place, f"{currency} has {digits} decimals; write an amount that can be paid")
        return None
    return None if read is None else f"{read:f}"


def _sum(pen: Pen, place: Place, text: str) -> Decimal | None:
    read = read_sum(text)
    if read is None:
        pen.wrong(place, f"{text} is no amount; write one such as 45 or 12.50, without a separator")
        return None
    found, code = read
    currency = pen.reading.currency
    if code and currency and code != currency and not ("$" in text and currency in _DOLLARS):
        pen.wrong(place, f"it is in {code}, and the prices are in {currency}; one job has one currency")
        return None
    return found


def worth(pen: Pen, place: Place, text: str) -> str | None:
    """Read an amount for a length, whatever signs it has."""
    before, slash, per = text.partition("/")
    if not slash:
        return text
    read = _sum(pen, place, before.strip())
    return None if read is None else f"{read:f}/{per.strip()}"


def percent(pen: Pen, place: Place, text: str) -> str | None:
    """Read a rate, with or without its sign."""
    number = text.rstrip("% ").replace(",", ".")
    if _RATE.fullmatch(number) is None or Decimal(number) > 100:  # noqa: PLR2004  percent
        pen.wrong(place, "write a rate of at most 100, such as 8.25")
        return None
    return f"{number} %"


def whole(_pen: Pen, _place: Place, text: str) -> int | str:
    """Read a whole number; what is none is said by the job file's field."""
    return int(text) if text.isdecimal() and len(text) <= _MOST_DIGITS else text


def weight(pen: Pen, place: Place, text: str) -> str | None:
    """Read a weight: ``900 lbs`` is ``900 lb``."""
    if text.replace(".", "", 1).isdecimal():
        pen.wrong(place, f"write the weight with its unit: {text} lb or {text} kg")
        return None
    low = text.lower().rstrip(".")
    for unit in WEIGHTS:
        for ending in (unit, f"{unit}s"):
            if low.endswith(ending) and low.removesuffix(ending).strip().replace(".", "", 1).isdecimal():
                return f"{low.removesuffix(ending).strip()} {unit}"
    return text


def tick(*, means: bool) -> Says:
    """Return what a ticked box says."""
    return lambda _pen, _place, _text: means


def blank(path: str, what: str, says: Says = as_written, *, usual: str = "", **more: Any) -> Any:
    """Declare a blank of a form, a dataclass of texts; `more` is as in `Blank`."""
    return field(default=usual, metadata={"blank": Blank(field=path, what=what, says=says, **more)})


def blanks_of(form: Any) -> dict[str, Blank]:
    """Return the blanks of a form by name."""
    return {each.name: each.metadata["blank"] for each in fields(form) if "blank" in each.metadata}


def blank_at(form: Any, where: str) -> str | None:
    """Return the first blank of a form that a field of the job file is filled in by; None where there is none."""
    named = blanks_of(form)
    for step in (where, *(where[: found.start()] for found in reversed(list(re.finditer(r"[.\[]", where))))):
        for name, each in named.items():
            if each.field == step or each.field.startswith(f"{step}."):
                return name
    return None


def described(form: Any, *root: str) -> dict[str, tuple[str, list[str]]]:
    """Return what the blanks of a form are about, with examples: what the job file's field says, unless they say it.

    Parameters
    ----------
    form : type
        The form.
    root : str
        Where the table of the job file lies that it fills in.
    """
    found = {}
    for name, each in blanks_of(form).items():
        *outer, last = (*root, *each.field.split("."))
        info = table_at(JobFile, outer).model_fields[last]
        examples = [text for text in info.examples or () if isinstance(text, str)]
        found[name] = (each.about or str(info.description), examples)
    return found


def told(pen: Pen, form: Any, prefix: str = "") -> dict[str, Any]:
    """Return the table of the job file that a form fills in; its fields on the sheet begin with `prefix`."""
    table: dict[str, Any] = {}
    for name, each in blanks_of(form).items():
        text = getattr(form, name).strip()
        if not text or each.says is never:
            continue
        inner = table
        *outer, last = each.field.split(".")
        for step in outer:
            inner = inner.setdefault(step, {})
        value = each.says(pen, Place(field=f"{prefix}{name}", blank=each), text)
        if value is not None:
            inner[last] = value
    return table
