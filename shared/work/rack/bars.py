"""One physical piece of steel, and what people say about it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from fractions import Fraction
from typing import Final

from cutting.question.job import Section

__all__ = [
    "Bar",
    "BarChanges",
    "BarState",
    "Counted",
    "NewBar",
    "Origin",
    "Received",
    "bar_name",
    "parse_bar_name",
]

_NAME: Final = re.compile(r"\s*[Dd]([1-9][0-9]{0,8})\s*")


def bar_name(number: int) -> str:
    """Write a bar's label number as it stands on its label.

    Examples
    --------
    >>> bar_name(17)
    'D17'
    """
    return f"D{number}"


def parse_bar_name(text: str) -> int | None:
    """Read a bar's label number, None where the text is none.

    Examples
    --------
    >>> parse_bar_name("D17"), parse_bar_name(" d17 "), parse_bar_name("D017"), parse_bar_name("R-L20 1a")
    (17, 17, None, None)
    """
    found = _NAME.fullmatch(text)
    return int(found.group(1)) if found else None


class BarState(StrEnum):
    """What has become of a piece of steel."""

    EXPECTED = "expected"
    """Bought for a work, not come yet."""
    FREE = "free"
    """On the rack, for whoever needs it."""
    RESERVED = "reserved"
    """On the rack or at the saw, for exactly one work."""
    CUT = "cut"
    """Became parts, drops and chips."""
    SCRAP = "scrap"
    LOST = "lost"
    """Not found when stock was taken."""
    CANCELLED = "cancelled"
    """Was expected and never came."""

    @property
    def at_hand(self) -> bool:
        """Whether the steel is in the shop, whole."""
        return self in {BarState.FREE, BarState.RESERVED}


class Origin(StrEnum):
    """Where a piece of steel came from."""

    BOUGHT = "bought"
    COUNTED = "counted"
    """Written down by hand, from a list, or when stock was taken."""
    DROP = "drop"
    """Left over at the saw."""
    PART = "part"
    """A part that was cut for nothing."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Bar:
    """One physical piece of steel.

    Attributes
    ----------
    number : int
        Its label number, never used again; written ``D17``.
    section : Section
        What it is.
    length : Fraction
        mm along the mid-depth line, as far as it can be relied on behind an angled cut. While a stick is being sawn
        (`Slot.sawn`) this is still the length that it had before its first cut.
    usable : Fraction or None
        mm that can be counted on where nobody has measured it and a mill may deliver short; None: `length` counts.
    trims : tuple of Fraction or None
        mm to take off its first and second end before use; (0, 0) where both ends are sawn; None: as the saw's job
        says.
    place, remark, heat : str
        Where it lies; bent, drilled, painted ...; heat number. Empty where not stated.
    origin : Origin
        Where it came from.
    parent : int or None
        Number of the bar it was cut from.
    state : BarState
        What has become of it.
    work : str or None
        The work that reserves it, or for which it was bought.
    made : datetime
        UTC, when it came into the books.
    version : int
        Counts its changes.
    """

    number: int
    section: Section
    length: Fraction
    usable: Fraction | None = None
    trims: tuple[Fraction, Fraction] | None = None
    place: str = ""
    remark: str = ""
    heat: str = ""
    origin: Origin = Origin.COUNTED
    parent: int | None = None
    state: BarState = BarState.FREE
    work: str | None = None
    made: datetime
    version: int = 1

    @property
    def name(self) -> str:
        """The label number as written, such as ``D17``."""
        return bar_name(self.number)

    @property
    def counted_on(self) -> Fraction:
        """Length (mm) that a plan may count on, end trims included."""
        return self.length if self.usable is None else self.usable


@dataclass(frozen=True, kw_only=True, slots=True)
class NewBar:
    """A piece to be put on the rack; fields as in `Bar`."""

    section: Section
    length: Fraction
    trims: tuple[Fraction, Fraction] | None = None
    place: str = ""
    remark: str = ""
    heat: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class BarChanges:
    """What to correct about a bar; None leaves a field as it is, fields as in `Bar`.

    A new `length` counts as measured, so that `Bar.usable` is dropped.
    """

    section: Section | None = None
    length: Fraction | None = None
    trims: tuple[Fraction, Fraction] | None = None
    place: str | None = None
    remark: str | None = None
    heat: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Counted:
    """One line of a stock-take.

    Attributes
    ----------
    number : int or None
        The bar, None for a piece that isn't in the books.
    found : bool
        Whether it was there.
    changes : BarChanges
        What was different.
    new : NewBar or None
        The piece that isn't in the books.
    """

    number: int | None = None
    found: bool = True
    changes: BarChanges = BarChanges()
    new: NewBar | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Received:
    """What became of one expected bar.

    Attributes
    ----------
    bar : int
        Its number.
    came : bool
        Whether it came; one that didn't stays expected until somebody cancels it by `cancel`.
    length : Fraction or None
        mm as measured; None where nobody measured.
    heat : str
        Heat number, empty where not known.
    cancel : bool
        It will never come.
    """

    bar: int
    came: bool = True
    length: Fraction | None = None
    heat: str = ""
    cancel: bool = False
