"""Write a job as a job file that reads back as the same job."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from enum import StrEnum
from fractions import Fraction
from typing import Any, Final

import tomlkit
from tomlkit.items import Item, Table

from cutting.question.job import Job, Source
from shared.files.job.fields import Reading
from shared.files.job.pieces import OwnLine, PieceLine, RackLine, StickLine
from shared.files.job.wire import JobFile, PartLine, SawFields

__all__ = ["Format", "job_table", "write_job"]

_PIECES: Final[Mapping[Source, type[PieceLine]]] = {
    Source.STICKS: StickLine,
    Source.RACK: RackLine,
    Source.OWN: OwnLine,
}


class Format(StrEnum):
    """How a job file is written."""

    TOML = "toml"
    JSON = "json"


def write_job(job: Job, form: Format = Format.TOML) -> bytes:
    """Write a job file in UTF-8.

    Parameters
    ----------
    job : Job
        The job.
    form : Format
        TOML or JSON.

    Returns
    -------
    bytes
        `shared.files.job.read_job` makes the same job of it: lengths and prices are texts that read back exactly. Line
        breaks and control characters in texts, which a job file can't hold, are written as spaces.

    Raises
    ------
    ValueError
        A price whose length or weight basis is no unit of the job file.
    """
    table = job_table(job)
    if form is Format.JSON:
        return (json.dumps(table, ensure_ascii=False, indent=2) + "\n").encode()
    return _toml(table).encode()


def job_table(job: Job) -> dict[str, Any]:
    """Return a job as the plain tables of a job file; what it says nothing of is left out."""
    trims = Counter(stick.trims for stick in job.sticks)
    usual = max(trims, key=lambda pair: trims[pair], default=(Fraction(0), Fraction(0)))
    pieces: dict[str, tuple[PieceLine, ...]] = {
        source.value: tuple(kind.of_stick(stick, usual) for stick in job.sticks if stick.source is source)
        for source, kind in _PIECES.items()
    }
    file = JobFile.of(
        job,
        saw=SawFields.of(job.saw, end_trim=usual),
        parts=tuple(PartLine.of_part(part, job.unit) for part in job.parts),
        **pieces,
    )
    table = file.model_dump(context=Reading(unit=job.unit, currency=job.currency), exclude_defaults=True)
    return {field: value for field, value in table.items() if value != {}}


def _toml(table: Mapping[str, Any]) -> str:
    """Write tables line by line, and what lies in a line within it."""
    document = tomlkit.document()
    for field, value in table.items():
        if isinstance(value, Mapping):
            document.append(field, _table(value))
        elif _is_lines(value):
            lines = tomlkit.aot()
            for line in value:
                lines.append(_table(line))
            document.append(field, lines)
        else:
            document.append(field, _within(value))
    return tomlkit.dumps(document)


def _is_lines(value: Any) -> bool:
    return isinstance(value, list | tuple) and any(isinstance(each, Mapping) for each in value)


def _table(fields: Mapping[str, Any]) -> Table:
    table = tomlkit.table()
    for field, value in fields.items():
        table.append(field, _within(value))
    return table


def _within(value: Any) -> Item:
    """Write a value, or a table within a line."""
    if isinstance(value, list | tuple):
        array = tomlkit.array()
        for each in value:
            array.append(_within(each))
        return array
    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        for field, each in value.items():
            table.append(field, _within(each))
        return table
    written: Item = tomlkit.item(value)
    return written
