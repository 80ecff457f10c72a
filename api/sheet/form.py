"""What is written on the sheet: the form's fields, as they came and as they are kept."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, replace
from typing import Final

from api.sheet.blanks import amount, blank, blanks_of, length, never, tick, weight, worth
from api.sheet.yards import MOST_YARDS, YardForm, yards_of
from cutting.question.lengths import Unit

__all__ = ["LISTS", "SheetForm", "Upload"]

LISTS: Final = ("parts", "sticks", "rack", "own")
"""The fields that take a list."""

_UNITS: Final = {unit.value: unit for unit in Unit}


@dataclass(frozen=True, kw_only=True, slots=True)
class Upload:
    """A file that was dropped on a list.

    Attributes
    ----------
    field : str
        Which list.
    name : str
        The file's name.
    data : bytes
        What is in it.
    """

    field: str
    name: str
    data: bytes


@dataclass(frozen=True, kw_only=True, slots=True)
class SheetForm:
    """One sheet as written; every value is text, nothing is understood yet, and a tick is "on".

    Attributes
    ----------
    parts, sticks, rack, own : str
        The four lists.
    unit : str
        What a bare number means; empty to let the lists tell.
    saw : str
        Kind of saw, which gives the kerf where none is written.
    both_ends : str
        Whether both ends of each stick are trimmed.
    shop_rack : str
        Whether the free pieces of the shop's own rack are offered too.
    limit : str
        Seconds of search.
    measured_before, measured_after, measured_cuts : str
        A measured kerf.
    yards : tuple of YardForm
        The yards' terms; empty ones may stand between.
    """

    title: str = ""
    parts: str = ""
    sticks: str = ""
    rack: str = ""
    own: str = ""
    unit: str = ""
    currency: str = blank(
        "currency", "currency", never, usual="USD", about="ISO 4217 code, where the lists don't say it."
    )
    saw: str = "dry"
    kerf: str = blank(
        "saw.kerf",
        "what one cut takes",
        missing="write it, such as 3/32 in or 2.4 mm",
        about="What one cut takes; empty for what the kind of saw usually takes.",
    )
    trim: str = blank("saw.end_trim", "end trim", length)
    both_ends: str = ""
    shop_rack: str = ""
    hold: str = blank("saw.hold", "shortest piece the saw can hold", length)
    keep_from: str = blank("keep_from", "drop worth a label", length)
    limit: str = "10"
    measured_before: str = ""
    measured_after: str = ""
    measured_cuts: str = ""
    longest: str = blank("carry.longest", "longest piece", buying=True)
    load: str = blank("carry.load", "load", weight, buying=True)
    kind_cost: str = blank("kind_cost", "each more kind of section", amount, buying=True)
    layout_cost: str = blank("layout_cost", "each more layout", amount, buying=True)
    no_idle: str = blank("idle", "sticks that stay whole", tick(means=False), buying=True)
    leftover: str = blank(
        "keep_value.per_length",
        "worth of leftovers",
        worth,
        missing="write what a length of it is worth, such as 0.60/ft",
        buying=True,
    )
    leftover_from: str = blank(
        "keep_value.shortest",
        "shortest leftover",
        missing="write from how long on a leftover is worth that, such as 24 in",
        buying=True,
    )
    yards: tuple[YardForm, ...] = ()

    @property
    def stated_unit(self) -> Unit | None:
        """The unit that was chosen, None where the lists are to tell."""
        return _UNITS.get(self.unit)

    @property
    def empty(self) -> bool:
        """Whether nothing is listed yet."""
        return not any(self.text(field).strip() for field in LISTS)

    @property
    def buying(self) -> bool:
        """Whether anything is written about yards, carrying and leftovers."""
        terms = (getattr(self, name) for name, each in blanks_of(self).items() if each.buying)
        return bool(self.yards) or any(text.strip() for text in terms)

    def with_yard(self, name: str) -> SheetForm:
        """Add a yard of this name, in the first empty place, unless it is there."""
        if any(yard.title == name for yard in self.yards) or len(self.yards) >= MOST_YARDS:
            return self
        at = next((at for at, yard in enumerate(self.yards) if yard.empty), len(self.yards))
        return replace(self, yards=(*self.yards[:at], YardForm(name=name), *self.yards[at + 1 :]))

    def text(self, field: str) -> str:
        """Return the text of a list."""
        return str(getattr(self, field))

    def with_text(self, field: str, text: str) -> SheetForm:
        """Return the sheet with another text in a list."""
        return replace(self, **{field: text})  # type: ignore[arg-type]  # the lists are texts

    def with_line(self, field: str, number: int, was: str, line: str) -> SheetForm:
        """Rewrite one line of a list, where it still is what it was; a line that moved is found again."""
        lines = self.text(field).split("\n")
        at = number - 1
        if not (0 <= at < len(lines) and lines[at].strip() == was.strip()):
            found = [place for place, text in enumerate(lines) if text.strip() == was.strip()]
            if len(found) != 1:
                return self
            at = found[0]
        lines[at] = line
        return self.with_text(field, "\n".join(lines))

    def with_more(self, field: str, line: str) -> SheetForm:
        """Add a line to a list."""
        text = self.text(field).rstrip("\n")
        return self.with_text(field, f"{text}\n{line}" if text.strip() else line)

    def to_json(self) -> bytes:
        """Return the sheet as it is kept."""
        return json.dumps(asdict(self), ensure_ascii=False).encode()

    @classmethod
    def from_json(cls, document: bytes) -> SheetForm:
        """Return a sheet that was kept; fields it doesn't know yet have their usual values."""
        return cls.of(json.loads(document))

    @classmethod
    def of(cls, values: Mapping[str, object]) -> SheetForm:
        """Return the sheet of a form's values; what isn't a text of the sheet is left out."""
        names = {field.name for field in fields(cls)}
        return cls(
            yards=yards_of(values),
            **{
                name: value.replace("\r\n", "\n").replace("\r", "\n")
                for name, value in values.items()
                if name in names and isinstance(value, str)
            },
        )
