"""Read a line of free text: a take-off, a heading, a remark, one part or several."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from shared.reading.aside.letters import said_around
from shared.reading.grid.cells import Row
from shared.reading.grid.structure import Heading, read_heading, read_material, read_unit
from shared.reading.line.frame import TakeOff
from shared.reading.line.line import read_line
from shared.reading.line.several import split_several
from shared.reading.lists.carried import Carried
from shared.reading.lists.entry import Entry, Shared
from shared.reading.lists.sorting import sorted_entry
from shared.reading.lists.takeoff import read_takeoff
from shared.reading.text.tokens import plain
from shared.reading.values.draft import Ask, Draft, Rewrite
from shared.reading.values.result import Kind

__all__ = ["each_of", "read_free"]

_EACH_AT: Final = re.compile(
    r"(?<![\w./'\"-])\d{1,4}\s*(?:pcs?|ea|off|x)?\s*@\s*(?:\d[\d./' -]*(?:\"|''|'|mm|cm|m\b|in\b|ft\b)?)", re.IGNORECASE
)
_SIZE: Final = re.compile(r"\d{2}")


def read_free(state: Carried, row: Row, *, single: bool) -> Entry:
    """Read a line of free text; one that counts, as it says itself, as a part or stick and nothing else."""
    if state.counts:
        return sorted_entry(state, Entry(state.row, draft=read_line(row.text, state.around)))
    return _free_line(state, row, single=single)


def _free_line(state: Carried, row: Row, *, single: bool) -> Entry:
    """Read a line of free text: a take-off, a heading, or a part."""
    text = row.text.strip("\t;|") if single else row.text
    if not state.around.offers:
        off = read_takeoff(row.text, state.around, state.unit)
        if off is not None:
            return _take_off(state, off)
    stated = read_unit(text)
    if stated is not None:
        state.stated_unit = stated
        return Entry(state.row, Kind.REMARK, notes=[f"bare lengths are {stated}"])
    material = read_material(text)
    if material:
        state.material = material
        return Entry(state.row, Kind.HEADING, notes=[f"material of the lines below, where they name none: {material}"])
    heading = read_heading(text)
    if heading is not None and heading.sets is not None and not (state.around.section and _SIZE.search(heading.name)):
        return _heading(state, heading)
    around = said_around(text)
    if around:
        return Entry(state.row, Kind.REMARK, notes=[f"set aside: {around}"])
    apart = _apart(state, row)
    if apart is not None:
        return apart
    several = _several_parts(row.text)
    if several is not None:
        entry = Entry(state.row)
        entry.ask(several)
        return entry
    draft = read_line(row.text, state.around)
    empty = draft.section is None and draft.length is None and not draft.asks and not draft.also
    if (
        (empty or draft.section is state.around.section)
        and draft.length is None
        and not draft.asks
        and heading is not None
    ):
        return _heading(state, heading)
    return sorted_entry(state, Entry(state.row, draft=draft))


def _apart(state: Carried, row: Row) -> Entry | None:
    """Read a line of several parts or sticks, None where it isn't one or any of them is open."""
    lines = split_several(row.text, state.around)
    if lines is None:
        return _without_section(state, row)
    return each_of(state, lines, [read_line(line, state.around) for line in lines])


def each_of(state: Carried, lines: list[str], drafts: list[Draft]) -> Entry | None:
    """Take a line of several that is one line for each of them, None where any of them is open."""
    row = state.row
    if not all(draft.complete and not draft.asks for draft in drafts):
        return None
    shared = Shared(state.row, tuple(lines))
    first, *others = (
        sorted_entry(state, Entry(Row(row.line, line, ()), draft=draft, shared=shared))
        for line, draft in zip(lines, drafts, strict=True)
    )
    first.others = others
    return first


def _without_section(state: Carried, row: Row) -> Entry | None:
    """Ask for the section of a line of several parts that names none and stands under none."""
    if state.around.section is not None or state.around.previous is None:
        return None
    if split_several(row.text, replace(state.around, section=state.around.previous)) is None:
        return None
    entry = Entry(state.row)
    entry.ask(Ask(message="no section; write what it is cut from, such as SHS 40x40x3", position=0))
    return entry


def _take_off(state: Carried, off: TakeOff) -> Entry:
    entry = Entry(state.row, Kind.TAKE_OFF, off=off, assembly=state.assembly or off.name, sets=state.sets)
    entry.notes += off.notes
    for ask in off.asks:
        entry.ask(ask)
    if off.section is not None:
        state.around = replace(state.around, previous=off.section)
    return entry


def _heading(state: Carried, heading: Heading) -> Entry:
    """Take a heading: the assembly and sets for the lines below, unless it means those above."""
    entry = Entry(state.row, Kind.HEADING, heading=heading)
    if heading.asked and heading.sets is not None and heading.sets > 1:
        _ask_sets(state, entry, heading)
        return entry
    if not heading.above:
        if heading.name or heading.sets is not None:
            state.assembly = heading.name or state.assembly
        state.sets = heading.sets or 1
        state.waits = None
    return entry


def _ask_sets(state: Carried, entry: Entry, heading: Heading) -> None:
    """Ask whether the quantities are for one set or count all of them; what is below waits for it."""
    text, end = state.row.text, len(state.row.text.rstrip(" :-*="))
    entry.ask(
        Ask(
            message=f"{heading.sets} times what is listed, or do the quantities count all of them already?",
            position=0,
            rewrites=(
                Rewrite(
                    reading=f"the quantities are for one: make {heading.sets}",
                    start=end,
                    end=len(text),
                    text=", quantities for each:",
                ),
                Rewrite(reading="they are totals", start=end, end=len(text), text=", quantities are totals:"),
            ),
        )
    )
    state.assembly, state.sets, state.waits = heading.name or state.assembly, 1, entry


def _several_parts(text: str) -> Ask | None:
    """Ask for one part a line where a line lists several (``HSS 2x2x1/8: 4 @ 48, 2 @ 36``)."""
    if text.count("@") < 2:  # noqa: PLR2004
        return None
    found = list(_EACH_AT.finditer(plain(text)))
    if len(found) < 2:  # noqa: PLR2004
        return None
    head, tail = text[: found[0].start()].rstrip(" ,;:-"), text[found[-1].end() :].strip(" ,;")
    lines = [" ".join(part for part in (head, each.group().strip(" ,;-"), tail) if part) for each in found]
    return Ask(
        message="several parts in one line; write each on a line of its own",
        position=found[1].start(),
        rewrites=(Rewrite(reading=f"{len(lines)} lines", start=0, end=len(text), text="\n".join(lines)),),
    )
