"""The rack as the page shows it: every text ready, nothing left to compute."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Final

from api.page.rack.rows import BarLine, BarPage, EntryLine, Group, PlaceGroup, RackView
from api.service.measured import bare_text
from cutting.question.lengths import Unit
from cutting.question.tape import told_length
from shared.wording.plurals import many, plural
from shared.wording.tape import Tape
from shared.wording.values import weight
from shared.work.rack.bars import Bar, BarState, Origin, bar_name
from shared.work.rack.measures import unit_of_bar, usual_unit
from shared.work.saw.work import Entry

__all__ = ["bar_lines", "bar_page", "by_place", "entry_lines", "rack_view"]

_FROM: Final = {
    Origin.BOUGHT: "It was bought",
    Origin.COUNTED: "It was written down by hand",
    Origin.DROP: "It is a drop",
    Origin.PART: "It is a part that was cut for nothing",
}
_BECAME: Final = {
    BarState.EXPECTED: "It is bought and hasn't come yet.",
    BarState.FREE: "It stands on the rack and is free.",
    BarState.CUT: "It is cut up.",
    BarState.SCRAP: "It went into the scrap bin.",
    BarState.LOST: "It can't be found.",
    BarState.CANCELLED: "It was expected and never came.",
}
_UNDO_NOT: Final = {"undo"}


def rack_view(bars: Sequence[Bar], titles: Mapping[str, str], *, section: str = "", free: bool = False) -> RackView:
    """Show the rack.

    Parameters
    ----------
    bars : sequence of Bar
        Free and reserved ones.
    titles : mapping of str to str
        Titles of works, by id.
    section : str
        Only this section, by its label; empty for all.
    free : bool
        Only free pieces.
    """
    usual = usual_unit(bars)
    shown = sorted(
        (bar for bar in bars if section in {"", bar.section.label} and (bar.state is BarState.FREE or not free)),
        key=_by_section,
    )
    groups = [
        _group(label, tuple(inner), titles, usual) for label, inner in groupby(shown, key=lambda bar: bar.section.label)
    ]
    return RackView(
        headline=_headline(bars),
        groups=tuple(groups),
        choices=tuple(sorted({bar.section.label for bar in bars})),
        section=section,
        free=free,
    )


def _by_section(bar: Bar) -> tuple[str, Fraction, int]:
    return (bar.section.label, -bar.length, bar.number)


def _headline(bars: Sequence[Bar]) -> str:
    if not bars:
        return "Nothing is written down of the rack yet."
    taken = sum(1 for bar in bars if bar.state is BarState.RESERVED)
    pieces = f"{many(len(bars), 'piece')} {plural(len(bars), 'stands', 'stand')}"
    if not taken:
        return f"{pieces} on the rack, free."
    return f"{pieces} on the rack; {'all' if taken == len(bars) else taken} spoken for."


def _group(label: str, bars: Sequence[Bar], titles: Mapping[str, str], usual: Unit) -> Group:
    total = sum((bar.length for bar in bars), Fraction(0))
    unit = unit_of_bar(bars[0], usual)
    said = [many(len(bars), "piece"), told_length(total, unit, feet=True)]
    mass = bars[0].section.mass
    known = weight(None if mass is None else mass * total / 1000, unit)
    if known is not None:
        said.append(known.full)
    return Group(section=label, sum=", ".join(said), bars=bar_lines(bars, titles, usual))


def bar_lines(bars: Iterable[Bar], titles: Mapping[str, str], usual: Unit) -> tuple[BarLine, ...]:
    """Show pieces in the order given."""
    return tuple(_line(bar, titles, usual) for bar in bars)


def _line(bar: Bar, titles: Mapping[str, str], usual: Unit) -> BarLine:
    unit = unit_of_bar(bar, usual)
    return BarLine(
        number=bar.number,
        name=bar.name,
        version=bar.version,
        section=bar.section.label,
        length=Tape(unit=unit).text(bar.length),
        place=bar.place,
        remark=bar.remark,
        heat=bar.heat,
        what="; ".join(filter(None, (bar.remark, f"heat {bar.heat}" if bar.heat else "", _ends(bar)))),
        state=_state(bar, titles),
        work=bar.work or "" if bar.state in {BarState.RESERVED, BarState.EXPECTED} else "",
        unit=str(unit),
        bare=bare_text(bar.length, unit),
    )


def _ends(bar: Bar) -> str:
    if bar.trims is None:
        return ""
    if not any(bar.trims):
        return "both ends sawn"
    return "" if all(bar.trims) else "one end sawn"


def _state(bar: Bar, titles: Mapping[str, str]) -> str:
    if bar.state in {BarState.RESERVED, BarState.EXPECTED}:
        title = titles.get(bar.work or "", "") or "a work in hand"
        return f"for {title}" if bar.state is BarState.RESERVED else f"to come, for {title}"
    return str(bar.state)


def by_place(bars: Sequence[Bar], titles: Mapping[str, str]) -> tuple[PlaceGroup, ...]:
    """Show pieces in the order in which somebody meets them who walks along the rack."""
    usual = usual_unit(bars)
    ordered = sorted(bars, key=lambda bar: (not bar.place, bar.place.casefold(), *_by_section(bar)))
    return tuple(
        PlaceGroup(place=place, bars=bar_lines(inner, titles, usual))
        for place, inner in groupby(ordered, key=lambda bar: bar.place)
    )


def bar_page(bar: Bar, titles: Mapping[str, str]) -> BarPage:
    """Show one piece."""
    return BarPage(
        line=_line(bar, titles, Unit.MM),
        sentences=tuple(_sentences(bar, titles)),
        here=bar.state.at_hand,
        lost=bar.state is BarState.LOST,
        parent=bar.parent,
    )


def _sentences(bar: Bar, titles: Mapping[str, str]) -> Iterable[str]:
    if bar.state is BarState.RESERVED:
        yield f"It is reserved {_state(bar, titles)}."
    else:
        yield _BECAME[bar.state]
    origin = _FROM[bar.origin]
    behind = f" cut from {bar_name(bar.parent)}" if bar.parent is not None else ""
    yield f"{origin}{behind}, in the books since {bar.made.astimezone():%Y-%m-%d %H:%M}."
    said = [f"heat {bar.heat}" if bar.heat else "heat number not known", bar.place and f"stands in {bar.place}"]
    text = "; ".join(filter(None, (*said, bar.remark, _ends(bar))))
    yield f"{text[0].upper()}{text[1:]}."


def entry_lines(entries: Iterable[Entry]) -> tuple[EntryLine, ...]:
    """Show lines of the journal."""
    return tuple(
        EntryLine(
            id=entry.id,
            at=entry.at.isoformat(timespec="seconds"),
            when=f"{entry.at.astimezone():%Y-%m-%d %H:%M}",
            words=entry.words,
            who=entry.who,
            undone=entry.undone_by is not None,
            can_undo=entry.undone_by is None and entry.kind not in _UNDO_NOT,
        )
        for entry in entries
    )
