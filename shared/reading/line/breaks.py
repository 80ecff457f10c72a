"""Prices by quantity in a line of sticks: ``from 10: $57.90``, ``10+ 57.90``, ``ab 10 Stk: 2,90 €/m``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from shared.reading.line.amounts import AMOUNT, CURRENCY, PER, read_price
from shared.reading.values.draft import Ask, Draft, Money

__all__ = ["BreakRead", "break_in_header", "find_breaks"]

_PIECES: Final = (
    r"(?:\s*(?:pcs?|pieces?|sticks?|bars?|lengths?|off|stk|stück|st|stäben?|stangen|barres?|pièces?|barras?|piezas?"
    r"|uds?)(?![^\W_])\.?)?"
)
_FROM: Final = (
    rf"(?:from|ab|à\s+partir\s+de|a\s+partir\s+de|dès|desde)\s+(?P<least>\d{{1,5}}){_PIECES}(?:\s+(?:up|on|an))?"
)
_MORE: Final = (
    rf"(?<![\w./,'\"-])(?P<least2>\d{{1,5}}){_PIECES}\s*(?:\+|(?:or|and|oder|ou|et|y|o)\s+(?:more|up|over|mehr|plus|más))"
    rf"{_PIECES}"
)
_BREAK: Final = re.compile(
    rf"(?<!\w)(?:{_FROM}\s*(?:[:=@]|(?={CURRENCY}|{AMOUNT}\s*{CURRENCY}))|{_MORE}\s*[:=@]?)\s*"
    rf"(?P<price>(?:{CURRENCY}\s*)?{AMOUNT}(?!\d|[.,]\d|[x'\"]|\s*(?:ft|in|mm|m|cm|x)\b)(?:\s*{CURRENCY})?{PER})",
    re.IGNORECASE,
)
_HEADER: Final = re.compile(
    rf"(?:(?:price|preis|prix|precio|each)\s*)?(?:(?:from|ab|dès|desde|à\s+partir\s+de)\s*(?P<least>\d{{1,5}}){_PIECES}"
    rf"|(?P<least2>\d{{1,5}}){_PIECES}\s*(?:\+|-\s*\d{{1,5}}|or\s+more){_PIECES})",
    re.IGNORECASE,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class BreakRead:
    """A price by quantity as written.

    Attributes
    ----------
    least : int
        Sticks from which on it holds.
    money : Money
        The price.
    bare : bool
        Whether it doesn't say what it is for: then it is for the same as the price before it.
    """

    least: int
    money: Money
    bare: bool


def find_breaks(line: str) -> tuple[list[BreakRead], list[tuple[int, int]], list[Ask]]:
    """Find the prices by quantity in a plain line.

    Returns
    -------
    list of BreakRead
        In the order of the line.
    list of (int, int)
        Their places.
    list of Ask
        What is open about them.

    Examples
    --------
    >>> [(each.least, each.money.amount) for each in find_breaks("SHS 40x40x3 6 m 38.20, from 10: 35.90; 25+ 34")[0]]
    [(10, Decimal('35.90')), (25, Decimal('34'))]
    """
    found, spans, asks = [], [], []
    for match in _BREAK.finditer(line):
        draft = Draft()
        money = read_price(match["price"], draft)
        before = line[: match.start()].rstrip(" ,;\t")
        spans.append((len(before), match.end()))
        at = match.start("price")
        asks += [
            Ask(
                message=ask.message,
                position=ask.position + at,
                rewrites=tuple(
                    type(each)(reading=each.reading, start=each.start + at, end=each.end + at, text=each.text)
                    for each in ask.rewrites
                ),
            )
            for ask in draft.asks
        ]
        if money is not None:
            least = int(match["least"] or match["least2"])
            found.append(BreakRead(least=least, money=money, bare=not (match["per"] or match["each"])))
    return found, spans, asks


def break_in_header(title: str) -> int | None:
    """Return from how many sticks on a column's prices hold, None for any other header.

    Examples
    --------
    >>> break_in_header("10+"), break_in_header("from 25"), break_in_header("1-9"), break_in_header("Length 10")
    (10, 25, 1, None)
    """
    found = _HEADER.fullmatch(title.strip())
    return None if found is None else int(found["least"] or found["least2"])
