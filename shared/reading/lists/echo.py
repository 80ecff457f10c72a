"""Lines as understood, written for people: quantity x section x length, exact, in both unit systems."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final

from cutting.fit.angled.shape import lengths_of
from cutting.question.job import Measure, Part, Substitute
from cutting.question.lengths import Unit, format_length, show_length
from shared.reading.values.result import Kind, LineRead, OfferRead, PartRead, Question

__all__ = ["echo", "say_offer", "say_part", "say_substitute"]

_SHOP: Final = 16
_FINEST: Final = 64
_INDENT: Final = "      "
_WIDEST: Final = 160


def both_units(mm: Fraction, unit: Unit) -> str:
    """Write a length exactly in its own unit and in the other system.

    Examples
    --------
    >>> both_units(Fraction(20447, 10), Unit.IN), both_units(Fraction(1250), Unit.MM)
    ('80 1/2 in = 2044.7 mm', '1250 mm = 49 27/127 in (about 49 3/16)')
    """
    if unit in {Unit.IN, Unit.FT}:
        return f"{show_length(mm, unit)} = {show_length(mm, Unit.MM)}"
    inches = mm / Unit.IN.mm
    text = f"{show_length(mm, unit)} = {show_length(mm, Unit.IN)}"
    if inches.denominator > _FINEST:
        near = Fraction(round(inches * _SHOP), _SHOP)
        text += f" (about {format_length(near * Unit.IN.mm, Unit.IN)})"
    return text


def say_part(part: PartRead) -> str:
    """Write one part as understood."""
    text = f"{part.quantity} x {part.section.label} x {both_units(part.length, part.unit)}"
    if part.ends is not None:
        text += f", {say_ends(part)}"
    text += "".join(f", or {say_substitute(each)}" for each in part.substitutes)
    extras = [f"[{part.assembly}]" if part.assembly else "", part.note]
    tail = " ".join(extra for extra in extras if extra)
    text = f"{part.mark}: {text}" + (f"  {tail}" if tail else "")
    return f"{text}  <- {part.derived}" if part.derived else text


def say_substitute(substitute: Substitute) -> str:
    """Write a section that will do as well, with the designer's remark."""
    remark = f" ({substitute.remark})" if substitute.remark else ""
    return f"{substitute.section.label}{remark}"


def say_ends(part: PartRead) -> str:
    """Write the ends of a part with its three lengths; those that are irrational are rounded up."""
    ends = part.ends
    assert ends is not None
    angles = "/".join(f"{float(angle):g}°" for angle in ends.angles)
    lean = f", {ends.lean}" if all(ends.angles) and ends.planes[0] == ends.planes[1] else ""
    text = f"ends {angles}{lean}, {length_name(ends.measure)}"
    whole = Part(mark="", section=part.section, length=part.length, quantity=1, ends=ends)
    three = zip(("LP", "CL", "SP"), lengths_of(whole).shown(part.unit), strict=True)
    return f"{text} ({', '.join(f'{name} {show_length(length, part.unit)}' for name, length in three)})"


def length_name(measure: Measure) -> str:
    """Return how a length was measured, in words."""
    return "measured along the centre line" if measure is Measure.CENTRE_LINE else f"measured between {measure}s"


def say_offer(offer: OfferRead, price: str) -> str:
    """Write one line of sticks as understood."""
    count = "any number of" if offer.available is None else f"{offer.available} x"
    return f"{count} {offer.section.label} x {both_units(offer.length, offer.unit)}, {price}" + (
        (f", from {offer.yard}" if offer.yard else "") + (f"  {offer.note}" if offer.note else "")
    )


def echo(lines: Iterable[LineRead], problems: Iterable[Question] = ()) -> Iterator[str]:
    """Yield the list with each line's reading below it, and its problems with a caret and the readings offered.

    Parameters
    ----------
    lines : iterable of LineRead
        What was read.
    problems : iterable of Question
        Problems; those about the list as a whole (line 0) come first, the others stand below their line.
    """
    for problem in problems:
        if problem.line == 0:
            yield f"{_INDENT}! {problem.message}"
    for line in lines:
        if line.kind is Kind.BLANK:
            yield f"{line.line:>4}  {_short(line.text)}" if line.text.strip() else ""
            continue
        yield f"{line.line:>4}  {_short(line.text)}"
        for reading in line.understood:
            yield f"{_INDENT}= {reading}"
        if not line.understood and not line.questions:
            yield f"{_INDENT}({line.kind})"
        for note in line.notes:
            yield f"{_INDENT}. {note}"
        for question in line.questions:
            yield from _ask(question)


def _short(text: str) -> str:
    text = text.replace("\t", " ").replace("\n", " / ")
    return text if len(text) <= _WIDEST else f"{text[:_WIDEST]}…"


def _ask(question: Question) -> Iterator[str]:
    """Yield a question: a caret under the place, what to write, the readings offered."""
    if question.position is not None and question.position < _WIDEST:
        yield f"{_INDENT}{' ' * question.position}^"
    yield f"{_INDENT}? {question.message}"
    for choice in question.choices:
        yield f"{_INDENT}    {choice.reading}:  {_short(choice.line.strip())}"
        if choice.makes:
            yield f"{_INDENT}        = {_short(choice.makes)}"
