"""What each character of a line was taken for: nothing of a line is dropped without being shown as something."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from typing import NamedTuple

__all__ = ["Taken", "TakenFor", "covering"]


class TakenFor(StrEnum):
    """What a piece of a line was taken for."""

    MARK = "mark"
    QUANTITY = "quantity"
    SECTION = "section"
    LENGTH = "length"
    ENDS = "ends"
    PRICE = "price"
    DITTO = "as above"
    NOTE = "note"
    ALSO = "also needed"
    MATERIAL = "material"
    ASSEMBLY = "assembly"
    SUBSTITUTE = "substitute"
    YARD = "yard"
    SEVERAL = "several parts"
    HEADING = "heading"
    TOTAL = "total"
    ASIDE = "set aside"
    OPEN = "asked"


class Taken(NamedTuple):
    """A piece of a line, from `start` up to `end`, and what it was taken for."""

    start: int
    end: int
    what: TakenFor


def covering(text: str, pieces: Iterable[Taken], rest: TakenFor) -> tuple[Taken, ...]:
    """Return pieces that cover a text: those given, in order, and what is left between them as `rest`.

    Neighbours that are the same are joined over spaces; spaces at either side of a piece belong to none.

    Examples
    --------
    >>> [tuple(each) for each in covering("4 x tube 900 posts", [Taken(4, 8, TakenFor.SECTION)], TakenFor.NOTE)]
    [(0, 3, <TakenFor.NOTE: 'note'>), (4, 8, <TakenFor.SECTION: 'section'>), (9, 18, <TakenFor.NOTE: 'note'>)]
    """
    found: list[Taken] = []
    at = 0
    for start, end, what in [*sorted(pieces), Taken(len(text), len(text), rest)]:
        begin = max(start, at)
        for piece in (Taken(at, begin, rest), Taken(begin, max(end, begin), what)):
            _add(found, text, piece)
        at = max(at, end)
    return tuple(found)


def _add(found: list[Taken], text: str, piece: Taken) -> None:
    """Add a piece without the spaces around it; to the one before where that is the same."""
    body = text[piece.start : piece.end]
    if not body.strip():
        return
    start = piece.start + len(body) - len(body.lstrip())
    end = piece.end - (len(body) - len(body.rstrip()))
    if found and found[-1].what is piece.what and not text[found[-1].end : start].strip():
        start = found.pop().start
    found.append(Taken(start, end, piece.what))
