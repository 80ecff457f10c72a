"""Sheets of self-adhesive labels, described by the size of a label on a size of paper.

Number, size and pitch of the labels are common practice and were written down from memory; a sheet that differs is
adjusted by the printer's offset. Try the first sheet on plain paper, held against the labels.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shared.view.issue import Paper

__all__ = ["LABEL_SHEETS", "LabelSheet", "usual_labels"]

_INCH: Final = 25.4


@dataclass(frozen=True, kw_only=True, slots=True)
class LabelSheet:
    """One sheet of labels.

    Attributes
    ----------
    name : str
        What to write to have it: the paper, and a label's width and height.
    paper : Paper
        Of the sheet.
    columns, rows : int
        Labels across and down.
    wide, high : float
        mm, of one label.
    left, top : float
        mm, from the paper's edge to the first label.
    across, down : float
        mm, from one label to the next.
    """

    name: str
    paper: Paper
    columns: int
    rows: int
    wide: float
    high: float
    left: float
    top: float
    across: float
    down: float

    @property
    def count(self) -> int:
        """Labels on one sheet."""
        return self.columns * self.rows


LABEL_SHEETS: Final = {
    sheet.name: sheet
    for sheet in (
        LabelSheet(
            name="a4-70x37", paper=Paper.A4, columns=3, rows=8, wide=70, high=37, left=0, top=0.5, across=70, down=37
        ),
        LabelSheet(
            name="a4-63.5x38.1",
            paper=Paper.A4,
            columns=3,
            rows=7,
            wide=63.5,
            high=38.1,
            left=7.25,
            top=15.15,
            across=66,
            down=38.1,
        ),
        LabelSheet(
            name="a4-105x74", paper=Paper.A4, columns=2, rows=4, wide=105, high=74, left=0, top=0.5, across=105, down=74
        ),
        LabelSheet(
            name="letter-2-5/8x1",
            paper=Paper.LETTER,
            columns=3,
            rows=10,
            wide=2.625 * _INCH,
            high=_INCH,
            left=0.1875 * _INCH,
            top=0.5 * _INCH,
            across=2.75 * _INCH,
            down=_INCH,
        ),
        LabelSheet(
            name="letter-4x2",
            paper=Paper.LETTER,
            columns=2,
            rows=5,
            wide=4 * _INCH,
            high=2 * _INCH,
            left=0.15625 * _INCH,
            top=0.5 * _INCH,
            across=4.1875 * _INCH,
            down=2 * _INCH,
        ),
    )
}
"""By name."""


def usual_labels(paper: Paper) -> LabelSheet:
    """Return the sheet that is taken where none is named."""
    return LABEL_SHEETS["a4-70x37" if paper is Paper.A4 else "letter-4x2"]
