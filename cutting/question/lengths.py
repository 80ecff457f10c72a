"""Exact lengths: text becomes a length once, at the door, and a length becomes text once, on the way out.

A length is a `fractions.Fraction` of millimetres. The strict grammar read here is that of the job file: the decimal
sign is a point, there are no thousands separators, and what has two readings is refused.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Final

from cutting.question.errors import LengthError

__all__ = ["LONGEST", "Unit", "format_length", "parse_length", "show_length"]


class Unit(StrEnum):
    """A unit of length; its value is how it is written."""

    IN = "in"
    FT = "ft"
    MM = "mm"
    CM = "cm"
    M = "m"

    @property
    def mm(self) -> Fraction:
        """One of this unit in millimetres, exactly (one inch is 25.4 mm by definition, ISO 80000-3)."""
        return _MM[self]


_MM: Final = {
    Unit.IN: Fraction(127, 5),
    Unit.FT: Fraction(1524, 5),
    Unit.MM: Fraction(1),
    Unit.CM: Fraction(10),
    Unit.M: Fraction(1000),
}

LONGEST: Final = Fraction(10**9)
"""Longest length that is read, in mm: a thousand kilometres is nobody's part, only somebody's typing error."""

_MOST_CHARACTERS: Final = 300
_MOST_DIGITS: Final = 100
_FINEST_POWER: Final = 1024

_EXAMPLES: Final = "write a length such as 80 1/2, 6' 8-1/2\", 80.5 or 2042.5 mm"

_SAME: Final = str.maketrans(
    {
        **dict.fromkeys("’‘‛′ʹʼ´`", "'"),
        **dict.fromkeys("”“„‟″ʺ", '"'),
        **dict.fromkeys("‐‑‒–−﹣-", "-"),
        **dict.fromkeys("⁄∕/", "/"),
    }
)
_VULGAR: Final = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_NUMBER: Final = re.compile(
    rf"(?P<decimal>\d+\.\d*|\.\d+)"
    rf"|(?P<whole>\d+)(?:(?:\s*-\s*|\s+)(?P<over>\d+)\s*/\s*(?P<under>\d+)|\s*-?\s*(?P<glyph>[{_VULGAR}]))"
    rf"|(?P<top>\d+)\s*/\s*(?P<bottom>\d+)"
    rf"|(?P<integer>\d+)"
    rf"|(?P<alone>[{_VULGAR}])"
)
_MARK: Final = re.compile(
    r"\s*(?:(?P<inch>''|\"|(?:inches|inch|in)(?![a-z])\.?)"
    r"|(?P<foot>'|(?:feet|foot|ft)(?![a-z])\.?)"
    r"|(?P<mm>(?:millimet(?:er|re)s?|mm)(?![a-z]))"
    r"|(?P<cm>(?:centimet(?:er|re)s?|cm)(?![a-z]))"
    r"|(?P<m>(?:met(?:er|re)s?|m)(?![a-z])))",
    re.IGNORECASE,
)
_GAP: Final = re.compile(r"\s*-?\s*")
_UNIT_OF_MARK: Final = {"inch": Unit.IN, "foot": Unit.FT, "mm": Unit.MM, "cm": Unit.CM, "m": Unit.M}
_FINER: Final = {
    (Unit.FT, Unit.IN),
    (Unit.M, Unit.CM),
    (Unit.M, Unit.MM),
    (Unit.CM, Unit.MM),
}


@dataclass(frozen=True, kw_only=True, slots=True)
class _Term:
    """One number of a length with the unit written behind it, and where in the text it starts."""

    number: Fraction
    whole: bool
    unit: Unit | None
    start: int
    end: int


def parse_length(value: str | int | Decimal | Fraction, unit: Unit) -> Fraction:
    """Read one exact length.

    Parameters
    ----------
    value : str, int, Decimal or Fraction
        A number is in `unit`; a text may carry its own unit (``6' 8-1/2"``, ``2042.5 mm``). The decimal sign is a
        point, always. Typographic primes, quotes, dashes, spaces and fractions are read like the plain ones.
    unit : Unit
        What a bare number means.

    Returns
    -------
    Fraction
        Millimetres, 0 or more (whether 0 is allowed is the caller's to say).

    Raises
    ------
    LengthError
        What was given is no length, is negative or endless, or has two readings.
    TypeError
        A binary float was given: it can't hold 80.1. Give its text or a Decimal.

    Examples
    --------
    >>> parse_length("80 1/2", Unit.IN)
    Fraction(20447, 10)
    >>> parse_length("6' 8½", Unit.MM) == parse_length("80.5 in", Unit.MM)
    True
    >>> parse_length("6-8", Unit.IN)
    Traceback (most recent call last):
    cutting.question.errors.LengthError: two readings; write 6' 8" for feet and inches, or a single number: '6-8'
    """
    if isinstance(value, str):
        mm = _read(value, unit)
    elif isinstance(value, (bool, float)) or not isinstance(value, (int, Decimal, Fraction)):
        raise TypeError(f"a length is given as text, int, Decimal or Fraction, not as {type(value).__name__}")
    else:
        mm = _exact(value) * unit.mm
    if mm > LONGEST:
        raise LengthError(_short(str(value)), 0, "longer than 1000 km; check the number and its unit")
    return mm


def _exact(value: int | Decimal | Fraction) -> Fraction:
    """Return a number as a fraction, refusing what is no length before it gets expensive."""
    if isinstance(value, Decimal):
        if not value.is_finite():
            raise LengthError(str(value), 0, f"no length; {_EXAMPLES}")
        exponent = value.as_tuple().exponent
        if value.adjusted() > _MOST_DIGITS or (isinstance(exponent, int) and exponent < -_MOST_DIGITS):
            raise LengthError(_short(str(value)), 0, "too many digits for a length")
    exact = Fraction(value)
    if max(exact.numerator.bit_length(), exact.denominator.bit_length()) > 4 * _MOST_DIGITS:
        raise LengthError("…", 0, "too many digits for a length")
    if exact < 0:
        raise LengthError(str(value), 0, "a length can't be negative")
    return exact


def _short(text: str) -> str:
    """Return a text short enough to be shown in a message."""
    return text if len(text) <= 2 * _MOST_DIGITS else text[: 2 * _MOST_DIGITS] + "…"


def _plain(text: str) -> str:
    """Return the text with one plain character for each typographic one, so that positions stay."""
    text = text.translate(_SAME)
    if text.isascii():
        return text
    return "".join(
        " "
        if character.isspace() or unicodedata.category(character) in {"Zs", "Cf"}
        else str(unicodedata.decimal(character))
        if character.isdecimal()
        else character
        for character in text
    )


def _read(text: str, unit: Unit) -> Fraction:
    """Read a text as the sum of its terms in mm."""
    if len(text) > _MOST_CHARACTERS:
        raise LengthError(_short(text), 0, f"far too long for a length; {_EXAMPLES}")
    plain = _plain(text)
    terms: list[_Term] = []
    at = len(plain) - len(plain.lstrip())
    end = len(plain.rstrip())
    if at >= end:
        raise LengthError(text, 0, f"no length; {_EXAMPLES}")
    while at < end:
        term = _term(text, plain, at)
        _follows(text, plain, terms, term)
        terms.append(term)
        gap = _GAP.match(plain, term.end)
        at = gap.end() if gap else term.end
        if at >= end and "-" in plain[term.end :]:
            raise LengthError(text, plain.index("-", term.end), f"something is missing after the dash; {_EXAMPLES}")
    return _sum(terms, unit)


def _term(text: str, plain: str, at: int) -> _Term:
    """Read the number and the unit mark that start at `at`."""
    number = _NUMBER.match(plain, at)
    if number is None:
        raise LengthError(text, at, _no_number(plain, at))
    if any(len(digits) > _MOST_DIGITS for digits in re.findall(r"\d+", number.group())):
        raise LengthError(text, at, "too many digits for a length")
    end = number.end()
    if plain[end : end + 1] == ",":
        raise LengthError(text, end, "a comma has two readings; write 1200 or 1.2 (the decimal sign is a point)")
    mark = _MARK.match(plain, end)
    unit = _UNIT_OF_MARK[str(mark.lastgroup)] if mark else None
    return _Term(
        number=_value(text, number),
        whole=number.group("integer") is not None,
        unit=unit,
        start=at,
        end=mark.end() if mark else end,
    )


def _no_number(plain: str, at: int) -> str:
    """Say why no number starts at `at`."""
    if plain[at] == "-" and at == len(plain) - len(plain.lstrip()):
        return "a length can't be negative"
    return f"no length; {_EXAMPLES}"


def _value(text: str, number: re.Match[str]) -> Fraction:
    """Return the exact value of a matched number."""
    found = number.groupdict()
    if found["decimal"]:
        return Fraction(found["decimal"] + ("0" if found["decimal"].endswith(".") else ""))
    if found["integer"]:
        return Fraction(int(found["integer"]))
    if found["alone"]:
        return _glyph(found["alone"])
    if found["glyph"]:
        return int(found["whole"]) + _glyph(found["glyph"])
    if found["top"]:
        return _ratio(text, number, "top", "bottom")
    part = _ratio(text, number, "over", "under")
    if part >= 1:
        raise LengthError(
            text, number.start("over"), "a fraction behind a whole number must be below 1, such as 80 1/2"
        )
    return int(found["whole"]) + part


def _ratio(text: str, number: re.Match[str], over: str, under: str) -> Fraction:
    """Return a written fraction, refusing a division by zero."""
    bottom = int(number.group(under))
    if bottom == 0:
        raise LengthError(text, number.start(under), "nothing can be divided by 0; write a fraction such as 1/2")
    return Fraction(int(number.group(over)), bottom)


def _glyph(character: str) -> Fraction:
    """Return the value of a one-character fraction such as ``½``."""
    over, under = unicodedata.normalize("NFKC", character).split("⁄")
    return Fraction(int(over), int(under))


def _follows(text: str, plain: str, terms: list[_Term], term: _Term) -> None:
    """Check that a term may stand behind the ones before it."""
    if not terms:
        return
    before = terms[-1]
    if before.unit is None:
        between = plain[before.start : term.end]
        if "-" in plain[before.end : term.start]:
            wanted = f"two readings; write {_feet(before, term, plain)} for feet and inches, or a single number"
        else:
            wanted = f"two numbers ({between}); write one length, such as 80 1/2 or 6' 8-1/2\""
        raise LengthError(text, term.start, wanted)
    unit = term.unit or (Unit.IN if before.unit is Unit.FT else None)
    if len(terms) > 1 or unit is None or (before.unit, unit) not in _FINER:
        raise LengthError(text, term.start, f"one length was expected here; {_EXAMPLES}")
    if not before.whole or term.number * unit.mm >= before.unit.mm:
        raise LengthError(
            text,
            term.start,
            f"behind {before.unit} there must be less than one {before.unit}, and a whole number before it",
        )


def _feet(before: _Term, term: _Term, plain: str) -> str:
    """Write two terms as feet and inches, for a message."""
    return f"{plain[before.start : before.end].strip()}' {plain[term.start : term.end].strip().rstrip(chr(34))}\""


def _sum(terms: list[_Term], unit: Unit) -> Fraction:
    """Add the terms up in mm."""
    first, *rest = terms
    mm = first.number * (first.unit or unit).mm
    for term in rest:
        mm += term.number * (term.unit or Unit.IN).mm
    return mm


def format_length(mm: Fraction, unit: Unit) -> str:
    r"""Write a length exactly, so that `parse_length` reads back the same length in the same unit.

    Parameters
    ----------
    mm : Fraction
        Millimetres.
    unit : Unit
        The unit that a bare number has.

    Returns
    -------
    str
        Inches and feet as a fraction of a power of two where that is exact, otherwise (and in metric units) a finite
        decimal, otherwise a plain fraction.

    Examples
    --------
    >>> format_length(Fraction(20447, 10), Unit.IN), format_length(Fraction(4085, 2), Unit.MM)
    ('80 1/2', '2042.5')
    >>> format_length(Fraction(20447, 10), Unit.FT), format_length(Fraction(1, 3), Unit.CM)
    ('6\' 8 1/2"', '1/30')
    """
    if mm < 0:
        return "-" + format_length(-mm, unit)
    value = mm / unit.mm
    if unit is Unit.FT and value.denominator != 1:
        inches = mm / Unit.IN.mm
        if _is_shop(inches):
            return _feet_inches(inches)
    if unit in {Unit.IN, Unit.FT} and _is_shop(value):
        return _mixed(value)
    return _decimal(value) or _mixed(value)


def show_length(mm: Fraction, unit: Unit, *, feet: bool = False) -> str:
    r"""Write a length with its unit, for people; still exact and still readable by `parse_length`.

    Parameters
    ----------
    mm : Fraction
        Millimetres.
    unit : Unit
        The unit to show it in.
    feet : bool
        Show inches as feet and inches.

    Examples
    --------
    >>> show_length(Fraction(20447, 10), Unit.IN), show_length(Fraction(20447, 10), Unit.IN, feet=True)
    ('80 1/2 in', '6\' 8 1/2"')
    >>> show_length(Fraction(4085, 2), Unit.MM), show_length(Fraction(6096), Unit.FT)
    ('2042.5 mm', '20 ft')
    """
    if mm < 0:
        return "-" + show_length(-mm, unit, feet=feet)
    inches = mm / Unit.IN.mm
    if feet and unit is Unit.IN and _is_shop(inches):
        return _feet_inches(inches)
    text = format_length(mm, unit)
    return text if text.endswith('"') else f"{text} {unit}"


def _is_shop(value: Fraction) -> bool:
    """Whether a tape shows it: a denominator that is a power of two, 1/1024 at the finest."""
    under = value.denominator
    return under <= _FINEST_POWER and under & (under - 1) == 0


def _mixed(value: Fraction) -> str:
    """Write ``80 1/2``, ``3/32`` or ``7``."""
    whole, over = divmod(value.numerator, value.denominator)
    if not over:
        return str(whole)
    part = f"{over}/{value.denominator}"
    return f"{whole} {part}" if whole else part


def _feet_inches(inches: Fraction) -> str:
    """Write ``6' 8 1/2"``; below a foot there are no feet."""
    feet, rest = divmod(inches, 12)
    return f"{feet}' {_mixed(rest)}\"" if feet else f'{_mixed(rest)}"'


def _decimal(value: Fraction) -> str:
    """Write a finite decimal, or an empty text where there is none of sensible length."""
    rest, twos, fives = value.denominator, 0, 0
    while rest % 2 == 0:
        rest, twos = rest // 2, twos + 1
    while rest % 5 == 0:
        rest, fives = rest // 5, fives + 1
    places = max(twos, fives)
    if rest != 1 or places > _MOST_DIGITS // 5:
        return ""
    digits = str(value.numerator * 10**places // value.denominator).rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}" if places else digits
