"""Cautions for people: short, in one place, each with where it comes from. They never replace local rules.

Codes cited by number were read where they are published; "common practice" marks what has no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from cutting.question.job import Job

__all__ = [
    "AT_THE_SAW",
    "CONFIRM",
    "GALVANISED",
    "HEAVY",
    "ON_THE_SUMMARY",
    "SPARKS",
    "VENTS",
    "Caution",
    "at_the_saw",
    "on_the_summary",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class Caution:
    """One caution.

    Attributes
    ----------
    text : str
        What is printed.
    source : str
        Where it comes from.
    """

    text: str
    source: str


HEAVY: Final = Fraction(23)
"""kg: above this a lift is for two people or a hoist (51 lb, the NIOSH lifting equation's load constant, an ideal)."""

AT_THE_SAW: Final = (
    Caution(
        text="Guards in place, eyes, face and ears protected; stand aside while an abrasive wheel runs up, "
        "and check that it is rated for the machine's speed.",
        source="29 CFR 1910.215, 29 CFR 1926.303",
    ),
    Caution(
        text="Clamp every piece and support both sides; never hold one by hand. A short end needs a packer of the same "
        "size at the far end of the jaw.",
        source="common practice",
    ),
    Caution(
        text="Gloves are for handling: take them off at a toothed saw. Stop the blade before you reach in or clear "
        "swarf.",
        source="HSE Engineering Information Sheet 12 (EIS12)",
    ),
    Caution(
        text="Fresh ends are hot and sharp: let them cool, then deburr.",
        source="common practice",
    ),
    Caution(
        text="Lift with two people or a hoist what weighs over 23 kg (51 lb); the weight of each stick is printed.",
        source="NIOSH lifting equation (load constant); HSE manual handling filter, 25 kg",
    ),
)

SPARKS: Final = Caution(
    text="An abrasive wheel throws sparks: clear or cover what burns within 35 ft (11 m) and watch for half an hour "
    "afterwards.",
    source="29 CFR 1910.252",
)

GALVANISED: Final = Caution(
    text="Galvanised steel gives off zinc fume where it is cut hot or welded: strip the coating there or extract the "
    "fume.",
    source="29 CFR 1910.252 (zinc-bearing coatings)",
)

ON_THE_SUMMARY: Final = (
    Caution(
        text="This plan does not check strength: a qualified person must review members, welds, joints and splices.",
        source="house rule",
    ),
    Caution(text="Local rules come first.", source="house rule"),
    Caution(text="Never splice parts to save steel unless the designer allows it.", source="house rule"),
)

CONFIRM: Final = "The designer must confirm: it affects strength and fit-up."
"""What stands beside every part that another section takes the place of."""

VENTS: Final = Caution(
    text="Vent closed hollow sections before galvanising or welding them shut.",
    source="galvanizers' practice: vents of at least 3/8 in or a quarter of the bore",
)

_HOLLOW: Final = frozenset({"shs", "rhs", "chs", "pipe"})


def at_the_saw(job: Job) -> tuple[str, ...]:
    """Return what whoever saws must read, with what this job's materials add."""
    chosen = [*AT_THE_SAW, SPARKS]
    if any("galv" in section.material.lower() or "zinc" in section.material.lower() for section in job.sections):
        chosen.append(GALVANISED)
    return tuple(caution.text for caution in chosen)


def on_the_summary(job: Job) -> tuple[str, ...]:
    """Return what the plan doesn't vouch for."""
    hollow = any(section.family in _HOLLOW for section in job.sections)
    chosen = [*ON_THE_SUMMARY, VENTS] if hollow else ON_THE_SUMMARY
    return tuple(caution.text for caution in chosen)
