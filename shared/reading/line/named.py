"""What stands around a section's numbers: words of its name, grades, and what was found of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from cutting.question.errors import SectionError
from cutting.question.job import Section
from shared.reading.line.chain import LONG_UNITS, WALL, is_family
from shared.reading.text.tokens import Token
from shared.sections.materials import finish_words
from shared.sections.words import NEUTRAL, Tag, fold, tags_of

__all__ = [
    "BEAMS",
    "GRADES",
    "Found",
    "cluster",
    "is_grade",
    "is_length_marker",
    "is_numbered_grade",
    "names_section",
    "said_name",
]

GRADES: Final = frozenset({"304", "316", "430"})
"""Stainless grades of AISI that look like lengths."""
_STAINLESS: Final = frozenset("stainless inox edelstahl ss type grade aisi inoxidable inoxydable rvs".split())  # noqa: SIM905
_JOINTS: Final = frozenset(",-.")
_OTHERS: Final = frozenset({Tag.HOLLOW, Tag.SQUARE, Tag.RECTANGULAR, Tag.FLAT, Tag.CHANNEL, Tag.TEE, Tag.PIPE})
BEAMS: Final = frozenset("ipe hea heb hem ipn inp upe ub uc".split())  # noqa: SIM905
_BARS: Final = frozenset("bar bars barre barres barra barras stab stabe".split())  # noqa: SIM905
"""Words for a bar of stock as well as for solid steel: ``tubo 40x40x2, barra 6 m``."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """A section found in a line.

    Attributes
    ----------
    used : tuple of int
        Indexes of the tokens that name it.
    text : str
        Its name as understood from those.
    section : Section or None
        None where the name is a question.
    error : SectionError or None
        That question.
    quantity : Token or None
        A quantity that stood in one chain with the dimensions.
    length : Token or None
        A length that stood in one chain with the dimensions.
    known : bool
        Whether the family is one we know.
    """

    used: tuple[int, ...]
    text: str
    section: Section | None
    error: SectionError | None
    quantity: Token | None
    length: Token | None
    known: bool


def names_section(token: Token) -> bool:
    """Whether a word may stand before a section's size (``UPN 100``, ``IPE 100``)."""
    return is_family(token) or token.word in BEAMS


def cluster(tokens: Sequence[Token], at: int, step: int) -> list[int]:
    """Return the indexes of words next to `at`, in one direction, that may belong to the section's name."""
    found: list[int] = []
    kept = 0
    at += step
    while 0 <= at < len(tokens) and len(found) < 8:  # noqa: PLR2004
        token = tokens[at]
        if is_family(token) or token.kind in {"gauge", "schedule"} or is_grade(token) or is_numbered_grade(tokens, at):
            if is_length_marker(tokens, at):
                break
            found.append(at)
            kept = len(found)
        elif (token.kind == "word" and fold(token.text) in NEUTRAL) or (token.kind == "sign" and token.text in _JOINTS):
            found.append(at)
            kept = len(found) if token.word in WALL else kept
        else:
            break
        at += step
    return found[:kept]


def is_numbered_grade(tokens: Sequence[Token], at: int) -> bool:
    """Whether a number names a stainless grade: 304, 316 or 430 next to a word that says stainless."""
    if tokens[at].kind != "number" or tokens[at].text not in GRADES:
        return False
    return any(tokens[spot].word in _STAINLESS for spot in (at - 1, at + 1) if 0 <= spot < len(tokens))


def is_grade(token: Token) -> bool:
    """Whether a word states a grade or a finish."""
    return token.kind in {"word", "code"} and bool(finish_words([token.text.lower().rstrip(".")]))


def is_length_marker(tokens: Sequence[Token], at: int) -> bool:
    """Whether a lone ``L`` announces a length (``L=300``, ``L: 300``) rather than an angle."""
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if tokens[at].word in _BARS:
        said = any(
            _family(token) or token.word in BEAMS
            for spot, token in enumerate(tokens)
            if spot != at and token.kind == "word"
        )
        return (
            said and after is not None and (after.unit in LONG_UNITS | {"mm"} or after.word in {"da", "de", "en", "di"})
        )
    if fold(tokens[at].text) not in {"l", "c", "u"}:
        return False
    if after is None or after.text in {"=", ":", "/", "+", ","}:
        return True
    others = {tag for spot, token in enumerate(tokens) if spot != at and token.kind == "word" for tag in _family(token)}
    return fold(tokens[at].text) == "l" and after.kind == "number" and bool(others)


def _family(token: Token) -> tuple[Tag, ...]:
    """What a word says about the family, a letter and words for any bar aside: beside one, ``L 1200`` is a length."""
    return () if len(fold(token.text)) == 1 else tuple(tag for tag in tags_of(token.text) if tag in _OTHERS)


def said_name(tokens: Sequence[Token], words: Sequence[int], dims: Sequence[Token]) -> str:
    """Put words and dimensions together as a section's name."""
    said = " ".join(tokens[index].text for index in sorted(words) if tokens[index].kind != "sign")
    return f"{said} {' x '.join(token.text for token in dims)}".strip()
