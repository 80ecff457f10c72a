"""Text that the sheet's own fonts can show.

Sheets use the fonts that come with typst and no others, so that they look alike on every machine. These have Latin,
Greek, Cyrillic, Hebrew and some more, and no Chinese, Japanese, Korean, Thai and others. What they can't show is
printed as its number in Unicode, ``[U+6A2A]``, and the sheet says so: never an empty box without a word. Which
characters they can't show is not guessed: typst is asked, since for PDF/A it refuses a text with a missing letterform.
"""

from __future__ import annotations

import dataclasses
import json
import unicodedata
from collections.abc import Iterable, Iterator
from enum import Enum
from functools import lru_cache
from itertools import pairwise
from typing import Any, Final

import typst

__all__ = ["FACES", "LOST_NOTE", "in_letters", "missing", "printable", "texts_of"]

LOST_NOTE: Final = (
    "The sheet's fonts have no letterforms for some characters of this job; each is printed as its Unicode number, "
    "such as [U+6A2A]."
)
"""Said on every sheet where it applies."""

FACES: Final = ("Libertinus Serif", "DejaVu Sans Mono")
"""Fonts that come with typst, in the order in which they are asked for a letterform."""

_PROBE: Final = (
    "#set page(width: 100mm, height: auto)\n#set text(font: json(bytes(sys.inputs.faces)))\n#sys.inputs.text"
)
_INVISIBLE: Final = frozenset({"Cc", "Cs", "Co", "Cn"})


def missing(texts: Iterable[str]) -> tuple[str, ...]:
    """Return every character of the texts that the fonts can't show, ascending."""
    texts = tuple(texts)
    strange = sorted({character for text in texts if not text.isascii() for character in text if character > "\x7f"})
    controls = sorted({c for text in texts for c in text if unicodedata.category(c) in _INVISIBLE and c not in "\n\t"})
    shown = [character for character in strange if unicodedata.category(character) not in _INVISIBLE]
    lost = {*controls, *_unshown("".join(shown))}
    # A sign that modifies a letter is lost with it, whatever the fonts do with it alone.
    lost |= {b for text in texts for a, b in pairwise(text) if a in lost and unicodedata.category(b)[0] == "M"}
    return tuple(sorted(lost))


def printable(value: Any, lost: frozenset[str]) -> Any:
    r"""Return a value (a dataclass, a tuple, a text) with each lost character of its texts written as its number.

    Examples
    --------
    >>> printable(("A\x00B", 7), frozenset("\x00"))
    ('A[U+0000]B', 7)
    """
    if isinstance(value, Enum) or not lost:
        return value
    if isinstance(value, str):
        return "".join(f"[U+{ord(c):04X}]" if c in lost else c for c in value)
    if isinstance(value, tuple):
        return tuple(printable(entry, lost) for entry in value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        own = (field.name for field in dataclasses.fields(value) if field.init)
        return dataclasses.replace(value, **{name: printable(getattr(value, name), lost) for name in own})
    return value


def in_letters(view: Any, notes: str = "") -> Any:
    """Return a view in letters that the fonts have; where some are written as numbers, its field `notes` says so."""
    lost = frozenset(missing(texts_of(view)))
    shown = printable(view, lost)
    if lost and notes:
        shown = dataclasses.replace(shown, **{notes: (*getattr(shown, notes), LOST_NOTE)})
    return shown


def texts_of(value: Any) -> Iterator[str]:
    """Yield every text in a dataclass, tuple or text."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for entry in value:
            yield from texts_of(entry)
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from texts_of(getattr(value, field.name))


def _unshown(characters: str) -> str:
    """Return which of the characters no font shows: halves that are shown whole need no further look."""
    if not characters or _shows(characters):
        return ""
    if len(characters) == 1:
        return characters
    half = len(characters) // 2
    return _unshown(characters[:half]) + _unshown(characters[half:])


@lru_cache(maxsize=4096)
def _shows(characters: str) -> bool:
    try:
        typst.compile(
            _PROBE.encode(),
            format="pdf",
            ignore_system_fonts=True,
            pdf_standards=["a-2u"],
            sys_inputs={"text": " ".join(characters), "faces": json.dumps(FACES)},
        )
    except typst.TypstError as error:
        if "could not be displayed" in str(error):
            return False
        raise
    return True
