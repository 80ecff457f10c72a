"""What one row of a list leaves to the next ones."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from cutting.question.job import Section
from cutting.question.lengths import Unit
from shared.reading.aside.yards import Yards
from shared.reading.grid.cells import Row, Sheet
from shared.reading.lists.entry import Entry
from shared.reading.values.draft import Around

__all__ = ["Carried"]


@dataclass(slots=True)
class Carried:
    """What the rows read so far leave to the next one.

    Attributes
    ----------
    sheet : Sheet
        The list.
    around : Around
        What is known around a line: section and length above, notation, kind of list.
    unit : Unit or None
        What a bare length means; None to let the list tell.
    yards : Yards or None
        The yards known; None for a list without any.
    known : Section or None
        The only section there is, for lines that name none.
    row : Row
        The row being read, as given.
    counts : bool
        Whether somebody said of it that it counts.
    last : Entry or None
        The last part or stick, which an addition goes on with.
    assembly, sets, material, stated_unit
        What headings and remarks said for the lines below them.
    waits : Entry or None
        The line whose question the quantities below wait for.
    """

    sheet: Sheet
    around: Around
    unit: Unit | None
    yards: Yards | None = None
    known: Section | None = None
    row: Row = field(default_factory=lambda: Row(0, "", ()))
    counts: bool = False
    last: Entry | None = None
    assembly: str = ""
    sets: int = 1
    material: str = ""
    waits: Entry | None = None
    stated_unit: Unit | None = None

    def begin_sheet(self, name: str) -> None:
        """Begin another sheet: what headings said holds on their own sheet only."""
        self.around = replace(self.around, section=self.known, previous=None, previous_length=None)
        self.assembly, self.sets, self.material, self.waits, self.last = name, 1, "", None, None
