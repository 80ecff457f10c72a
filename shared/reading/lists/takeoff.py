"""Take-off: from a frame's outside sizes to its parts, with every deduction shown.

Mitred corners: each side is as long as the outside, measured over its long points. Butted corners: two sides run
through, and what is between them loses two widths (and a weld gap at each end, where one is stated).
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from cutting.question.job import Section
from cutting.question.lengths import Unit, show_length
from shared.reading.line.chain import chains
from shared.reading.line.finder import find_section
from shared.reading.line.frame import (
    BUTTED,
    Outline,
    TakeOff,
    appended,
    butted_parts,
    cross_members,
    in_mm,
    leg_parts,
    mitred_parts,
)
from shared.reading.line.measured import LENGTH_UNITS
from shared.reading.text.tokens import plain
from shared.reading.text.vocabulary import NUMBERS
from shared.reading.values.draft import Around, Ask
from shared.reading.values.line_state import LineState, open_work, whole
from shared.sections.words import fold

__all__ = ["read_takeoff"]

_FRAME: Final = frozenset(
    (  # noqa: SIM905
        "frame frames rahmen cadre cadres marco marcos panel panels rectangle rectangles gate gates grille grilles "
        "bastidor bastidores"
    ).split()
)
_FRAME_WORD: Final = re.compile(rf"\b(?:{'|'.join(sorted(_FRAME))})\b", re.IGNORECASE)
_MITRED: Final = re.compile(
    r"\b(?:mit(?:re|er)(?:e?d)?|45\s*°|auf\s+gehrung|gehrung|onglets?|ingletes?)(?:\s+corners?)?(?!\w)", re.IGNORECASE
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
    corner = bool(_MITRED.search(line)) or bool(BUTTED.search(line))
    off = TakeOff()
    work.take((size[0], size[0] + 1, size[1]))
    free = work.free()
    found = find_section([work.tokens[at] for at in free], around.system, sure_quantity=True, sure_length=lambda: True)
    section = found.section if found else around.section
    if section is None and not corner:
        return None
    off.section = section
    off.count = _frames(work, word)
    off.name = _name(work, word)
    _fill(off, line, work, size, unit)
    return off


def _size(work: LineState) -> tuple[int, int] | None:
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


def _frames(work: LineState, word: int) -> int:
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


def _name(work: LineState, word: int) -> str:
    """Return what the assembly is called: the words up to the frame word."""
    words: list[str] = []
    for at in range(word, -1, -1):
        if work.kind(at) != "word" or (work.word(at) in NUMBERS and at != word):
            break
        words.insert(0, work.tokens[at].text)
    return " ".join(words)


def _fill(off: TakeOff, line: str, work: LineState, size: tuple[int, int], unit: Unit | None) -> None:
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
                message=(
                    "a take-off works for square and rectangular tube, flat and square bar; "
                    f"list the parts of {section.name} one by one"
                ),
                position=0,
            )
        )
        return
    off.unit = _unit(work, size, section, unit)
    sizes = [in_mm(work.tokens[at], off.unit) for at in size]
    width = _width(off, section, line, end)
    mitred, butted = bool(_MITRED.search(line)), bool(BUTTED.search(line))
    if mitred == butted:
        off.asks.append(appended("mitred or butted corners?", end, ("mitred corners", "butted corners")))
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
    outline = Outline(sizes=sizes, width=width, gap=gap)
    if mitred:
        mitred_parts(off, sizes, gap, _plane(section, width))
    else:
        butted_parts(off, line, outline, end)
    cross_members(off, line, outline)
    leg_parts(off, line, work, section, width)
    if off.asks:
        off.parts.clear()


def _unit(work: LineState, size: tuple[int, int], section: Section, unit: Unit | None) -> Unit:
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
        appended(
            f"which side of {section.name} lies in the plane of the frame?",
            end,
            tuple(f"{name} in plane" for name in names),
        )
    )
    return None


def _plane(section: Section, width: Fraction) -> int:
    return 0 if section.sides[0] == width else 1


def _gap(off: TakeOff, line: str, work: LineState) -> Fraction:
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
    return in_mm(near[0][2], off.unit)
