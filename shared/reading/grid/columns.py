"""What the columns of a table without a header hold, by their content."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from shared.reading.grid.cells import Row
from shared.reading.grid.headers import Column
from shared.reading.grid.titles import Role
from shared.reading.line.line import read_line
from shared.reading.line.measured import LENGTH_UNITS
from shared.reading.line.quantity import explicit_quantity
from shared.reading.text.tokens import plain, tokenize
from shared.reading.text.vocabulary import NUMBERS
from shared.reading.values.draft import Around, Draft
from shared.reading.values.line_state import open_work, whole
from shared.sections.words import NEUTRAL, fold, tags_of

__all__ = [
    "count_in",
    "guess_columns",
    "is_family_word",
    "is_length",
    "is_money",
    "is_section",
    "running",
    "texts_at",
]

_SHARE: Final = 0.75
_LEAST_ROWS: Final = 2
_LOOKED_AT: Final = 60


def is_section(text: str) -> bool:
    """Whether a text names a section of a family that we know."""
    draft = read_line(text, Around())
    return draft.section is not None or (bool(draft.stated) and draft.length is None)


def is_family_word(text: str) -> bool:
    """Whether a text is a family's name without dimensions (``Square tube``)."""
    words = [fold(word) for word in re.findall(r"[^\W\d_]+", text)]
    return any(tags_of(word) for word in words) and all(tags_of(word) or word in NEUTRAL for word in words)


def texts_at(rows: Sequence[Row], at: int) -> list[str]:
    """Return what a column's cells say in the first rows, without the empty ones."""
    return [row.cells[at].text for row in rows[:_LOOKED_AT] if at < len(row.cells) and row.cells[at].text]


def guess_columns(rows: Sequence[Row], *, offers: bool = False) -> list[Column | None] | None:
    """Return the columns of a table without a header by what they hold, None where that is not plain."""
    filled = [row for row in rows if sum(bool(cell.text) for cell in row.cells) > 1]
    if len(filled) < _LEAST_ROWS:
        return None
    width = max(len(row.cells) for row in filled)
    by_column = [
        [row.cells[at].text for row in filled if at < len(row.cells) and row.cells[at].text] for at in range(width)
    ]
    kinds = [
        "money" if offers and texts and all(map(is_money, texts)) else _kind(texts, len(filled)) for texts in by_column
    ]
    sections = [at for at, kind in enumerate(kinds) if kind == "section"]
    if len(sections) != 1:
        return None
    columns: list[Column | None] = [
        Column(Role.NOTE, "") if kind == "text" else Column(Role.PRICE, "") if kind == "money" else None
        for kind in kinds
    ]
    columns[sections[0]] = Column(Role.SECTION, "")
    return columns if _place_numbers(columns, kinds, by_column) and kinds.count("money") <= 1 else None


def _place_numbers(columns: list[Column | None], kinds: list[str], by_column: list[list[str]]) -> bool:
    """Say which columns of numbers are lengths, quantities and marks; nothing is plain where that isn't."""
    lengths = [at for at, kind in enumerate(kinds) if kind == "length"]
    counts = [at for at, kind in enumerate(kinds) if kind == "count"]
    marks = [at for at, kind in enumerate(kinds) if kind == "mark"]
    if counts and running(by_column[counts[0]]) and len(counts) + len(lengths) > 2:  # noqa: PLR2004
        columns[counts.pop(0)] = Column(Role.ITEM, "")
    if not lengths and len(counts) == 2:  # noqa: PLR2004
        lengths = _larger(by_column, counts)
        counts = [at for at in counts if at not in lengths]
    if len(lengths) != 1 or len(counts) > 1:
        return False
    columns[lengths[0]] = Column(Role.LENGTH, "")
    for at in counts:
        columns[at] = Column(Role.QUANTITY, "")
    if marks:
        columns[marks[0]] = Column(Role.MARK, "")
        for at in marks[1:]:
            columns[at] = Column(Role.NOTE, "")
    return True


def _kind(texts: Sequence[str], rows: int) -> str:
    """Return what a column without a header holds."""
    if not texts:
        return "empty"
    shares = {
        "section": sum(is_section(text) for text in texts),
        "count": sum(count_in(text) is not None for text in texts),
        "length": sum(is_length(text) for text in texts),
        "mark": sum(_is_mark(text) for text in texts),
    }
    for kind in ("section", "count", "length", "mark"):
        if shares[kind] >= _SHARE * len(texts) and (kind != "section" or len(texts) * 2 > rows):
            return kind
    if shares["count"] + shares["length"] >= _SHARE * len(texts):
        return "length"
    return "text"


_MONEY: Final = re.compile(
    r"(?:[€$£]\s*)?\d{1,5}[.,]\d\d(?:\s*(?:[€$£]|EUR|USD|GBP))?|[€$£]\s*\d+|\d+\s*[€£]", re.IGNORECASE
)


def is_money(text: str) -> bool:
    """Whether a cell is an amount: two decimals, or a sign of a currency."""
    return _MONEY.fullmatch(text.strip()) is not None


def _is_mark(text: str) -> bool:
    tokens = tokenize(plain(text))
    return len(tokens) == 1 and tokens[0].kind == "code"


def is_length(text: str) -> bool:
    """Whether a cell is one length, with or without its unit."""
    work = open_work(plain(text), (), prices=False)
    return len(work.tokens) == 1 and work.tokens[0].kind == "number" and work.tokens[0].unit in {"", *LENGTH_UNITS}


def running(texts: Sequence[str]) -> bool:
    """Whether a column is 1, 2, 3 and so on."""
    return [count_in(text) for text in texts] == list(range(1, len(texts) + 1))


def _larger(by_column: list[list[str]], counts: list[int]) -> list[int]:
    """Return which of two whole-number columns must be the lengths: larger in every row, and the other small."""
    one, two = ([count_in(text) or 0 for text in by_column[at]] for at in counts)
    for small, large, spot in ((one, two, counts[1]), (two, one, counts[0])):
        if (
            len(small) == len(large)
            and all(s < b for s, b in zip(small, large, strict=True))
            and max(small) * 3 <= max(large)
        ):
            return [spot]
    return []


def count_in(text: str) -> int | None:
    """Return the count that a cell states, None where it states none."""
    work = open_work(plain(text), (), prices=False)
    if len(work.tokens) == 1:
        number = whole(work.tokens[0])
        if number is not None:
            return number
        token = work.tokens[0]
        if (
            token.kind == "number"
            and token.form == "decimal"
            and not token.unit
            and token.value == int(token.value or 0)
        ):
            return int(token.value or 0)
        return NUMBERS.get(fold(token.text)) if token.kind == "word" else None
    draft = Draft()
    explicit_quantity(work, draft)
    return draft.quantity if draft.quantity is not None and not work.free() else None
