"""Read a list of pieces for the rack as people write it: pasted text, a table, a workbook, in whatever order.

The house's reader of lists does the reading; what only a rack has is taken out of the way first: the heat number in a
line, columns of places and heat numbers, headings that say where the pieces below them lie.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from cutting.question.job import Section, Source
from cutting.question.lengths import Unit
from cutting.question.tape import told_length
from shared.reading import Kind, LineRead, OfferRead, Question, read_offers
from shared.reading.grid.cells import Row, Sheet
from shared.reading.grid.sheet import decode, open_list, open_sheet
from shared.work.rack.bars import NewBar
from shared.work.rack.cells import CellError, text_of
from shared.work.rack.columns import Col, column_named

__all__ = ["MOST_PIECES", "Pieces", "is_rack_list", "read_pieces"]

MOST_PIECES: Final = 2_000
"""Most pieces that one list puts on the rack."""
_LOOK_AT: Final = 20
_LEAST: Final = 2
_HEAT: Final = re.compile(
    r"[\s,;(]*\b(?:heat|cast|charge|schmelze)\b(?:\s*(?:no|nr|number)\b\.?)?\s*[:#]?\s*"
    r"(?P<heat>(?=[\w/.-]*\d)\w[\w/.-]*)\)?",
    re.IGNORECASE,
)
_PLACES: Final = "bay|rack|shelf|bin|row|aisle|rail|corner|floor|wall|stand|regal|fach|lager|platz|boden|halle"
_PLACE: Final = re.compile(rf"\W*((?:{_PLACES})\b(?:[^:]{{0,40}}(?=:\s*$)|[ ]*\w{{0,3}}(?=\W*$)))", re.IGNORECASE)
_SHORTEST: Final = 20
_LONGEST: Final = 40_000
_LISTED: Final = (Col.PLACE, Col.HEAT)


@dataclass(frozen=True, kw_only=True, slots=True)
class Pieces:
    """A list of pieces as understood.

    Attributes
    ----------
    new : tuple of NewBar
        One for each piece, in the order of the list.
    lines : tuple of LineRead
        Every line, for the echo.
    """

    new: tuple[NewBar, ...]
    lines: tuple[LineRead, ...]


def is_rack_list(data: bytes) -> bool:
    """Whether a list has a column of rack labels: it is an export or a stock-take, and means those pieces."""
    sheet, _ = open_sheet(data)
    for row in sheet.rows[:_LOOK_AT]:
        named = [column_named(cell.text) for cell in row.cells]
        if "label" in {cell.text.strip().lower() for cell in row.cells} and Col.SECTION in named:
            return True
    return False


def read_pieces(
    source: str | bytes, *, unit: Unit | None = None, known: Sequence[Section] = ()
) -> tuple[Pieces, tuple[Question, ...]]:
    r"""Read a list of pieces for the rack.

    Parameters
    ----------
    source : str or bytes
        Pasted text, or the bytes of a text, CSV, xlsx or ods file.
    unit : Unit or None
        What a bare length means; None to let the list tell.
    known : sequence of Section
        Sections on the rack already, for lines that name none.

    Returns
    -------
    tuple of (Pieces, tuple of Question)
        What was understood, and everything that is open, by line.

    Examples
    --------
    >>> pieces, questions = read_pieces("Bay 3:\n2 SHS 2x2x1/8 80 1/2 in bent, heat H4711")
    >>> [(new.section.name, new.place, new.remark, new.heat) for new in pieces.new], questions
    ([('SHS 2x2x1/8', 'Bay 3', 'bent', 'H4711'), ('SHS 2x2x1/8', 'Bay 3', 'bent', 'H4711')], ())
    """
    if isinstance(source, bytes) and not source.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        source = decode(source)
    sheet, _ = open_list(source)
    heats: dict[int, str] = {}
    headings: dict[int, str] = {}
    if isinstance(source, str) and not sheet.delimiter:
        source, headings = _blanked(source, _PLACE)
        source, heats = _blanked(source, _HEAT)
    read, questions = read_offers(source, kind=Source.OWN, unit=unit, known=known)
    listed = _listed(sheet)
    given = {row.line: row.text for row in sheet.rows}
    lines = tuple(_as_given(line, given[line.line], headings) for line in read.lines)
    places = _headings(lines, headings)
    new: list[NewBar] = []
    problems = list(questions)
    for offer in read.offers:
        cells = listed.get(offer.line, {})
        place = cells.get(Col.PLACE) or places.get(offer.line, "")
        try:
            bar = _bar(offer, place, heats.get(offer.line) or cells.get(Col.HEAT, ""), cells)
        except CellError as error:
            problems.append(_question(lines, offer.line, error.message))
            continue
        new += [bar] * min(offer.available or 1, MOST_PIECES + 1)
    if len(new) > MOST_PIECES:
        message = (
            f"at most {MOST_PIECES} pieces at once, each with its own label; check the quantities, or split the list"
        )
        problems.append(Question(line=0, text="", message=message))
    return Pieces(new=tuple(new), lines=lines), tuple(problems)


def _bar(offer: OfferRead, place: str, heat: str, cells: dict[Col, str]) -> NewBar:
    if not _SHORTEST <= offer.length <= _LONGEST:
        shown = told_length(offer.length, offer.unit)
        raise CellError(
            f"a piece of {shown}? Write its length with the unit that is meant, such as 1200 mm or 80 1/2 in"
        )
    note = offer.note
    for text in cells.values():
        note = _without(note, text)
    return NewBar(
        section=offer.section, length=offer.length, place=text_of(place), remark=text_of(note), heat=text_of(heat)
    )


def _without(note: str, text: str) -> str:
    """Take a cell's text out of the note that the reader made of all cells it has no use for."""
    whole = rf"(?:^|, )({re.escape(' '.join(text.split()))})(?=$|, )"
    return re.sub(whole, "", note, count=1).removeprefix(", ").strip() if text else note


def _question(lines: Sequence[LineRead], line: int, message: str) -> Question:
    text = next((each.text for each in lines if each.line == line), "")
    return Question(line=line, text=text, message=message)


def _blanked(text: str, pattern: re.Pattern[str]) -> tuple[str, dict[int, str]]:
    """Blank what a pattern finds in each line, so that the rest stays where it is; return its group by line."""
    found: dict[int, str] = {}
    lines = re.split(r"(\r\n|[\n\r\x0b\x0c\x85\u2028\u2029])", text)
    for at in range(0, len(lines), 2):
        match = pattern.search(lines[at]) if pattern is _HEAT else pattern.match(lines[at])
        if match is not None:
            found[at // 2 + 1] = " ".join(match[1].split())
            rest = lines[at][match.end() :] if pattern is _HEAT else ""
            lines[at] = lines[at][: match.start()] + " " * len(match.group()) + rest
    return "".join(lines), found


def _as_given(line: LineRead, text: str, headings: Mapping[int, str]) -> LineRead:
    """Return a line with the text it had before anything was blanked, and as the heading that it is."""
    return replace(line, text=text, kind=Kind.HEADING if line.line in headings else line.kind)


def _listed(sheet: Sheet) -> dict[int, dict[Col, str]]:
    """Return what columns of places and heat numbers say, by line; empty where there are no such columns."""
    for index, row in enumerate(sheet.rows[:_LOOK_AT]):
        columns = [column_named(cell.text) if cell.number is None else None for cell in row.cells]
        if len(set(columns) - {None}) >= _LEAST and {Col.SECTION, Col.LENGTH} & set(columns):
            return {each.line: _texts(each, columns) for each in sheet.rows[index + 1 :]}
    return {}


def _texts(row: Row, columns: Sequence[Col | None]) -> dict[Col, str]:
    pairs = zip(columns, row.cells, strict=False)
    return {col: cell.text for col, cell in pairs if col in _LISTED and cell.text}


def _headings(lines: Sequence[LineRead], named: Mapping[int, str]) -> dict[int, str]:
    """Return the heading above each line that isn't about a section: it says where the pieces lie."""
    places: dict[int, str] = {}
    place = ""
    for line in lines:
        if line.line in named:
            place = named[line.line]
        elif line.kind is Kind.HEADING and not line.understood:
            place = " ".join(line.text.split()).rstrip(":").strip()
        places[line.line] = place
    return places
