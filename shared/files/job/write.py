"""Write a job as a job file that reads back as the same job."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Any

import tomlkit
from tomlkit.items import Item, Table

from cutting.question.job import Discount, Job, Part, PerLength, PerStick, Price, Source, Stick
from cutting.question.lengths import Unit, format_length
from shared.files.job.ends import ends_table
from shared.files.job.fields import WEIGHTS, readable
from shared.files.job.terms.write import (
    breaks_table,
    carry_table,
    keep_table,
    percent,
    substitutes_table,
    yard_table,
)

__all__ = ["Format", "job_table", "write_job"]


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
    """Return a job as the plain tables of a job file."""
    trims = Counter(stick.trims for stick in job.sticks)
    usual = max(trims, key=lambda pair: trims[pair], default=(Fraction(0), Fraction(0)))
    saw: dict[str, Any] = {"kerf": _length(job.saw.kerf, job.unit), "end_trim": _pair(usual, job.unit)}
    if job.saw.hold is not None:
        saw["hold"] = _length(job.saw.hold, job.unit)
    if job.saw.largest is not None:
        saw["largest_angle"] = f"{float(job.saw.largest):g}"
    if job.saw.one_way:
        saw["one_way"] = True
    table = _top(job)
    table["saw"] = saw
    table |= {field: value for field, value in _terms(job).items() if value}
    table["parts"] = [_part(part, job.unit) for part in job.parts]
    for source in Source:
        if lines := [_stick(stick, usual, job.unit) for stick in job.sticks if stick.source is source]:
            table[source.value] = lines
    return {field: _readable(value) for field, value in table.items()}


def _top(job: Job) -> dict[str, Any]:
    """Write what the job states once."""
    stated = {
        "title": job.title,
        "unit": job.unit.value,
        "currency": job.currency,
        "tolerance": job.tolerance and [_length(each, job.unit) for each in job.tolerance],
        "keep_from": "" if job.keep_from is None else _length(job.keep_from, job.unit),
        "tape": "" if job.tape is None else _length(job.tape, job.unit),
        "kind_cost": job.kind_cost and _plain(job.kind_cost),
        "layout_cost": job.layout_cost and _plain(job.layout_cost),
    }
    return {field: value for field, value in stated.items() if value} | ({} if job.idle else {"idle": False})


def _readable(value: Any) -> Any:
    """Write every text so that it reads back: a library's caller, or a list, may have put a control character in it."""
    if isinstance(value, str):
        return readable(value)
    if isinstance(value, list):
        return [_readable(each) for each in value]
    return {field: _readable(each) for field, each in value.items()} if isinstance(value, Mapping) else value


def _terms(job: Job) -> dict[str, Any]:
    return {
        "carry": carry_table(job.carry, job.unit),
        "keep_value": keep_table(job, _price),
        "yards": [yard_table(yard, job.unit) for yard in job.yards],
    }


def _part(part: Part, unit: Unit) -> dict[str, Any]:
    line: dict[str, Any] = {"mark": part.mark, "section": part.section.name}
    if part.section.material:
        line["material"] = part.section.material
    line |= {"length": _length(part.length, unit), "quantity": part.quantity}
    line |= dict(ends_table(part, unit))
    if part.note:
        line["note"] = part.note
    if part.assembly:
        line["assembly"] = part.assembly
    if part.substitutes:
        line["substitutes"] = substitutes_table(part)
    return line


def _stick(stick: Stick, usual: tuple[Fraction, Fraction], unit: Unit) -> dict[str, Any]:
    line: dict[str, Any] = {"id": stick.id, "section": stick.section.name}
    if stick.section.material:
        line["material"] = stick.section.material
    if stick.yard:
        line["yard"] = stick.yard
    line["length"] = _length(stick.length, unit)
    if stick.usable is not None:
        line["usable"] = _length(stick.usable, unit)
    if stick.price is not None:
        field, value = _price(stick.price)
        line[field] = value
    if stick.breaks:
        line["breaks"] = breaks_table(stick.breaks, _price)
    if stick.available is not None:
        line["available" if stick.source is Source.STICKS else "quantity"] = stick.available
    if stick.trims != usual:
        line["end_trim"] = _pair(stick.trims, unit)
    return line


def _length(mm: Fraction, unit: Unit) -> str:
    return format_length(mm, unit)


def _pair(trims: tuple[Fraction, Fraction], unit: Unit) -> str | list[str]:
    first, second = (_length(trim, unit) for trim in trims)
    return first if not trims[1] else [first, second]


def _price(price: Price) -> tuple[str, str]:
    if isinstance(price, PerStick):
        return "price", _plain(price.amount)
    if isinstance(price, Discount):
        return "discount", percent(price.share)
    units = {unit.mm: unit.value for unit in Unit} if isinstance(price, PerLength) else _weights()
    if price.per not in units:
        raise ValueError(f"no unit of the job file is {price.per} {'mm' if isinstance(price, PerLength) else 'kg'}")
    field = "price_per_length" if isinstance(price, PerLength) else "price_per_weight"
    return field, f"{_plain(price.amount)}/{units[price.per]}"


def _weights() -> dict[Fraction, str]:
    return {kg: unit for unit, kg in WEIGHTS.items()}


def _plain(amount: Decimal) -> str:
    return f"{amount:f}"


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
    return isinstance(value, list) and any(isinstance(each, Mapping) for each in value)


def _table(fields: Mapping[str, Any]) -> Table:
    table = tomlkit.table()
    for field, value in fields.items():
        table.append(field, _within(value))
    return table


def _within(value: Any) -> Item:
    """Write a value, or a table within a line."""
    if isinstance(value, list):
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
