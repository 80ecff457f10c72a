"""What the columns below a header hold where their titles may mean several things."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import permutations
from typing import Final

from cutting.question.errors import LengthError
from cutting.question.lengths import Unit, parse_length
from shared.reading.grid.cells import Cell, Row
from shared.reading.grid.columns import count_in, is_family_word, is_length, is_section, running, texts_at
from shared.reading.grid.headers import Column
from shared.reading.grid.stock import in_stock
from shared.reading.grid.titles import Role
from shared.sections.words import fold

__all__ = ["settle_columns"]

_NUMBERS: Final = frozenset({"no", "nr", "num", "n"})
"""Titles that may stand over quantities as well as over the rows' own numbers."""
_EACH_PRICE: Final = re.compile(
    r"\b(?:each|ea|stick|length|bar|stk|st(?:ü|u|ue)ck\w*|stange|stab|barre|barra|pi[eè]ce|unit(?:aire)?|ud|pezzo|stuk|staaf)\b",
    re.IGNORECASE,
)
_RATE: Final = re.compile(
    r"(?:/|\b(?:per|pro|par|por|al|je|le)\b)\s*(?:\d+\s*)?(?:m|ft|foot|kg|lb|cwt|t|tonne|met(?:er|re|ro))\b",
    re.IGNORECASE,
)
_ROUNDED: Final = Fraction(1, 50)
_NEAR: Final = Fraction(1, 200)
_RIGHT_ANGLE: Final = 90
_LETTERS: Final = 2


def settle_columns(
    columns: list[Column | None], rows: Sequence[Row], titles: Sequence[str] = ()
) -> list[Column | None]:
    """Settle columns whose header may mean several things by what they hold.

    "Material" and "Description" hold the section in many lists; two columns of sections are joined. A column whose
    title we don't know stays one of something else.
    """
    settled = [
        Column(Role.OTHER, titles[at]) if column is None and at < len(titles) and titles[at] else column
        for at, column in enumerate(columns)
    ]
    roles = [column.role for column in columns if column is not None]
    for at, column in enumerate(columns):
        role = None if column is None else _by_content(column, texts_at(rows, at), roles)
        if column is not None and role is not None:
            settled[at] = Column(role, column.title)
    if Role.LENGTH not in roles:
        _settle_length(settled, rows)
    _settle_sums(settled, rows)
    _settle_prices(settled, rows)
    _settle_lengths(settled, rows)
    sizes = [at for at, column in enumerate(settled) if column is not None and column.role is Role.SIZE]
    if len(sizes) == 1 and len(fold(_role_title(settled, sizes[0]))) <= _LETTERS:
        settled[sizes[0]] = Column(Role.OTHER, _role_title(settled, sizes[0]))
    return settled


def _by_content(column: Column, texts: Sequence[str], roles: Sequence[Role]) -> Role | None:
    """Return what a column holds where its title may mean several things, None where that stays."""
    sections = sum(is_section(text) or is_family_word(text) for text in texts)
    mostly = bool(texts) and sections >= len(texts) * 0.4
    counted = Role.QUANTITY in roles or Role.EACH in roles
    match column.role:
        case Role.MATERIAL | Role.DESCRIPTION if mostly:
            return Role.SECTION
        case Role.DESCRIPTION:
            return Role.NOTE
        case Role.MARK | Role.ITEM if mostly and Role.SECTION not in roles:
            return Role.SECTION
        case Role.ITEM if not counted and fold(column.title) in _NUMBERS:
            return Role.NUMBER if running(texts) else Role.QUANTITY
        case Role.ITEM if Role.MARK not in roles:
            return Role.MARK
        case Role.SECTION if not counted and texts and _is_stock(column, texts):
            return Role.QUANTITY
    return None


def _is_stock(column: Column, texts: Sequence[str]) -> bool:
    """Whether "Stock" means how many there are rather than what something is cut from."""
    named = column.role is Role.SECTION and fold(column.title) == "stock"
    return named and all(count_in(text) is not None or in_stock(text) != text or text in {"-", "--"} for text in texts)


def _settle_length(columns: list[Column | None], rows: Sequence[Row]) -> None:
    """Take the only column of lengths with their units as the lengths, whatever it is called ("Stick", "Bar")."""
    found = [
        at
        for at, column in enumerate(columns)
        if column is not None and _may_be_lengths(column.role, texts_at(rows, at))
    ]
    if len(found) == 1:
        columns[found[0]] = Column(Role.LENGTH, _role_title(columns, found[0]))


def _may_be_lengths(role: Role, texts: Sequence[str]) -> bool:
    """Whether a column is one of lengths: of no known title, or "Cut" over numbers that are no angles."""
    if role is Role.ENDS:
        return bool(texts) and all(is_length(text) and (count_in(text) or 0) > _RIGHT_ANGLE for text in texts)
    return role is Role.OTHER and _all_lengths(texts)


def _all_lengths(texts: Sequence[str]) -> bool:
    return bool(texts) and all(is_length(text) and not text.strip()[-1].isdigit() for text in texts)


def _role_title(columns: Sequence[Column | None], at: int) -> str:
    column = columns[at]
    return "" if column is None else column.title


def _settle_sums(columns: list[Column | None], rows: Sequence[Row]) -> None:
    """Take a total beside a quantity for each set as the quantity: a whole number of times the other in each row."""
    roles = [None if column is None else column.role for column in columns]
    if Role.EACH not in roles or Role.QUANTITY in roles:
        return
    each = roles.index(Role.EACH)
    for at, role in enumerate(roles):
        if role not in {Role.IGNORED, Role.OTHER}:
            continue
        pairs = [
            (count_in(row.cells[each].text), count_in(row.cells[at].text))
            for row in rows
            if max(at, each) < len(row.cells) and row.cells[each].text and row.cells[at].text
        ]
        times = {total / one for one, total in pairs if one and total}
        if pairs and all(one and total for one, total in pairs) and len(times) == 1 and times.pop().is_integer():
            columns[at] = Column(Role.QUANTITY, _role_title(columns, at))
            return


def _settle_prices(columns: list[Column | None], rows: Sequence[Row]) -> None:
    """Settle which of several prices is paid: one after a discount, else one for a stick; the others are remarks."""
    prices = [at for at, column in enumerate(columns) if column is not None and column.role is Role.PRICE]
    listed = [at for at, column in enumerate(columns) if column is not None and column.role is Role.LISTED]
    for at in _sums(columns, prices, rows):
        columns[at] = Column(Role.IGNORED, _role_title(columns, at))
        prices.remove(at)
    if listed and not prices:
        first = listed.pop(0)
        columns[first] = Column(Role.PRICE, _role_title(columns, first))
    elif listed:
        listed += [at for at, column in enumerate(columns) if column is not None and column.role is Role.DISCOUNT]
    sticks = [at for at in prices if _EACH_PRICE.search(_role_title(columns, at))]
    others = [at for at in prices if _RATE.search(_role_title(columns, at))]
    if len(prices) > 1 and len(sticks) == 1 and len(sticks) + len(others) == len(prices):
        listed += others
    for at in listed:
        columns[at] = Column(Role.SAID, _role_title(columns, at))


def _sums(columns: Sequence[Column | None], prices: Sequence[int], rows: Sequence[Row]) -> list[int]:
    """Return the columns of prices that are another one times the quantity in each row."""
    counts = [at for at, column in enumerate(columns) if column is not None and column.role is Role.QUANTITY]
    if len(counts) != 1:
        return []
    found = []
    for one, other in permutations(prices, 2):
        told = [
            (amounts[0] * count, amounts[1], count)
            for row in rows
            if max(one, other, counts[0]) < len(row.cells)
            and all(amounts := [_amount(row.cells[at].text) for at in (one, other)])
            and (count := count_in(row.cells[counts[0]].text))
        ]
        sums = any(count > 1 for _, _, count in told) and all(abs(sums - said) <= _ROUNDED for sums, said, _ in told)
        if sums and other not in found:
            found += [other] if one not in found else []
    return found


def _amount(text: str) -> Fraction:
    found = re.search(r"\d+(?:[.,]\d{1,2})?(?!\d)", text)
    return Fraction(found.group().replace(",", ".")) if found else Fraction(0)


def _settle_lengths(columns: list[Column | None], rows: Sequence[Row]) -> None:
    """Take the first of several columns that say the same length, in another unit or as text."""
    lengths = [at for at, column in enumerate(columns) if column is not None and column.role is Role.LENGTH]
    named = [column.unit for column in columns if column is not None and column.role is Role.LENGTH]
    for at in lengths[1:] if named != [Unit.FT, Unit.IN] else []:
        texts = [(row.cells[lengths[0]], row.cells[at]) for row in rows if at < len(row.cells)]
        if texts and all(_same_length(one, other, named[0], columns[at]) for one, other in texts if other.text):
            columns[at] = Column(Role.IGNORED, _role_title(columns, at))


def _same_length(one: Cell, other: Cell, unit: Unit | None, column: Column | None) -> bool:
    """Whether two cells state one length, the second rounded perhaps."""
    try:
        first = parse_length(one.text, unit or Unit.MM)
        return abs(parse_length(other.text, (column and column.unit) or unit or Unit.MM) - first) <= _NEAR * first
    except LengthError:
        return False
