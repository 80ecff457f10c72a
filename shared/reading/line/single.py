"""Sections of one number or of a table's designation: pipe, UPN, round and square bar, W6x9, IPE 100."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from cutting.question.errors import SectionError
from cutting.question.job import Section
from shared.reading.line.chain import LONG_UNITS, is_family
from shared.reading.line.named import BEAMS, Found, cluster, is_grade, is_length_marker, said_name
from shared.reading.text.tokens import Token
from shared.sections import System, UnfinishedSectionError, understand
from shared.sections.designations import find_designation
from shared.sections.words import Tag, fold, tags_of

__all__ = ["designation", "from_single"]

_DESIGNATION: Final = re.compile(
    r"(?:w|s|hp|wt|st|mt)\d{1,2}x\d{1,3}(?:\.\d+)?|(?:ipe|hea|heb|hem|ipn|inp|upe|ub|uc|t)\d{2,4}", re.IGNORECASE
)
_SINGLE: Final = frozenset({Tag.PIPE, Tag.UPN, Tag.ROUND, Tag.SQUARE, Tag.SOLID, Tag.BAR})


def from_single(tokens: Sequence[Token], system: System | None) -> Found | None:
    """Read a family that takes one number: pipe by nominal size, UPN, round and square bar, tube by gauge."""
    for at, token in enumerate(tokens):
        if not is_family(token) or not set(tags_of(token.text)) & _SINGLE or is_length_marker(tokens, at):
            continue
        words = sorted({at, *cluster(tokens, at, -1), *cluster(tokens, at, 1)})
        sides = [(words[-1] + 1, 1), (words[0] - 1, -1)]
        options = [found for spot, step in sides if (found := _beside(tokens, words, spot, step, system))]
        if options:
            return _marked_first(tokens, options)
    return None


def _beside(tokens: Sequence[Token], words: list[int], spot: int, step: int, system: System | None) -> Found | None:
    """Read a family with the number that stands beside its words."""
    if not 0 <= spot < len(tokens) or tokens[spot].kind != "number" or tokens[spot].unit in {*LONG_UNITS, "deg", "%"}:
        return None
    beyond = cluster(tokens, spot, step)
    own = [*words, *beyond]
    number = tokens[spot]
    grades = [at for at in own if is_grade(tokens[at])]
    text = said_name(tokens, [at for at in own if at not in grades], [number])
    material = " ".join(tokens[at].text for at in sorted(grades))
    try:
        section = understand(text, material, system=system)
    except UnfinishedSectionError:
        return None
    except SectionError as error:
        return Found(used=(*own, spot), text=text, section=None, error=error, quantity=None, length=None, known=True)
    if not section.family:
        return None
    return Found(used=(*own, spot), text=text, section=section, error=None, quantity=None, length=None, known=True)


def _marked_first(tokens: Sequence[Token], options: list[Found]) -> Found:
    """Of a number behind and one before the words take the one that is no plain count."""

    def plain_count(found: Found) -> bool:
        number = tokens[found.used[-1]]
        return number.form == "int" and not number.unit

    sure = [found for found in options if found.error is None] or options
    written = [found for found in sure if not plain_count(found)]
    before = [found for found in written if found.used[-1] < min(found.used[:-1])]
    return (before or written or sure)[0]


def designation(tokens: Sequence[Token]) -> Found | None:
    """Read a rolled section by its table's designation (203x133x25 UB, W6x9); one of no table by its name only."""
    listed = _listed(tokens)
    if listed is not None:
        return listed
    for at, token in enumerate(tokens):
        if token.kind == "code" and _DESIGNATION.fullmatch(token.text):
            return _named_only((at,), token.text.upper().replace("X", "x"))
        after = tokens[at + 1] if at + 1 < len(tokens) else None
        if token.kind == "word" and fold(token.text) in BEAMS and after is not None and after.form == "int":
            return _named_only((at, at + 1), f"{token.text.upper()} {after.body}")
    return None


def _listed(tokens: Sequence[Token]) -> Found | None:
    """Read the designation of a table, None where the tokens name none or leave open which."""
    text = ""
    for token in tokens:
        if token.kind != "bar":
            text = text.ljust(token.start) + token.text
    found = find_designation(text)
    if found is None or not found.name:
        return None
    start, end = found.span
    used = tuple(at for at, token in enumerate(tokens) if token.start < end and token.end > start)
    section = understand(found.name)
    return Found(used=used, text=found.name, section=section, error=None, quantity=None, length=None, known=True)


def _named_only(used: tuple[int, ...], name: str) -> Found:
    return Found(used=used, text=name, section=Section(name=name), error=None, quantity=None, length=None, known=True)
