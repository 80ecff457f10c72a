"""What a program writes of pieces of steel, read exactly, every problem at once."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from api.routes.rack.models import BarFields, ChangesBody, CountLine, NewBarLine, unit_named
from api.service.measured import read_length
from api.service.problems import ApiError, Fault, Kind
from cutting.question.errors import LengthError, SectionError
from cutting.question.job import Section
from cutting.question.lengths import Unit, parse_length
from shared.sections import understand
from shared.work.rack.bars import Bar, BarChanges, Counted, NewBar

__all__ = ["MOST_PIECES", "changes_of", "counted_of", "length_of", "new_bars_of"]

MOST_PIECES = 5_000
"""Pieces that one request may put on the rack."""


class Reader:
    """Reads values and keeps what is wrong with them.

    Parameters
    ----------
    unit : Unit or None
        What a bare number means.
    """

    def __init__(self, unit: Unit | None) -> None:
        self._unit = unit
        self.faults: list[Fault] = []

    def length(self, text: str | None, pointer: str) -> Fraction | None:
        """Read a length above 0."""
        if text is None:
            return None
        try:
            return read_length(text, self._unit)
        except LengthError as error:
            self._blame(pointer, error.wanted, text, error.position)
            return None

    def trims(self, texts: tuple[str, str] | None, pointer: str) -> tuple[Fraction, Fraction] | None:
        """Read what is to be taken off two ends; 0 needs no unit."""
        if texts is None:
            return None
        found = [self._trim(text, f"{pointer}/{at}") for at, text in enumerate(texts)]
        return None if None in found else (found[0] or Fraction(0), found[1] or Fraction(0))

    def _trim(self, text: str, pointer: str) -> Fraction | None:
        try:
            if parse_length(text, Unit.MM) == 0:
                return Fraction(0)
        except LengthError:
            pass  # said below, in the words that suit a length
        return self.length(text, pointer)

    def section(self, name: str, material: str, pointer: str) -> Section | None:
        """Understand a section's name."""
        try:
            return understand(name, material)
        except SectionError as error:
            offered = f" ({' | '.join(error.choices)})" if error.choices else ""
            self._blame(pointer, error.message + offered, name)
            return None

    def _blame(self, pointer: str, detail: str, text: str, position: int | None = None) -> None:
        self.faults.append(Fault(detail=detail, pointer=pointer, text=text, position=position))

    def refuse(self) -> None:
        """Raise ApiError with everything that is wrong, if anything is."""
        if self.faults:
            count = "one problem" if len(self.faults) == 1 else f"{len(self.faults)} problems"
            raise ApiError(
                kind=Kind.INVALID_PARAMETERS, detail=f"What was sent has {count}.", faults=tuple(self.faults)
            )


def new_bars_of(lines: Sequence[NewBarLine], unit: str | None) -> tuple[NewBar, ...]:
    """Read pieces for the rack, one for each of a line's quantity; raises ApiError with every problem."""
    reader = Reader(unit_named(unit))
    made = [(_new(reader, line, f"#/bars/{at}"), line.quantity) for at, line in enumerate(lines)]
    if sum(line.quantity for line in lines) > MOST_PIECES:
        reader.faults.append(Fault(detail=f"At most {MOST_PIECES} pieces at once.", pointer="#/bars"))
    reader.refuse()
    return tuple(bar for bar, quantity in made if bar is not None for _ in range(quantity))


def changes_of(body: ChangesBody, bar: Bar) -> BarChanges:
    """Read what is to be put right about a piece; raises ApiError with every problem."""
    reader = Reader(unit_named(body.unit))
    changes = _changes(reader, body, bar.section, "#")
    reader.refuse()
    return changes


def counted_of(
    lines: Sequence[CountLine], unit: str | None, sections: dict[int, Section]
) -> tuple[tuple[Counted, ...], tuple[Fault, ...]]:
    """Read a stock-take.

    Parameters
    ----------
    lines : sequence of CountLine
        As sent.
    unit : str or None
        What a bare number means.
    sections : dict of int to Section
        Of the pieces in the books.
    """
    reader = Reader(unit_named(unit))
    read = [_counted(reader, line, sections, f"#/lines/{at}") for at, line in enumerate(lines)]
    return tuple(line for line in read if line is not None), tuple(reader.faults)


def length_of(text: str, unit: Unit, pointer: str) -> Fraction:
    """Read one length in a work's unit; raises ApiError."""
    reader = Reader(unit)
    found = reader.length(text, pointer)
    reader.refuse()
    assert found is not None
    return found


def _new(reader: Reader, line: NewBarLine, at: str) -> NewBar | None:
    section = reader.section(line.section, line.material, f"{at}/section")
    length = reader.length(line.length, f"{at}/length")
    trims = reader.trims(line.trims, f"{at}/trims")
    if section is None or length is None:
        return None
    return NewBar(section=section, length=length, trims=trims, place=line.place, remark=line.remark, heat=line.heat)


def _changes(reader: Reader, fields: BarFields, section: Section, at: str) -> BarChanges:
    other = None
    if fields.section is not None or fields.material is not None:
        name = section.name if fields.section is None else fields.section
        other = reader.section(name, section.material if fields.material is None else fields.material, f"{at}/section")
    return BarChanges(
        section=other,
        length=reader.length(fields.length, f"{at}/length"),
        trims=reader.trims(fields.trims, f"{at}/trims"),
        place=fields.place,
        remark=fields.remark,
        heat=fields.heat,
    )


def _counted(reader: Reader, line: CountLine, sections: dict[int, Section], at: str) -> Counted | None:
    if line.number is None:
        return _uncounted(reader, line, at)
    if line.number not in sections:
        reader.faults.append(Fault(detail=f"There is no piece D{line.number}.", pointer=f"{at}/number"))
        return None
    return Counted(number=line.number, found=line.found, changes=_changes(reader, line, sections[line.number], at))


def _uncounted(reader: Reader, line: CountLine, at: str) -> Counted | None:
    if not line.found:
        detail = "A piece that isn't in the books can't be missing: write its number, or leave the line out."
        reader.faults.append(Fault(detail=detail, pointer=f"{at}/found"))
        return None
    lacking = [name for name in ("section", "length") if not getattr(line, name)]
    for name in lacking:
        reader.faults.append(Fault(detail=f"A piece that isn't in the books needs its {name}.", pointer=f"{at}/{name}"))
    if lacking or line.section is None or line.length is None:
        return None
    new = NewBarLine.model_construct(
        section=line.section,
        material=line.material or "",
        length=line.length,
        trims=line.trims,
        place=line.place or "",
        remark=line.remark or "",
        heat=line.heat or "",
    )
    made = _new(reader, new, at)
    return None if made is None else Counted(new=made)
