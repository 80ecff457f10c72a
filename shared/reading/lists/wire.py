"""What was read, as plain tables for programs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cutting.question.job import Discount, Ends, PerLength, PerWeight, Price
from cutting.question.lengths import Unit, format_length, show_length
from shared.reading.values.result import AlsoNeeded, LineRead, OfferList, OfferRead, PartRead, PartsList, Question

__all__ = ["offers_table", "parts_table"]


def parts_table(read: PartsList, questions: Sequence[Question]) -> dict[str, Any]:
    """Return a parts list and its problems as plain tables.

    Every length is a text with its unit that `cutting.question.lengths.parse_length` reads back exactly.
    """
    return {
        "unit": read.unit.value,
        "parts": [_part(part) for part in read.parts],
        "also": [_also(also) for also in read.also],
        "problems": [_problem(question) for question in questions],
        "lines": [_line(line) for line in read.lines],
    }


def offers_table(read: OfferList, questions: Sequence[Question]) -> dict[str, Any]:
    """Return a list of sticks and its problems as plain tables."""
    return {
        "unit": read.unit.value,
        "currency": read.currency,
        "offers": [_offer(offer) for offer in read.offers],
        "problems": [_problem(question) for question in questions],
        "lines": [_line(line) for line in read.lines],
    }


def _part(part: PartRead) -> dict[str, Any]:
    table: dict[str, Any] = {
        "line": part.line,
        "mark": part.mark,
        "section": part.section.name,
        "material": part.section.material,
        "length": show_length(part.length, part.unit),
        "quantity": part.quantity,
        "note": part.note,
        "assembly": part.assembly,
        "derived": part.derived,
    }
    if part.ends is not None:
        table["ends"] = _ends(part.ends)
    if part.substitutes:
        table["substitutes"] = [
            {"section": each.section.name, "material": each.section.material, "remark": each.remark}
            for each in part.substitutes
        ]
    return table


def _ends(ends: Ends) -> dict[str, Any]:
    return {
        "angles": [f"{float(angle):g}" for angle in ends.angles],
        "lean": ends.lean.value,
        "measured": ends.measure.value,
        "planes": list(ends.planes),
    }


def _also(also: AlsoNeeded) -> dict[str, Any]:
    return {"line": also.line, "text": also.text, "quantity": also.quantity}


def _offer(offer: OfferRead) -> dict[str, Any]:
    table: dict[str, Any] = {
        "line": offer.line,
        "section": offer.section.name,
        "material": offer.section.material,
        "length": show_length(offer.length, offer.unit),
        "from": offer.source.value,
        "available": offer.available,
        "price": _price(offer.price),
        "note": offer.note,
    }
    if offer.yard:
        table["yard"] = offer.yard
    if offer.breaks:
        table["breaks"] = [{"from_quantity": each.least, "price": _price(each.price)} for each in offer.breaks]
    return table


def _price(price: Price | None) -> dict[str, str] | None:
    if price is None:
        return None
    if isinstance(price, Discount):
        return {"share": str(price.share)}
    if isinstance(price, PerLength):
        return {"amount": str(price.amount), "per": f"{format_length(price.per, Unit.MM)} mm"}
    if isinstance(price, PerWeight):
        return {"amount": str(price.amount), "per": f"{float(price.per):.10g} kg"}
    return {"amount": str(price.amount), "per": "stick"}


def _problem(question: Question) -> dict[str, Any]:
    return {
        "line": question.line,
        "text": question.text,
        "message": question.message,
        "position": question.position,
        "choices": [
            {"reading": choice.reading, "line": choice.line, "makes": choice.makes} for choice in question.choices
        ],
    }


def _line(line: LineRead) -> dict[str, Any]:
    return {
        "line": line.line,
        "text": line.text,
        "kind": line.kind.value,
        "understood": list(line.understood),
        "notes": list(line.notes),
        "account": [{"start": each.start, "end": each.end, "taken_for": each.what.value} for each in line.account],
    }
