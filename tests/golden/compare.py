"""Say how what was found differs from what was kept, field by field, in words."""

from __future__ import annotations

import csv
import difflib
import io
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, fields
from fractions import Fraction
from typing import Any, TypeVar

from cutting.answer.plan import Result
from cutting.buying.objective import objective_of
from cutting.question.job import Job

MOST = 12  # differences said of one plan or text


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """What any engine must say of a job again; cost and bound exact, in the objective's unit, empty without a plan."""

    job: str
    status: str
    rests: str
    objective: str
    cost: str
    bound: str
    layouts: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Work:
    """What the proof took, over all sections of a job: counts that repeat on every machine."""

    job: str
    proposals: int
    lp_solves: int
    dives: int
    nodes: int


Row = TypeVar("Row", Answer, Work)


def answer_of(name: str, job: Job, result: Result) -> Answer:
    """Sum a result up."""
    plan = result.plan
    return Answer(
        job=name,
        status=result.status.value,
        rests=result.proof.rests.value,
        objective=objective_of(job).value,
        cost="" if plan is None else exact(plan.cost),
        bound="" if result.proof.infeasible else exact(result.proof.lower_bound),
        layouts=0 if plan is None else len(plan.cuts),
    )


def work_of(name: str, result: Result) -> Work:
    """Add up what a result took."""
    sections = result.report.sections
    return Work(
        job=name,
        proposals=sum(each.proposals for each in sections),
        lp_solves=sum(each.lp_solves for each in sections),
        dives=sum(each.dives for each in sections),
        nodes=sum(each.nodes for each in sections),
    )


def exact(value: Fraction) -> str:
    """Write a number exactly: as a decimal where it is one, else as a fraction."""
    places = 0
    while places < 12 and (value * 10**places).denominator > 1:
        places += 1
    scaled = value * 10**places
    if scaled.denominator > 1:
        return str(value)
    digits = f"{abs(scaled.numerator):0{places + 1}d}"
    return ("-" if value < 0 else "") + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)


def written(rows: Iterable[Answer] | Iterable[Work]) -> str:
    """Write rows as a table to read and to keep."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for number, row in enumerate(rows):
        table = asdict(row)
        if not number:
            writer.writerow(table)
        writer.writerow(table.values())
    return out.getvalue()


def read(kind: type[Row], text: str) -> dict[str, Row]:
    """Read such a table back, by job."""
    numbers = {field.name for field in fields(kind) if field.type == "int"}
    rows: dict[str, Row] = {}
    for record in csv.DictReader(io.StringIO(text), strict=True):
        values: dict[str, Any] = {key: int(value) if key in numbers else value for key, value in record.items()}
        assert values["job"] not in rows, f"{values['job']} stands twice in the table"
        rows[values["job"]] = kind(**values)
    return rows


def answer_differences(kept: Answer, found: Answer) -> list[str]:
    """Say what of an answer isn't as kept; fewer layouts are no difference, more are."""
    old, new = asdict(kept), asdict(found)
    told = [f"{key}: kept {old[key]!r}, found {new[key]!r}" for key in old if key != "layouts" and old[key] != new[key]]
    if found.layouts > kept.layouts:
        told.append(f"layouts: kept {kept.layouts}, found more: {found.layouts}")
    return told


def work_differences(kept: Mapping[str, Work], found: Mapping[str, Work]) -> list[str]:
    """Say of which count all jobs together take more than was kept, and which jobs do."""
    told = []
    for count in ("proposals", "lp_solves", "dives", "nodes"):
        old, new = (sum(getattr(row, count) for row in rows.values()) for rows in (kept, found))
        if new > old:
            more = [
                f"{name} {getattr(kept[name], count)} -> {getattr(row, count)}"
                for name, row in found.items()
                if getattr(row, count) > getattr(kept[name], count)
            ]
            told.append(f"{count}: kept {old} in all, found more: {new} ({', '.join(more)})")
    return told


def plan_differences(kept: bytes, found: bytes) -> list[str]:
    """Say which fields of a plan file aren't as kept; where all are, at which byte the files part."""
    if kept == found:
        return []
    try:
        told = list(_fields("", json.loads(kept), json.loads(found)))
    except ValueError as error:
        told = [f"no JSON: {error}"]
    if not told:
        place = next((n for n, (a, b) in enumerate(zip(kept, found, strict=False)) if a != b), -1)
        where = f"from byte {place} on" if place >= 0 else "at the end"
        told = [f"the same values in other bytes {where}: kept {_near(kept, place)}, found {_near(found, place)}"]
    return _first(told)


def _fields(path: str, kept: Any, found: Any) -> Iterator[str]:
    if isinstance(kept, dict) and isinstance(found, dict):
        for key in dict.fromkeys([*kept, *found]):
            inner = f"{path}.{key}" if path else key
            if key not in kept or key not in found:
                yield f"{inner}: {'kept' if key in kept else 'found'} only"
            else:
                yield from _fields(inner, kept[key], found[key])
    elif isinstance(kept, list) and isinstance(found, list):
        if len(kept) != len(found):
            yield f"{path}: kept {len(kept)} entries, found {len(found)}"
        for number, (old, new) in enumerate(zip(kept, found, strict=False)):
            yield from _fields(f"{path}[{number}]", old, new)
    elif kept != found or type(kept) is not type(found):
        yield f"{path}: kept {kept!r}, found {found!r}"


def _near(data: bytes, place: int) -> str:
    return repr(data[max(0, place - 10) : place + 10] if place >= 0 else data[-10:])


def text_differences(kept: str, found: str) -> list[str]:
    """Say which lines of a text aren't as kept."""
    if kept == found:
        return []
    old, new = kept.splitlines(), found.splitlines()
    told = [
        f"line {start + 1}: kept {old[start:end]}, found {new[begin:stop]}"
        for tag, start, end, begin, stop in difflib.SequenceMatcher(None, old, new, autojunk=False).get_opcodes()
        if tag != "equal"
    ]
    return _first(told or ["the same lines, ended otherwise"])


def _first(told: list[str]) -> list[str]:
    return told if len(told) <= MOST else [*told[:MOST], f"and {len(told) - MOST} more differences"]
