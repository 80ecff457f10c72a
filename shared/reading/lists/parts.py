"""A parts list: parts with their marks, what else is needed, totals checked, every line echoed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from cutting.question.errors import LengthError
from cutting.question.job import Section, Substitute
from cutting.question.lengths import Unit, parse_length, show_length
from shared.reading.grid.sheet import open_list
from shared.reading.line.counts import MOST_PIECES
from shared.reading.lists.echo import say_part, say_substitute
from shared.reading.lists.entry import Entry, List, joined
from shared.reading.lists.listing import ends_of, read_rows
from shared.reading.lists.plausible import doubts_length
from shared.reading.lists.reread import show_choices
from shared.reading.lists.units import length_cell
from shared.reading.values.draft import Ask
from shared.reading.values.result import AlsoNeeded, Kind, LineRead, PartRead, PartsList, Question
from shared.sections import understand

__all__ = ["read_parts"]

_TOLERANCE: Final = Fraction(1, 100)


def read_parts(source: str | bytes, *, unit: Unit | None = None) -> tuple[PartsList, tuple[Question, ...]]:
    r"""Read a parts list as people paste it.

    Parameters
    ----------
    source : str or bytes
        Free text, a table as text, or the bytes of a text, CSV, xlsx or ods file.
    unit : Unit or None
        What a bare length means; None to let the list tell (its marks, fractions, headers, sections).

    Returns
    -------
    PartsList
        What was understood. Lines with a question have no parts in it.
    tuple of Question
        Everything that is open, in the order of the list; readings are offered, never chosen.

    Examples
    --------
    >>> found, questions = read_parts('4 - 3x3x1/8 sq tube @ 6\'-8 1/2" posts')
    >>> [(part.quantity, part.section.name, part.length, part.note) for part in found.parts], questions
    ([(4, 'SHS 3x3x1/8', Fraction(20447, 10), 'posts')], ())
    >>> read_parts("2 pcs SHS 40x40x3 1.200 mm")[1][0].choices[0].line
    '2 pcs SHS 40x40x3 1200 mm'
    """
    return _read(source, unit, offer=True)


def _read(source: str | bytes, unit: Unit | None, *, offer: bool) -> tuple[PartsList, tuple[Question, ...]]:
    """Read a list; its choices are read where it is to be offered to somebody."""
    sheet, problems = open_list(source)
    listing = read_rows(sheet, offers=False, unit=unit)
    made = {id(entry): _parts(entry, listing) for entry in listing.entries}
    _name(listing, made)
    _check_totals(listing, made)
    assert listing.unit is not None
    if offer:
        show_choices(listing.entries, lambda text: _read(text, unit, offer=False)[0].lines)
    parts = tuple(part for entry in listing.entries for part in made[id(entry)])
    also = tuple(_also(entry) for entry in listing.entries if entry.kind is Kind.ALSO)
    lines = joined(_line(entry, made[id(entry)]) for entry in listing.entries)
    found = PartsList(parts=parts, also=also, lines=lines, unit=listing.unit)
    questions = (*problems, *(question for line in lines for question in line.questions))
    if not problems and not parts and not questions:
        questions = (Question(line=0, text="", message="no part found; write lines such as 4 - SHS 40x40x3 @ 1250 mm"),)
    return found, questions


def _parts(entry: Entry, listing: List) -> list[PartRead]:
    """Return the parts of one line; marks come later."""
    if entry.off is not None:
        return _derived(entry, listing) if entry.kind is Kind.TAKE_OFF else []
    draft = entry.draft
    if entry.kind is not Kind.PART or draft is None or draft.section is None or draft.length is None:
        return []
    ends = ends_of(entry, listing)
    if entry.kind is not Kind.PART or draft.length.unit is None:
        return []
    if draft.quantity is None:
        entry.notes.append("no quantity: 1 taken")
    quantity = (draft.quantity or 1) * entry.sets
    if entry.sets > 1:
        entry.notes.append(f"{draft.quantity or 1} x {entry.sets} sets = {quantity}")
    length = draft.length.value * draft.length.unit.mm
    if doubts_length(entry, length, None, length_cell(entry), listing.delimiter):
        return []
    if quantity > MOST_PIECES:
        entry.ask(Ask(message=f"{quantity} pieces? write at most {MOST_PIECES}", position=0))
        return []
    return [
        PartRead(
            line=entry.row.line,
            mark=draft.mark,
            section=draft.section,
            length=length,
            unit=Unit.IN if draft.length.unit is Unit.FT and draft.length.value.denominator > 1 else draft.length.unit,
            quantity=quantity,
            note=draft.note,
            assembly=entry.assembly,
            ends=ends,
            substitutes=_substitutes(entry, draft.section, listing),
        )
    ]


def _substitutes(entry: Entry, section: Section, listing: List) -> tuple[Substitute, ...]:
    """Return the sections that will do as well: those of the line and of the lines that go on with it.

    They are of the part's own material where they state none.
    """
    found = [each for other in listing.entries if other is entry or other.above is entry for each in other.substitutes]
    return tuple(
        each if each.section.material else replace(each, section=understand(each.section.name, section.material))
        for each in found
    )


def _derived(entry: Entry, listing: List) -> list[PartRead]:
    """Return the parts of a take-off."""
    off = entry.off
    assert off is not None
    section = off.section
    assert section is not None
    frames = off.count * entry.sets
    entry.notes.insert(0, f"{frames} x {off.name}" + (f" ({off.count} x {entry.sets} sets)" if entry.sets > 1 else ""))
    return [
        PartRead(
            line=entry.row.line,
            mark="",
            section=section,
            length=part.length,
            unit=off.unit,
            quantity=part.quantity * frames,
            note=part.what,
            assembly=entry.assembly,
            ends=part.ends,
            derived=f"line {entry.row.line}: {part.why}",
            substitutes=_substitutes(entry, section, listing),
        )
        for part in off.parts
    ]


def _name(listing: List, made: dict[int, list[PartRead]]) -> None:
    """Number the parts without a mark, and settle marks that come twice."""
    given = {part.mark for parts in made.values() for part in parts if part.mark}
    seen: dict[str, PartRead] = {}
    number = 0
    for entry in listing.entries:
        parts = made[id(entry)]
        for at, part in enumerate(parts):
            if not part.mark:
                number += 1
                while f"P{number}" in given:
                    number += 1
                parts[at] = replace(part, mark=f"P{number}")
            elif part.mark in seen:
                _twice(entry, parts, at, seen)
            seen.setdefault(parts[at].mark, parts[at]) if parts else None


def _twice(entry: Entry, parts: list[PartRead], at: int, seen: dict[str, PartRead]) -> None:
    """Keep a mark that comes twice apart; the same mark on different parts is a mistake to be corrected."""
    part, first = parts[at], seen[parts[at].mark]
    same = (part.section, part.length, part.ends) == (first.section, first.length, first.ends)
    if not same:
        entry.ask(
            Ask(
                message=f"mark {part.mark} is on a different part in line {first.line}; give one another mark",
                position=0,
            )
        )
        parts.clear()
        return
    copy = 2
    while f"{part.mark}/{copy}" in seen:
        copy += 1
    parts[at] = replace(part, mark=f"{part.mark}/{copy}")
    entry.notes.append(f"mark {part.mark} came in line {first.line} already: {part.mark}/{copy} here")


def _also(entry: Entry) -> AlsoNeeded:
    draft = entry.draft
    assert draft is not None
    quantity = None if draft.quantity is None else draft.quantity * entry.sets
    return AlsoNeeded(line=entry.row.line, text=draft.note or entry.row.text.strip(), quantity=quantity)


def _line(entry: Entry, parts: Sequence[PartRead]) -> LineRead:
    """Return a line for the echo."""
    understood = tuple(say_part(part) for part in parts)
    if entry.kind is Kind.ALSO:
        also = _also(entry)
        understood = (f"also needed: {'' if also.quantity is None else f'{also.quantity} x '}{also.text}",)
    elif entry.kind is Kind.HEADING and entry.heading is not None:
        sets = f", {entry.heading.sets} sets" if entry.heading.sets else ""
        text = f"{entry.heading.name}{sets}".strip(", ")
        understood = (f"heading: {text}",) if text else ()
    elif entry.kind is Kind.HEADING and entry.draft is not None and entry.draft.section is not None:
        understood = (f"section for the lines below: {entry.draft.section.label}",)
    elif entry.kind is Kind.ADDITION and entry.above is not None:
        said = ", or ".join(say_substitute(each) for each in entry.substitutes)
        understood = (f"for line {entry.above.row.line}: or {said}",)
    return entry.read(understood)


def _check_totals(listing: List, made: dict[int, list[PartRead]]) -> None:
    """Check stated totals against the lines above: since the last total, or all, per set or with sets multiplied."""
    since: list[Entry] = []
    before: list[Entry] = []
    for entry in listing.entries:
        if entry.kind is not Kind.TOTAL or entry.total is None:
            since.append(entry)
            before.append(entry)
            continue
        if any(other.kind is Kind.QUESTION for other in before):
            entry.notes.append("total not checked: lines above it are open")
        else:
            _check_total(entry, [_sums(block, made) for block in (since, before)])
        since = []


def _sums(block: Sequence[Entry], made: dict[int, list[PartRead]]) -> dict[str, tuple[int, Fraction]]:
    """Return pieces and length of a block, with and without sets, and with what else is needed."""
    pieces, length = 0, Fraction(0)
    single, single_length = 0, Fraction(0)
    also = single_also = 0
    for entry in block:
        for part in made[id(entry)]:
            pieces += part.quantity
            length += part.quantity * part.length
            single += part.quantity // entry.sets
            single_length += part.quantity // entry.sets * part.length
        if entry.kind is Kind.ALSO and entry.draft is not None and entry.draft.quantity:
            single_also += entry.draft.quantity
            also += entry.draft.quantity * entry.sets
    return {
        "pieces": (pieces, length),
        "pieces of one set": (single, single_length),
        "pieces, with what else is needed,": (pieces + also, length),
        "pieces of one set, with what else is needed,": (single + single_also, single_length),
    }


def _check_total(entry: Entry, blocks: Sequence[dict[str, tuple[int, Fraction]]]) -> None:
    """Compare a total with what the lines above give."""
    total = entry.total
    assert total is not None
    for other in total.others:
        _check_length_total(entry, other, blocks)
    if total.pieces is None:
        if not total.others:
            entry.notes.append("total without a number")
        return
    for sums in blocks:
        for name, (pieces, _) in sums.items():
            if pieces == total.pieces:
                entry.notes.append(f"total of {total.pieces} {name.rstrip(',')}: agrees with the lines above")
                return
    found = blocks[0]["pieces"][0]
    entry.ask(
        Ask(
            message=(
                f"the total says {total.pieces} pieces, the lines above give {found}; "
                "correct the total or the line that is missing or double"
            ),
            position=0,
        )
    )


def _check_length_total(entry: Entry, text: str, blocks: Sequence[dict[str, tuple[int, Fraction]]]) -> None:
    """Compare a total length, as exactly as it is written."""
    try:
        stated = parse_length(text.replace(",", "."), Unit.MM)
    except LengthError:
        entry.notes.append(f"{text} not checked")
        return
    if not any(character.isalpha() or character in "\"'" for character in text):
        entry.notes.append(f"{text} not checked: it has no unit")
        return
    lengths = [length for sums in blocks for _, length in sums.values()]
    if any(abs(length - stated) <= _TOLERANCE * stated for length in lengths):
        entry.notes.append(f"total length of {text}: agrees with the lines above")
        return
    unit = Unit.M if "m" in text else Unit.FT
    entry.ask(
        Ask(
            message=(
                f"the total length says {text}, the lines above give {show_length(lengths[0], unit)}; "
                "correct one of them"
            ),
            position=0,
        )
    )


def numbered(parts: Sequence[PartRead]) -> Iterator[str]:
    """Yield the marks in order."""
    yield from (part.mark for part in parts)
