"""What yards say beside a price: not to be had, for the whole lot, and a price that stands where remarks do."""

from __future__ import annotations

import re
from typing import Final

from shared.reading.grid.stock import GONE
from shared.reading.line.money import price_in
from shared.reading.lists.entry import Entry
from shared.reading.values.draft import Ask
from shared.reading.values.result import Kind

__all__ = ["settle_selling"]

_LOT: Final = re.compile(
    r"\b(?:the lot|in total|total|altogether|for all|zusammen|alle zusammen|le lot|el lote|in tutto|il lotto|samen"
    r"|per partij)\b|\bfor(?=$|\s*[€$£])",
    re.IGNORECASE,
)


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
        message = f"the price is for all {draft.quantity} together, or for each? write it for one, such as 2.50 each"
        entry.ask(Ask(message=message, position=0))
