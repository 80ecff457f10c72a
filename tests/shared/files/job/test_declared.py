"""Each field of the job file is declared once: what is declared is read, written, in the schema and described."""

import copy
import json
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any

import jsonschema
import pytest
from pydantic import Field

from cutting.question.job import Saw
from cutting.question.lengths import Unit
from shared.files.job import Format, JobFile, job_of_table, job_schema, read_job, write_job
from shared.files.job.fields import LengthField, Reading, TextField
from shared.files.job.lines import validate_table
from shared.files.job.table import Table, table_in
from shared.files.job.wire import SawFields

SECTION = "SHS 1-1/2x1-1/2x1/8"
BOUGHT = {"section": SECTION, "length": "20 ft", "price": "70.00", "yard": "Harbour Steel"}
SOUND: dict[str, Any] = {
    "unit": "in",
    "currency": "USD",
    "saw": {"kerf": "3/32", "end_trim": "1/4"},
    "yards": [{"name": "Harbour Steel", "delivery": "45"}],
    "parts": [{"section": SECTION, "length": "80 1/2", "quantity": 24}],
    "sticks": [{**BOUGHT}],
    "rack": [{**BOUGHT}],
    "own": [{"section": SECTION, "length": "20 ft"}],
}
"""A job that every field's example can be put into."""
MITRED = {"ends": ["45", "45"], "lean": "opposed", "measured": "long point"}
FLAT = {"section": "RHS 3x2x1/8", "ends": ["45", "0"], "measured": "long point", "plane": "3"}
COMPANY: dict[str, dict[str, Any]] = {
    "parts.0.ends": FLAT,
    "parts.0.lean": MITRED,
    "parts.0.measured": MITRED,
    "parts.0.plane": FLAT,
    "parts.0.depth": {
        "section": "hat",
        "ends": ["45", "0"],
        "measured": "long point",
        "plane": "first",
        "long_points": "top",
    },
    "parts.0.long_points": {"section": "L 3x2x1/4", "ends": ["45", "0"], "measured": "long point"},
    "parts.0.mark": {"mark": "X1"},
    "sticks.0.id": {"id": "X1"},
    "sticks.0.breaks.0.from_quantity": {"price": "57.90"},
    "rack.0.id": {"id": "X1"},
    "own.0.id": {"id": "X1"},
}
"""What a field can't be said without, or by."""
PRICES = ("price", "price_per_length", "price_per_weight", "discount")


def tables(table: type[Table] = JobFile, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Every table of the job file with the path of its first line."""
    yield path, table
    for field, info in table.model_fields.items():
        inner = table_in(info.annotation)
        if inner is not None:
            several = str(info.annotation).startswith("tuple")
            yield from tables(inner, (*path, field, 0) if several else (*path, field))


FIELDS = [(path, table, field) for path, table in tables() for field in table.model_fields]
PLAIN = [
    (path, table, field) for path, table, field in FIELDS if table_in(table.model_fields[field].annotation) is None
]


def name_of(each: Any) -> str:
    return each if isinstance(each, str) else each.__name__ if isinstance(each, type) else ".".join(map(str, each))


def least(table: type[Table]) -> dict[str, Any]:
    return {
        field: info.examples[0] for field, info in table.model_fields.items() if info.is_required() and info.examples
    }


def at(raw: Any, path: tuple[str | int, ...]) -> dict[str, Any]:
    """The table at a path, made with what it needs where it isn't there."""
    table: type[Table] = JobFile
    for step, following in pairwise((*path, None)):
        if isinstance(step, str):
            table = table_in(table.model_fields[step].annotation) or table
            raw = raw.setdefault(step, [least(table)] if following == 0 else least(table))
        else:
            raw = raw[step]
    return raw


def stating(path: tuple[str | int, ...], table: type[Table], field: str) -> dict[str, Any]:
    """A job that says a field as its example does."""
    raw = copy.deepcopy(SOUND)
    line = at(raw, path)
    for price in PRICES if field in PRICES else ():
        line.pop(price, None)
    line[field] = (table.model_fields[field].examples or [None])[0]
    line |= COMPANY.get(name_of((*path, field)), {})
    return raw


@pytest.mark.parametrize(("path", "table", "field"), PLAIN, ids=name_of)
def test_what_is_declared_is_read_and_written(path: tuple[str | int, ...], table: type[Table], field: str) -> None:
    raw = stating(path, table, field)
    job, problems = job_of_table(raw)
    assert problems == ()
    assert job is not None
    for form in Format:
        again, problems = read_job(write_job(job, form), name=f"job.{form}")
        assert (again, problems) == (job, ())
    written = json.loads(write_job(job, Format.JSON))
    assert field in at(written, path)
    del at(raw, path)[field]
    assert job_of_table(raw)[0] != job


@pytest.mark.parametrize(("path", "table", "field"), FIELDS, ids=name_of)
def test_what_is_declared_is_in_the_schema_with_a_sentence(
    path: tuple[str | int, ...], table: type[Table], field: str
) -> None:
    schema = job_schema()
    properties = (schema["$defs"][table.__name__] if path else schema)["properties"]
    assert properties[field]["description"].endswith((".", ";")), properties[field]
    if table_in(table.model_fields[field].annotation) is None:
        assert properties[field]["examples"]
        jsonschema.validate(stating(path, table, field), schema)


@dataclass(frozen=True, kw_only=True)
class CooledSaw(Saw):
    """A saw with two things that no saw of ours states."""

    coolant: str = ""
    table: Fraction | None = None


class CooledSawFields(SawFields):
    """Its table, with nothing but the two declarations."""

    makes = CooledSaw

    coolant: TextField = Field(default="", description="What cools it.", examples=["emulsion"])
    table: LengthField | None = Field(default=None, description="How long its table is.", examples=["9 ft"])


def test_a_new_field_needs_one_declaration() -> None:
    reading = Reading(unit=Unit.IN, currency=None)
    stated = {"kerf": "3/32", "coolant": "emulsion", "table": "9 ft"}
    line, problems = validate_table(CooledSawFields, stated, "saw", reading)
    assert line is not None, problems
    saw = line.value()
    assert saw == CooledSaw(kerf=Fraction(3, 32) * Unit.IN.mm, coolant="emulsion", table=108 * Unit.IN.mm)
    written = CooledSawFields.of(saw).model_dump(context=reading, exclude_defaults=True)
    assert written == {"kerf": "3/32", "coolant": "emulsion", "table": "108"}
    assert CooledSawFields.of(CooledSaw(kerf=Fraction(0))).model_dump(context=reading, exclude_defaults=True) == {
        "kerf": "0"
    }
    assert CooledSawFields.model_json_schema()["properties"]["table"]["description"] == "How long its table is."
    (problem,) = validate_table(CooledSawFields, {**stated, "table": "9 fot"}, "saw", reading)[1]
    assert (problem.where, problem.text) == ("saw.table", "9 fot")
