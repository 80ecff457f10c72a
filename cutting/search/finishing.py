"""Choosing among all that a cheaper plan can use: rows of angled parts, or layouts where leftovers or layouts count."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from cutting.search.state import SearchState

if TYPE_CHECKING:
    from cutting.search.rooms.cover import LayoutCover

__all__ = ["among_layouts", "among_rows", "layouts_count", "leftovers_count", "orders_count"]

COVERS = ((1_500, 2.0), (3_000, 4.0), (9_000, 16.0))  # layouts to choose among, and deterministic time for it
COVER_PARTS = 10  # a half, a quarter, ... of the slack, where all of it allows too many layouts


def among_rows(search: SearchState, most: int, work: float) -> None:
    """Where few rows of angled parts can be in a cheaper plan, choose among all of them."""
    if search.first is None or not search.open():
        return
    before = None if search.best is None else search.best.cost
    cover = search.rooms.cutters[0].cover(search.first, before, most, work)
    if cover is None:
        return
    if cover.loads:
        search.offer((0,) * len(search.market.wishes), [cover.loads])
    if cover.proven:
        search.undecided = []
        search.bound = None if search.best is None else search.best.cost
        search.report(search.best, search.bound)


def leftovers_count(search: SearchState) -> bool:
    """Whether leftovers are worth anything."""
    return any(any(room.takes) for room in search.market.rooms)


def layouts_count(search: SearchState) -> bool:
    """Whether what a plan costs depends on its layouts."""
    return any(rule.lists() for rule in search.market.rules)


def orders_count(search: SearchState) -> bool:
    """Whether what leftovers are worth depends on the order of the parts, so that no set of sticks tells its cost."""
    return any(room.drops is not None for room in search.market.rooms)


def among_layouts(search: SearchState) -> None:
    """Choose among layouts: few at first, for a good plan, then all that a cheaper one can use, for the proof.

    What leftovers are worth makes every bit of waste count, so that baskets alone are told apart too late; and what
    layouts cost isn't known of a basket at all.
    """
    from cutting.search.rooms.cover import LayoutCover  # noqa: PLC0415 - only where these count

    cover = LayoutCover(search.rooms.cutters, search.master, list(search.joint.values()), search.clock)
    slacks = cover.tops()
    for most, effort in COVERS:
        while search.open() and search.best is not None:
            before = search.best.cost
            whole = _chosen(search, cover, slacks, most, effort)
            if whole or search.best.cost >= before:
                break
        if search.open() and search.best is not None:
            slacks = cover.slacks(search.best.cost, slacks)


def _chosen(search: SearchState, cover: LayoutCover, slacks: Sequence[int], most: int, effort: float) -> bool:
    """Choose once among at most so many layouts; say whether these were all that a cheaper plan can use."""
    assert search.best is not None
    before = search.best.cost
    for part in range(COVER_PARTS):
        listed = cover.layouts([slack >> part for slack in slacks], most)
        if listed is not None:
            break
    else:
        return False
    found = cover.choose(listed, before, effort)
    search.proposals += 1
    if found.places is not None:
        search.offer(found.places, found.loads, found.idle)
    bound = min(found.bound, search.best.cost)
    if part == 0 and search.bound is not None and bound > search.bound:
        search.bound = bound
        search.report(search.best, bound)
    return part == 0
