"""Rows of a data frame as rows of plain values, so that a table from a notebook can be a parts list."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from typing import Any, Protocol

__all__ = ["Frame", "plain_rows"]

Problems = Callable[[str, Any, str], None]


class Frame(Protocol):
    """What is asked of a data frame, pandas' or another's."""

    @property
    def columns(self) -> Any:
        """Names of its columns."""

    def itertuples(self, index: bool = True, name: str | None = "") -> Iterable[tuple[Any, ...]]:  # noqa: FBT001, FBT002  as pandas has it
        """Return its rows."""


def plain_rows(
    rows: Iterable[Sequence[Any]] | Frame, needed: Sequence[str], spare: Sequence[str], where: str, problem: Problems
) -> Iterable[Sequence[Any]]:
    """Return rows of plain values: as they are, or a data frame's, its columns taken by name in any order.

    Parameters
    ----------
    rows : iterable of sequences, or a data frame
        Anything with ``columns`` and ``itertuples`` counts as a data frame, so pandas isn't imported for asking.
    needed, spare : sequence of str
        Columns that must be there, and that may be; a row comes back in this order.
    where : str
        Name of the table in what is said of it.
    problem : callable
        Takes (where, text, message) of each column that is missing or unknown.

    Notes
    -----
    A frame holds numbers as binary floats: each is read as the shortest decimal that gives it, which is what
    was written. An empty cell (NaN, NaT, NA) is nothing.
    """
    if not hasattr(rows, "columns") or not hasattr(rows, "itertuples"):
        return rows
    columns = [str(name) for name in rows.columns]
    known = f"columns are {', '.join(needed)}; there may be {', '.join(spare)}"
    wrong = [name for name in columns if name not in {*needed, *spare}]
    missing = [name for name in needed if name not in columns]
    for name in wrong:
        problem(where, name, f"no column is called {name}; {known}")
    for name in missing:
        problem(where, name, f"the column {name} is missing; {known}")
    if wrong or missing:
        return []
    names = (*needed, *spare)
    places = [columns.index(name) if name in columns else None for name in names]
    cells = rows.itertuples(index=False, name=None)
    whole = [[None if place is None else _plain(row[place]) for place in places] for row in cells]
    return [_without_empty(row, len(needed)) for row in whole]


def _without_empty(row: list[Any], needed: int) -> list[Any]:
    """Leave out what is empty behind the last cell that says something."""
    while len(row) > needed and row[-1] is None:
        row.pop()
    return row


def _plain(value: Any) -> Any:
    """Return a cell as plain Python; None where it is empty."""
    plain = value.item() if hasattr(value, "item") else value
    if plain is None or type(plain).__name__ in {"NAType", "NaTType"} or plain != plain:  # noqa: PLR0124  only NaN differs
        return None
    if isinstance(plain, float):
        return int(plain) if plain.is_integer() else Decimal(repr(plain))
    return plain
