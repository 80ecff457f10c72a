"""The buy list and the request for quotation as CSV (RFC 4180).

A spreadsheet takes a field that begins with ``= + - @`` for a formula, and no quoting in the file keeps it from that:
such a field gets an apostrophe in front.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from shared.view.letter.lines import Letter

__all__ = ["buy_list_csv", "request_csv"]

_STARTS = ("=", "+", "-", "@", "\t", "\r")


def buy_list_csv(letter: Letter) -> str:
    """Write the buy list, own drops included, and what the yards' bills add to it."""
    price, cost = (f"{name} {letter.currency}".strip() for name in ("price", "cost"))
    heads = (
        "line",
        "section",
        "grade",
        "wall",
        "length",
        "from",
        "quantity",
        price,
        cost,
        "weight each",
        "weight",
        "plan",
    )
    bought = (
        (
            line.id,
            line.section,
            line.grade,
            line.wall,
            line.length,
            line.source,
            line.quantity,
            line.price_number,
            line.cost_number,
            line.weight_each,
            line.weight,
            letter.plan,
        )
        for line in letter.lines
    )
    also = (("", text, "", "", "", "also needed", *[""] * 5, letter.plan) for text in letter.also)
    charges = (
        ("", charge.what, "", "", "", charge.yard, "", "", charge.cost_number, "", "", letter.plan)
        for charge in letter.charges
    )
    return _written(heads, (*bought, *charges, *also))


def request_csv(letter: Letter) -> str:
    """Write the request: columns for the yard's answers are empty."""
    heads = (
        "item",
        "section",
        "standard, grade and finish",
        "wall",
        "length",
        "length accepted",
        "quantity",
        "from",
        "weight each (nominal)",
        "weight (nominal)",
        "cuts wanted",
        "certificate wanted",
        "price a piece",
        f"price a {letter.price_unit}",
        "remark",
        "plan",
    )
    return _written(
        heads,
        (
            (
                line.number,
                line.section,
                line.grade,
                line.wall,
                line.length,
                line.tolerance,
                line.quantity,
                line.source,
                line.weight_each,
                line.weight,
                "; ".join(line.cuts) or "none",
                "",
                "",
                "",
                "",
                letter.plan,
            )
            for line in letter.asked
        ),
    )


def _written(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(heads)
    for row in rows:
        writer.writerow([_tame(text) for text in row])
    return out.getvalue()


def _tame(text: str) -> str:
    return f"'{text}" if text.startswith(_STARTS) else text
