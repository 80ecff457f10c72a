"""Prices in the cells of a table: for one, for many, and before a discount in a column of its own."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Final

from shared.reading.grid.cells import Cell, Row
from shared.reading.line.amounts import read_price
from shared.reading.values.draft import Ask, Draft, Rewrite

__all__ = ["read_discount", "read_price_cell"]

_MANY: Final = re.compile(r"(?:/|\b(?:per|pro|par|por|je)\b)\s*(1?0{2,3}|10{1,3})\s*([^\W\d]{1,3})\b", re.IGNORECASE)
_SHARE: Final = re.compile(r"-?\s*(\d{1,2}(?:[.,]\d{1,2})?)\s*%?")
_CENT: Final = Decimal("0.01")
_OPEN_DIGITS: Final = 3


def read_price_cell(draft: Draft, cell: Cell, text: str, title: str) -> None:
    """Read a price cell."""
    shown = text
    if cell.number is not None and len(text.partition(".")[2]) == _OPEN_DIGITS:
        shown += "0"  # a number of the sheet has no thousands separator
    many = _MANY.search(title)
    draft.money = read_price(shown, draft, header=title if many is None else title.replace(many[0], f"/{many[2]}"))
    if many is not None and draft.money is not None and draft.money.per != "stick":
        draft.money = replace(draft.money, base=draft.money.base * int(many[1]))
    elif many is not None:
        draft.asks.append(Ask(message=f"what is {title} for? write the price of one, or per m or ft", position=0))


def read_discount(draft: Draft, row: Row, price: Cell | None, cell: Cell, text: str) -> None:
    """Ask whether a discount in a column of its own is off the price beside it already."""
    found = _SHARE.fullmatch(text.strip())
    share = Fraction(found[1].replace(",", ".")) if found else None
    if share is None or draft.money is None or price is None or draft.money.per == "discount":
        draft.note = ", ".join(filter(None, [draft.note, f"discount {text}"]))
    elif share:
        net = draft.money.amount * (100 - Decimal(found[1].replace(",", "."))) / 100 if found else draft.money.amount
        draft.asks.append(
            Ask(
                message=f"{price.text} less {text.rstrip(' %')} %, or is the discount off already?",
                position=min(cell.start, price.start),
                rewrites=tuple(_discounted(row, price, cell, net)),
            )
        )


def _discounted(row: Row, price: Cell, cell: Cell, net: Decimal) -> Iterator[Rewrite]:
    """Yield a row's price less its discount, and as it stands, the discount's own cell empty in both."""
    if "  " in row.text.strip():
        return
    first, last = sorted((price, cell), key=lambda each: each.start)
    between = row.text[first.end : last.start]
    reduced = re.sub(r"\d[\d.,]*", str(max(net, net.quantize(_CENT), key=_decimals)), price.text, count=1)
    for said in (reduced, price.text):
        text = f"{said}{between}" if first is price else f"{between}{said}"
        yield Rewrite(reading=f"{said} is to be paid", start=first.start, end=last.end, text=text)


def _decimals(amount: Decimal) -> int:
    return -int(amount.as_tuple().exponent)
