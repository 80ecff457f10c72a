"""Text that the sheet's own fonts can show.

Sheets use the fonts that come with typst and no others, so that they look alike on every machine. These have Latin,
Greek, Cyrillic and Hebrew, and no Chinese, Japanese, Korean, Thai and others. What they can't show is printed as its
number in Unicode, ``[U+6A2A]``, and the sheet says so: never an empty box without a word. Which characters they can't
show is not guessed: typst is asked, since for PDF/A it refuses a text with a missing letterform.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from typing import Any, Final

import typst

__all__ = ["FACES", "missing", "printable"]

FACES: Final = ("Libertinus Serif", "DejaVu Sans Mono")
"""Fonts that come with typst, in the order in which they are asked for a letterform."""

_PROBE: Final = (
    "#set page(width: 100mm, height: auto)\n#set text(font: json(bytes(sys.inputs.faces)))\n#sys.inputs.text"
)
_INVISIBLE: Final = frozenset({"Cc", "Cs", "Co", "Cn"})


def missing(texts: Iterable[str]) -> tuple[str, ...]:
    """Return every character of the texts that the fonts can't show, ascending."""
    strange = sorted({character for text in texts if not text.isascii() for character in text if character > "\x7f"})
    controls = sorted({c for text in texts for c in text if unicodedata.category(c) in _INVISIBLE and c not in "\n\t"})
    shown = [character for character in strange if unicodedata.category(character) not in _INVISIBLE]
    return tuple(sorted({*controls, *_unshown("".join(shown))}))


def printable(value: Any, lost: frozenset[str]) -> Any:
    r"""Return a value of plain data with each lost character of its texts written as its number.

    Examples
    --------
    >>> printable({"mark": "A\x00B"}, frozenset("\x00"))
    {'mark': 'A[U+0000]B'}
    """
    if isinstance(value, str):
        if not lost:
            return value
        return "".join(f"[U+{ord(c):04X}]" if c in lost else c for c in value)
    if isinstance(value, dict):
        return {key: printable(entry, lost) for key, entry in value.items()}
    if isinstance(value, list | tuple):
        return [printable(entry, lost) for entry in value]
    return value


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
