"""Labels for bars on the rack: the number large, and what somebody who finds the bar wants to know of it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from cutting.question.lengths import Unit
from shared.wording.tape import Tape, is_plain
from shared.work.rack.bars import Bar
from shared.work.rack.measures import unit_of_bar, usual_unit
from shared.writers.pdf.labels.parts import labels_pdf
from shared.writers.pdf.labels.printed import Label, Labels, code_text, label_set
from shared.writers.pdf.labels.sizes import LabelSheet

__all__ = ["bar_label", "bar_labels", "bar_labels_pdf", "bar_tape", "length_text"]


def bar_labels(bars: Iterable[Bar], day: date, sheet: LabelSheet, used: int = 0, *, title: str = "Rack") -> Labels:
    """Make the labels of bars, one for each, in the order given.

    Parameters
    ----------
    bars : iterable of Bar
        Which.
    day : date
        Of printing; on the label stands the day on which the bar came into the books.
    sheet : LabelSheet
        What to print on.
    used : int
        Labels missing on the first sheet, from 0 to all but one.
    title : str
        Names the document.

    Raises
    ------
    ValueError
        `used` is negative, or leaves no label on the first sheet.
    """
    listed = tuple(bars)
    usual = usual_unit(listed)
    return label_set((bar_label(bar, bar_tape(bar, usual)) for bar in listed), title, day, sheet, used)


def bar_labels_pdf(bars: Iterable[Bar], day: date, sheet: LabelSheet, used: int = 0, *, title: str = "Rack") -> bytes:
    """Write the labels of bars as PDF; parameters as in `bar_labels`, without bars one empty sheet."""
    return labels_pdf(bar_labels(bars, day, sheet, used, title=title))


def bar_tape(bar: Bar, usual: Unit) -> Tape:
    """Return how a bar's lengths are written: in its own unit, and in the other system too where one isn't plain."""
    unit = unit_of_bar(bar, usual)
    if is_plain(bar.length, unit) and is_plain(bar.counted_on, unit):
        return Tape(unit=unit)
    return Tape(unit=unit, other=Unit.MM if unit is Unit.IN else Unit.IN)


def bar_label(bar: Bar, tape: Tape, *also: str) -> Label:
    """Make one bar's label, with what `also` is to be said on it."""
    length = length_text(bar, tape)
    heat = f"heat {bar.heat}" if bar.heat else ""
    known = (bar.place, heat, bar.made.date().isoformat())
    return Label(
        head=bar.name,
        length=length,
        section=bar.section.label,
        lines=tuple(text for text in (*known, bar.remark, *also) if text),
        # The remark stays out of the code: the fewer its squares, the better a telephone reads it on a small label.
        code=code_text(bar.name, bar.section.label, length, *known, *also),
        large=True,
    )


def length_text(bar: Bar, tape: Tape) -> str:
    """Write a bar's length; where nobody has measured it and it may be short, how much can be counted on."""
    if bar.usable is None or bar.usable == bar.length:
        return tape.text(bar.length)
    return f"{tape.text(bar.length)}, at least {tape.text(bar.usable)}"
