"""The order in which one walks along the rack."""

from __future__ import annotations

from collections.abc import Iterable

from shared.work.rack.bars import Bar

__all__ = ["in_order"]


def in_order(bars: Iterable[Bar]) -> tuple[Bar, ...]:
    """Return bars as one walks along the rack: by place, there by section, longest first."""
    return tuple(sorted(bars, key=lambda bar: (bar.place.casefold(), bar.section.key, -bar.length, bar.number)))
