"""The head of a section: the saw's set-up, the stops in order, the first piece at each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from cutting.answer.plan import Piece
from shared.view.sheet.frame import Frame, Numbered, spans
from shared.view.sheet.model import StopLine
from shared.view.stops import Setting, Stop, stop_order
from shared.wording.angled import angle_text
from shared.wording.tape import Tape

__all__ = ["check_text", "set_up", "stop_lines", "stop_settings", "stops_note", "trim_text"]

_BLANK: Final = "______"


def set_up(frame: Frame, layouts: Sequence[Numbered]) -> Iterator[tuple[str, str]]:
    """Yield how the saw is set for a section: name and text."""
    saw = frame.job.saw
    yield "One cut takes", f"{frame.tape.fine.text(saw.kerf)} (measure yours)"
    usual = trim_text(frame.usual_trims[layouts[0].cut.section.key], frame.tape)
    alone = len({layout.stick.trims for layout in layouts}) == 1
    yield "Trim first", usual if alone else f"{usual}, unless a stick says otherwise"
    if saw.hold is not None:
        yield "Shortest piece held", frame.tape.text(saw.hold)


def trim_text(trims: tuple[Fraction, Fraction], tape: Tape) -> str:
    """Say what to trim before anything else; the other end's trim isn't cut, it only isn't counted on."""
    return f"{tape.text(trims[0])} off one end, the cut included" if trims[0] else "nothing"


def check_text(frame: Frame) -> str:
    """Say what to do with the first piece at each stop."""
    if frame.job.tolerance is None:
        return f"First piece at each stop: let it cool and measure it. No tolerance was stated; agreed: ± {_BLANK}"
    return "First piece at each stop: let it cool, measure it, and cut on only if it lies in the band."


def stop_lines(frame: Frame, layouts: Sequence[Numbered], settings: Sequence[Setting]) -> Iterator[StopLine]:
    """Yield the settings of the stop, written."""
    for number, setting in enumerate(settings, start=1):
        yield _stop(frame, number, setting, layouts)


def stops_note(settings: Sequence[Setting]) -> str:
    """Say how to use the order of the stops."""
    once = len({(setting.length, setting.ends) for setting in settings}) == len(settings)
    if any(setting.ends for setting in settings):
        return (
            "A stop serves angled parts only where they lie alike and are measured between the same points; "
            "where they don't, cut by the running dimensions of each stick."
        )
    often = "the stop is set once for each length" if once else "the stop moves seldom"
    return (
        "Cutting to a stop instead of a tape: work through all sticks at one setting before you move on; "
        f"in this order {often}."
    )


def stop_settings(layouts: Sequence[Numbered]) -> tuple[Setting, ...]:
    """Return the settings of the stop, in an order that moves it seldom: least where each length is set once."""
    return stop_order([[_stop_of(layout, piece) for piece in layout.cut.pieces] for layout in layouts])


def _stop_of(layout: Numbered, piece: Piece) -> Stop:
    """Return length and ends of a part: only parts with the same ends, measured alike, share a stop."""
    ends = layout.parts[piece.mark].ends
    if piece.lie is None or ends is None:
        return piece.length, ""
    first, second = sorted(angle_text(angle) for angle in ends.angles)
    return piece.length, f"{ends.measure.value}, {first} and {second} {ends.lean.value}"


def _stop(frame: Frame, number: int, setting: Setting, layouts: Sequence[Numbered]) -> StopLine:
    marks: dict[str, int] = {}
    for index, begin, count in setting.runs:
        for piece in layouts[index].cut.pieces[begin : begin + count]:
            marks[piece.mark] = marks.get(piece.mark, 0) + layouts[index].left
    return StopLine(
        number=str(number),
        length=frame.tape.bare(setting.length),
        ends=setting.ends,
        band=_band(frame, setting.length),
        pieces=str(sum(marks.values())),
        marks=", ".join(f"{count} × {mark}" for mark, count in marks.items()),
        sticks=spans(stick for index, _, _ in setting.runs for stick in layouts[index].numbers),
    )


def _band(frame: Frame, length: Fraction) -> str:
    if frame.job.tolerance is None:
        return ""
    under, over = frame.job.tolerance
    return f"{frame.tape.bare(max(length - under, Fraction(0)))} to {frame.tape.bare(length + over)}"
