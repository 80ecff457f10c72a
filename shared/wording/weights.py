"""Weights and surfaces as sheets print them: in the job's system, in the other too where a job mixes both."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from cutting.answer.totals import KnownSum
from shared.wording.cautions import HEAVY
from shared.wording.plurals import listed, many
from shared.wording.tape import Tape
from shared.wording.values import surface, weight

__all__ = [
    "is_heavy",
    "lift_text",
    "missing",
    "surface_sum",
    "surface_text",
    "weight_sum",
    "weight_text",
    "without_text",
]

UNKNOWN = "not known"


def weight_text(kg: Fraction | None, tape: Tape) -> str:
    """Write a weight: ``61.0 lb``, ``27.7 kg [61.0 lb]``, ``not known``."""
    shown = [weight(kg, unit) for unit in (tape.unit, tape.other) if unit is not None]
    return _joined([each.full for each in shown if each is not None])


def surface_text(square_metres: Fraction | None, tape: Tape) -> str:
    """Write a surface: ``12.4 sq ft``, ``1.2 m²``, ``not known``."""
    shown = [surface(square_metres, unit) for unit in (tape.unit, tape.other) if unit is not None]
    return _joined([each.full.replace("m2", "m²") for each in shown if each is not None])


def weight_sum(total: KnownSum, tape: Tape) -> str:
    """Write a sum of weights: ``61.0 lb``, ``61.0 lb and more`` where sections are missing from it, ``not known``."""
    return weight_text(total.known, tape) + (" and more" if total.partial else "")


def surface_sum(total: KnownSum, tape: Tape) -> str:
    """Write a sum of surfaces, as `weight_sum` does."""
    return surface_text(total.known, tape) + (" and more" if total.partial else "")


def missing(weights: Iterable[KnownSum], surfaces: Iterable[KnownSum] = ()) -> tuple[str, ...]:
    """Say what sums of weight and of surface were added up without; nothing where they are whole, or there is none."""
    both = (("Weight", "weight", weights), ("Paint area", "surface", surfaces))
    said = []
    for what, unknown, sums in both:
        names = tuple(dict.fromkeys(name for each in sums if each.partial for name in each.without))
        if names:
            said.append(f"{what} {without_text(names, unknown)}.")
    return tuple(said)


def without_text(names: Sequence[str], unknown: str = "weight") -> str:
    """Name the sections that a sum was added up without."""
    return f"without {many(len(names), 'section')} of unknown {unknown}: {listed(names)}"


def is_heavy(kg: Fraction | None) -> bool:
    """Whether a stick is above the guidance weight for one person."""
    return kg is not None and kg > HEAVY


def lift_text(kg: Fraction | None, tape: Tape) -> str:
    """Write what one stick weighs, and that it takes two people where it does."""
    if kg is None:
        return "weight not known: try it before you lift"
    return weight_text(kg, tape) + (", two people or a hoist" if is_heavy(kg) else "")


def _joined(texts: list[str]) -> str:
    if not texts:
        return UNKNOWN
    return texts[0] if len(texts) == 1 else f"{texts[0]} [{texts[1]}]"
