"""All layouts of a plan on one scale, to be seen at a glance: what lies on each stick, and what is left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from shared.view.drawing.bar import Bar
from shared.view.model import LayoutView

__all__ = ["Overview", "Stretch", "Thin", "overviews"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Stretch:
    """One part on a thin bar.

    Attributes
    ----------
    start, end : Fraction
        mm from the raw first end of the stick.
    mark : str
        The part's.
    shade : int
        Equal for equal marks, from 0 in the order of the plan.
    """

    start: Fraction
    end: Fraction
    mark: str
    shade: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Thin:
    """One layout as a thin bar.

    Attributes
    ----------
    number : int
        The layout's.
    quantity : int
        Sticks cut alike.
    source : str
        ``sticks``, ``rack`` or ``own``.
    length : Fraction
        mm, of the whole stick.
    parts : tuple of Stretch
        In cutting order.
    drop : Fraction
        mm of what is left at its far end, raw end included.
    told : str
        The same in words.
    """

    number: int
    quantity: int
    source: str
    length: Fraction
    parts: tuple[Stretch, ...]
    drop: Fraction
    told: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Overview:
    """All layouts of one section.

    Attributes
    ----------
    section : str
        With its material.
    bars : tuple of Thin
        In the order of the plan.
    """

    section: str
    bars: tuple[Thin, ...]


def overviews(layouts: Sequence[LayoutView], bars: Sequence[Bar]) -> tuple[Overview, ...]:
    """Return the overview of each section.

    Parameters
    ----------
    layouts : sequence of LayoutView
        Those with parts.
    bars : sequence of Bar
        The drawing of each.
    """
    shades: dict[str, int] = {}
    sections: dict[str, list[Thin]] = {}
    for layout, bar in zip(layouts, bars, strict=True):
        sections.setdefault(layout.section, []).append(_thin(layout, bar, shades))
    return tuple(Overview(section=section, bars=tuple(some)) for section, some in sections.items())


def _thin(layout: LayoutView, bar: Bar, shades: dict[str, int]) -> Thin:
    trim = layout.trims[0].mm
    parts = tuple(
        Stretch(
            start=trim + piece.start.first,
            end=trim + piece.end.last,
            mark=piece.mark,
            shade=shades.setdefault(piece.mark, len(shades)),
        )
        for piece in bar.pieces
    )
    held = ", ".join(piece.mark for piece in bar.pieces)
    return Thin(
        number=layout.number,
        quantity=layout.quantity,
        source=layout.source,
        length=layout.length.mm,
        parts=parts,
        drop=bar.beyond,
        told=f"Layout {layout.number}: {layout.heading}. Parts {held}. {layout.drop_words}",
    )
