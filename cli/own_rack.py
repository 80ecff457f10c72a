"""`tallystick plan --own-rack`: the shop's free pieces join the job's own."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from cli.shop import opened_shop
from cutting.question.job import Job
from cutting.question.problems import Problem

if TYPE_CHECKING:
    from shared.work.rack.bars import Bar

__all__ = ["OwnRackOption", "rack_bars", "with_rack_of"]

OwnRackOption = Annotated[
    bool, typer.Option("--own-rack", help="Offer the free pieces of the shop's own rack (see rack) as own pieces too.")
]


def rack_bars(data: Path | None, store: str, *, wanted: bool) -> tuple[Bar, ...] | None:
    """Return everything on the shop's books, None where it isn't wanted."""
    if not wanted:
        if data is not None or store:
            raise typer.BadParameter("--data and --store say where the rack is; say --own-rack to have it offered")
        return None
    with opened_shop(data, store) as shop:
        return shop.bars(states=None)


def with_rack_of(data: bytes, name: str, bars: Sequence[Bar]) -> tuple[Job | None, tuple[Problem, ...]]:
    """Read a job file together with the rack."""
    from shared.files.job.document import read_document  # noqa: PLC0415 - keeps --help instant
    from shared.work.rack.own_lines import job_with_rack  # noqa: PLC0415

    table, problems = read_document(data, name=name)
    return (None, problems) if table is None else job_with_rack(table, bars)
