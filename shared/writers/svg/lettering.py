"""Lettering of a drawing: how wide a text is, where crowded dimensions go, and what is safe inside SVG.

A drawing is lettered in a fixed-pitch face, so that its widths are known without asking a font.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import Final
from xml.sax.saxutils import escape

__all__ = ["FACE", "PITCH", "broken", "cells", "safe", "spread", "width"]

FACE: Final = "'DejaVu Sans Mono', 'Liberation Mono', Consolas, Menlo, monospace"
PITCH: Final = 0.602
"""Advance of one character, in font sizes (DejaVu Sans Mono: 1233/2048)."""

_NOTHING: Final = frozenset({"Mn", "Me", "Cf"})
_FORBIDDEN: Final = frozenset({"Cc", "Cs", "Co", "Cn"})


def cells(text: str) -> int:
    """Return how many cells of a fixed-pitch face a text takes (wide characters take two, combining ones none).

    Examples
    --------
    >>> cells("80 1/2"), cells("e\u0301t\u00e9"), cells("\u6a2a")
    (6, 3, 2)
    """
    return sum(
        0
        if unicodedata.category(character) in _NOTHING
        else 2
        if unicodedata.east_asian_width(character) in {"W", "F"}
        else 1
        for character in text
    )


def width(text: str, size: float) -> float:
    """Return the width of a text at a font size, in the unit of the size."""
    return cells(text) * PITCH * size


def broken(text: str, size: float, wide: float) -> list[str]:
    """Break a text onto as many lines as it needs, anywhere: at most so wide at a font size.

    Examples
    --------
    >>> broken("abcdefg", 1, 2), broken("", 1, 2)
    (['abc', 'def', 'g'], [])
    """
    lines: list[str] = []
    for character in text:
        if not lines or width(lines[-1] + character, size) > wide:
            lines.append("")
        lines[-1] += character
    return lines


def safe(text: str) -> str:
    r"""Return a text that may stand in XML: markup escaped, what XML doesn't allow replaced visibly.

    Examples
    --------
    >>> safe('a<b & "c"'), safe("x\x00y")
    ('a&lt;b &amp; &quot;c&quot;', 'x�y')
    """
    clean = "".join("\ufffd" if unicodedata.category(c) in _FORBIDDEN else c for c in text)
    return escape(clean, {'"': "&quot;"})


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Move labels apart as little as possible (least squares), keeping their order.

    Pool adjacent violators: with the gaps taken out, the places must not fall; runs that would are pooled at their
    mean.

    Parameters
    ----------
    wanted : sequence of float
        Where each label belongs, ascending.
    gap : float
        Least distance between neighbours.
    low, high : float
        Where the first and the last label may be.

    Raises
    ------
    ValueError
        There is no room for so many.

    Examples
    --------
    >>> spread([0.0, 1.0, 10.0], 3.0, 0.0, 20.0)
    [0.0, 3.0, 10.0]
    """
    room = high - low - gap * (len(wanted) - 1)
    if room < 0:
        raise ValueError(f"{len(wanted)} labels {gap} apart need more room than {high - low}")
    pools: list[list[float]] = []
    for number, place in enumerate(wanted):
        pools.append([place - gap * number, 1.0])
        while len(pools) > 1 and pools[-2][0] >= pools[-1][0]:
            mean, count = pools.pop()
            before, many = pools[-1]
            pools[-1] = [(mean * count + before * many) / (count + many), count + many]
    flat = [mean for mean, count in pools for _ in range(int(count))]
    return [min(max(place, low), low + room) + gap * number for number, place in enumerate(flat)]
