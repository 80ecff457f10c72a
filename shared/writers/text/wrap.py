"""Lines of text no wider than asked, a figure never parted from its fraction or unit."""

from __future__ import annotations

import re
import textwrap
from typing import Final

__all__ = ["cells", "wrapped"]

_KEPT: Final = "\N{NO-BREAK SPACE}"
_FIGURE: Final = re.compile(r"(?<=\d) (?=\d+/\d|(?:in|ft|mm|cm|m|lb|kg|sq|m2|%)\b|%)|(?<=[A-Z]{3}) (?=\d)")
_HANG: Final = 2
_LEAST: Final = 20


def cells(text: str) -> int:
    """Return how many columns of a terminal a text takes."""
    if text.isascii() and text.isprintable():
        return len(text)
    from rich.cells import cell_len  # noqa: PLC0415 - only where a letter may be wider or narrower than one column

    return cell_len(text)


def wrapped(text: str, width: int | None, hang: int = _HANG) -> list[str]:
    """Break a line at its spaces; what follows hangs below its indent.

    Parameters
    ----------
    text : str
        One line; its leading spaces are its indent.
    width : int or None
        Columns a line may take; None leaves it whole. A single word that is longer stays whole too.
    hang : int
        How much further in the lines after the first begin.
    """
    if width is None or cells(text) <= width:
        return [text]
    words = text.lstrip(" ")
    indent = len(text) - len(words)
    lines = textwrap.wrap(
        _FIGURE.sub(_KEPT, words),
        max(_LEAST, width),
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent + hang),
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_KEPT, " ") for line in lines]
