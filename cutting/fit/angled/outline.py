"""Where a section has steel: the corners of its outline's convex hull.

Two faces that cut a section in different planes come closest at a corner of the hull, since how far they lie apart is
linear over the cross-section. A hollow section, a flat, a channel reach into every corner of the box around them; an
angle has no steel in one corner of it, a tee none in two. Corners count as sharp and walls as thick as they are at
most: what is really there lies within.
"""

from __future__ import annotations

from fractions import Fraction

from cutting.question.job import Section

__all__ = ["Corner", "corners_of"]

Corner = tuple[Fraction, Fraction]  # from the middle of the box: along the first side and along the second


def corners_of(section: Section, depths: tuple[Fraction, Fraction]) -> tuple[Corner, ...]:
    """Return the corners of a section's convex hull.

    Parameters
    ----------
    section : Section
        The section, seen with its first side upright: an angle as an L, a tee as a T.
    depths : tuple of Fraction
        mm, its size along its first and second side.

    Examples
    --------
    >>> leg = Fraction(40)
    >>> angle = Section(name="L 40x40x4", family="angle", sides=(leg, leg), walls=(Fraction(4), Fraction(4)))
    >>> [(int(up), int(right)) for up, right in corners_of(angle, (leg, leg))]
    [(-20, -20), (-20, 20), (-16, 20), (20, -16), (20, -20)]
    """
    top, right = depths[0] / 2, depths[1] / 2
    if section.walls and section.sides == depths:
        upright, lying = section.walls
        if section.family == "angle":
            toes = ((-top + lying, right), (top, -right + upright))
            return ((-top, -right), (-top, right), *toes, (top, -right))
        if section.family == "tee":
            flange = ((top, -right), (top, right), (top - lying, right), (top - lying, -right))
            return (*flange, (-top, upright / 2), (-top, -upright / 2))
    return ((-top, -right), (-top, right), (top, right), (top, -right))
