"""Counts of deterministic work."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Work"]


@dataclass(kw_only=True, slots=True)
class Work:
    """Counts of what was done, which repeat on every machine.

    Attributes
    ----------
    lp_solves, pricings, dives, nodes, patterns : int
        Linear programs solved, pricings and dives made, proof nodes visited, patterns listed.
    """

    lp_solves: int = 0
    pricings: int = 0
    dives: int = 0
    nodes: int = 0
    patterns: int = 0

    def add(self, other: Work) -> None:
        """Add other work to this."""
        self.lp_solves += other.lp_solves
        self.pricings += other.pricings
        self.dives += other.dives
        self.nodes += other.nodes
        self.patterns += other.patterns

    @classmethod
    def total(cls, works: Iterable[Work]) -> Work:
        """Return some work together."""
        total = cls()
        for work in works:
            total.add(work)
        return total
