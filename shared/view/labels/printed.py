"""One set of labels on its way to a printer, whatever it is that gets labelled."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shared.view.labels.sizes import LabelSheet

__all__ = ["Label", "Labels", "code_text", "label_set"]

_PLAIN_LIMIT = 600


@dataclass(frozen=True, kw_only=True, slots=True)
class Label:
    """One label.

    Attributes
    ----------
    head : str
        What is read from afar: the mark, ``DROP``, or the number of a bar.
    length : str
        The piece's length.
    section : str
        With its material.
    lines : tuple of str
        What else is printed.
    code : str
        Plain text in the QR code.
    large : bool
        The head is set as large as the label allows: a number that is read from across the yard.
    """

    head: str
    length: str
    section: str
    lines: tuple[str, ...]
    code: str
    large: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Labels:
    """All labels of a plan, or of a rack.

    Attributes
    ----------
    sheet : LabelSheet
        What they are printed on.
    used : int
        Labels missing on the first sheet, from the top left corner on.
    title : str
        Names the document.
    date : str
        ISO 8601.
    labels : tuple of Label
        In the order in which they are needed.
    """

    sheet: LabelSheet
    used: int
    title: str
    date: str
    labels: tuple[Label, ...]


def label_set(labels: Iterable[Label], title: str, day: date, sheet: LabelSheet, used: int) -> Labels:
    """Put labels together.

    Parameters
    ----------
    labels : iterable of Label
        In order.
    title : str
        Names the document.
    day : date
        Of printing.
    sheet : LabelSheet
        What to print on.
    used : int
        Labels missing on the first sheet, from 0 to all but one.

    Raises
    ------
    ValueError
        `used` is negative, or leaves no label on the first sheet.
    """
    if not 0 <= used < sheet.count:
        raise ValueError(f"{used} labels can't be missing on a sheet of {sheet.count}; write 0 to {sheet.count - 1}")
    return Labels(sheet=sheet, used=used, title=title, date=day.isoformat(), labels=tuple(labels))


def code_text(*texts: str) -> str:
    r"""Return what a label's QR code holds: its texts, a line each, as far as a code that a telephone reads holds them.

    Examples
    --------
    >>> code_text("D17", "", "SHS 2x2x1/8")
    'D17\nSHS 2x2x1/8'
    """
    return "\n".join(text for text in texts if text)[:_PLAIN_LIMIT]
