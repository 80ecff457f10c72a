"""Take-off: from a frame's outside sizes to its parts, with every deduction shown.

Mitred corners: each side is as long as the outside, measured over its long points. Butted corners: two sides run
through, and what is between them loses two widths (and a weld gap at each end, where one is stated).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from math import isqrt
from typing import Final

from cutting.job import Ends, Lean, Measure, Section
from cutting.lengths import Unit, show_length
from shared.reading.draft import Around, Ask, Rewrite
from shared.reading.finder import chains, find_section
from shared.reading.lengths import LENGTH_UNITS
from shared.reading.tokens import Token, plain
from shared.reading.vocabulary import NUMBERS
from shared.reading.work import Work, open_work, whole
from shared.sections.words import fold

__all__ = ["Derived", "TakeOff", "read_takeoff"]

_FRAME: Final = frozenset(
    "frame frames rahmen cadre cadres marco marcos panel panels rectangle rectangles gate gates grille grilles bastidor bastidores".split()  # noqa: SIM905
)
_FRAME_WORD: Final = re.compile(rf"\b(?:{'|'.join(sorted(_FRAME))})\b", re.IGNORECASE)
_MITRED: Final = re.compile(
    r"\b(?:mit(?:re|er)(?:e?d)?|45\s*°|auf\s+gehrung|gehrung|onglets?|ingletes?)(?:\s+corners?)?(?!\w)", re.IGNORECASE
)
_BUTTED: Final = re.compile(
    r"\b(?:butt(?:ed)?(?:\s+joints?)?|square\s+corners?|stumpf|bout\s+[àa]\s+bout|a\s+tope)(?:\s+corners?)?(?!\w)",
    re.IGNORECASE,
)
_THROUGH: Final = re.compile(
    r"\b(?:(?P<long>long(?:er)?|lange)|(?P<short>short(?:er)?|kurze)|(?P<flat>top\s+and\s+bottom|horizontals?|rails)|(?P<upright>uprights?|verticals?|stiles))"
    r"\s*(?:sides?|members?|rails?|pieces?|ones?|seiten?)?\s*(?:(?:to\s+)?(?:run|runs|running|go|going|pass|passing|carry|are|laufen)\s*)?(?:through|past|over|durch(?:gehend)?)",
    re.IGNORECASE,
)
_CROSS: Final = re.compile(
    r"\b(?P<count>\d{1,2}|one|two|three|four|five|six)\s*x?\s*(?:(?P<dir>vertical|horizontal|upright)\s+)?(?:cross|mid(?:dle)?|cent(?:re|er)|intermediate|inner)[\s-]*"
    r"(?P<what>members?|bars?|rails?|pieces?|struts?|uprights?)(?:\s+(?P<dir2>vertical|horizontal|upright)(?:ly)?)?"
    r"(?:\s+between(?:\s+(?:the\s+)?(?:(?P<long>long)|(?P<short>short)|(?P<upright>uprights?|verticals?|stiles)|(?P<flat>top\s+and\s+bottom|horizontals?|rails))(?:\s+(?:sides?|members?|ones?))?)?)?",
    re.IGNORECASE,
)
_LEGS: Final = re.compile(
    r"\b(?P<count>\d{1,2}|one|two|three|four|five|six|eight)\s*x?\s*(?P<what>legs?|posts?|feet|beine?|pieds?|patas?)\b",
    re.IGNORECASE,
)
_OVERALL: Final = re.compile(
    r"\b(?:overall(?:\s+height)?|total\s+height|high\s+overall|height\s+overall|to\s+(?:the\s+)?top)\b", re.IGNORECASE
)
_GAP: Final = re.compile(r"\b(?:weld(?:ing)?|root)?[\s-]*gaps?\b", re.IGNORECASE)
_INSIDE: Final = re.compile(
    r"\b(?:inside|clear|inner\s+size|innen(?:maß|mass)?|licht(?:maß|mass)?|int[ée]rieur|interior)\b", re.IGNORECASE
)
_OUTSIDE: Final = re.compile(
    r"\b(?:outside|overall|outer\s+size|o\.?d\.?|außen(?:maß)?|aussen(?:mass)?|ext[ée]rieur|exterior)\b", re.IGNORECASE
)
_PLANE: Final = re.compile(
    r"\b(?P<side>\d[\d./-]*)\s*(?:mm|\")?\s*(?:side|face)?\s*in\s*(?:the\s+)?plane(?:\s+of\s+the\s+frame)?",
    re.IGNORECASE,
)
_BOXLIKE: Final = frozenset({"shs", "rhs", "flat", "square"})
_FIFTEEN: Final = Fraction(45)


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


def read_takeoff(text: str, around: Around, unit: Unit | None) -> TakeOff | None:
    """Read a line that describes frames by their outside sizes, None where it is no such line.

    Parameters
    ----------
    text : str
        The line.
    around : Around
        What the rest of the list says.
    unit : Unit or None
        What a bare size means; None where only the section can tell.
    """
    line = plain(text)
    if _FRAME_WORD.search(line) is None:
        return None
    work = open_work(line, (), prices=False)
    word = next((at for at in range(len(work.tokens)) if work.word(at) in _FRAME), None)
    size = _size(work)
    if word is None or size is None:
        return None
    corner = bool(_MITRED.search(line)) or bool(_BUTTED.search(line))
    off = TakeOff()
    work.take((size[0], size[0] + 1, size[1]))
    free = [at for at in work.free()]
    found = find_section([work.tokens[at] for at in free], around.system, sure_quantity=True, sure_length=True)
    section = found.section if found else around.section
    if section is None and not corner:
        return None
    off.section = section
    off.count = _frames(work, word)
    off.name = _name(work, word)
    _fill(off, line, work, size, unit)
    return off


def _size(work: Work) -> tuple[int, int] | None:
    """Return the indexes of width and height: the first two numbers joined by one cross alone, or by ``by``."""
    for run in chains(work.tokens):
        if len(run) == 2 and all(work.tokens[at].value is not None for at in run) and run[0] not in work.noted:  # noqa: PLR2004
            before = work.tokens[run[0] - 1] if run[0] else None
            if before is None or before.kind != "word" or fold(before.text) not in {"fb", "flat", "c", "chs"}:
                return run[0], run[1]
    for at in range(1, len(work.tokens) - 1):
        if work.word(at) in {"by", "auf", "par", "por"} and work.kind(at - 1) == work.kind(at + 1) == "number":
            return at - 1, at + 1
    return None


def _frames(work: Work, word: int) -> int:
    """Return how many frames: the count before the word, digits or words; one where there is none."""
    for at in range(word - 1, -1, -1):
        if work.kind(at) == "cross":
            continue
        number = whole(work.tokens[at]) or NUMBERS.get(work.word(at))
        if number:
            return number
        if work.kind(at) != "word":
            break
    return 1


def _name(work: Work, word: int) -> str:
    """Return what the assembly is called: the words up to the frame word."""
    words = []
    for at in range(word, -1, -1):
        if work.kind(at) != "word" or (work.word(at) in NUMBERS and at != word):
            break
        words.insert(0, work.tokens[at].text)
    return " ".join(words)


def _fill(off: TakeOff, line: str, work: Work, size: tuple[int, int], unit: Unit | None) -> None:
    """Work out the parts, or what has to be asked first."""
    end = len(line.rstrip())
    section = off.section
    if section is None:
        off.asks.append(
            Ask(message="what are the frames made of? write the section, such as SHS 40x40x3", position=end)
        )
        return
    if section.family not in _BOXLIKE:
        off.asks.append(
            Ask(
                message=f"a take-off works for square and rectangular tube, flat and square bar; list the parts of {section.name} one by one",
                position=0,
            )
        )
        return
    off.unit = _unit(work, size, section, unit)
    sizes = [_mm(work.tokens[at], off.unit) for at in size]
    width = _width(off, section, line, end)
    mitred, butted = bool(_MITRED.search(line)), bool(_BUTTED.search(line))
    if mitred == butted:
        off.asks.append(_append("mitred or butted corners?", end, ("mitred corners", "butted corners")))
    if off.asks or width is None:
        return
    if _INSIDE.search(line):
        sizes = [side + 2 * width for side in sizes]
        off.notes.append(f"inside sizes: outside is {' x '.join(show_length(side, off.unit) for side in sizes)}")
    elif not _OUTSIDE.search(line):
        off.notes.append("sizes taken as outside sizes")
    if min(sizes) <= 2 * width:
        off.asks.append(
            Ask(
                message="the frame is smaller than two widths of its section; check the sizes",
                position=work.tokens[size[0]].start,
            )
        )
        return
    gap = _gap(off, line, work)
    if mitred:
        _mitred(off, sizes, gap, _plane(section, width))
    else:
        _butted(off, line, sizes, width, gap, end)
    _cross_members(off, line, sizes, width, gap, end)
    _legs(off, line, work, section, width)
    if off.asks:
        off.parts.clear()


def _unit(work: Work, size: tuple[int, int], section: Section, unit: Unit | None) -> Unit:
    """Return the unit of the frame's sizes: as written, as the list has it, as the section has it."""
    for at in reversed(size):
        if work.tokens[at].unit in LENGTH_UNITS:
            written = Unit(work.tokens[at].unit)
            return Unit.IN if written is Unit.FT else written
    if unit is not None:
        return unit
    shop = any(work.tokens[at].form in {"mixed", "fraction", "glyph"} for at in size)
    return Unit.IN if shop or _is_inch(section) else Unit.MM


def _is_inch(section: Section) -> bool:
    return bool(section.sides) and ("/" in section.name or (section.sides[0] / Unit.IN.mm).denominator <= 16)  # noqa: PLR2004


def _mm(token: Token, unit: Unit) -> Fraction:
    written = Unit(token.unit) if token.unit in LENGTH_UNITS else unit
    return (token.value or Fraction(0)) * written.mm


def _append(message: str, end: int, answers: tuple[str, ...]) -> Ask:
    """Return a question whose answers are put behind the line."""
    rewrites = tuple(Rewrite(reading=answer, start=end, end=end, text=f", {answer}") for answer in answers)
    return Ask(message=message, position=end, rewrites=rewrites)


def _width(off: TakeOff, section: Section, line: str, end: int) -> Fraction | None:
    """Return the section's size in the plane of the frame; asked where its sides differ."""
    larger, smaller = section.sides
    if larger == smaller:
        return larger
    names = re.findall(r"\d+(?:-\d+/\d+|/\d+|\.\d+)?", section.name)[:2]
    said = _PLANE.search(line)
    if said and said["side"] in names:
        return section.sides[names.index(said["side"])]
    off.asks.append(
        _append(
            f"which side of {section.name} lies in the plane of the frame?",
            end,
            tuple(f"{name} in plane" for name in names),
        )
    )
    return None


def _plane(section: Section, width: Fraction) -> int:
    return 0 if section.sides[0] == width else 1


def _gap(off: TakeOff, line: str, work: Work) -> Fraction:
    """Return the weld gap that the line states, zero where it states none."""
    found = _GAP.search(line)
    if found is None:
        return Fraction(0)
    near = sorted(
        (min(abs(token.end - found.start()), abs(found.end() - token.start)), token.start, token)
        for token in work.tokens
        if token.kind == "number" and token.value is not None
    )
    near = [entry for entry in near if entry[0] <= 12]  # noqa: PLR2004
    if not near:
        off.asks.append(Ask(message="how wide is the weld gap? write it such as gap 1/16", position=found.start()))
        return Fraction(0)
    return _mm(near[0][2], off.unit)


def _ends(plane: int) -> Ends:
    return Ends(angles=(_FIFTEEN, _FIFTEEN), lean=Lean.OPPOSED, measure=Measure.LONG_POINT, planes=(plane, plane))


def _mitred(off: TakeOff, sizes: list[Fraction], gap: Fraction, plane: int) -> None:
    """Two of each side, the outside over the long points; a gap in the joint takes its share off both ends."""
    loss = _gap_loss(gap, off.unit)
    for name, side in zip(("width", "height"), sizes, strict=True):
        why = f"outside {show_length(side, off.unit)} over the long points"
        if loss:
            why += f" less {show_length(loss, off.unit)} for the weld gap"
        _add(off, name, side - loss, 2, why, _ends(plane))


def _gap_loss(gap: Fraction, unit: Unit) -> Fraction:
    """Return what a gap square to a 45 degree joint takes off a part's length, both ends together: gap x sqrt 2.

    Rounded down to 1/64 in or 0.1 mm, so that a part is never short.
    """
    step = Unit.IN.mm / 64 if unit in {Unit.IN, Unit.FT} else Fraction(1, 10)
    square = 2 * (gap / step) ** 2
    return isqrt(square.numerator // square.denominator) * step


def _add(off: TakeOff, what: str, length: Fraction, quantity: int, why: str, ends: Ends | None = None) -> None:
    """Add parts; equal ones of a square frame are one line."""
    for at, part in enumerate(off.parts):
        if (part.length, part.ends) == (length, ends) and part.why == why:
            off.parts[at] = Derived(
                what=f"{part.what} and {what}", length=length, quantity=part.quantity + quantity, why=why, ends=ends
            )
            return
    off.parts.append(Derived(what=what, length=length, quantity=quantity, why=why, ends=ends))


def _butted(off: TakeOff, line: str, sizes: list[Fraction], width: Fraction, gap: Fraction, end: int) -> None:
    """Two sides run through, the others stand between them."""
    through = _through(line, sizes)
    if through is None:
        off.asks.append(
            _append(
                "butted corners: which sides run through?", end, ("long sides run through", "short sides run through")
            )
            if sizes[0] != sizes[1]
            else _append(
                "butted corners: which sides run through?", end, ("top and bottom run through", "uprights run through")
            )
        )
        return
    names = ("width", "height")
    _add(
        off,
        f"{names[through]}, running through",
        sizes[through],
        2,
        f"outside {show_length(sizes[through], off.unit)}, running through",
    )
    other = 1 - through
    length, why = _between(off, sizes[other], width, gap)
    _add(off, f"{names[other]}, between", length, 2, why)


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


def _between(off: TakeOff, side: Fraction, width: Fraction, gap: Fraction) -> tuple[Fraction, str]:
    """Return a length between two members, and its deduction in words."""
    why = f"{show_length(side, off.unit)} less two widths of {show_length(width, off.unit)}"
    if gap:
        why += f" and two gaps of {show_length(gap, off.unit)}"
    return side - 2 * width - 2 * gap, why


def _cross_members(off: TakeOff, line: str, sizes: list[Fraction], width: Fraction, gap: Fraction, end: int) -> None:
    """Members between two sides lose two widths as well."""
    for found in _CROSS.finditer(line):
        count = NUMBERS.get(found["count"].lower()) or int(found["count"])
        direction = (found["dir"] or found["dir2"] or "").lower()
        longer = 0 if sizes[0] >= sizes[1] else 1
        if (
            direction.startswith(("vertical", "upright"))
            or found["flat"]
            or found["what"].lower().startswith("upright")
        ):
            side = sizes[1]
        elif direction == "horizontal" or found["upright"]:
            side = sizes[0]
        elif found["long"] or sizes[0] == sizes[1]:
            side = sizes[1 - longer]
        elif found["short"]:
            side = sizes[longer]
        else:
            answers = ("between long sides", "between short sides")
            off.asks.append(
                Ask(
                    message="between which sides are the cross members?",
                    position=found.start(),
                    rewrites=tuple(
                        Rewrite(
                            reading=answer,
                            start=found.start(),
                            end=found.end(),
                            text=f"{found['count']} cross {found['what']} {answer}",
                        )
                        for answer in answers
                    ),
                )
            )
            continue
        length, why = _between(off, side, width, gap)
        _add(off, "cross member", length, count, why)
    del end


def _legs(off: TakeOff, line: str, work: Work, section: Section, width: Fraction) -> None:
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
        length = _mm(number, off.unit)
        why = f"{show_length(length, off.unit)} as stated"
        if _OVERALL.search(line[found.start() : number.end + 25]):
            depth = section.sides[1] if section.sides[0] == width else section.sides[0]
            why = f"{show_length(length, off.unit)} overall less the frame's depth of {show_length(depth, off.unit)}"
            length -= depth
        if length <= 0:
            off.asks.append(Ask(message="legs of no length; check the height", position=number.start))
            continue
        _add(off, "leg", length, count, why)
