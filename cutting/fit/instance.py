"""One section of a job as pure integers: what the solver modules work on."""

from __future__ import annotations

from dataclasses import dataclass

from cutting.fit.angled.rows import RowModel

__all__ = ["Instance"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Instance:
    """One section of a job on its integer grid (part sizes include one kerf, capacities are usable length + one kerf).

    Attributes
    ----------
    sizes : tuple of int
        Distinct, descending.
    demands : tuple of int
        Pieces wanted of each size, at least 1.
    capacities : tuple of int
        One per kind of stick.
    costs : tuple of int
        Objective cost of one stick of each kind, at least 0.
    limits : tuple of int
        Most sticks of each kind that may be taken, already finite.
    rows : RowModel or None
        Where parts have angled ends: how they lie next to each other, item by item and stick by stick in the order of
        `sizes` and `capacities`. Those then are such that whatever fits by them fits in any order and pose, and equal
        sizes may occur.
    """

    sizes: tuple[int, ...]
    demands: tuple[int, ...]
    capacities: tuple[int, ...]
    costs: tuple[int, ...]
    limits: tuple[int, ...]
    rows: RowModel | None = None
