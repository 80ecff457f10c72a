"""A line of text as tokens: numbers with their units, crosses, words, signs."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from functools import lru_cache
from typing import Final, NamedTuple

from cutting.question.lengths import Unit
from shared.sections.words import fold

__all__ = ["Token", "plain", "tokenize", "unit_of"]

VULGAR: Final = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_HARD: Final = "\u00a0"

_SAME: Final = str.maketrans(
    {
        **dict.fromkeys("’‘‛′ʹʼ´`", "'"),
        **dict.fromkeys("”“„‟″ʺ", '"'),
        **dict.fromkeys("‐‑‒–—―−﹣", "-"),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("×✕✖⨯хХ", "x"),
        **dict.fromkeys("\u00a0\u2007\u2008\u2009\u200a\u202f", _HARD),
        **dict.fromkeys("⌀∅Ø", "ø"),
        **dict.fromkeys("º˚", "°"),
    }
)


class Token(NamedTuple):
    """One token.

    Attributes
    ----------
    kind : str
        ``number``, ``cross``, ``gauge``, ``schedule``, ``word``, ``code`` (letters and digits in one), ``sign``.
    text : str
        As in the plain line.
    start, end : int
        Its place in the line, unit included.
    value : Fraction or None
        A number's value; None where it has several readings or is no number.
    unit : str
        A number's unit: a value of `Unit`, ``deg``, ``%``, ``lb``, ``kg`` or empty.
    form : str
        How a number is written: ``int``, ``decimal``, ``fraction``, ``mixed`` (a space or dash between), ``glyph``,
        ``grouped`` (thousands), ``open`` (1.200: decimal or thousands), ``spaced`` (1 250: one number or two).
    readings : tuple of Fraction
        The values of an open number, decimal first, or the two parts and the whole of a spaced one.
    body : str
        A number without its unit.
    word : str
        A word folded, empty for other tokens.
    """

    kind: str
    text: str
    start: int
    end: int
    value: Fraction | None = None
    unit: str = ""
    form: str = ""
    readings: tuple[Fraction, ...] = ()
    body: str = ""
    word: str = ""


_UNDER: Final = r"(?:128|64|32|16|12|10|8|6|5|4|3|2)(?!\d)"
_UNIT: Final = (
    r"(?:\"|''|'(?!')|°|%"
    r"|(?:inches|inch|in(?!\s*(?:stock|total|all|plane|the\b|304|316|430|1\.4|stainless|inox|galv|alu|mild|plain|black|s\d{3}|v[24]a))|zoll|pouces?|po|pulgadas?|pulg|feet|foot|ft|fuss"
    r"|fuß|pieds?|pies?"
    r"|millimet(?:er|re)s?|millimètres?|milimetros?|milímetros?|mms?|centimet(?:er|re)s?|centimetros?|centímetros?|cms?|met(?:er|re)s?"
    r"|mètres?|metros?"
    r"|mtrs?|mts?|m\.m|m|deg(?:rees?)?|grad|degrés?|grados?|lbs?|pounds?|kgs?)(?![^\W_])\.?)"
)
_TOKEN: Final = re.compile(
    rf"(?P<gauge>(?<![\d./,])\d{{1,2}}\s*(?:gauge|gage|ga|g)(?![^\W_])\.?)"
    rf"|(?P<schedule>(?:schedule|sched|sch)\.?\s*(?:\d{{1,3}})s?(?![\w/.])|(?<![^\W_])(?:std|xs|xh)(?![^\W_]))"
    rf"|(?P<glued>(?<![^\W_])(?:hss|shs|rhs|chs|upn|unp|fb|fl|ea|qr|rr|strip|flat|koker|angle|buis|plt?|pipe|tube|rohr|dn|ø|(?:l|c|mc"
    rf"|u)(?=\d[\d./ -]*\s*[x*]\s*\d))(?=\d))"
    rf"|(?P<counter>(?<=\d)(?:nos?|off|pcs?|stk|pz|uds?)\.?(?=\d)|(?<![^\W_])(?:n|pz|nr)\.(?=\d))"
    rf"|(?P<grade>(?<![\w.])(?:1\.4[0-9]\d\d|30[34]L|316(?:L|Ti)|60[68]\d-T\d{{1,2}}|6005A?-T\d)(?!\w|\s*(?:mm|cm|m)\b))"
    rf"|(?P<number>(?<!\d[.,])(?:"
    rf"(?P<metres>\d{{1,2}})m(?P<behind>\d{{2,3}})(?![\w/.,])"
    rf"|(?P<feet>\d{{1,3}})\s?(?:ft|foot|feet)\.?\s?(?P<inches>\d{{1,2}})"
    rf"(?:[ -](?P<iover>\d{{1,2}})/(?P<iunder>{_UNDER}))?(?:\"|\s?in\b)?(?![\w/.,]|\s*(?:x\b|[-/]\s?\d)|\s\d{{1,2}}/\d)"
    rf"|"
    rf"(?P<group>\d{{1,3}}(?:{_HARD}\d{{3}})+(?:[.,]\d{{1,4}})?(?!\d)|\d{{1,3}}(?:\.\d{{3}})+,\d{{1,4}}"
    rf"|\d{{1,3}}(?:,\d{{3}})+\.\d{{1,4}}"
    rf"|\d{{1,3}}(?:\.\d{{3}}){{2,}}(?!\d)|\d{{1,3}}(?:,\d{{3}}){{2,}}(?!\d)"
    rf"|\d{{1,3}}(?:'\d{{3}})+(?:[.,]\d{{1,4}})?(?![\d/'\"]))"
    rf"|(?P<whole>\d{{1,5}})(?P<join>-|[ {_HARD}]{{1,3}}| (?:and|&|und|et|y|e|en) )"
    rf"(?P<over>\d{{1,3}})/(?P<under>{_UNDER})"
    rf"|(?P<head>\d{{1,5}})[ {_HARD}-]?(?P<glyph>[{VULGAR}])"
    rf"|(?P<spaced>(?<![x*])(?<![x*] )\d{{1,3}} \d{{3}}(?:[.,]\d{{1,2}})?(?![\d/.,x]|\s*x))"
    rf"|(?P<top>\d{{1,3}})/(?P<bottom>{_UNDER})"
    rf"|(?P<alone>[{VULGAR}])"
    rf"|(?P<open>[1-9]\d{{0,2}}[.,]\d{{3}}(?![\d.,]))"
    rf"|(?P<decimal>\d{{0,6}}[.,]\d{{1,6}}(?!\d))"
    rf"|(?P<int>\d{{1,7}}(?!\d)))(?:\s*(?P<unit>{_UNIT}))?)"
    rf"|(?P<cross>(?<![^\W\d_])[x*](?=\s*[\d.,{VULGAR}]|\s+[^\W\d_]|\s*(?:$|[-|;,:@]))|(?<=\d)x(?=[^\W\d_]{{2}}))"
    rf"|(?P<code>[^\W\d_]{{1,6}}[-.]?\d[\w-]*)"
    rf"|(?P<word>ø|[^\W\d_]+(?:[.'/-][^\W\d_]+)*\.?)"
    rf"|(?P<sign>[^\s{_HARD}])",
    re.IGNORECASE,
)
_UNITS: Final = {
    '"': Unit.IN.value,
    "''": Unit.IN.value,
    "'": Unit.FT.value,
    "°": "deg",
    "%": "%",
    "fuss": Unit.FT.value,
    "fuß": Unit.FT.value,
    "ft": Unit.FT.value,
    "feet": Unit.FT.value,
    "foot": Unit.FT.value,
    "mm": Unit.MM.value,
    "mms": Unit.MM.value,
    "m.m": Unit.MM.value,
    "cm": Unit.CM.value,
    "cms": Unit.CM.value,
    "m": Unit.M.value,
    "in": Unit.IN.value,
    "po": Unit.IN.value,
    "zoll": Unit.IN.value,
    "grad": "deg",
}
_UNIT_STARTS: Final = (
    ("inch", Unit.IN.value),
    ("pou", "lb"),
    ("pul", Unit.IN.value),
    ("pie", Unit.FT.value),
    ("mil", Unit.MM.value),
    ("cen", Unit.CM.value),
    ("m", Unit.M.value),
    ("d", "deg"),
    ("g", "deg"),
    ("lb", "lb"),
    ("kg", "kg"),
)


_SLASHED: Final = re.compile(r"(?<![\d/.,])(\d{2,3})/(\d{2,3})/(\d{1,2}(?:[.,]\d)?)(?![\d/])")
"""Dimensions with slashes (40/40/3), which are crosses to us."""
_BY: Final = re.compile(r"(?<=\d) (?:by|bij|par|por|mal) (?=\d)", re.IGNORECASE)
"""The cross as it is spoken: ``40 by 40 by 3``."""


@lru_cache(maxsize=512)
def plain(text: str) -> str:
    r"""Return the line with one plain character for each typographic one, so that positions stay.

    Examples
    --------
    >>> plain("6′ 8½″ × 4")
    '6\' 8½" x 4'
    """
    if _BY.search(text):
        text = _BY.sub(lambda found: " x".ljust(len(found.group())), text)
    if "/" in text:
        text = _SLASHED.sub(r"\1x\2x\3", text)
    if text.isascii() and text.isprintable():
        return text
    text = text.translate(_SAME)
    return "".join(_plain(character) if not " " <= character < "\x7f" else character for character in text)


def _plain(character: str) -> str:
    """Return a plain character for one that is not printable ASCII."""
    if character in {"\t", _HARD}:
        return character
    category = unicodedata.category(character)
    if category[0] == "C" or character.isspace():
        return " "
    return str(unicodedata.decimal(character)) if category == "Nd" else character


def unit_of(text: str) -> str:
    """Return the unit that a word or sign stands for, empty for none."""
    word = text.lower().rstrip(".")
    if word in _UNITS:
        return _UNITS[word]
    if word.startswith("pouce"):
        return Unit.IN.value
    return next((unit for start, unit in _UNIT_STARTS if word.startswith(start)), "")


def glyph_value(character: str) -> Fraction:
    """Return the value of a one-character fraction such as ``½``."""
    over, under = unicodedata.normalize("NFKC", character).split("⁄")
    return Fraction(int(over), int(under))


def _number(found: re.Match[str]) -> Token:
    """Return the token of a matched number."""
    unit = unit_of(found["unit"]) if found["unit"] else ""
    unit = Unit.M.value if found["metres"] else Unit.IN.value if found["feet"] else unit
    body_end = found.start("unit") if found["unit"] else found.end()
    body = found.string[found.start() : body_end].rstrip()
    form, value, readings = _value(found, body)
    end = found.end()
    return Token(
        kind="number",
        text=found.group(),
        start=found.start(),
        end=end,
        value=value,
        unit=unit,
        form=form,
        readings=readings,
        body=body,
    )


@lru_cache(maxsize=4096)
def _plain_value(text: str) -> Fraction:
    """Return the value of digits with a point."""
    return Fraction(text)


def _value(found: re.Match[str], body: str) -> tuple[str, Fraction | None, tuple[Fraction, ...]]:
    """Return the form, the value and the readings of a matched number."""
    if found["int"]:
        return "int", _plain_value(body), ()
    if found["metres"] or found["feet"]:
        return _glued(found)
    if found["decimal"]:
        return "decimal", _plain_value(body.replace(",", ".")), ()
    if found["whole"]:
        part = Fraction(int(found["over"]), int(found["under"]))
        return ("mixed", int(found["whole"]) + part, ()) if part < 1 else ("odd", None, ())
    if found["head"]:
        return "glyph", int(found["head"]) + glyph_value(found["glyph"]), ()
    if found["alone"]:
        return "fraction", glyph_value(body), ()
    if found["top"]:
        part = Fraction(int(found["top"]), int(found["bottom"]))
        return ("fraction", part, ()) if part < 1 else ("odd", None, ())
    if found["group"]:
        return "grouped", _grouped(body), ()
    if found["open"]:
        return "open", None, (Fraction(body.replace(",", ".")), Fraction(re.sub(r"[.,]", "", body)))
    first, _, second = body.partition(" ")
    parts = (Fraction(int(first)), Fraction(second.replace(",", ".")))
    return "spaced", None, (*parts, Fraction((first + second).replace(",", ".")))


def _glued(found: re.Match[str]) -> tuple[str, Fraction, tuple[Fraction, ...]]:
    """Return the value of ``1m20`` in metres and of ``3ft6`` in inches."""
    if found["metres"]:
        return "decimal", Fraction(f"{found['metres']}.{found['behind']}"), ()
    part = Fraction(int(found["iover"]), int(found["iunder"])) if found["iover"] else Fraction(0)
    return "feet", 12 * int(found["feet"]) + int(found["inches"]) + part, ()


def _grouped(body: str) -> Fraction:
    """Return the value of a number with thousands separators: a separator that comes once and last is the decimal's."""
    last = max(body.rfind("."), body.rfind(","))
    decimal = last > 0 and body.count(body[last]) == 1 and (len(body) - last - 1 != 3 or not body[:last].isdigit())  # noqa: PLR2004
    if not decimal:
        return Fraction(re.sub(r"\D", "", body))
    return Fraction(re.sub(r"\D", "", body[:last]) + "." + body[last + 1 :])


@lru_cache(maxsize=512)
def tokenize(line: str) -> tuple[Token, ...]:
    """Return the tokens of a plain line.

    Examples
    --------
    >>> [token.text for token in tokenize('4 - 3x3x1/8 sq tube @ 80 1/2"')]
    ['4', '-', '3', 'x', '3', 'x', '1/8', 'sq', 'tube', '@', '80 1/2"']
    """
    tokens = []
    for found in _TOKEN.finditer(line):
        if found["number"]:
            tokens.append(_number(found))
            continue
        kind = str(found.lastgroup)
        text = found.group()
        if kind == "grade":
            tokens.append(Token("code", text, found.start(), found.end()))
        elif kind in {"counter", "glued", "word"}:
            tokens.append(Token("word", text, found.start(), found.end(), word=fold(text)))
        else:
            tokens.append(Token(kind, text, found.start(), found.end()))
    return tuple(tokens)
