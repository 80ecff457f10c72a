"""Sections that a designer accepts in a part's place: ``or SHS 2x2x3/16 (heavier)``."""

from __future__ import annotations

import re
from typing import Final

from cutting.question.job import Substitute
from shared.reading.line.finder import find_section
from shared.reading.text.tokens import tokenize
from shared.reading.values.draft import Ask
from shared.sections import System

__all__ = ["find_substitutes"]

_OR: Final = re.compile(
    r"(?<![^\s,;(|])(?:or|oder|ou|o|alt(?:ernative|ernatively|ernativ)?s?|subst(?:itute)?s?|ersatz(?:weise)?"
    r"|remplacement|sustituto|alternativa)\b\.?:?\s+",
    re.IGNORECASE,
)
_REMARK: Final = re.compile(r"\s*\((?P<remark>[^()]{1,200})\)")
_DIMENSIONS: Final = re.compile(r"\d[\d./-]*\s*x\s*\d", re.IGNORECASE)


def find_substitutes(
    line: str, system: System | None, *, whole: bool = False
) -> tuple[list[Substitute], list[tuple[int, int]], list[Ask]]:
    """Find the substitutes in a plain line, each with the remark in parentheses behind it.

    Parameters
    ----------
    line : str
        The line, or a cell.
    system : System or None
        The unit of section dimensions that the rest of the list shows.
    whole : bool
        Whether it is a cell that names nothing but substitutes: then the first needs no word before it.

    Returns
    -------
    list of Substitute
        In the order of the line.
    list of (int, int)
        Their places.
    list of Ask
        What is open about them.
    """
    found: list[Substitute] = []
    spans: list[tuple[int, int]] = []
    asks: list[Ask] = []
    starts = [(match.start(), match.end()) for match in _OR.finditer(line)]
    if whole:
        starts = [*starts, *((match.start(), match.end()) for match in re.finditer(r"^|[;|/]\s+|;", line))]
    for start, at in sorted(starts):
        if spans and start < spans[-1][1]:
            continue
        read = _section_at(line, at, system)
        if read is None:
            if _DIMENSIONS.match(line, at):
                size = line[at:].split(" ", maxsplit=1)[0].rstrip(",;")
                asks.append(Ask(message=_WHICH.format(size), position=at))
                spans.append((start, at + len(size)))
            continue
        substitute, end = read
        found.append(substitute)
        spans.append((start, end))
    return found, spans, asks


_WHICH: Final = "which kind of section is {}? write it out, such as or SHS 50x50x3"


def _section_at(line: str, at: int, system: System | None) -> tuple[Substitute, int] | None:
    """Read the section that begins at a place, with its remark; None where none begins there."""
    following = _OR.search(line, at)
    end = following.start() if following else len(line)
    tokens = [token for token in tokenize(line[:end]) if token.start >= at]
    found = find_section(tokens, system, sure_quantity=True, sure_length=lambda: True)
    if found is None or found.section is None or not found.section.family or found.quantity or found.length:
        return None
    if 0 not in found.used:
        return None
    stop = max(tokens[index].end for index in found.used)
    remark = _REMARK.match(line, stop)
    return (
        Substitute(section=found.section, remark=" ".join(remark["remark"].split()) if remark else ""),
        remark.end() if remark else stop,
    )
