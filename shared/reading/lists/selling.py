"""What yards say beside a price: not to be had, for the whole lot, and a price that stands where remarks do."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from shared.reading.grid.stock import GONE
from shared.reading.line.money import price_in
from shared.reading.lists.entry import Entry
from shared.reading.values.draft import Ask
from shared.reading.values.result import Kind

__all__ = ["ask_lots", "settle_selling"]

_EACH: Final = re.compile(
    r"\b(?:each|ea|apiece|per (?:piece|stick|bar|length)|pro st|je st|stk|st[üu]ck|pi[èe]ce|la barre|c/u|cada"
    r"|l'uno|cad|per stuk)",
    re.IGNORECASE,
)
_LOT: Final = re.compile(
    r"\b(?:the lot|in total|total|altogether|for all|zusammen|alle zusammen|le lot|el lote|in tutto|il lotto|samen"
    r"|per partij)\b|\bfor(?=$|\s*[€$£])",
    re.IGNORECASE,
)


def ask_lots(entries: Sequence[Entry]) -> None:
    """Ask for each or for all where a list prices some lines for the lot and a line of several doesn't say which."""
    texts = [entry.row.text for entry in entries if entry.draft is not None and entry.draft.money is not None]
    if not any(_LOT.search(text) for text in texts):
        return
    for entry in entries:
        draft = entry.draft
        if entry.kind is not Kind.OFFER or draft is None or draft.money is None or (draft.quantity or 1) == 1:
            continue
        if draft.money.per == "stick" and not _EACH.search(entry.row.text) and not entry.row.cells:
            entry.ask(Ask(message=_all_or_each(draft.quantity), position=0))


def _all_or_each(quantity: int | None) -> str:
    return f"the price is for all {quantity} together, or for each? write it for one, such as 2.50 each"


def settle_selling(entry: Entry) -> None:
    """Take a price out of a line's remark; set a line aside that can't be bought; ask about a price for a lot."""
    draft = entry.draft
    if entry.kind is not Kind.OFFER or draft is None:
        return
    if draft.quantity == 0:
        entry.kind = Kind.REMARK
        entry.notes.append("none in stock: not offered")
        return
    gone = GONE.search(draft.note)
    if gone is not None:
        entry.kind = Kind.REMARK
        entry.notes.append(f"{gone.group()}: not offered")
        return
    if draft.money is None:
        price_in(draft)
    lot = _LOT.search(draft.note)
    if lot is not None and draft.money is not None and (draft.quantity or 1) > 1:
        entry.ask(Ask(message=_all_or_each(draft.quantity), position=0))
