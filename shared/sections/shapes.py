"""A section's shape: canonical name, outer sides, cross-section and outside surface from geometry."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from shared.sections.scan import System
from shared.sections.sizes import (
    PIPE,
    plausible_bar,
    plausible_hollow,
    plausible_profile,
)

__all__ = ["Family", "Shape", "area", "perimeter", "plausible", "sides", "walls", "write_dimension"]

PI: Final = Fraction("3.14159265358979323846")
ROOT_3: Final = Fraction("1.7320508075688772935")
_INCH: Final = Fraction(127, 5)
_FINEST_FRACTION: Final = 64


class Family(StrEnum):
    """The families whose geometry we know; the value is `Section.family`."""

    SHS = "shs"
    RHS = "rhs"
    CHS = "chs"
    PIPE = "pipe"
    ANGLE = "angle"
    CHANNEL = "channel"
    TEE = "tee"
    FLAT = "flat"
    ROUND = "round"
    SQUARE = "square"
    HEX = "hex"


_PREFIX: Final = {
    Family.SHS: "SHS ",
    Family.RHS: "RHS ",
    Family.CHS: "CHS ",
    Family.PIPE: "PIPE ",
    Family.ANGLE: "L ",
    Family.CHANNEL: "C ",
    Family.TEE: "TEE ",
    Family.FLAT: "FLAT ",
    Family.ROUND: "ROUND ",
    Family.SQUARE: "SQUARE ",
    Family.HEX: "HEX ",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Shape:
    """One reading of a section's name.

    Attributes
    ----------
    family : Family
        What it is.
    system : System
        The unit of `numbers`.
    numbers : tuple of Fraction
        Hollow, angle and tee: larger side, smaller side, wall; CHS: diameter, wall; pipe: nominal size; flat: width,
        thickness; round and square: one side; hexagon: across its flats; channel: depth and lb/ft where no table has
        it, or depth, flange, wall.
    schedule : str
        Pipe only.
    """

    family: Family
    system: System
    numbers: tuple[Fraction, ...]
    schedule: str = ""

    @property
    def by_weight(self) -> bool:
        """Whether it is a US channel whose second number is its lb/ft."""
        return self.family is Family.CHANNEL and len(self.numbers) == 2  # noqa: PLR2004

    @property
    def name(self) -> str:
        """The canonical name; it is read back as this very shape."""
        if self.by_weight:
            depth, weight = self.numbers
            return f"C{write_dimension(depth, self.system)}x{write_dimension(weight, System.MM)}"
        text = "x".join(write_dimension(number, self.system) for number in self.numbers)
        if self.schedule:
            return f"PIPE {text} sch {self.schedule}"
        if "/" not in text and plausible(self.family, self.numbers) != [self.system]:
            text += " mm" if self.system is System.MM else " in"
        return _PREFIX[self.family] + text


def write_dimension(value: Fraction, system: System) -> str:
    """Write a dimension: inch fractions down to 1/64, otherwise decimals.

    Examples
    --------
    >>> write_dimension(Fraction(3, 2), System.INCH), write_dimension(Fraction(3, 25), System.INCH)
    ('1-1/2', '0.12')
    >>> write_dimension(Fraction(483, 10), System.MM)
    '48.3'
    """
    whole, over = divmod(value.numerator, value.denominator)
    if not over:
        return str(whole)
    under = value.denominator
    if system is System.INCH and under <= _FINEST_FRACTION and under & (under - 1) == 0:
        return f"{whole}-{over}/{under}" if whole else f"{over}/{under}"
    places = 0
    while (value * 10**places).denominator != 1 and places < 12:  # noqa: PLR2004
        places += 1
    if (value * 10**places).denominator != 1:
        return f"{whole}-{over}/{under}" if whole else f"{over}/{under}"
    digits = str(int(value * 10**places)).rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}"


def plausible(family: Family, numbers: tuple[Fraction, ...]) -> list[System]:
    """Return in which units these numbers make sense as that family (common practice)."""
    if family in {Family.SHS, Family.RHS}:
        return plausible_hollow(*numbers)
    if family is Family.CHS:
        return plausible_hollow(numbers[0], numbers[0], numbers[1])
    if family in {Family.ANGLE, Family.TEE} or (family is Family.CHANNEL and len(numbers) > 2):  # noqa: PLR2004
        return plausible_profile(*numbers)
    if family is Family.FLAT:
        return plausible_bar(*numbers)
    if family in {Family.ROUND, Family.SQUARE, Family.HEX}:
        return plausible_bar(numbers[0], numbers[0])
    return []


def _mm(shape: Shape) -> tuple[Fraction, ...]:
    """Return the numbers of a shape in mm."""
    scale = _INCH if shape.system is System.INCH else Fraction(1)
    return tuple(number * scale for number in shape.numbers)


def _pipe(shape: Shape) -> tuple[Fraction, Fraction]:
    """Return outside diameter and wall of a pipe in mm."""
    outside, wall = PIPE[shape.schedule, shape.numbers[0]]
    return outside * _INCH, wall * _INCH


def sides(shape: Shape) -> tuple[Fraction, ...]:
    """Return the outer dimensions in mm, the larger first; nothing where the name doesn't tell them."""
    if shape.family is Family.PIPE:
        return (_pipe(shape)[0],) * 2
    mm = _mm(shape)
    if shape.family in {Family.CHS, Family.ROUND, Family.SQUARE}:
        return (mm[0], mm[0])
    if shape.by_weight or shape.family is Family.HEX:
        return ()
    return mm[:2]


def walls(shape: Shape) -> tuple[Fraction, ...]:
    """Return how thick an angle's or a tee's upright and lying wall are in mm; nothing for any other."""
    return (_mm(shape)[2],) * 2 if shape.family in {Family.ANGLE, Family.TEE} else ()


def _corner(wall: Fraction, system: System) -> tuple[Fraction, Fraction]:
    """Return outer and inner corner radius of a hollow section in mm.

    The US tables are made with twice and once the wall; EN 10219-2 (nominal corner for calculated values) has 2T and T
    up to 6 mm, 2.5T and 1.5T up to 10 mm, 3T and 2T above.
    """
    outer = Fraction(2)
    if system is System.MM and wall > 10:  # noqa: PLR2004
        outer = Fraction(3)
    elif system is System.MM and wall > 6:  # noqa: PLR2004
        outer = Fraction(5, 2)
    return outer * wall, (outer - 1) * wall


def area(shape: Shape) -> Fraction | None:
    """Return the cross-section in mm2 from nominal geometry, None where that isn't enough to know it."""
    mm = _mm(shape)
    if shape.family in {Family.SHS, Family.RHS}:
        larger, smaller, wall = mm
        outer, inner = _corner(wall, shape.system)
        return 2 * wall * (larger + smaller - 2 * wall) - (4 - PI) * (outer**2 - inner**2)
    if shape.family in {Family.CHS, Family.PIPE}:
        outside, wall = _pipe(shape) if shape.schedule else mm
        return PI * (outside - wall) * wall
    if shape.family in {Family.ANGLE, Family.TEE}:
        return (mm[0] + mm[1] - mm[2]) * mm[2]
    if shape.family is Family.FLAT:
        return mm[0] * mm[1]
    if shape.family is Family.SQUARE:
        return mm[0] ** 2
    if shape.family is Family.ROUND:
        return PI * mm[0] ** 2 / 4
    if shape.family is Family.HEX:
        return ROOT_3 / 2 * mm[0] ** 2
    return None


def perimeter(shape: Shape) -> Fraction | None:
    """Return the outside perimeter in mm, None where it isn't known."""
    mm = _mm(shape)
    if shape.family in {Family.SHS, Family.RHS}:
        return 2 * (mm[0] + mm[1]) - (8 - 2 * PI) * _corner(mm[2], shape.system)[0]
    if shape.family in {Family.CHS, Family.PIPE}:
        return PI * (_pipe(shape)[0] if shape.schedule else mm[0])
    if shape.family in {Family.ANGLE, Family.TEE, Family.FLAT}:
        return 2 * (mm[0] + mm[1])
    if shape.family is Family.SQUARE:
        return 4 * mm[0]
    if shape.family is Family.ROUND:
        return PI * mm[0]
    if shape.family is Family.HEX:
        return 2 * ROOT_3 * mm[0]
    if shape.family is Family.CHANNEL and len(mm) > 2:  # noqa: PLR2004
        return 2 * mm[0] + 4 * mm[1] - 2 * mm[2]
    return None
