"""The accounts of steel: where every millimetre came from, where it is, and where it went."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from shared.work.rack.bars import Bar
from shared.work.saw.work import Made, MadeState, Slot, SlotState

__all__ = ["Account", "Difference", "Line", "holdings", "unbalanced"]

Key = tuple[str, str]
"""Name and material of a section."""


class Account(StrEnum):
    """An account of steel. What comes in is negative, what is there or went out positive: an entry sums to zero."""

    BOUGHT = "bought"
    COUNTED = "counted"
    """Own pieces written down by hand."""
    CORRECTED = "corrected"
    """Differences found by measuring and at stock-take."""
    STOCK = "stock"
    """Bars in the shop."""
    PARTS = "parts"
    """Parts that were made, along their centre lines."""
    KERF = "kerf"
    """What the blade took, and the gaps between angled ends."""
    TRIM = "trim"
    SCRAP = "scrap"
    LOST = "lost"

    @property
    def held(self) -> bool:
        """Whether the steel is still there."""
        return self in {Account.STOCK, Account.PARTS}


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """One amount.

    Attributes
    ----------
    section : tuple of str
        Name and material.
    account : Account
        Which.
    amount : Fraction
        mm along the mid-depth line.
    """

    section: Key
    account: Account
    amount: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Difference:
    """Where the books say something else than the steel.

    Attributes
    ----------
    section : tuple of str
        Name and material.
    words : str
        A sentence.
    """

    section: Key
    words: str


def unbalanced(lines: Iterable[Line]) -> dict[Key, Fraction]:
    """Return by how much the lines of each section miss zero; empty where all balance."""
    sums: dict[Key, Fraction] = {}
    for line in lines:
        sums[line.section] = sums.get(line.section, Fraction(0)) + line.amount
    return {section: amount for section, amount in sums.items() if amount}


def holdings(
    bars: Iterable[Bar], slots: Iterable[Slot], made: Iterable[tuple[Key, Made]]
) -> Mapping[tuple[Key, Account], Fraction]:
    """Add up the steel that is there, from the pieces themselves.

    Parameters
    ----------
    bars : iterable of Bar
        All bars.
    slots : iterable of Slot
        All slots: a stick that is being sawn holds what isn't cut up yet.
    made : iterable of (tuple, Made)
        All parts made, with their section.
    """
    known = {bar.number: bar for bar in bars}
    sums: dict[tuple[Key, Account], Fraction] = {}

    def add(section: Key, account: Account, amount: Fraction) -> None:
        sums[section, account] = sums.get((section, account), Fraction(0)) + amount

    for bar in known.values():
        if bar.state.at_hand:
            add(bar.section.key, Account.STOCK, bar.length)
    for slot in slots:
        if slot.state is SlotState.OPEN:
            add(known[slot.bar].section.key, Account.STOCK, -slot.used)
    for section, each in made:
        if each.state in {MadeState.GOOD, MadeState.SURPLUS}:
            add(section, Account.PARTS, each.length)
    return {key: amount for key, amount in sums.items() if amount}
