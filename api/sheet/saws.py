"""Saw kinds that fill the blank for the kerf. Common practice; a measured cut always goes first."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from cutting.question.errors import LengthError
from cutting.question.lengths import Unit, format_length, parse_length

__all__ = ["SAWS", "SawKind", "kerf_of", "measured_kerf"]


@dataclass(frozen=True, kw_only=True, slots=True)
class SawKind:
    """A kind of saw.

    Attributes
    ----------
    key : str
        Its name in the form.
    label : str
        Its name for people.
    inch, metric : str
        What its cut usually takes, in each system: the wide end of what is common, so that a plan holds.
    """

    key: str
    label: str
    inch: str
    metric: str


SAWS: Final = (
    SawKind(key="abrasive", label="abrasive chop saw, 14 in (355 mm) wheel", inch="1/8 in", metric="3.2 mm"),
    SawKind(key="dry", label="dry-cut saw, carbide teeth", inch="3/32 in", metric="2.4 mm"),
    SawKind(key="cold", label="cold saw", inch="1/8 in", metric="3 mm"),
    SawKind(key="band", label="horizontal band saw", inch="1/16 in", metric="1.6 mm"),
    SawKind(key="portable", label="portable band saw or hacksaw", inch="3/64 in", metric="1.2 mm"),
    SawKind(key="laser", label="tube laser", inch="1/64 in", metric="0.4 mm"),
)
"""Usual kerfs, rounded up where the unit needs it: common practice of the trade, not a standard."""

_IMPERIAL: Final = {Unit.IN, Unit.FT}
_MOST_CUTS: Final = 1000


def kerf_of(key: str, unit: Unit) -> str:
    """Return what a saw of this kind takes, as text; empty for a kind that isn't listed."""
    found = next((saw for saw in SAWS if saw.key == key), None)
    if found is None:
        return ""
    return found.inch if unit in _IMPERIAL else found.metric


def measured_kerf(before: str, after: str, cuts: str, unit: Unit) -> str:
    """Work out a kerf from a bar's length, and the lengths of all its pieces together after some cuts.

    Parameters
    ----------
    before, after : str
        Lengths.
    cuts : str
        How many cuts lie between.
    unit : Unit
        What a bare number means.

    Returns
    -------
    str
        The steel that one cut took, exactly.

    Raises
    ------
    LengthError
        One of them can't be read, or the pieces are longer than the bar.

    Examples
    --------
    >>> measured_kerf("24", "23 7/16", "6", Unit.IN)
    '3/32 in'
    """
    whole, rest = parse_length(before, unit), parse_length(after, unit)
    number = int(cuts) if cuts.strip().isdecimal() and len(cuts) < len(str(_MOST_CUTS)) + 1 else 0
    if number < 1:
        raise LengthError(cuts, 0, "write how many cuts were made, such as 5")
    if rest > whole:
        raise LengthError(after, 0, "the pieces together can't be longer than the bar was")
    return f"{format_length(Fraction(whole - rest, number), unit)} {unit}"
