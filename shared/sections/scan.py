"""Take a section's name apart: words, dimensions, gauge and schedule."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from shared.sections.spelling import DIMENSIONAL
from shared.sections.words import NEUTRAL, fold, tags_of

__all__ = ["NUMBER", "Number", "Spec", "System", "plain", "scan", "value_of"]


class System(StrEnum):
    """The unit that a section's dimensions are in."""

    INCH = "inch"
    MM = "mm"


@dataclass(frozen=True, kw_only=True, slots=True)
class Number:
    """One dimension as written.

    Attributes
    ----------
    value : Fraction
        In whatever unit it is.
    system : System or None
        The unit where the writing settles it (an inch mark, ``mm``, a fraction), otherwise None.
    """

    value: Fraction
    system: System | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Spec:
    """A section's name taken apart.

    Attributes
    ----------
    words : tuple of str
        Folded words that say something about the family.
    numbers : tuple of Number
        Dimensions in the order written.
    gauge : int or None
        Wall gauge number.
    schedule : str or None
        Pipe schedule: ``5``, ``10``, ``40``, ``80``, ``160`` or ``XXS``.
    dn : bool
        Whether a pipe's size is stated as DN.
    series : str
        ``medium`` or ``heavy`` series of a pipe after EN 10255, empty where neither is said.
    loose : tuple of str
        Words, in lower case, that nothing is known about; grades and finishes are among them.
    """

    words: tuple[str, ...]
    numbers: tuple[Number, ...]
    gauge: int | None
    schedule: str | None
    dn: bool
    series: str
    loose: tuple[str, ...]


_SAME: Final = str.maketrans(
    {
        **dict.fromkeys("’‘′ʹ´`", "'"),
        **dict.fromkeys("”“„″ʺ", '"'),
        **dict.fromkeys("‐‑‒–−", "-"),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("×✕✖хХ*", "x"),
        **dict.fromkeys("⌀∅", "ø"),
    }
)
VULGAR: Final = "¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
NUMBER: Final = (
    rf"(?:\d{{1,4}}(?:\s*-\s*|\s+)\d{{1,3}}/\d{{1,3}}|\d{{1,4}}\s*-?\s*[{VULGAR}]|\d{{1,3}}/\d{{1,3}}|[{VULGAR}]"
    rf"|\d{{0,5}}[.,]\d{{1,6}}|\d{{1,5}})"
)
_TOKEN: Final = re.compile(
    rf"(?P<standard>(?<!\w)(?:(?:din|bs|nf|une|uni|nen|sfs|ss|ns|ds)[ -]?)?en[ -]?(?:iso[ -]?)?\d{{4,5}}"
    rf"(?:-\d)?(?::\d{{4}})?"
    rf"|(?<!\w)din[ -]?\d{{4,5}}(?:-\d)?|(?<!\w)bs[ -]?4(?:-1)?(?![\w/]))"
    rf"|(?P<grade>(?<![\w./])(?<![x×]\s)(?:s(?:235|275|355|420|460)[a-z]?\w{{0,4}}|a\d{{2,3}}|30[34]l?|316(?:l|ti)?|430"
    rf"|1\.4\d{{3}}|60(?:05|60|61|63|82)a?(?:-t\d{{1,2}})?|10(?:18|20|26)|st(?:37|52)(?:-\d)?|en\d{{1,2}}[a-z]?|b500[abc]?)(?![\w/])(?!\s*x\s*\d))"
    rf"|(?P<gauge>(?<![\d/.,])\d{{1,2}}\s*(?:ga(?:uge)?|gage|g)(?![a-z])\.?)"
    rf"|(?:schedule|sched|sch)\.?\s*(?P<schedule>\d{{1,3}})s?(?![\w/.])"
    rf"|(?P<named>(?:std|xxs|xxh|xs|xh)(?![a-z]))"
    rf"|(?P<number>(?<![\d/.,]){NUMBER}(?![\d/]))\s*(?P<unit>\"|''|(?:inches|inch|in|mm)(?![a-z])\.?)?"
    rf"|(?P<cross>x(?=\s*[\d.,{VULGAR}]))"
    rf"|(?P<word>ø|[^\W\d_]+(?:[.-][^\W\d_]+)*|\S)",
    re.IGNORECASE,
)
_SERIES: Final = {
    "medium": "medium",
    "med": "medium",
    "mittel": "medium",
    "mittelschwer": "medium",
    "heavy": "heavy",
    "schwer": "heavy",
}
_SCHEDULES: Final = {"std": "40", "xs": "80", "xh": "80", "xxs": "XXS", "xxh": "XXS"}


def plain(text: str) -> str:
    """Return the text with one plain character for each typographic one (primes, dashes, crosses, spaces).

    Examples
    --------
    >>> plain("2″ × 2″")
    '2" x 2"'
    """
    text = text.translate(_SAME)
    return text if text.isascii() else "".join(" " if c.isspace() else c for c in text)


def value_of(text: str) -> Fraction:
    """Return the exact value of a dimension such as ``1-1/2``, ``1½``, ``.125`` or ``48,3``.

    Raises
    ------
    ZeroDivisionError
        A fraction with nothing below it.

    Examples
    --------
    >>> value_of("1-1/2"), value_of("48,3"), value_of("⅜")
    (Fraction(3, 2), Fraction(483, 10), Fraction(3, 8))
    """
    if text[-1] in VULGAR:
        over, under = unicodedata.normalize("NFKC", text[-1]).split("⁄")
        head = text[:-1].strip(" -\t")
        return (int(head) if head else 0) + Fraction(int(over), int(under))
    if "/" not in text:
        return Fraction(text.replace(",", "."))
    head, _, part = re.sub(r"[\s-]+", " ", text).rpartition(" ")
    return (int(head) if head else 0) + Fraction(part)


def _number(found: re.Match[str]) -> Number:
    """Return a matched dimension with the unit that its writing settles."""
    text, unit = found.group("number"), (found.group("unit") or "").lower()
    if unit == "mm":
        system: System | None = System.MM
    elif unit or "/" in text or text[-1] in VULGAR:
        system = System.INCH
    else:
        system = None
    return Number(value=value_of(text), system=system)


def scan(text: str) -> Spec:
    """Take a section's name apart.

    Raises
    ------
    ZeroDivisionError
        A fraction with nothing below it.

    Examples
    --------
    >>> spec = scan("TUBE, SQ 2 x 2 x 11 ga")
    >>> spec.words, [str(n.value) for n in spec.numbers], spec.gauge
    (('tube', 'sq'), ['2', '2'], 11)
    """
    words: list[str] = []
    loose: list[str] = []
    numbers: list[Number] = []
    gauge = schedule = None
    dn = False
    for found in _TOKEN.finditer(plain(text)):
        if found.group("standard"):
            _sort_standard(found.group("standard"), loose)
        elif found.group("number"):
            numbers.append(_number(found))
        elif found.group("gauge"):
            gauge = int(re.match(r"\d+", found.group("gauge")).group())  # type: ignore[union-attr]
        elif found.group("schedule") or found.group("named"):
            schedule = found.group("schedule") or _SCHEDULES[found.group("named").lower()]
        elif found.group("grade"):
            loose.append(found.group("grade").lower())
        elif found.group("word"):
            dn = dn or found.group("word").lower() == "dn"
            _sort_word(found.group("word"), words, loose)
    series = [_SERIES[word] for word in loose if word in _SERIES] if dn else []
    return Spec(
        words=tuple(words),
        numbers=tuple(numbers),
        gauge=gauge,
        schedule=schedule,
        dn=dn,
        series=series[0] if series else "",
        loose=tuple(word for word in loose if not series or word not in _SERIES),
    )


def _sort_standard(text: str, loose: list[str]) -> None:
    """Keep a standard that says what a section is made of; one that only says its size adds nothing to its name."""
    words = " ".join(re.sub(r"[\s-]*(en|din|bs)[\s-]*", r" \1 ", text.lower()).split())
    if not DIMENSIONAL.fullmatch(words):
        number = re.search(r"\d{4,5}(?:-\d)?", words)
        loose.append(f"en {number.group()}" if number and " en " in f" {words} " else words)


def _sort_word(word: str, words: list[str], loose: list[str]) -> None:
    """Put a word where it belongs: family words, neutral ones (dropped), the rest."""
    if tags_of(word):
        words.append(fold(word))
        return
    parts = re.split(r"[.-]", word)
    if len(parts) > 1 and all(tags_of(part) or fold(part) in NEUTRAL for part in parts):
        words.extend(fold(part) for part in parts if tags_of(part))
    elif fold(word) in NEUTRAL or not fold(word):
        return
    else:
        loose.append(word.lower())
