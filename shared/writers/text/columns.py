"""Tables in plain text, no wider than asked: what has no room beside a row stands below it, nothing is cut off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from shared.writers.text.wrap import cells, wrapped

__all__ = ["columns"]

_GAP: Final = "  "
_ROOM_FOR_WORDS: Final = 20


def columns(rows: Sequence[Sequence[str]], sides: str, width: int | None = None) -> Iterator[str]:
    """Set rows in columns; columns without any text are left out.

    Parameters
    ----------
    rows : sequence of sequence of str
        The first holds the headings.
    sides : str
        A letter for each column: set to the left (<), to the right (>), or words (~), which stand without their heading
        where they have to stand below their row.
    width : int or None
        Columns of the terminal; None sets every row on one line.
    """
    kept = [column for column in range(len(sides)) if any(row[column] for row in rows[1:])]
    if not kept:
        return
    widths = {column: max(cells(row[column]) for row in rows) for column in kept}
    beside = _beside(kept, widths, sides, width)
    below = kept[len(beside) :]
    for number, row in enumerate(rows):
        yield from _lines(row, beside, widths, sides, width)
        words = [_named(rows[0][column], row[column], sides[column]) for column in below if row[column]]
        if words and number and width is not None:
            yield from wrapped(_GAP * 2 + " " * widths[beside[0]] + ", ".join(words), width, hang=0)


def _beside(kept: list[int], widths: dict[int, int], sides: str, width: int | None) -> list[int]:
    """Return the columns that have room beside each other; the last one shrinks where it holds words."""
    if width is None:
        return kept
    for count in range(len(kept), 1, -1):
        shown = kept[:count]
        last = shown[-1]
        room = width - sum(widths[column] + len(_GAP) for column in shown[:-1]) - len(_GAP)
        if widths[last] <= room:
            return shown
        if sides[last] == "~" and room >= _ROOM_FOR_WORDS:
            widths[last] = room
            return shown
    return kept[:1]


def _lines(
    row: Sequence[str], shown: list[int], widths: dict[int, int], sides: str, width: int | None
) -> Iterator[str]:
    """Write one row; words in its last column go on below themselves."""
    *texts, last = (row[column] for column in shown)
    first, *more = wrapped(last, None if width is None else widths[shown[-1]], hang=0) if shown else [""]
    padded = [_padded(text, widths[column], sides[column]) for text, column in zip([*texts, first], shown, strict=True)]
    yield (_GAP + _GAP.join(padded)).rstrip()
    indent = " " * sum(widths[column] + len(_GAP) for column in shown[:-1]) + _GAP
    yield from (indent + line for line in more)


def _padded(text: str, width: int, side: str) -> str:
    space = " " * (width - cells(text))
    return space + text if side == ">" else text + space


def _named(heading: str, cell: str, side: str) -> str:
    return cell if side == "~" or not heading else f"{heading} {cell}"
