"""Lengths at the shop's door: written for a blank on the page, and read exactly as somebody wrote them."""

from __future__ import annotations

from fractions import Fraction

from cutting.question.errors import LengthError
from cutting.question.lengths import Unit, parse_length, show_length

__all__ = ["bare_text", "read_length"]


def bare_text(mm: Fraction, unit: Unit) -> str:
    """Write a length for a blank beside which the unit stands; exact, so that sending it back changes nothing."""
    return show_length(mm, unit).removesuffix(f" {unit}")


def read_length(text: str, unit: Unit | None) -> Fraction:
    """Read a length that somebody wrote.

    Parameters
    ----------
    text : str
        Such as ``41 3/8 in``.
    unit : Unit or None
        What a bare number means; None where it means nothing.

    Raises
    ------
    LengthError
        It can't be read as one length above 0, or it has no unit and needs one.

    Examples
    --------
    >>> read_length("41 3/8", Unit.IN) == read_length("41 3/8 in", None)
    True
    >>> read_length("41", None)
    Traceback (most recent call last):
    ...
    cutting.question.errors.LengthError: write the unit too, such as 41 in or 41 mm: '41'
    """
    found = parse_length(text, unit or Unit.IN)
    if unit is None and _in_metric(text) not in {None, found}:
        bare = text.strip()
        raise LengthError(text, len(text), f"write the unit too, such as {bare} in or {bare} mm")
    if found <= 0:
        raise LengthError(text, 0, "write a length above 0")
    return found


def _in_metric(text: str) -> Fraction | None:
    try:
        return parse_length(text, Unit.MM)
    except LengthError:
        return None
