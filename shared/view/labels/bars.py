"""Labels for bars on the rack: the number large, and what somebody who finds the bar wants to know of it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from shared.view.labels.printed import Label, Labels, code_text, label_set
from shared.view.labels.sizes import LabelSheet
from shared.view.work.bars import bar_tape, length_text
from shared.wording.tape import Tape
from shared.work.rack.bars import Bar
from shared.work.rack.measures import usual_unit

__all__ = ["bar_label", "bar_labels"]


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
