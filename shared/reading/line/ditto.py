"""Words and signs that stand for what the line above says."""

from __future__ import annotations

from typing import Final

from shared.reading.text.vocabulary import DITTO
from shared.reading.values.line_state import LineState

__all__ = ["take_ditto"]


def take_ditto(work: LineState) -> bool:
    """Take a word or sign for "as above" where it stands for a field."""
    if _take_as_above(work):
        return True
    if not work.says(DITTO) and not any(token.text == '"' for token in work.tokens):
        return False
    for at in work.free():
        first = at == work.free()[0]
        plain_word = work.word(at) in {"same", "do", "gleich"} and not work.tokens[at].text.endswith(".")
        verb = work.word(at) == "do" and plain_word and work.kind(at + 1) == "word"  # do not scale
        if work.word(at) in DITTO and (first or not plain_word) and not verb:
            work.take((at,))
            if work.sign(at + 1) == ".":
                work.take((at + 1,))
            return True
        if work.sign(at) == '"' and (first or work.sign(at + 1) in {"|", ";", '"'} or at + 1 == len(work.tokens)):
            work.take((at,))
            return True
    return False


_ABOVE: Final = frozenset(
    {("as", "above"), ("wie", "oben"), ("wie", "vor"), ("come", "sopra"), ("als", "boven"), ("comme", "cidessus")}
)


def _take_as_above(work: LineState) -> bool:
    """Take ``as above`` and ``-"-``, which stand for what the line above says."""
    for at in work.free():
        if (work.word(at), work.word(at + 1)) in _ABOVE:
            work.take((at, at + 1))
            return True
        if work.sign(at) == "-" and work.sign(at + 1) == '"' and work.sign(at + 2) == "-":
            work.take((at, at + 1, at + 2))
            return True
    return False
