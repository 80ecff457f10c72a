"""The list of earlier sheets: what each was for, what it came to, when, and how it begins."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from api.sheet.form import LISTS
from api.sheet.kept import Kept
from shared.store import DraftRecord, State, WrittenRecord

__all__ = ["Earlier", "earlier_sheets"]

_FIRST_LINES: Final = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Earlier:
    """One earlier sheet.

    Attributes
    ----------
    path : str
        Where it opens.
    title : str
        What it is for, as somebody wrote it; may be empty.
    sum : str
        What its plan costs, with the currency; empty without prices or without a plan.
    state : str
        What to say of it: ``not finished``, ``cancelled``; empty where it is answered.
    when : datetime
        UTC, when it was made or, unfinished, written last.
    lines : tuple of str
        How it begins.
    """

    path: str
    title: str
    sum: str
    state: str
    when: datetime
    lines: tuple[str, ...]


def earlier_sheets(written: Iterable[WrittenRecord], drafts: Iterable[DraftRecord], asked: str) -> tuple[Earlier, ...]:
    """Return the sheets that hold every asked word, newest first.

    Parameters
    ----------
    written : iterable of WrittenRecord
        Sheets that became jobs.
    drafts : iterable of DraftRecord
        Sheets that didn't yet.
    asked : str
        Words to be found in title or lists, in any case; empty for all.
    """
    words = asked.casefold().split()
    found = [sheet for sheet, text in (*_written(written), *_drafts(drafts)) if all(word in text for word in words)]
    return tuple(sorted(found, key=lambda sheet: sheet.when, reverse=True))


def _written(written: Iterable[WrittenRecord]) -> Iterator[tuple[Earlier, str]]:
    for one in written:
        lines = _lines(one.sheet)
        state = "" if one.job.state is State.DONE else one.job.state.value
        yield (
            Earlier(
                path=f"/plans/{one.job.id}",
                title=one.job.title,
                sum="" if one.plan is None else _sum(one.plan),
                state=state,
                when=one.job.created,
                lines=lines[:_FIRST_LINES],
            ),
            _searched(one.job.title, lines),
        )


def _drafts(drafts: Iterable[DraftRecord]) -> Iterator[tuple[Earlier, str]]:
    for one in drafts:
        lines = _lines(one.document)
        yield (
            Earlier(
                path=f"/sheets/{one.id}",
                title=one.title,
                sum="",
                state="not finished",
                when=one.changed,
                lines=lines[:_FIRST_LINES],
            ),
            _searched(one.title, lines),
        )


def _lines(sheet: bytes | None) -> tuple[str, ...]:
    if sheet is None:
        return ()
    form = Kept.from_json(sheet).form
    return tuple(line.strip() for field in LISTS for line in form.text(field).split("\n") if line.strip())


def _searched(title: str, lines: Iterable[str]) -> str:
    return "\n".join((title, *lines)).casefold()


def _sum(plan: bytes) -> str:
    """Read the sum out of a plan file: what is to be paid where yards have terms, else the cost."""
    table = json.loads(plan)
    if not table["currency"] or table["cost"] is None:
        return ""
    paid = (table.get("money") or {}).get("paid", table["cost"])
    return f"{table['currency']} {paid}"
