"""What a bar drawing shows: one stick layout, ready to be drawn.

Positions are exact and in one unit (millimetres along the stick, 0 at the trimmed end); every text is ready.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

__all__ = ["Bar", "BarPiece", "Dimension", "End", "square"]


@dataclass(frozen=True, kw_only=True, slots=True)
class End:
    """One end of a piece, as the drawing sees it from the side.

    Attributes
    ----------
    top, bottom : Fraction
        mm from the trimmed end, where the face meets the upper and the lower edge of the bar.
    inner : Fraction or None
        Where a face that was cut in the other plane has its edge within the outline; None for one that has none.
    seen : bool
        That edge lies on the near side, so that it is drawn as a full line; else it is hidden and drawn dashed.
    """

    top: Fraction
    bottom: Fraction
    inner: Fraction | None = None
    seen: bool = False

    @property
    def first(self) -> Fraction:
        """The point nearest the trimmed end."""
        return min(self._points)

    @property
    def last(self) -> Fraction:
        """The point farthest from the trimmed end."""
        return max(self._points)

    @property
    def _points(self) -> tuple[Fraction, ...]:
        return (self.top, self.bottom) if self.inner is None else (self.top, self.bottom, self.inner)


def square(at: Fraction) -> End:
    """Return a square end at `at`."""
    return End(top=at, bottom=at)


@dataclass(frozen=True, kw_only=True, slots=True)
class Dimension:
    """One running dimension.

    Attributes
    ----------
    at : Fraction
        mm from the trimmed end.
    text : str
        The same, written; the angle of the cut stands behind it.
    """

    at: Fraction
    text: str


@dataclass(frozen=True, kw_only=True, slots=True)
class BarPiece:
    """One part on the bar.

    Attributes
    ----------
    number : int
        Its place on the stick, from 1.
    mark : str
        Its mark.
    start, end : End
        Its two ends.
    dimensions : tuple of Dimension
        Running dimensions at this piece, ascending.
    told : str
        The piece in words, for the text alternative: ``P1, 80 1/2 in, from 0 to 80 1/2``.
    """

    number: int
    mark: str
    start: End
    end: End
    dimensions: tuple[Dimension, ...]
    told: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Bar:
    """One stick layout.

    Attributes
    ----------
    title : str
        Which sticks, for people: ``Sticks 1 to 6: SHS 1-1/2x1-1/2x1/8, 20 ft``.
    unit : str
        In which unit the dimensions are: ``in`` or ``mm [in]``.
    pieces : tuple of BarPiece
        In cutting order, at least one.
    trim : str
        What is trimmed off the first end, such as ``trim 1/4 in``; empty where nothing is.
    rest : str
        What is left behind the last cut, such as ``drop 41 3/8 in``; empty where nothing is.
    beyond : Fraction
        mm of what is left.
    """

    title: str
    unit: str
    pieces: tuple[BarPiece, ...]
    trim: str = ""
    rest: str = ""
    beyond: Fraction = Fraction(0)
