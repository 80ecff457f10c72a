"""Thin bars: all layouts of a plan on one scale, parts shaded by mark, what is left hatched.

Shades are greys and patterns that differ in a photocopy too; colours come from the page (`currentColor`).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from shared.view.drawing.overview import Overview, Stretch, Thin
from shared.writers.svg.lettering import FACE, safe, width

__all__ = ["SHADES", "longest_of", "patterns", "thin_bar"]

_WIDE: Final = 460.0
_HIGH: Final = 20.0
_LETTER: Final = 11.0

_TILES: Final = (
    "",
    '<path d="M0 6L6 0" {line}/>',
    '<circle cx="2" cy="2" r=".8" fill="currentColor"/>',
    '<path d="M0 3H6" {line}/>',
    '<path d="M3 0V6" {line}/>',
    '<path d="M0 0L6 6M0 6L6 0" {line}/>',
)
_GREYS: Final = (0.0, 0.12, 0.24)
SHADES: Final = len(_TILES) * len(_GREYS)
"""Shades that can be told apart; further marks begin again."""


def patterns() -> str:
    """Return the shades and the hatch of a drop, to stand once on a page before its thin bars."""
    line = 'stroke="currentColor" stroke-width=".8" fill="none"'
    shades = (
        f'<pattern id="shade-{number}" width="6" height="6" patternUnits="userSpaceOnUse">'
        f'<rect width="6" height="6" fill="currentColor" fill-opacity="{_GREYS[number // len(_TILES)]}"/>'
        f"{_TILES[number % len(_TILES)].format(line=line)}</pattern>"
        for number in range(SHADES)
    )
    hatch = (
        '<pattern id="shade-drop" width="9" height="9" patternUnits="userSpaceOnUse">'
        f'<path d="M0 9L9 0M-2 2L2 -2M7 11L11 7" {line} stroke-opacity=".55"/></pattern>'
    )
    defs = "".join(shades) + hatch
    return f'<svg width="0" height="0" aria-hidden="true" focusable="false"><defs>{defs}</defs></svg>'


def thin_bar(bar: Thin, longest: Fraction) -> str:
    """Draw one layout.

    Parameters
    ----------
    bar : Thin
        It.
    longest : Fraction
        mm, of the longest stick on the page: all are drawn on one scale.
    """
    scale = (_WIDE - 2) / float(longest)

    def x(at: Fraction) -> str:
        return f"{1 + float(at) * scale:.1f}"

    def wide(start: Fraction, end: Fraction) -> str:
        return f"{max(0.5, float(end - start) * scale):.1f}"

    high = f"{_HIGH - 2:g}"
    body = [f'<rect x="1" y="1" width="{wide(Fraction(0), bar.length)}" height="{high}" class="stick"/>']
    if bar.drop:
        start = bar.length - bar.drop
        body.append(
            f'<rect x="{x(start)}" y="1" width="{wide(start, bar.length)}" height="{high}" fill="url(#shade-drop)"/>'
        )
    for part in bar.parts:
        place = f'x="{x(part.start)}" y="1" width="{wide(part.start, part.end)}" height="{high}"'
        body.append(
            f'<rect {place} class="paper"/><rect {place} class="part" fill="url(#shade-{part.shade % SHADES})"/>'
        )
        body.append(_letters(part, scale))
    return (
        f'<svg viewBox="0 0 {_WIDE:g} {_HIGH:g}" class="thin is-{bar.source}" role="img">'
        f"<title>{safe(bar.told)}</title>{''.join(body)}</svg>"
    )


def _letters(part: Stretch, scale: float) -> str:
    """The mark, where there is room for it, on clear ground."""
    room = float(part.end - part.start) * scale
    needed = width(part.mark, _LETTER)
    if needed + 6 > room:
        return ""
    middle = 1 + float(part.start + part.end) / 2 * scale
    return (
        f'<rect x="{middle - needed / 2 - 2:.1f}" y="4" width="{needed + 4:.1f}" height="{_HIGH - 8:g}" class="paper"/>'
        f'<text x="{middle:.1f}" y="{_HIGH / 2 + _LETTER * 0.35:.1f}" font-size="{_LETTER:g}" text-anchor="middle" '
        f'font-family="{FACE}" fill="currentColor">{safe(part.mark)}</text>'
    )


def longest_of(sections: Sequence[Overview]) -> Fraction:
    """Return the length of the longest stick, mm; at least 1."""
    return max([Fraction(1), *(bar.length for section in sections for bar in section.bars)])
