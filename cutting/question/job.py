"""The question: what is to be cut, from what, with which saw.

All lengths are exact millimetres (`fractions.Fraction`), all money is `decimal.Decimal` in the job's currency.
Text became values before it got here and becomes text again only in the doors.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from cutting.question.lengths import Unit
from cutting.question.yards import Carry, KeepValue, Yard

__all__ = [
    "Break",
    "Discount",
    "Ends",
    "Job",
    "Lean",
    "Measure",
    "Part",
    "PerLength",
    "PerStick",
    "PerWeight",
    "Price",
    "Saw",
    "Section",
    "Source",
    "Stick",
    "Substitute",
]


class Source(StrEnum):
    """Where a stick comes from."""

    STICKS = "sticks"
    """A yard's full bars in mill lengths."""
    RACK = "rack"
    """A yard's rack of discounted single pieces."""
    OWN = "own"
    """The shop's own drops."""


class Measure(StrEnum):
    """Between which points a part's length was measured."""

    LONG_POINT = "long point"
    SHORT_POINT = "short point"
    CENTRE_LINE = "centre line"


class Lean(StrEnum):
    """How the two angled ends of a part lean towards each other."""

    OPPOSED = "opposed"
    """A trapezoid, the usual frame corner: both long points on the same side."""
    PARALLEL = "parallel"
    """A parallelogram: the long points on opposite sides."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Section:
    """A section as bought: name and material together make it that section.

    Attributes
    ----------
    name : str
        Canonical name, such as ``SHS 2x2x1/8``, or the plain name as given where we don't know it.
    material : str
        Grade and finish as given; empty for plain. Another material is another section, always.
    mass : Fraction or None
        kg per metre, None where unknown.
    surface : Fraction or None
        Outside surface to paint, m2 per metre, None where unknown.
    family : str
        Family key (``shs``, ``rhs``, ``chs``, ``pipe``, ``angle``, ``channel``, ``tee``, ``beam``, ``flat``, ``round``,
        ``square``, ``hex``), empty where unknown.
    sides : tuple of Fraction
        The cross-section's outer dimensions in mm: (larger, smaller), of a channel, tee or beam along and across the
        web; a round has its diameter twice; empty where unknown.
    walls : tuple of Fraction
        mm, of an angle or a tee: how thick its upright and its lying wall are at most; empty where unknown.
    source : str
        Where the mass comes from (a table, a formula), empty where there is none.
    """

    name: str
    material: str = ""
    mass: Fraction | None = None
    surface: Fraction | None = None
    family: str = ""
    sides: tuple[Fraction, ...] = ()
    walls: tuple[Fraction, ...] = ()
    source: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """What makes this section that section."""
        return (self.name, self.material)

    @property
    def label(self) -> str:
        """Name with material, for people."""
        return f"{self.name} ({self.material})" if self.material else self.name


@dataclass(frozen=True, kw_only=True, slots=True)
class Ends:
    """The two ends of a part where at least one isn't square.

    Attributes
    ----------
    angles : tuple of Fraction
        Degrees from square of the first and the second end, each 0 to 60.
    lean : Lean
        Whether the two lean opposed or parallel; only meaningful where both are angled in one plane.
    measure : Measure
        Between which points the part's length was measured.
    planes : tuple of int
        For each end which side of the section lies in the plane of the cut: 0 the first of `Section.sides`, 1 the
        second.
    toward : tuple of int
        For each end to which edge of that side its long point lies: 1 or -1. The section is seen from the first end
        along the part, its first side upright, so that an angle reads as the letter L and a channel as the letter C;
        1 is the top of an upright side and the right end of a lying one. Where both ends are angled in one plane,
        `lean` decides about the second.
    depths : tuple of Fraction or None
        mm, the section's size in the plane of each cut, for a section whose sides aren't known; else None.
    """

    angles: tuple[Fraction, Fraction]
    lean: Lean
    measure: Measure
    planes: tuple[int, int] = (0, 0)
    toward: tuple[int, int] = (1, 1)
    depths: tuple[Fraction, Fraction] | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Substitute:
    """Another section the designer accepts for a part.

    Attributes
    ----------
    section : Section
        Which.
    remark : str
        What the designer says about it.
    """

    section: Section
    remark: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """One line of the parts list.

    Attributes
    ----------
    mark : str
        The part's label, unique within the job.
    section : Section
        What it is cut from.
    length : Fraction
        mm, above 0, as measured (see `Ends.measure`; a square part has but one length).
    quantity : int
        Pieces wanted, at least 1.
    note : str
        Free text that stays with the part all the way to the cut sheet.
    assembly : str
        Name of the assembly it belongs to, empty for none.
    ends : Ends or None
        None where both ends are square.
    """

    mark: str
    section: Section
    length: Fraction
    quantity: int
    note: str = ""
    assembly: str = ""
    ends: Ends | None = None
    substitutes: tuple[Substitute, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class PerStick:
    """A price for the whole stick."""

    amount: Decimal


@dataclass(frozen=True, kw_only=True, slots=True)
class PerLength:
    """A price for a length: `amount` for each `per` mm."""

    amount: Decimal
    per: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class PerWeight:
    """A price for a weight: `amount` for each `per` kg."""

    amount: Decimal
    per: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Discount:
    """A share off the lowest price per length of that section's sticks: 40 % is ``Decimal("0.40")``."""

    share: Decimal


Price = PerStick | PerLength | PerWeight | Discount


@dataclass(frozen=True, kw_only=True, slots=True)
class Break:
    """A price that holds for every stick of a line once so many of them are bought.

    Attributes
    ----------
    least : int
        Sticks of the line, at least 2.
    price : Price
        For all of them then.
    """

    least: int
    price: Price


@dataclass(frozen=True, kw_only=True, slots=True)
class Stick:
    """One line of sticks, rack pieces or own drops: a kind of stick.

    Attributes
    ----------
    id : str
        Given or numbered; the plan refers to it. Unique within the job.
    section : Section
        What it is.
    length : Fraction
        mm, what a tape says.
    source : Source
        A yard's sticks, a yard's rack, or one's own.
    price : Price or None
        None for own pieces, and throughout a job without prices.
    available : int or None
        How many there are; None is as many as you like.
    trims : tuple of Fraction
        mm taken off the first and the second end before use, the saw's cut included: each 0 or at least one kerf.
    usable : Fraction or None
        mm that may be counted on before trimming where a stick may come short of its nominal length.
    """

    id: str
    section: Section
    length: Fraction
    source: Source
    price: Price | None
    available: int | None
    trims: tuple[Fraction, Fraction]
    usable: Fraction | None = None
    yard: str = ""
    breaks: tuple[Break, ...] = ()

    @property
    def clear(self) -> Fraction:
        """U, the length that parts and kerfs may fill: what can be counted on, less the trims (mm)."""
        whole = self.length if self.usable is None else self.usable
        return whole - self.trims[0] - self.trims[1]


@dataclass(frozen=True, kw_only=True, slots=True)
class Saw:
    """The saw.

    Attributes
    ----------
    kerf : Fraction
        mm of steel one cut takes.
    hold : Fraction or None
        mm, the shortest piece it can hold; None where not stated.
    largest : Fraction or None
        Degrees from square it swings at most; None where not stated.
    one_way : bool
        It swings to one side only: a mitre the other way is cut with the stick rolled half round.
    """

    kerf: Fraction
    hold: Fraction | None = None
    largest: Fraction | None = None
    one_way: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Job:
    """Everything one plan is made from.

    Attributes
    ----------
    parts : tuple of Part
        At least one.
    sticks : tuple of Stick
        Sticks, rack pieces and own drops together, in the order given.
    saw : Saw
        Kerf and what it can hold.
    unit : Unit
        The unit in which lengths are shown.
    title : str
        Shown on all paper.
    currency : str or None
        ISO 4217 code; None for a job without prices.
    tolerance : tuple of Fraction or None
        mm by which a finished part may be (under, over) its length; None where not stated.
    keep_from : Fraction or None
        mm, the shortest drop worth a label; None where not stated.
    tape : Fraction or None
        mm, the finest mark of the tape at the saw, in the job's system: lengths for people are written on it; None for
        what any tape or vernier shows.
    idle : bool
        Whether sticks that no part is cut from may be bought, where they save money or reach a minimum order.
    layout_cost : Decimal
        What each further layout, a set-up at the saw, costs you: no yard is paid for it.
    """

    parts: tuple[Part, ...]
    sticks: tuple[Stick, ...]
    saw: Saw
    unit: Unit
    title: str = ""
    currency: str | None = None
    tolerance: tuple[Fraction, Fraction] | None = None
    keep_from: Fraction | None = None
    tape: Fraction | None = None
    yards: tuple[Yard, ...] = ()
    carry: Carry = field(default_factory=Carry)
    kind_cost: Decimal = Decimal(0)
    layout_cost: Decimal = Decimal(0)
    keep_value: KeepValue | None = None
    idle: bool = True
    sections: tuple[Section, ...] = field(init=False)

    def __post_init__(self) -> None:
        seen: dict[tuple[str, str], Section] = {}
        for part in self.parts:
            seen.setdefault(part.section.key, part.section)
        object.__setattr__(self, "sections", tuple(seen.values()))

    @property
    def priced(self) -> bool:
        """Whether money decides; otherwise bought length does (weight across sections)."""
        return self.currency is not None
