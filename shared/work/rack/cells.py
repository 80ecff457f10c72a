"""One cell of the rack's list as a value, or what to write there instead."""

from __future__ import annotations

import unicodedata
from fractions import Fraction
from typing import Final

from cutting.question.errors import LengthError, SectionError
from cutting.question.job import Section
from cutting.question.lengths import Unit, parse_length
from shared.sections import understand
from shared.sections.words import fold
from shared.work.rack.bars import parse_bar_name
from shared.work.rack.exchange import SAWN

__all__ = ["MOST_TEXT", "CellError", "answer_of", "label_of", "length_of", "section_of", "text_of", "trim_of"]

MOST_TEXT: Final = 500
"""Most characters of a place, a remark or a heat number."""

_YES: Final = frozenset({"yes", "y", "x", "ok", "true", "1", "ja", "j", "oui", "o", "si", "s", "there", "found"})
_NO: Final = frozenset({"no", "n", "false", "0", "nein", "non", "missing", "gone", "lost", "fehlt", "falta"})
_TICKS: Final = frozenset("✓✔☑☒")
_DASHES: Final = frozenset({"-", "–", "—", "✗", "✘"})
_UNITS: Final = (Unit.IN, Unit.MM)


class CellError(Exception):
    """A cell can't be taken as it stands.

    Attributes
    ----------
    message : str
        What is wrong and what to write instead.
    position : int or None
        Index into its text for a caret.
    """

    def __init__(self, message: str, position: int | None = None) -> None:
        self.message, self.position = message, position
        super().__init__(message)


def length_of(text: str, unit: Unit | None) -> Fraction:
    """Read a length above 0 in mm; a bare number is in `unit`, and refused where there is none."""
    try:
        first, second = (parse_length(text, each) for each in ((unit, unit) if unit is not None else _UNITS))
    except LengthError as error:
        raise CellError(error.wanted, error.position) from None
    if first != second:
        raise CellError(f"{text} of what? Write the unit behind it, such as {text} in or {text} mm")
    if first == 0:
        raise CellError("a piece is longer than 0; write its length")
    return first


def trim_of(text: str, unit: Unit | None) -> Fraction:
    """Read what to take off an end: nothing where it is sawn already."""
    if fold(text) in {SAWN, "0", "none", "gesagt", "scie", "cortado"}:
        return Fraction(0)
    try:
        return length_of(text, unit)
    except CellError as error:
        raise CellError(f"{error.message}; write {SAWN} for an end that needs no trim", error.position) from None


def section_of(name: str, material: str) -> Section:
    """Read a section."""
    if not name:
        raise CellError("what is it? Write its section, such as SHS 40x40x3")
    try:
        return understand(text_of(name), text_of(material))
    except SectionError as error:
        raise CellError(error.message) from None


def label_of(text: str) -> int | None:
    """Read a label number; None for an empty cell."""
    if not text:
        return None
    number = parse_bar_name(text)
    if number is None:
        raise CellError(
            "no label; write one such as D17, or leave the cell empty for a piece that isn't in the books yet"
        )
    return number


def answer_of(text: str) -> bool | None:
    """Read yes or no; None for an empty cell."""
    word = fold(text)
    if not text:
        return None
    if word in _YES or text in _TICKS:
        return True
    if word in _NO or text in _DASHES:
        return False
    raise CellError("write yes or no, or leave the cell empty where nobody looked")


def text_of(text: str) -> str:
    """Read a text: spaces collapsed, nothing that can't be printed."""
    for position, character in enumerate(text):
        if unicodedata.category(character) in {"Cc", "Cs", "Zl", "Zp"} and not character.isspace():
            raise CellError("a control character has no place in a text; delete it", position)
    if len(text) > MOST_TEXT:
        raise CellError(f"at most {MOST_TEXT} characters, this has {len(text)}")
    return " ".join(text.split())
