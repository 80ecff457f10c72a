"""What one line gives before the rest of the list has settled its open points."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from cutting.question.job import Section
from cutting.question.lengths import Unit
from shared.reading.values.account import Taken

if TYPE_CHECKING:
    from shared.reading.text.ends import EndsRead
    from shared.sections import System

__all__ = ["Around", "Ask", "Draft", "Measured", "Money", "Rewrite"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Rewrite:
    """One reading offered: what to put in place of a part of the line.

    Attributes
    ----------
    reading : str
        The reading, for people.
    start, end : int
        The part of the line that is replaced; both at the line's end to append.
    text : str
        What is put there.
    """

    reading: str
    start: int
    end: int
    text: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Ask:
    """A question about a line, with positions in that line."""

    message: str
    position: int
    rewrites: tuple[Rewrite, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """A length as written.

    Attributes
    ----------
    value : Fraction
        In `unit`.
    unit : Unit or None
        None for a bare number.
    start, end : int
        Its place in the line.
    shop : bool
        Whether it is written with a fraction, as inches are.
    grouped : Fraction or None
        The second reading of ``1.200``, where the sign is a thousands separator.
    body : str
        Such a number as written.
    """

    value: Fraction
    unit: Unit | None
    start: int
    end: int
    shop: bool = False
    grouped: Fraction | None = None
    body: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Money:
    """A price as written: ``per`` is ``stick``, ``length``, ``weight`` or ``discount``; `base` in mm or kg."""

    amount: Decimal
    per: str = "stick"
    base: Fraction = Fraction(1)
    currency: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Around:
    """What the surroundings of a line say.

    Attributes
    ----------
    decimal : str
        The decimal sign that the rest of the list shows, empty where it shows none or both.
    system : System or None
        The unit of section dimensions that the rest of the list shows.
    section : Section or None
        The section of the heading above, for lines that name none.
    previous : Section or None
        The section of the line before, for ditto.
    previous_length : Measured or None
        The length of the line before, for ditto.
    item : int
        The item number that would come next.
    offers : bool
        Whether the list is one of sticks, where a number may be a price.
    numbered : bool
        Whether the list's lines begin with running item numbers.
    """

    decimal: str = ""
    system: System | None = None
    section: Section | None = None
    previous: Section | None = None
    previous_length: Measured | None = None
    item: int = 1
    offers: bool = False
    numbered: bool = False


@dataclass(slots=True)
class Draft:
    """One line in the making."""

    mark: str = ""
    item: int | None = None
    section: Section | None = None
    stated: str = ""
    quantity: int | None = None
    length: Measured | None = None
    note: str = ""
    assembly: str = ""
    ends: EndsRead | None = None
    money: Money | None = None
    also: bool = False
    asks: list[Ask] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    account: tuple[Taken, ...] = ()

    @property
    def complete_but_section(self) -> bool:
        """Whether it names quantity and length and nothing of a section."""
        return not self.stated and not self.asks and self.length is not None and self.quantity is not None

    @property
    def complete(self) -> bool:
        """Whether it names a section and a length."""
        return self.section is not None and self.length is not None
