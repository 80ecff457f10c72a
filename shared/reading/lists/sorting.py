"""Sort a line that was read: part, stick, what else is needed, section heading, question or remark."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from shared.reading.lists.carried import Carried
from shared.reading.lists.entry import Entry
from shared.reading.values.draft import Ask, Draft
from shared.reading.values.result import Kind
from shared.sections import understand

__all__ = ["sorted_entry"]

_DIMENSIONS: Final = re.compile(r"\d\s*[xX×*]\s*\d")
_COUNT_AND_LENGTH: Final = re.compile(
    r"(?<![\w./,])\d{1,2}\s+[^\W\d]\D{0,30}\b(?:mit|with|at|de|da|von|van|à|op|auf|zu|@)\s*\d{2,5}(?:\s*(?:mm|cm))?\s*[.!]?\s*$",
    re.IGNORECASE,
)
"""``2 davon mit 350``."""

_WHOLE_BAR: Final = re.compile(
    r"\b(?:full|whole|complete|uncut) (?:length|bar|stick|piece)s?\b|\bganze\w? (?:st(?:a|ä)nge|l(?:a|ä)nge|stab)\w*"
    r"|\b(?:barre|longueur) enti[èe]re|\b(?:barra|longitud) entera|\bbarra intera|\bhele (?:lengte|staaf)",
    re.IGNORECASE,
)
"""A stick of a length that isn't said."""


def sorted_entry(state: Carried, entry: Entry) -> Entry:
    """Sort a line that was read into part, other need, section heading, question or remark."""
    draft = entry.draft
    assert draft is not None
    entry.assembly = draft.assembly or state.assembly
    entry.sets = state.sets
    if state.material and draft.section is not None and not draft.section.material:
        draft.section = understand(draft.section.name, state.material)
    entry.notes += draft.notes
    if draft.also and not state.counts:
        entry.kind = Kind.ALSO
        return entry
    if _is_section_heading(draft) and not state.counts:
        state.around = replace(state.around, section=draft.section, previous=draft.section)
        entry.kind = Kind.HEADING
        return entry
    for index, ask in enumerate(draft.asks):
        entry.ask(ask, entry.places.get(index), state.sheet.delimiter)
    if not draft.asks:
        _check_complete(state, entry, draft)
    if draft.section is not None or draft.length is not None:
        state.around = replace(
            state.around,
            previous=draft.section or state.around.previous,
            previous_length=draft.length or state.around.previous_length,
            item=(draft.item or state.around.item) + 1,
        )
    return entry


def _is_section_heading(draft: Draft) -> bool:
    """Whether a line names a section and nothing else."""
    return (
        draft.section is not None
        and bool(draft.stated)
        and draft.length is None
        and draft.quantity is None
        and draft.money is None
        and not draft.asks
        and not re.search(r"\d", draft.note)
        and _WHOLE_BAR.search(draft.note) is None
    )


def _check_complete(state: Carried, entry: Entry, draft: Draft) -> None:
    """Say what is missing of a part, or that the line is none."""
    if draft.complete:
        entry.kind = Kind.OFFER if state.around.offers else Kind.PART
    elif draft.section is not None and (draft.quantity is not None or draft.stated):
        entry.ask(
            Ask(message="no length; write one such as @ 80 1/2 or 2042.5 mm", position=len(entry.row.text.rstrip()))
        )
    elif draft.length is not None and (draft.quantity is not None or draft.length.unit is not None):
        entry.ask(Ask(message="no section; write what it is cut from, such as SHS 40x40x3", position=0))
    elif state.counts or draft.quantity is not None or _looks_like_part(entry.row.text):
        entry.ask(
            Ask(
                message="not understood; write quantity, section and length such as 4 - SHS 40x40x3 @ 1250",
                position=0,
            )
        )


def _looks_like_part(text: str) -> bool:
    """Whether a line without section and length has dimensions all the same, or a count and how long."""
    return _DIMENSIONS.search(text) is not None or _COUNT_AND_LENGTH.search(text) is not None
