"""Lines that are no parts but structure: headings, sets to make, totals, remarks."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from cutting.question.lengths import Unit
from shared.reading.text.tokens import plain, unit_of
from shared.reading.text.vocabulary import COUNTERS, DITTO, LENGTH_WORDS, NUMBERS, TOTAL_WORDS, is_also, is_set
from shared.reading.values.line_state import LineState, open_work, whole
from shared.sections.materials import finish_words
from shared.sections.words import TAGS, fold

__all__ = ["Heading", "Total", "read_heading", "read_total", "read_unit"]

_MAKE: Final = frozenset(
    "make build need needed required fabricate produce times fertigen herstellen bauen faire fabriquer hacer "  # noqa: SIM905
    "fabricar qty quantity "
    "anzahl total off maken fare costruire realizzare".split()
)
_PER: Final = frozenset("per each one single pro je par chaque cada por pour voor for".split())  # noqa: SIM905
_ABOVE: Final = re.compile(r"\b(?:above|oben|obige[nrs]?|ci-dessus|arriba|anteriores?)\b", re.IGNORECASE)
_AS_ABOVE: Final = re.compile(
    r"\b(?:as above|wie oben|wie vor|comme ci-dessus|come sopra|als boven|igual que arriba)\b", re.IGNORECASE
)
_EACH: Final = re.compile(
    r"\b(?:per|pro|je|chaque|cada|por|par|for|pour|voor)\s+(?:one|un|une|uno|una|ein|einen|eine|1|één|een)\b"
    r"|\b(?:per|pro|je|chaque|cada|por|par)\s+[^\W\d]+|\beach\b",
    re.IGNORECASE,
)
"""What says that the quantities below are for one."""
_TOTALS: Final = re.compile(
    r"\b(?:totals?|in all|altogether|for all|for the lot|insgesamt|gesamt|zusammen|au total|en total|in totale"
    r"|totaal)\b",
    re.IGNORECASE,
)
"""What says that the quantities below count all sets already."""
_MADE: Final = frozenset(
    "make build fabricate produce fertigen herstellen bauen faire fabriquer hacer fabricar maken fare costruire "  # noqa: SIM905
    "set sets satz satze jeu jeux juego juegos times".split()
)
"""Words that say themselves that sets are made."""
_CHATTER: Final = frozenset(
    "hi hello hallo dear please pls thanks thank regards cheers bonjour hola gracias merci danke bitte list "  # noqa: SIM905
    "parts partslist cutlist "
    "material materials quote order the we i can could you best sent from subject re fw date tel phone email "
    "all dimensions sizes "
    "inches millimetres mm finish paint galvanise galvanised deliver delivery note notes nb and".split()
)
_FIRST_WORDS: Final = re.compile(r"[\W\d_]*[^\W\d_]+(?:[\s-]+[^\W\d_]+)?")
_PART_LIKE: Final = re.compile(r"\d\s*[x*]\s*\.?\d|\d\s*[\"']|@|\dmm|\d/\d|\d\s*mm\b", re.IGNORECASE)
_MOST_WORDS: Final = 6
_MOST_SETS: Final = 10_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Heading:
    """A heading: what the lines below belong to, and how many sets of them are made.

    Attributes
    ----------
    name : str
        The assembly, empty where only sets are stated.
    sets : int or None
        None where none are stated.
    above : bool
        Whether it says that it means the lines above.
    sure : bool
        Whether it can be nothing but a heading (a colon, sets); otherwise its surroundings tell.
    asked : bool
        Whether the sets it states may as well be what the quantities count already.
    """

    name: str
    sets: int | None
    above: bool
    sure: bool
    asked: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Total:
    """A line that states a total.

    Attributes
    ----------
    pieces : int or None
        Pieces stated.
    others : tuple of str
        Other sums stated (lengths, weights), as written.
    """

    pieces: int | None
    others: tuple[str, ...]


def read_heading(text: str) -> Heading | None:
    """Read a line as a heading, None where it can't be one (it has dimensions or lengths, or is chatter)."""
    line = plain(text).strip()
    if _PART_LIKE.search(line):
        return None
    marked = re.match(r"#{1,6}\s+|\*\*|==+\s*|--+\s*", line)
    line = line[marked.end() :] if marked else line
    body = line.rstrip("*=-# ").strip()
    colon = body.endswith(":")
    work = open_work(body.rstrip(":"), (), prices=False)
    numbers = [at for at, token in enumerate(work.tokens) if token.kind == "number"]
    if any(work.tokens[at].unit for at in numbers) or any(token.kind in {"gauge", "schedule"} for token in work.tokens):
        return None
    if any(
        work.kind(at) == "cross" and work.kind(at - 1) == work.kind(at + 1) == "number"
        for at in range(1, len(work.tokens))
    ):
        return None
    words = [work.word(at) for at in range(len(work.tokens)) if work.kind(at) == "word"]
    if numbers and (set(words) & DITTO or _AS_ABOVE.search(line) or '"' in work.signs):
        return None
    sets, used = _sets(work)
    if len(numbers) > 2 or (numbers and sets is None and not _named_number(work, numbers)):  # noqa: PLR2004
        return None
    name = _name(work, used) if sets is not None else body.rstrip(": ").strip()
    if sets is not None and (any(map(is_also, words)) or _names_part(words) or not _is_name(name, words)):
        return None
    if sets is not None and (any(map(is_set, words)) or set(words) & _MAKE or colon):
        return Heading(
            name=name,
            sets=None if _TOTALS.search(body) and not _EACH.search(body) else sets,
            above=bool(_ABOVE.search(body)),
            sure=True,
            asked=not (_EACH.search(body) or set(words) & _MADE or _TOTALS.search(body)),
        )
    if (sets or 1) != 1 or not words or len(words) > _MOST_WORDS or body.endswith((".", ",", "!", "?")):
        return None
    if set(words) & _CHATTER and not (colon and any(map(is_set, words))):
        return None
    return Heading(name=name, sets=None, above=False, sure=colon or marked is not None)


def _names_part(words: list[str]) -> bool:
    """Whether words name a section and nothing that is made in sets of it: ``four off 40 by 40 box``."""
    return any(len(word) > 1 and word in TAGS for word in words) and not any(map(is_set, words))


def _is_name(name: str, words: list[str]) -> bool:
    """Whether what a heading with a count is left with may be a name."""
    return any(character.isalpha() for character in name) or any(map(is_set, words))


def _named_number(work: LineState, numbers: list[int]) -> bool:
    """Whether the only number numbers a name (``Frame 2``)."""
    alone = len(numbers) == 1 and numbers[0] == len(work.tokens) - 1
    return alone and work.kind(numbers[0] - 1) == "word" and work.word(numbers[0] - 1) not in LENGTH_WORDS


def _sets(work: LineState) -> tuple[int | None, set[int]]:
    """Return how many sets a heading states, and the tokens that say it."""
    for at in range(len(work.tokens)):
        count = _count(work, at)
        if count is None or not 0 < count <= _MOST_SETS:
            continue
        before, after = work.word(at - 1), work.word(at + 1)
        crossed = work.kind(at - 1) == "cross" or work.kind(at + 1) == "cross"
        in_words = work.kind(at) == "word"
        if in_words and not is_set(after) and after not in COUNTERS and before not in _MAKE:
            continue
        if before in _PER:
            continue
        ahead = [work.word(spot) for spot in range(at + 1, min(at + 4, len(work.tokens)))]
        if (
            crossed
            or before in _MAKE
            or after in COUNTERS
            or any(map(is_set, ahead))
            or work.sign(at - 1) in {"(", ":", "="}
        ):
            used = {at, at - 1 if work.kind(at - 1) == "cross" else at, at + 1 if work.kind(at + 1) == "cross" else at}
            return count, used
    return None, set()


def _count(work: LineState, at: int) -> int | None:
    return NUMBERS.get(work.word(at)) if work.kind(at) == "word" else whole(work.tokens[at])


def _name(work: LineState, used: set[int]) -> str:
    """Return the assembly's name: the line without its sets."""
    drop = set(used)
    for at in range(len(work.tokens)):
        word = work.word(at)
        if (
            word in _MAKE
            or word
            in {"sets", "set", "of", "satz", "satze", "jeu", "jeux", "juego", "juegos", "above", "the"} | COUNTERS
        ):
            drop.add(at)
    bare = LineState(text=work.text, tokens=work.tokens, used=drop, noted=set())
    return bare.rest().strip(" -,:()")


_UNIT: Final = re.compile(
    r"\b(?:dimensions?|dims?|lengths?|sizes?|measurements?|units?|ma(?:ß|ss)e|l[äa]ngen|cotes?|longueurs?"
    r"|medidas?|longitudes)\b"
    r"[^\d]{0,25}?\b(inches|inch|in|mm|millimet\w+|cm|met(?:er|re)s|feet|ft|zoll|pouces"
    r"|pulgadas)\b(?!\s+\w+\s+\w+\s+\w+\s+\w+)",
    re.IGNORECASE,
)


def read_unit(text: str) -> Unit | None:
    """Return the unit that a line states for the whole list, None for any other line.

    Examples
    --------
    >>> read_unit("All dimensions in inches."), read_unit("2 lengths in mm 40") is None
    (<Unit.IN: 'in'>, True)
    """
    line = plain(text)
    if any(character.isdigit() for character in line):
        return None
    found = list(_UNIT.finditer(line))
    if not found:
        return None
    word = re.sub(r"\bin\s+", "", found[-1].group(1))
    last = re.search(
        r"\b(?:in|are)?\s*(inches|mm|millimet\w+|cm|met(?:er|re)s|feet|ft|zoll|pouces|pulgadas)\b", line, re.IGNORECASE
    )
    named = unit_of(last.group(1) if last else word)
    return Unit(named) if named in set(Unit) else None


_ALL: Final = frozenset(
    "all alles alle tout toute tous todo todos tutto tutti everything material materials grade werkstoff matiere "  # noqa: SIM905
    "materiale materiaal unless otherwise marked noted stated shown where in en aus is to be sauf sofern nicht anders "
    "angegeben indication contraire salvo indicacion".split()
)


def read_material(text: str) -> str:
    """Return the grade or finish that a line states for all below it, empty for any other line.

    Examples
    --------
    >>> read_material("All S355 unless marked"), read_material("Werkstoff: 1.4301"), read_material("galvanised gate")
    ('S355', '1.4301', '')
    """
    words = [word for part in plain(text).split() if (word := part.strip(".,:;()"))]
    named = finish_words([word.lower() for word in words])
    others = [word for word in words if word.lower() not in named and fold(word) not in _ALL]
    said = any(fold(word) in _ALL for word in words)
    grades = [word for word in words if word.lower() in named and fold(word) not in _ALL]
    return " ".join(grades) if grades and said and not others else ""


def read_total(text: str) -> Total | None:
    """Read a line as a total, None where it isn't one.

    Examples
    --------
    >>> read_total("Total: 34 pcs"), read_total("4 x SHS 40x40x3 500") is None
    (Total(pieces=34, others=()), True)
    """
    first = _FIRST_WORDS.match(plain(text))
    if first is None or not {fold(word) for word in re.findall(r"[^\W\d_]+", first.group())} & TOTAL_WORDS:
        return None
    work = open_work(plain(text), (), prices=False)
    words = [work.word(at) for at in range(len(work.tokens)) if work.kind(at) == "word"]
    if not words or (
        words[0] not in TOTAL_WORDS
        and not (len(words) > 1 and words[0] in {"grand", "sub"} and words[1] in TOTAL_WORDS)
    ):
        return None
    if any(work.kind(at) == "cross" for at in range(len(work.tokens))):
        return None
    pieces: list[int] = []
    counted: list[int] = []
    others: list[str] = []
    for at, token in enumerate(work.tokens):
        if token.kind != "number":
            continue
        count = whole(token)
        if count is None:
            others.append(token.text.strip())
            continue
        pieces.append(count)
        if work.word(at + 1) in COUNTERS or fold(work.word(at - 1)) in {"pieces", "pcs", "qty", "stuck"}:
            counted.append(count)
    best = counted or pieces
    return Total(pieces=best[0] if best else None, others=tuple(others))
