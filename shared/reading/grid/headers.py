"""Column headers in English, German, French, Spanish, Italian and Dutch, and the unit that they state."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from cutting.question.lengths import Unit
from shared.reading.grid.cells import Row
from shared.reading.grid.titles import Role, role_of
from shared.reading.line.breaks import break_in_header
from shared.reading.text.tokens import plain, unit_of
from shared.reading.text.vocabulary import COUNTERS
from shared.sections.words import fold

__all__ = ["Column", "find_header", "with_units"]


_BRACKET: Final = re.compile(r"[(\[]\s*([^)\]]{1,12})\s*[)\]]")
_TRAILING: Final = re.compile(
    r"(?:^|[\s,_/-])(?:in\s+)?(mm|cm|m|in|inch|inches|ft|feet|zoll|pouces|pulg\w*)\.?$", re.IGNORECASE
)
_SIGN: Final = re.compile(r"[€£$]|\b(?:EUR|USD|GBP)\b")
_SUM: Final = re.compile(r"total|gesamt|sum|amount|betrag|montant|importe|totale|totaal", re.IGNORECASE)
_MANY: Final = re.compile(r"(?:/|\b(?:per|pro|par|por|je)\b)\s*1?00+\s*[^\W\d]{1,3}\b", re.IGNORECASE)
"""What a price is for that isn't for one."""
_LOOK_AT: Final = 20
_DATA: Final = re.compile(r"\d{2}|\d\s*[x\"']")
_CORE: Final = frozenset(
    {Role.LENGTH, Role.QUANTITY, Role.SECTION, Role.DESCRIPTION, Role.EACH, Role.PRICE, Role.LISTED}
)
_UNIT_NAMES: Final = frozenset("mm cm m in inch inches ft feet foot zoll pouces po pulgadas pulg".split())  # noqa: SIM905
_BELOW: Final = frozenset(
    "n no nr kg lb lbs pc pce pces pcs stk st stck stuck pz uds ud ea each off qty n/a - deg grad text x".split()  # noqa: SIM905
)
"""What may stand below other columns beside the units of lengths."""
_MONEY_BELOW: Final = re.compile(
    r"(?:[€$£]|eur|usd|gbp|euro)(?:\s*/\s*[^\W\d]{1,5})?|(?:kg|lbs?)\s*/\s*(?:m|ft)", re.IGNORECASE
)
_LEAD_IN: Final = re.compile(r"(?:in|en|a|à|as)\s+", re.IGNORECASE)


class Column:
    """One column of a table.

    Attributes
    ----------
    role : Role
        What it holds.
    title : str
        Its header as written.
    unit : Unit or None
        The unit that the header states.
    least : int
        Sticks from which on a column of prices by quantity holds.
    """

    __slots__ = ("least", "role", "title", "unit")

    def __init__(self, role: Role, title: str, unit: Unit | None = None, least: int = 1) -> None:
        self.role = role
        self.title = title
        self.unit = unit
        self.least = least


def _column(title: str) -> Column | None:
    """Return what a header cell says, None where it is no header that we know."""
    text = plain(title)
    least = break_in_header(text)
    if least is not None:
        return Column(Role.PRICE if least == 1 else Role.BREAK, title, least=least)
    unit = _unit(text)
    bare = _BRACKET.sub(" ", text)
    money = _SIGN.search(text) is not None
    if not money and fold(bare) in {"ft", "feet", "in", "inch", "inches"}:
        return Column(Role.LENGTH, title, _unit_word(text.strip()))
    bare = _SIGN.sub(" ", bare)
    role = (role_of(text, _TRAILING.sub("", bare)) if unit is not None else None) or role_of(text, bare)
    if money and role not in {Role.LISTED, Role.NOTE}:
        role = Role.IGNORED if _SUM.search(text) else Role.PRICE
    if role is None:
        return None
    return Column(role, title, unit if role in {Role.LENGTH, Role.PRICE} else None)


def with_units(columns: list[Column | None], row: Row) -> list[Column | None] | None:
    """Return the columns with the units of a row below their header, None where the row isn't one of units.

    A column without a title beside a column of lengths belongs to it: feet and inches in two columns.
    """
    texts = [_LEAD_IN.sub("", plain(cell.text).strip(" ()[].")) for cell in row.cells]
    said = [text for text in texts if text]
    if not any(_names_unit(text) for text in said):
        return None
    if not all(fold(text) in _BELOW or fold(text) in COUNTERS or _names_unit(text) for text in said):
        return None
    settled = [*columns, *[None] * (len(texts) - len(columns))]
    last: Column | None = None
    for at, column in enumerate(settled):
        last = column if column is not None else last
        text = texts[at] if at < len(texts) else ""
        unit = _unit_word(text)
        if unit is not None and last is not None and last.role is Role.LENGTH:
            settled[at] = Column(Role.LENGTH, last.title, unit)
        elif column is not None and column.role in {Role.PRICE, Role.BREAK} and _MONEY_BELOW.fullmatch(text):
            settled[at] = Column(column.role, f"{column.title} {text}", column.unit, column.least)
    return settled


def _names_unit(text: str) -> bool:
    return _unit_word(text) is not None or _MONEY_BELOW.fullmatch(text) is not None


def _unit_word(text: str) -> Unit | None:
    """Return the unit that a cell is the name of, None where it is something else."""
    named = unit_of(text) if re.fullmatch(r"[^\W\d_]{1,12}\.?|[\"']", text) and fold(text) in _UNIT_NAMES else ""
    return Unit(named) if named in set(Unit) else None


def _unit(text: str) -> Unit | None:
    """Return the unit that a header states in brackets or at its end."""
    found = _BRACKET.search(text) or _TRAILING.search(text)
    if found is None:
        return None
    named = unit_of(re.sub(r"^in\s+", "", found.group(1).strip()))
    return Unit(named) if named in set(Unit) else None


def find_header(rows: Sequence[Row]) -> tuple[int, list[Column | None]] | None:
    """Return the header row's index and its columns, None where there is none.

    A header has at least two cells that name different things, one of them length, quantity, section or price, and no
    cell that looks like data.
    """
    for index, row in enumerate(rows[:_LOOK_AT]):
        columns = [_column(cell.text) if cell.text and cell.number is None else None for cell in row.cells]
        named = [column.role for column in columns if column is not None]
        filled = [cell for cell in row.cells if cell.text]
        core = _CORE & set(named)
        digits = sum(
            bool(re.search(r"\d{2}|\d\s*[x\"']", _MANY.sub("", cell.text)))
            and break_in_header(plain(cell.text)) is None
            for cell in filled
        )
        if len(set(named)) > 1 and core and 2 * len(named) >= len(filled) and digits == 0:
            return index, columns
    return None
