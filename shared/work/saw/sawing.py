"""Where steel goes when a stick is sawn: exact to the last fraction, along the mid-depth line.

Positions are found by the rules that the plan was made by, with the blade as it is now; irrational amounts are rounded
up as the plan has them. What isn't part, trim or drop is kerf and gaps, so that every sum comes out exactly.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from cutting.answer.plan import Piece
from cutting.fit.angled.gaps import Gaps
from cutting.fit.angled.model import gaps_among
from cutting.fit.angled.reals import exact, round_up, secant
from cutting.fit.angled.shape import SQUARE, Face, finest
from cutting.question.job import Measure, Part
from shared.work.rack.bars import Bar
from shared.work.saw.work import Slot

__all__ = ["Cuts", "Rest", "measured_whole", "rest_of", "saw", "shortage"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Cuts:
    """What sawing some parts off a bar takes.

    Attributes
    ----------
    parts : tuple of Fraction
        mm along the centre line, each part's.
    used : Fraction
        mm of the bar used up altogether (`Slot.used` afterwards).
    reached : Fraction
        mm from the trimmed end to the far measured point of the last part (`Slot.reached` afterwards).
    trim : Fraction
        mm taken off the first end by these cuts.
    kerf : Fraction
        mm of kerf and gaps.
    """

    parts: tuple[Fraction, ...]
    used: Fraction
    reached: Fraction
    trim: Fraction
    kerf: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Rest:
    """What is left of a bar behind its last cut.

    Attributes
    ----------
    length : Fraction
        mm that can be relied on, the raw end's trim included; 0 where nothing is left.
    counted_on : Fraction
        mm of it that a plan may count on where the bar was never measured.
    wedge : Fraction
        mm beyond it behind an angled cut, along the mid-depth line.
    """

    length: Fraction
    counted_on: Fraction
    wedge: Fraction


def saw(slot: Slot, bar: Bar, kerf: Fraction, count: int) -> Cuts:
    """Work out what sawing takes until so many parts of a slot are cut.

    Parameters
    ----------
    slot : Slot
        Which; `Slot.sawn` parts are cut already.
    bar : Bar
        Its steel.
    kerf : Fraction
        mm that the blade takes now.
    count : int
        Parts cut afterwards, above `Slot.sawn`.
    """
    gaps = _gaps(slot, kerf)
    ends = list(_ends(slot, gaps, count))
    parts = tuple(piece.centre for piece in slot.cut.pieces[slot.sawn : count])
    trim = Fraction(0) if slot.sawn else min(slot.stick.trims[0], bar.length)
    last = _faces(slot, count - 1)[1]
    used = min(slot.stick.trims[0] + ends[-1] + _kerf_behind(gaps, last), bar.length)
    return Cuts(
        parts=parts,
        used=used,
        reached=ends[-1],
        trim=trim,
        kerf=used - slot.used - trim - sum(parts, Fraction(0)),
    )


def rest_of(slot: Slot, bar: Bar, kerf: Fraction) -> Rest:
    """Return what is left of a slot's bar behind the part sawn last; the whole bar where none was."""
    if not slot.sawn:
        return Rest(length=bar.length, counted_on=bar.counted_on, wedge=Fraction(0))
    length = max(bar.length - _gone(slot, kerf), Fraction(0))
    counted = max(length - (bar.length - bar.counted_on), Fraction(0))
    return Rest(length=length, counted_on=counted, wedge=bar.length - slot.used - length)


def shortage(slot: Slot, bar: Bar, kerf: Fraction, *, counted: bool = True) -> Fraction:
    """Return the mm that a bar lacks for the parts of a slot that aren't sawn yet; 0 or less where it suffices.

    Parameters
    ----------
    slot, bar, kerf
        As in `saw`.
    counted : bool
        Go by the length that can be counted on; otherwise by the length in the books.
    """
    if slot.sawn == len(slot.cut.pieces):
        return Fraction(0)
    gaps = _gaps(slot, kerf)
    end = list(_ends(slot, gaps, len(slot.cut.pieces)))[-1]
    need = slot.stick.trims[0] + end + gaps.outer(_faces(slot, len(slot.cut.pieces) - 1)[1])
    return need - ((bar.counted_on if counted else bar.length) - slot.stick.trims[1])


def measured_whole(slot: Slot, kerf: Fraction, left: Fraction) -> Fraction:
    """Return the length a bar had before its first cut, where so much is left behind the part sawn last."""
    if not slot.sawn:
        return left
    return _gone(slot, kerf) + left


def _gone(slot: Slot, kerf: Fraction) -> Fraction:
    """From a begun bar's raw first end to where what can be relied on begins.

    Behind a square cut that is what the blade took then; behind an angled one it is worked out by the blade as it is
    now, as wide or wider for what comes next.
    """
    last = _faces(slot, slot.sawn - 1)[1]
    if last.square:
        return slot.used
    return slot.stick.trims[0] + slot.reached + _gaps(slot, kerf).behind(last)


def _ends(slot: Slot, gaps: Gaps, count: int) -> Iterator[Fraction]:
    """Far measured points of the parts from the first uncut one on, from the trimmed end."""
    at = slot.reached
    before = _faces(slot, slot.sawn - 1)[1] if slot.sawn else None
    for index in range(slot.sawn, count):
        left, right = _faces(slot, index)
        if before is None:
            at += gaps.outer(left)
        elif index == slot.sawn and before.square and left.square:
            at = slot.used - slot.stick.trims[0]  # cut already, by the blade as it was then
        else:
            at += gaps.between(before, left)
        at += slot.cut.pieces[index].length
        before = right
        yield at


def _faces(slot: Slot, index: int) -> tuple[Face, Face]:
    """The two faces of a part as it lies, nearer the trimmed end first."""
    return _lying(slot.cut.pieces[index], slot.parts[index])


def _lying(piece: Piece, part: Part) -> tuple[Face, Face]:
    if piece.lie is None or part.ends is None:
        return SQUARE, SQUARE
    first, second = (_face(*each, part.ends.measure) for each in zip(piece.lie.planes, piece.lie.leans, strict=True))
    return first, second


def _face(plane: int, lean: Fraction, measure: Measure) -> Face:
    return Face(plane, lean, measure) if lean else SQUARE


def _gaps(slot: Slot, kerf: Fraction) -> Gaps:
    section = slot.cut.section
    parts = [replace(part, section=section) for part in slot.parts]
    return gaps_among(section, parts, kerf, finest(slot.unit))


def _kerf_behind(gaps: Gaps, face: Face) -> Fraction:
    """From a part's measured end to where its cut ends on the mid-depth line."""
    if face.square:
        return gaps.kerf
    whole = secant(abs(face.lean)).times(gaps.kerf) - gaps.offset(face)
    return round_up(whole, gaps.step) if gaps.kerf else round_up(exact(Fraction(0)) - gaps.offset(face), gaps.step)
