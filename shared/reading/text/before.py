"""Units that stand before their number (``cm 75``, ``pz. 4 mm 300``), as Italian lists have them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from shared.reading.text.tokens import Token
from shared.reading.text.vocabulary import COUNTERS, QUANTITY_WORDS

__all__ = ["units_before"]

_BEFORE: Final = re.compile(r"\b(?:mm|cm|m|mt)\.?\s+\d", re.IGNORECASE)
_UNITS: Final = {"mm": "mm", "cm": "cm", "m": "m", "mt": "m"}
_GRADED: Final = frozenset({"aisi", "inox", "inossidabile", "rvs", "edelstahl", "ss"})
"""Words before a grade: ``AISI 304 mm 700``."""
_BARE: Final = frozenset({"int", "decimal"})


def units_before(line: str, tokens: Sequence[Token]) -> list[Token]:
    """Give a bare number the unit in front of it, where that can't be the unit of another number.

    Examples
    --------
    >>> from shared.reading.text.tokens import tokenize
    >>> line = "tondo 10 pz. 8 mm 300"
    >>> [(token.text, token.unit) for token in units_before(line, tokenize(line)) if token.kind == "number"]
    [('10', ''), ('8', ''), ('mm 300', 'mm')]
    """
    found = list(tokens)
    if _BEFORE.search(line) is None:
        return found
    for at in range(len(found) - 1, 0, -1):
        number, before = found[at], found[at - 1]
        if number.kind != "number" or number.unit or number.form not in _BARE or _crossed(found, at):
            continue
        if before.word in _UNITS:
            found[at - 1 : at + 1] = [_with(line, number, before.start, _UNITS[before.word])]
        elif before.unit in _UNITS and before.form == "int" and _counts(found, at - 1, before.unit):
            start = before.start + len(before.body)
            found[at - 1] = before._replace(text=before.body, end=start, unit="")
            start += len(line[start : number.start]) - len(line[start : number.start].lstrip())
            found[at] = _with(line, number, start, before.unit)
    return found


def _with(line: str, number: Token, start: int, unit: str) -> Token:
    return number._replace(text=line[start : number.end], start=start, unit=unit)


def _crossed(tokens: Sequence[Token], at: int) -> bool:
    return at + 1 < len(tokens) and tokens[at + 1].kind == "cross"


def _counts(tokens: Sequence[Token], at: int, unit: str) -> bool:
    """Whether a number is a count or a wall, which no unit of length belongs to: ``pz. 8``, ``40x40x4 cm 75``."""
    before = tokens[at - 1] if at else None
    if before is None:
        return False
    if before.word in _GRADED:
        return True
    if before.kind == "cross":
        return unit != "mm"
    if before.text in {"°", ":", "="} and at > 1:
        before = tokens[at - 2]
    return before.word in QUANTITY_WORDS or (before.word in COUNTERS and before.word not in {"st", "ex"})
