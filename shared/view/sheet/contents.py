"""What every cut sheet holds, of a plan or of a plan in hand: how to read it, and each section with its layouts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shared.view.sheet.frame import Frame, Numbered
from shared.view.sheet.layout_sheets import layout_sheet
from shared.view.sheet.model import SectionSheet
from shared.view.sheet.set_up import check_text, set_up, stop_lines, stop_settings, stops_note
from shared.wording.tape import ROUNDED

__all__ = ["notes", "section_sheet"]


def notes(frame: Frame, also: Sequence[str] = ()) -> Iterator[str]:
    """Yield how to read the sheet, with what else is to be said `also` of this one."""
    tape = frame.tape
    yield (
        "Lay the tape once, at the trimmed end: every running dimension counts from there to the end of a finished "
        "part. Cut on the far side of the mark; what the saw takes is counted in."
    )
    if tape.other is not None:
        first, second = tape.names
        yield f"Lengths are in {first}, with {second} in brackets."
    if any(ROUNDED in text for layout in frame.layouts for text in _running(frame, layout)):
        yield (
            f"{ROUNDED} is rounded to the nearest {' or '.join(tape.steps)}, each from the exact length: the error "
            "doesn't add up."
        )
    if any(layout.cut.quantity > 1 for layout in frame.layouts):
        yield "A bundle needs a saw that takes it and a clamp that holds every stick of it; else cut one at a time."
    if any(layout.cut.strokes for layout in frame.layouts):
        yield (
            "Angled ends: each stroke of the saw is listed. A cut to the back reaches further along the stick at the "
            "fence, a cut to the front at you; angles count from square. A shared stroke makes two ends at once."
        )
    yield from also
    yield "The drawings are to scale along the stick, not across it; what lies beyond a break line is not to scale."


def _running(frame: Frame, layout: Numbered) -> Iterator[str]:
    for piece in layout.cut.pieces:
        yield frame.tape.bare(piece.start)
        yield frame.tape.bare(piece.end)


def section_sheet(frame: Frame, layouts: Sequence[Numbered]) -> SectionSheet:
    """Return one section; the stop is set only for sticks that are still to be sawn."""
    todo = [layout for layout in layouts if layout.left]
    settings = stop_settings(todo)
    return SectionSheet(
        title=layouts[0].cut.section.label,
        set_up=tuple(set_up(frame, layouts)),
        check=check_text(frame),
        stops=tuple(stop_lines(frame, todo, settings)),
        stops_note=stops_note(settings),
        ends=any(bool(layout.cut.strokes) for layout in layouts),
        layouts=tuple(layout_sheet(frame, layout) for layout in layouts),
    )
