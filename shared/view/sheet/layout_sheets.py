"""Each layout of a cut sheet: its drawing, its parts, what is left, what to watch."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby
from typing import Final

from shared.view.angled import stroke_views
from shared.view.drawing import bar_of, drop_text, whole_drop
from shared.view.sheet.frame import SOURCES, Frame, Numbered
from shared.view.sheet.model import LayoutSheet, PieceLine
from shared.view.sheet.set_up import trim_text
from shared.wording.angled import edge_words, ends_words
from shared.wording.plurals import listed
from shared.wording.tape import ROUNDED, Tape
from shared.wording.weights import lift_text

__all__ = ["layout_sheet"]

_ALIKE: Final = 4
_LONG: Final = 16
_SHORT: Final = 8
_COLUMNS: Final = ((34, 3), (60, 2))  # of named boxes: up to so many characters, so many side by side
_LINE: Final = 100  # characters beside a box that has a whole line
_FEW: Final = 5


def layout_sheet(frame: Frame, layout: Numbered) -> LayoutSheet:
    """Return one layout, ready to be set."""
    cut, tape = layout.cut, frame.tape
    rows = tuple(_row(frame, layout, index) for index in range(len(cut.pieces)))
    lines = tuple(_lines(layout, rows, tape))
    columns, high = _box_grid(layout)
    return LayoutSheet(
        title=layout.named,
        alike=_alike(layout),
        since=layout.since,
        sticks=layout.boxes,
        facts=f"{cut.section.label}, {tape.stick(cut.length)}, {SOURCES[cut.source]} ({cut.stick}); "
        f"{lift_text(layout.mass, tape)}",
        bar=bar_of(cut, layout.stick, layout.parts, tape, title=layout.named, keep_from=frame.job.keep_from),
        rows=rows,
        lines=lines,
        strokes=tuple(stroke_views(cut, tape)),
        edge=edge_words(cut),
        changed=_changed(layout),
        before=tuple(_before(frame, layout)),
        rest=_rest(frame, layout),
        warnings=tuple(_warnings(frame, layout)),
        narrow=len(lines) > _LONG and not cut.strokes and not any(row.note or len(row.mark) > _SHORT for row in lines),
        hold=layout.hold,
        columns=columns,
        below=high > _FEW,
    )


def _box_grid(layout: Numbered) -> tuple[int, int]:
    """Return how many boxes of named bars stand side by side, and how many lines they take; 0 and 0 without names."""
    if not any(box.bar for box in layout.boxes):
        return 0, 0
    longest = max(len(box.label) + len(box.bar) + len(box.said) for box in layout.boxes)
    columns = next((many for most, many in _COLUMNS if longest <= most), 1)
    return columns, -(-len(layout.boxes) // columns) * -(-longest // _LINE)


def _alike(layout: Numbered) -> str:
    cut = layout.cut
    if cut.quantity == 1:
        return ""
    todo = sum(box.state == "open" for box in layout.boxes)
    risky = cut.skim or cut.unheld or cut.strokes
    how = "one at a time" if risky else "may be cut as a bundle"
    if todo < cut.quantity:
        return f"{cut.quantity} alike, {todo} of them still to saw" + (f": {how}" if todo > 1 else "")
    return f"{cut.quantity} alike: {how}"


def _row(frame: Frame, layout: Numbered, index: int) -> PieceLine:
    piece = layout.cut.pieces[index]
    part = layout.parts[piece.mark]
    held = "too short to hold: packer" if index + 1 in layout.cut.unheld else ""
    return PieceLine(
        number=str(index + 1),
        mark=piece.mark,
        length=frame.tape.bare(piece.length),
        start=frame.tape.bare(piece.start),
        end=frame.tape.bare(piece.end),
        ends=ends_words(piece, part.section, frame.tape),
        note="; ".join(text for text in (held, ": ".join(t for t in (part.assembly, part.note) if t)) if text),
    )


def _lines(layout: Numbered, rows: Sequence[PieceLine], tape: Tape) -> Iterator[PieceLine]:
    """Yield the rows as printed: runs of equal square parts on one line each, where the tape shows their step."""
    pieces = layout.cut.pieces
    kinds = [str(index) if layout.cut.strokes else (row.mark, row.length, row.note) for index, row in enumerate(rows)]
    for _, run in groupby(range(len(rows)), key=lambda index: kinds[index]):
        first, *others = run
        step = tape.bare(pieces[others[0]].end - pieces[first].end) if len(others) + 1 >= _ALIKE else ROUNDED
        if ROUNDED in step:
            yield from (rows[index] for index in (first, *others))
            continue
        last = others[-1]
        yield replace(
            rows[first],
            number=f"{first + 1}–{last + 1}",
            mark=f"{len(others) + 1} × {rows[first].mark}",
            end=f"{rows[first].end}, every {step} to {rows[last].end}",
        )


def _rest(frame: Frame, layout: Numbered) -> str:
    whole, keep_from = whole_drop(layout.cut, layout.stick), frame.job.keep_from
    if not whole:
        return "Nothing worth measuring is left." if layout.stick.trims[1] or layout.cut.skim else "Nothing is left."
    each = "each " if layout.cut.quantity > 1 else ""
    text = f"Left {each}over: {drop_text(layout.cut, layout.stick, frame.tape, keep_from)}"
    raw = ", the raw end included" if layout.stick.trims[1] else ""
    if keep_from is None:
        return f"{text}{raw}. Measure and label what you keep."
    return f"{text}." if whole < keep_from else f"{text}{raw}. Label it and keep it."


def _changed(layout: Numbered) -> str:
    """Say in a layout's heading that parts were drawn otherwise."""
    by_section: dict[str, list[str]] = {}
    for mark, drawn in layout.drawn.items():
        by_section.setdefault(drawn, []).append(mark)
    told = "; ".join(f"{listed(marks)} instead of {drawn}" for drawn, marks in by_section.items())
    return f"Substitute: {told}. The designer must confirm." if told else ""


def _before(frame: Frame, layout: Numbered) -> Iterator[str]:
    """Yield what comes before the first cut, right for this stick."""
    yield f"Trim {trim_text(layout.stick.trims, frame.tape)}."
    if layout.stick.usable is not None:
        yield f"Measure the stick: it must be at least {frame.tape.text(layout.stick.usable)} long."


def _warnings(frame: Frame, layout: Numbered) -> Iterator[str]:
    cut, stick, tape = layout.cut, layout.stick, frame.tape
    if cut.skim:
        yield "The last cut is a skim cut: it meets less than a full cut of steel, where a blade wanders. Feed slowly."
    elif not cut.drop and not stick.trims[1]:
        before = "you cut the one before" if len(cut.pieces) > 1 else "you use it: no cut is left to correct it"
        yield f"The last part ends where the stick ends: measure it before {before}."
    if cut.unheld and frame.job.saw.hold is not None:
        yield (
            f"At part {listed([str(number) for number in cut.unheld])} both sides of the cut are shorter than "
            f"{tape.text(frame.job.saw.hold)}: clamp with a packer of the same size."
        )
