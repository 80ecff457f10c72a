"""The parts of a frame from its outside sizes, with every deduction in words."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import isqrt
from typing import Final

from cutting.question.job import Ends, Lean, Measure, Section
from cutting.question.lengths import Unit, show_length
from shared.reading.line.measured import LENGTH_UNITS
from shared.reading.text.tokens import Token
from shared.reading.text.vocabulary import NUMBERS
from shared.reading.values.draft import Ask, Rewrite
from shared.reading.values.line_state import LineState

__all__ = [
    "BUTTED",
    "Outline",
    "TakeOff",
    "appended",
    "butted_parts",
    "cross_members",
    "in_mm",
    "leg_parts",
    "mitred_parts",
]

BUTTED: Final = re.compile(
    r"\b(?:butt(?:ed)?(?:\s+joints?)?|square\s+corners?|stumpf|bout\s+[àa]\s+bout|a\s+tope)(?:\s+corners?)?(?!\w)",
    re.IGNORECASE,
)
_THROUGH: Final = re.compile(
    r"\b(?:(?P<long>long(?:er)?|lange)|(?P<short>short(?:er)?|kurze)|(?P<flat>top\s+and\s+bottom|horizontals?"
    r"|rails)|(?P<upright>uprights?|verticals?|stiles))"
    r"\s*(?:sides?|members?|rails?|pieces?|ones?|seiten?)?\s*(?:(?:to\s+)?(?:run|runs|running|go|going|pass"
    r"|passing|carry|are|laufen)\s*)?(?:through|past|over|durch(?:gehend)?)",
    re.IGNORECASE,
)
_CROSS: Final = re.compile(
    r"\b(?P<count>\d{1,2}|one|two|three|four|five|six)\s*x?\s*(?:(?P<dir>vertical|horizontal"
    r"|upright)\s+)?(?:cross|mid(?:dle)?|cent(?:re|er)|intermediate|inner)[\s-]*"
    r"(?P<what>members?|bars?|rails?|pieces?|struts?|uprights?)(?:\s+(?P<dir2>vertical|horizontal|upright)(?:ly)?)?"
    r"(?:\s+between(?:\s+(?:the\s+)?(?:(?P<long>long)|(?P<short>short)|(?P<upright>uprights?|verticals?|stiles)"
    r"|(?P<flat>top\s+and\s+bottom|horizontals?|rails))(?:\s+(?:sides?|members?|ones?))?)?)?",
    re.IGNORECASE,
)
_LEGS: Final = re.compile(
    r"\b(?P<count>\d{1,2}|one|two|three|four|five|six|eight)\s*x?\s*(?P<what>legs?|posts?|feet|beine?|pieds?|patas?)\b",
    re.IGNORECASE,
)
_OVERALL: Final = re.compile(
    r"\b(?:overall(?:\s+height)?|total\s+height|high\s+overall|height\s+overall|to\s+(?:the\s+)?top)\b", re.IGNORECASE
)
_FORTY_FIVE: Final = Fraction(45)


@dataclass(frozen=True, kw_only=True, slots=True)
class Derived:
    """One part that a take-off gives: its length in mm, pieces for one frame, and how it came about."""

    what: str
    length: Fraction
    quantity: int
    why: str
    ends: Ends | None = None


@dataclass(slots=True)
class TakeOff:
    """A line that describes frames.

    Attributes
    ----------
    name : str
        What the assembly is called.
    count : int
        Frames.
    section : Section or None
        What they are made of.
    unit : Unit
        The unit of its sizes.
    parts : list of Derived
        For one frame.
    asks : list of Ask
        What is open; then there are no parts.
    notes : list of str
        What was taken as usual, to be said.
    """

    name: str = ""
    count: int = 1
    section: Section | None = None
    unit: Unit = Unit.MM
    parts: list[Derived] = field(default_factory=list)
    asks: list[Ask] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


@dataclass(frozen=True, kw_only=True, slots=True)
class Outline:
    """A frame's outside sizes, its section's size in the plane, and the weld gap, all in mm."""

    sizes: list[Fraction]
    width: Fraction
    gap: Fraction


def in_mm(token: Token, unit: Unit) -> Fraction:
    """Return a number as a length in mm, in `unit` where it states none itself."""
    written = Unit(token.unit) if token.unit in LENGTH_UNITS else unit
    return (token.value or Fraction(0)) * written.mm


def _ends(plane: int) -> Ends:
    return Ends(angles=(_FORTY_FIVE, _FORTY_FIVE), lean=Lean.OPPOSED, measure=Measure.LONG_POINT, planes=(plane, plane))


def mitred_parts(off: TakeOff, sizes: list[Fraction], gap: Fraction, plane: int) -> None:
    """Two of each side, the outside over the long points; a gap in the joint takes its share off both ends."""
    loss = _gap_loss(gap, off.unit)
    for name, side in zip(("width", "height"), sizes, strict=True):
        why = f"outside {show_length(side, off.unit)} over the long points"
        if loss:
            why += f" less {show_length(loss, off.unit)} for the weld gap"
        _add(off, Derived(what=name, length=side - loss, quantity=2, why=why, ends=_ends(plane)))


def _gap_loss(gap: Fraction, unit: Unit) -> Fraction:
    """Return what a gap square to a 45 degree joint takes off a part's length, both ends together: gap x sqrt 2.

    Rounded down to 1/64 in or 0.1 mm, so that a part is never short.
    """
    step = Unit.IN.mm / 64 if unit in {Unit.IN, Unit.FT} else Fraction(1, 10)
    square = 2 * (gap / step) ** 2
    return isqrt(square.numerator // square.denominator) * step


def _add(off: TakeOff, new: Derived) -> None:
    """Add parts; equal ones of a square frame are one line."""
    for at, part in enumerate(off.parts):
        if (part.length, part.ends, part.why) == (new.length, new.ends, new.why):
            off.parts[at] = replace(part, what=f"{part.what} and {new.what}", quantity=part.quantity + new.quantity)
            return
    off.parts.append(new)


def butted_parts(off: TakeOff, line: str, outline: Outline, end: int) -> None:
    """Two sides run through, the others stand between them."""
    sizes = outline.sizes
    through = _through(line, sizes)
    if through is None:
        off.asks.append(
            appended(
                "butted corners: which sides run through?", end, ("long sides run through", "short sides run through")
            )
            if sizes[0] != sizes[1]
            else appended(
                "butted corners: which sides run through?", end, ("top and bottom run through", "uprights run through")
            )
        )
        return
    names = ("width", "height")
    why = f"outside {show_length(sizes[through], off.unit)}, running through"
    _add(off, Derived(what=f"{names[through]}, running through", length=sizes[through], quantity=2, why=why))
    other = 1 - through
    length, why = _between(off, sizes[other], outline)
    _add(off, Derived(what=f"{names[other]}, between", length=length, quantity=2, why=why))


def _through(line: str, sizes: list[Fraction]) -> int | None:
    """Return which of the two sizes runs through, None where the line doesn't say."""
    found = _THROUGH.search(line)
    if found is None:
        return None
    if found["flat"]:
        return 0
    if found["upright"]:
        return 1
    if sizes[0] == sizes[1]:
        return 0
    longer = 0 if sizes[0] > sizes[1] else 1
    return longer if found["long"] else 1 - longer


def _between(off: TakeOff, side: Fraction, outline: Outline) -> tuple[Fraction, str]:
    """Return a length between two members, and its deduction in words."""
    why = f"{show_length(side, off.unit)} less two widths of {show_length(outline.width, off.unit)}"
    if outline.gap:
        why += f" and two gaps of {show_length(outline.gap, off.unit)}"
    return side - 2 * outline.width - 2 * outline.gap, why


def cross_members(off: TakeOff, line: str, outline: Outline) -> None:
    """Members between two sides lose two widths as well."""
    for found in _CROSS.finditer(line):
        count = NUMBERS.get(found["count"].lower()) or int(found["count"])
        side = _spanned(found, outline.sizes)
        if side is None:
            off.asks.append(_ask_between(found))
            continue
        length, why = _between(off, side, outline)
        _add(off, Derived(what="cross member", length=length, quantity=count, why=why))


def _spanned(found: re.Match[str], sizes: list[Fraction]) -> Fraction | None:
    """Return which outside size a cross member spans, None where the line doesn't say."""
    direction = (found["dir"] or found["dir2"] or "").lower()
    longer = 0 if sizes[0] >= sizes[1] else 1
    upright = direction.startswith(("vertical", "upright")) or found["what"].lower().startswith("upright")
    if upright or found["flat"]:
        return sizes[1]
    if direction == "horizontal" or found["upright"]:
        return sizes[0]
    if found["long"] or sizes[0] == sizes[1]:
        return sizes[1 - longer]
    return sizes[longer] if found["short"] else None


def _ask_between(found: re.Match[str]) -> Ask:
    """Ask between which sides cross members stand."""
    return Ask(
        message="between which sides are the cross members?",
        position=found.start(),
        rewrites=tuple(
            Rewrite(
                reading=answer,
                start=found.start(),
                end=found.end(),
                text=f"{found['count']} cross {found['what']} {answer}",
            )
            for answer in ("between long sides", "between short sides")
        ),
    )


def leg_parts(off: TakeOff, line: str, work: LineState, section: Section, width: Fraction) -> None:
    """Legs as long as stated; from an overall height the frame's own depth is taken off."""
    for found in _LEGS.finditer(line):
        count = NUMBERS.get(found["count"].lower()) or int(found["count"])
        number = next(
            (
                token
                for token in work.tokens
                if token.start >= found.end() and token.kind == "number" and token.value is not None
            ),
            None,
        )
        if number is None or number.start - found.end() > 25:  # noqa: PLR2004
            off.asks.append(Ask(message="how long are the legs? write it such as 4 legs 30", position=found.start()))
            continue
        length = in_mm(number, off.unit)
        why = f"{show_length(length, off.unit)} as stated"
        if _OVERALL.search(line[found.start() : number.end + 25]):
            depth = section.sides[1] if section.sides[0] == width else section.sides[0]
            why = f"{show_length(length, off.unit)} overall less the frame's depth of {show_length(depth, off.unit)}"
            length -= depth
        if length <= 0:
            off.asks.append(Ask(message="legs of no length; check the height", position=number.start))
            continue
        _add(off, Derived(what="leg", length=length, quantity=count, why=why))


def appended(message: str, end: int, answers: tuple[str, ...]) -> Ask:
    """Return a question whose answers are put behind the line."""
    rewrites = tuple(Rewrite(reading=answer, start=end, end=end, text=f", {answer}") for answer in answers)
    return Ask(message=message, position=end, rewrites=rewrites)
