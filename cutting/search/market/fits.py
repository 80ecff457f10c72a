"""What parts do on a stick: lie square, in rows of angled ends, and either between a yard's marks.

The one place that knows which of these there are. Each is loaded where a job first needs it, since most need only one.
"""

from __future__ import annotations

from collections.abc import Sequence

from cutting.fit.clock import Clock
from cutting.fit.instance import Instance
from cutting.fit.marked.windows import Windows
from cutting.search.loop import Search

__all__ = ["search_of"]


def search_of(instance: Instance, windows: Sequence[Windows | None], *, seed: int, clock: Clock) -> Search:
    """Return the cutting of an instance whose kinds of stick have these windows (None: not cut by a yard)."""
    if any(windows):
        return _between_marks(instance, windows, seed, clock)
    if instance.rows is not None:
        from cutting.search.angled.loop import RowSearch  # noqa: PLC0415

        return RowSearch(instance, seed=seed, clock=clock)
    return Search(instance, seed=seed, clock=clock)


def _between_marks(instance: Instance, windows: Sequence[Windows | None], seed: int, clock: Clock) -> Search:
    if instance.rows is not None:
        from cutting.search.market.windowed_rows import WindowRowSearch  # noqa: PLC0415

        return WindowRowSearch(instance, windows, seed=seed, clock=clock)
    from cutting.search.market.windowed import WindowSearch  # noqa: PLC0415

    return WindowSearch(instance, windows, seed=seed, clock=clock)
