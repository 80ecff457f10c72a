"""What was clicked on a sheet: lines put right, readings chosen, lines added, one answer for all that ask alike."""

from __future__ import annotations

from api.sheet.answering import Answer
from api.sheet.form import LISTS, SheetForm

__all__ = ["answers_in", "put_right"]


def answers_in(values: dict[str, str], offers: list[str]) -> tuple[Answer, ...]:
    """Return the answers that were clicked for all lines that ask the same, each with the line it was clicked at."""
    found = []
    for value in dict.fromkeys(offers):
        field, _, rest = value.partition(":")
        number, _, reading = rest.partition(":")
        was = values.get(f"was-{field}-{number}")
        if field in LISTS and number.isdecimal() and was is not None:
            found.append(Answer(field=field, line=int(number), was=was, reading=reading, alike=True))
    return tuple(found)


def put_right(form: SheetForm, values: dict[str, str], offers: list[tuple[str, str]]) -> SheetForm:
    """Apply what was mended beside a line, and each offer that was clicked: once, however often it was sent."""
    for name, was in values.items():
        kind, _, place = name.partition("-")
        field, _, number = place.partition("-")
        if kind == "was" and field in LISTS and number.isdecimal():
            now = values.get(f"fix-{place}", was)
            if now != was:
                form = form.with_line(field, int(number), was, now)
    for name, value in dict.fromkeys(offers):
        form = _take_up(form, values, name, value)
    return form


def _take_up(form: SheetForm, values: dict[str, str], offer: str, value: str) -> SheetForm:
    """Apply one offer that was clicked: a line to add, or a reading that was chosen for a line in question."""
    field, _, line = value.partition(":")
    if (offer, field) == ("add", "yard"):
        return form.with_yard(line)
    if field not in LISTS:
        return form
    if offer == "add":
        return form.with_more(field, line)
    number, _, line = line.partition(":")
    before = values.get(f"was-{field}-{number}")
    return form.with_line(field, int(number), before, line) if number.isdecimal() and before is not None else form
