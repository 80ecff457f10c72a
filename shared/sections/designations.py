"""Designations of rolled shapes as tables and drawings write them, in whatever order and with whatever blanks."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from shared.sections.rolled import rolled, series

__all__ = ["Designation", "find_designation"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Designation:
    """What a text names.

    Attributes
    ----------
    name : str
        Canonical name of the one shape it can be; empty where that must be asked.
    choices : tuple of str
        Which it may be, where it must be asked.
    question : str
        What to ask; empty where nothing is.
    rest : str
        What the text says beside.
    span : (int, int)
        Where it stands in the text.
    """

    name: str = ""
    choices: tuple[str, ...] = ()
    question: str = ""
    rest: str = ""
    span: tuple[int, int] = (0, 0)


_Reading = tuple[str, tuple[str, ...], str] | None  # name, choices, question
_NUMBER: Final = r"\d+(?:[.,]\d+)?"
_MARK: Final = r"(?:\"|''|in\b\.?|inch\b)?"
_BEGIN: Final = r"(?<![\w.,/#-])"
_END: Final = r"(?![\w/])(?!\s*x\s*\d)(?![.,]\d)"
_CROSS: Final = r"\s?x\s?"
_GAP: Final = r"[\s-]{0,2}"
_MOST_NAMED: Final = 12
"""A question names no more sections than this; a longer list is read by nobody."""


def _number(text: str) -> str:
    value = Fraction(text.replace(",", "."))
    return f"{float(value):g}"


def _asked(question: str, names: tuple[str, ...]) -> _Reading:
    return ("", names[:_MOST_NAMED], question) if names else None


def _american(found: re.Match[str]) -> _Reading:
    """Read depth and pounds a foot: ``W8x18``, ``MC 6 x 12``, ``WT4x9``."""
    said = found["series"] or "c"
    kind = "W" if said == "wf" else said.upper()
    depth, weight = _number(found["depth"]), found["weight"]
    if weight and rolled(name := f"{kind}{depth}x{_number(weight)}"):
        return name, (), ""
    if kind in {"C", "S", "M"} or (weight and rolled(f"{kind}{depth}x{weight}")):
        return None  # a C states its weight even where no table has it; M8x20 is a bolt
    return _asked("which weight a foot?", series(f"{kind}{depth}x"))


def _european(found: re.Match[str]) -> _Reading:
    """Read a series and a size: ``IPE 100``, ``HE 100 A``, ``IPBl 120``, ``U 100``."""
    groups = found.groupdict()
    kind = " ".join((groups.get("kind") or groups.get("after") or "").split()).upper()
    begin = {"ipb": "HEB", "ipbl": "HEA", "ipbv": "HEM", "inp": "IPN", "i": "IPN", "unp": "UPN", "u": "UPN"}
    name = begin.get(found["series"], found["series"].upper()) + kind
    if name == "HE":
        names = tuple(full for letter in "ABM" if rolled(full := f"HE{letter} {found['size']}"))
        return _asked("A, B or M?", names)
    full = f"{name} {found['size']}"
    return (full, (), "") if rolled(full) else None


def _british(found: re.Match[str]) -> _Reading:
    """Read serial size and kg/m: ``203x133x25 UB``, ``PFC 150x75``, ``152 UC 23``."""
    kind = {"UKB": "UB", "UKC": "UC", "UKPFC": "PFC"}.get(found["series"].upper(), found["series"].upper())
    depth, width, weight = _number(found["depth"]), found["width"], found["weight"]
    names = series(f"{kind} {depth}x{_number(width)}x" if width else f"{kind} {depth}x")
    if not weight:
        return (names[0], (), "") if len(names) == 1 else _asked("how many kg/m?", names)
    same = [name for name in names if name.rpartition("x")[2] == str(round(float(weight.replace(",", "."))))]
    return (same[0], (), "") if len(same) == 1 else _asked("which of these?", tuple(same) or names)


def _beam(found: re.Match[str]) -> _Reading:
    """Read a beam called no more than that: ``I-beam 4 x 7.7#``, ``6" I beam``, ``H 100x100``."""
    depth, second, weighed = _number(found["depth"]), found["second"], found["weighed"]
    if second and weighed:
        full = [f"{kind}{depth}x{_number(second)}" for kind in ("S", "W", "M")]
        known = tuple(name for name in full if rolled(name))
        if len(known) == 1:
            return known[0], (), ""
        return _asked("which of these?", known)
    wanted = "HEA HEB HEM" if found["letter"] == "h" else "IPN IPE"
    metric = tuple(name for kind in wanted.split() if rolled(name := f"{kind} {depth}"))
    inches = () if second else (*series(f"S{depth}x"), *series(f"W{depth}x"))
    return _asked("which of these?", metric or inches)


def _channel(found: re.Match[str]) -> _Reading:
    """Read a channel told by its depth alone: ``4" channel``, ``U-balk 100``, ``channel 100``."""
    depth = _number(found["depth"])
    metric = (*series(f"UPN {depth}"), *series(f"UPE {depth}"), *series(f"PFC {depth}x"))
    exact = tuple(name for name in metric if name.partition(" ")[2].split("x")[0] == depth)
    return _asked("which of these?", exact) if exact else _asked("which weight a foot?", series(f"C{depth}x"))


def _rebar(found: re.Match[str]) -> _Reading:
    """Read reinforcing bar: by its number in eighths of an inch, or by its diameter in mm."""
    size, number = found["size"], found["number"]
    if "/" in size:
        eighths = Fraction(size) * 8
        name = f"REBAR #{eighths}"
        return (name, (), "") if rolled(name) else None
    names = [] if found["mm"] else [f"REBAR #{size}"]
    names += [] if number else [f"REBAR {size} mm"]
    known = tuple(name for name in names if rolled(name))
    return (known[0], (), "") if len(known) == 1 else _asked("which of these?", known)


_WORD: Final = r"rebar|reinforcing bar|betonstahl|bewehrungsstahl|betonstaal|corrugado|armeringsjern|armeringsstål"
_REBAR: Final = r"(?P<number>#|no\.?\s?)?(?P<size>\d/\d|\d{1,2})\s?(?P<mm>mm\b)?\"?"
_LETTER: Final = r"(?P<letter>[ih])[\s-]?(?:beams?|profile?s?|träger|balk|bjelke|bjælke)"
_BEAM: Final = (
    rf"(?P<depth>{_NUMBER})\s?{_MARK}(?:{_CROSS}(?P<second>{_NUMBER})\s?(?P<weighed>#|lbs?(?:/ft)?\b)?\s?{_MARK})?"
)
_U: Final = r"(?:u[\s-]?(?:balk|profile?|profiel|stahl|stål|stang|stång|jern|bjelke|bjælke)|channels?)"
_SERIAL: Final = rf"(?P<depth>{_NUMBER}){_CROSS}(?P<width>{_NUMBER})(?:{_CROSS}(?P<weight>{_NUMBER}))?"
_BRITISH: Final = r"(?P<series>ukb|ukc|ukpfc|ub|uc|pfc|rsj|rsc)"
_WEIGHED: Final = rf"(?P<depth>{_NUMBER})\s?{_MARK}{_CROSS}(?P<weight>{_NUMBER})\s?(?:#|lbs?(?:/ft)?(?!\w))?"
_PATTERNS: Final[tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], _Reading]], ...]] = tuple(
    (re.compile(_BEGIN + pattern), reader)
    for pattern, reader in (
        (
            rf"(?P<series>wf|wt|hp|mc|w|m|s|c){_GAP}{_WEIGHED}{_END}",
            _american,
        ),
        (rf"channels?\s(?P<series>)?{_WEIGHED}(?<=[#tbs])", _american),
        (rf"(?P<series>wf|wt|hp|mc|w){_GAP}(?P<depth>\d+)(?P<weight>)?\s?{_MARK}{_END}", _american),
        (rf"(?P<series>ipe){_GAP}(?P<kind>aa|a|o)?{_GAP}(?P<size>\d+){_GAP}(?P<after>aa|a|o)?{_END}", _european),
        (rf"(?P<series>he){_GAP}(?P<kind>aa|a|b|m)?{_GAP}(?P<size>\d+){_GAP}(?P<after>aa|a|b|m)?{_END}", _european),
        (rf"(?P<series>ipbl|ipbv|ipb|ipn|inp|upn|unp|upe|i|u){_GAP}(?P<size>\d+){_END}", _european),
        (rf"{_BRITISH}{_GAP}{_SERIAL}{_END}", _british),
        (rf"{_SERIAL}\s?{_BRITISH}(?!\w)", _british),
        (rf"(?P<depth>\d+)(?P<width>)?\s?(?P<series>ub|uc)\s?(?P<weight>\d+){_END}", _british),
        (rf"(?:{_WORD})\s?{_REBAR}{_END}", _rebar),
        (rf"{_REBAR}\s?(?:{_WORD})(?!\w)", _rebar),
        (rf"{_LETTER}\s?{_BEAM}{_END}", _beam),
        (rf"{_BEAM}\s?{_LETTER}(?!\w)", _beam),
        (rf"(?P<letter>[ih])\s{_BEAM}{_END}", _beam),
        (rf"{_U}\s(?P<depth>\d+)\s?{_MARK}{_END}", _channel),
        (rf"(?P<depth>\d+)\s?{_MARK}\s?{_U}(?!\w)", _channel),
    )
)


def find_designation(text: str) -> Designation | None:
    """Return what a text names by its table's designation, None where it names nothing so.

    Parameters
    ----------
    text : str
        With plain characters (see `scan.plain`).

    Examples
    --------
    >>> find_designation("HE 100 A S235").name, find_designation("203 x 133 UB").choices
    ('HEA 100', ('UB 203x133x25', 'UB 203x133x30'))
    >>> find_designation("SHS 40x40x3") is None
    True
    """
    return next(_readings(text.lower()), None)


def _readings(text: str) -> Iterator[Designation]:
    for pattern, reader in _PATTERNS:
        for found in pattern.finditer(text):
            reading = reader(found)
            if reading is not None:
                name, choices, question = reading
                rest = f"{text[: found.start()]} {text[found.end() :]}"
                yield Designation(name=name, choices=choices, question=question, rest=rest, span=found.span())
