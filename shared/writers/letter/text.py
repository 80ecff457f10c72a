"""The buy list and the request for quotation as plain text, ready to send."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from shared.view.letter.lines import BLANK, Letter, RequestLine
from shared.writers.svg.lettering import cells

__all__ = ["buy_list_text", "request_text"]

_UNIT_NAMES: Final = {"m": "metre", "ft": "foot"}


def buy_list_text(letter: Letter) -> str:
    """Write the buy list: everything the plan takes, own drops included, with what it reckons each to cost."""
    heads = ["", "section", "grade", "length", "from", "line", "each", "cost", "weight"]
    rows = [
        [
            line.quantity,
            line.section,
            line.grade,
            line.length,
            line.source,
            line.id,
            line.price,
            line.cost,
            line.weight,
        ]
        for line in letter.lines
    ]
    lines = ["Buy list", _reference(letter), "", *_columns([heads, *rows], "><<><<>>>")]
    if letter.cost:
        lines += ["", f"Together {letter.cost}."]
    if letter.also:
        lines += ["", "Also needed:", *(f"  {text}" for text in letter.also)]
    return _joined(lines)


def request_text(letter: Letter) -> str:
    """Write the request for quotation: what a yard must know, and gaps for what it must answer or the buyer fill in."""
    lines = [
        "Request for quotation",
        _reference(letter),
        "",
        f"To:             {BLANK * 3}",
        f"From:           {BLANK * 3}",
        f"Deliver to:     {BLANK * 3}",
        f"Wanted by:      {BLANK}",
        f"Answer by:      {BLANK}",
        "",
        "Please quote for the lines below, each for itself: price for a piece,",
        f"price for a {_UNIT_NAMES[letter.price_unit]}, how long the prices hold, delivery charge,",
        "and what can't be had from stock.",
    ]
    for line in letter.asked:
        lines += ["", *_asked(line, letter.price_unit)]
    if not letter.asked:
        lines += ["", "Nothing is to be bought for this plan."]
    lines += [
        "",
        f"Together:       {letter.pieces}, weight {letter.weight} (nominal)",
        "Cuts wanted:    none; whole lengths as listed, unless agreed otherwise",
        f"Charge a cut:   {BLANK}",
        "Certificate:    [ ] none   [ ] EN 10204 type 3.1   [ ] mill test report",
        f"Delivery:       [ ] collected   [ ] delivered, charge {BLANK}",
        f"Prices hold to: {BLANK}",
    ]
    return _joined(lines)


def _asked(line: RequestLine, unit: str) -> Iterator[str]:
    yield f"{line.number}. {line.section}" + (
        " (from your rack of single pieces)" if line.source == "yard's rack" else ""
    )
    yield f"   Standard, grade and finish: {line.grade or BLANK * 2}"
    yield f"   Wall or thickness:          {line.wall or BLANK}"
    yield f"   Length:                     {line.length}, {line.tolerance}"
    yield f"   Quantity:                   {line.quantity}"
    yield f"   Weight (nominal):           {line.weight_each} each, {line.weight} together"
    yield f"   Price a piece:              {BLANK}     a {_UNIT_NAMES[unit]}: {BLANK}"


def _reference(letter: Letter) -> str:
    revision = f", revision {letter.revision}" if letter.revision else ""
    return f"{letter.job}, plan {letter.plan}{revision}, {letter.date}"


def _columns(rows: Sequence[Sequence[str]], sides: str) -> Iterator[str]:
    """Set rows in columns, to the left (<) or right (>); a column that is empty but for its head is left out."""
    kept = [column for column in range(len(sides)) if any(row[column] for row in rows[1:])]
    wide = {column: max(cells(row[column]) for row in rows) for column in kept}
    for row in rows:
        texts = []
        for column in kept:
            gap = " " * (wide[column] - cells(row[column]))
            texts.append(gap + row[column] if sides[column] == ">" else row[column] + gap)
        yield "  ".join(texts).rstrip()


def _joined(lines: Sequence[str]) -> str:
    return "\n".join(" ".join(line.splitlines()).rstrip() for line in lines) + "\n"
