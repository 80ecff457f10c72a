"""The buy list and the request for quotation as plain text, ready to send."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from shared.view.letter.lines import BLANK, Letter, RequestLine, YardRequest
from shared.wording.plurals import many
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
    if letter.charges:
        lines += ["", "The bills add:"]
        added = [["", "", ""], *([each.yard, each.what, each.cost] for each in letter.charges)]
        lines += [*_columns(added, "<<>")][1:]  # without headings
    if letter.paid:
        lines += ["", f"To pay: {letter.paid}."]
    if letter.also:
        lines += ["", "Also needed:", *(f"  {text}" for text in letter.also)]
    return _joined(lines)


def request_text(letter: Letter) -> str:
    """Write the requests for quotation, one for each yard: what it must know, and gaps for what it must answer."""
    if not letter.requests:
        return _joined(["Request for quotation", _reference(letter), "", "Nothing is to be bought for this plan."])
    texts = [_joined(list(_requested(letter, request))) for request in letter.requests]
    return f"\n{'-' * 72}\n\n".join(texts)


def _requested(letter: Letter, request: YardRequest) -> Iterator[str]:
    yield from ("Request for quotation", _reference(letter), "")
    yield f"To:             {request.yard or BLANK * 3}"
    yield from (f"From:           {BLANK * 3}", f"Deliver to:     {BLANK * 3}")
    yield from (f"Wanted by:      {BLANK}", f"Answer by:      {BLANK}", "")
    yield "Please quote for the lines below, each for itself: price for a piece,"
    yield f"price for a {_UNIT_NAMES[letter.price_unit]}, how long the prices hold, delivery charge,"
    yield "and what can't be had from stock."
    if request.reserve:
        yield f"Please reserve from your rack, before anything else: {request.reserve}."
    for line in request.lines:
        yield from ("", *_asked(line, letter.price_unit))
    whole = "none; whole lengths as listed, unless agreed otherwise"
    cuts = f"{many(request.cuts, 'cut')}, where marked above; all else in whole lengths" if request.cuts else whole
    yield ""
    yield f"Together:       {request.pieces}, weight {request.weight} (nominal)"
    yield f"Cuts wanted:    {cuts}"
    yield f"Charge a cut:   {BLANK}"
    yield "Certificate:    [ ] none   [ ] EN 10204 type 3.1   [ ] mill test report"
    yield _delivery(request)
    yield f"Prices hold to: {BLANK}"


def _delivery(request: YardRequest) -> str:
    if not request.transport:
        return f"Delivery:       [ ] collected   [ ] delivered, charge {BLANK}"
    return f"Delivery:       {request.transport}" + (f", charge {BLANK}" if request.transport == "delivered" else "")


def _asked(line: RequestLine, unit: str) -> Iterator[str]:
    yield f"{line.number}. {line.section}" + (" (from your rack of single pieces)" if line.from_rack else "")
    yield f"   Standard, grade and finish: {line.grade or BLANK * 2}"
    yield f"   Wall or thickness:          {line.wall or BLANK}"
    yield f"   Length:                     {line.length}, {line.tolerance}"
    yield f"   Quantity:                   {line.quantity}"
    for at, cut in enumerate(line.cuts):
        yield f"   {'' if at else 'Cuts wanted:':<27} {cut}"
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
