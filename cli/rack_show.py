"""The rack and its history as text and JSON: laid out here, worked out elsewhere."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from cli.exits import printable
from cli.terminal import is_bold_wanted, width
from cutting.question.lengths import Unit, show_length
from shared.work.rack.bars import Bar, bar_name
from shared.work.rack.measures import unit_of_bar
from shared.work.rack.view import RackGroup, rack_view
from shared.work.saw.work import Entry
from shared.writers.text.columns import columns
from shared.writers.text.wrap import wrapped

__all__ = ["bars_json", "entries_json", "history_text", "rack_text"]


def rack_text(bars: Iterable[Bar], works: Mapping[str, str], unit: Unit | None = None) -> str:
    """Write the rack as plain text."""
    view = rack_view(bars, works, unit)
    lines = wrapped(view.sum[:1].upper() + view.sum[1:], width())
    for group in view.groups:
        lines += ["", _strong(printable(f"{group.section}: {group.sum}")), *map(printable, _lines(group))]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _lines(group: RackGroup) -> Iterator[str]:
    rows = [["label", "length", "place", "", "heat", "remark"]]
    rows += [[line.label, line.length, line.place, line.state, line.heat, line.remark] for line in group.lines]
    return columns(rows, "<><<~~", width())


def bars_json(bars: Sequence[Bar], works: Mapping[str, str]) -> bytes:
    """Write bars as JSON, named as the service names them; every length reads back exactly."""
    return _json({"bars": [_bar(bar, works) for bar in bars]})


def _bar(bar: Bar, works: Mapping[str, str]) -> dict[str, Any]:
    unit = unit_of_bar(bar, Unit.MM)
    return {
        "number": bar.number,
        "name": bar.name,
        "section": bar.section.name,
        "material": bar.section.material,
        "length": show_length(bar.length, unit),
        "usable": None if bar.usable is None else show_length(bar.usable, unit),
        "trims": None if bar.trims is None else [show_length(trim, unit) for trim in bar.trims],
        "place": bar.place,
        "remark": bar.remark,
        "heat": bar.heat,
        "origin": bar.origin.value,
        "parent": bar.parent,
        "state": bar.state.value,
        "work": bar.work,
        "title": None if bar.work is None else works.get(bar.work, ""),
        "made": bar.made.isoformat(),
        "version": bar.version,
    }


def history_text(entries: Sequence[Entry]) -> str:
    """Write entries as plain text, the newest first."""
    if not entries:
        return "Nothing happened yet\n"
    rows = [["entry", "when (UTC)", "who", "what"]]
    rows += [[str(entry.id), f"{entry.at:%Y-%m-%d %H:%M:%S}", entry.who, _what(entry)] for entry in entries]
    return "\n".join(printable(line[2:]) for line in columns(rows, "><<~", width() + 2)) + "\n"


def _what(entry: Entry) -> str:
    return entry.words if entry.undone_by is None else f"{entry.words} [taken back by {entry.undone_by}]"


def entries_json(entries: Sequence[Entry]) -> bytes:
    """Write entries as JSON, named as the service names them."""
    listed = [
        {
            "id": entry.id,
            "at": entry.at.isoformat(),
            "who": entry.who,
            "kind": entry.kind,
            "words": entry.words,
            "work": entry.work,
            "bars": [bar_name(number) for number in entry.bars],
            "undoes": entry.undoes,
            "undone_by": entry.undone_by,
        }
        for entry in entries
    ]
    return _json({"entries": listed})


def _json(table: Mapping[str, Any]) -> bytes:
    return (json.dumps(table, ensure_ascii=False, indent=2) + "\n").encode()


def _strong(text: str) -> str:
    return f"\x1b[1m{text}\x1b[0m" if is_bold_wanted() else text
