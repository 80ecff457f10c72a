"""The jobs whose answers are kept, by name, and what the engine says of them today."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from cutting.answer.plan import Result
from cutting.question.job import Job
from cutting.solve import solve
from shared.files.job import read_job

HERE = Path(__file__).parent
FIXTURES = HERE.parents[1] / "fixtures"
LIMIT = 3600.0  # seconds: every job here is proven in a blink, and no busy machine may end a search


@cache
def files() -> dict[str, bytes]:
    """Return every job file by its name: all fixtures, all published examples, the random jobs of `jobs/`."""
    found = {path.name: path for path in FIXTURES.iterdir() if path.is_file()}
    found |= {f"published/{path.name}": path for path in (FIXTURES / "published").glob("*.toml")}
    found |= {f"random/{path.name}": path for path in (HERE / "jobs").glob("*.json")}
    named = {name: path.read_bytes() for name, path in found.items()}
    for line in (FIXTURES / "published" / "single_length.jsonl").read_text(encoding="utf-8").splitlines():
        name, data = _single_length(line)
        named[name] = data
    return dict(sorted(named.items()))


def _single_length(line: str) -> tuple[str, bytes]:
    """Write a published instance with one kind of stick as a job file: no kerf, no prices."""
    record = json.loads(line)
    sizes = zip(record["lengths"], record["demands"], strict=True)
    table = {
        "title": record["name"],
        "unit": "mm",
        "saw": {"kerf": "0"},
        "parts": [{"section": "bar", "length": str(length), "quantity": demand} for length, demand in sizes],
        "sticks": [{"section": "bar", "length": str(record["stick"])}],
    }
    return f"published/{record['name']}.json", json.dumps(table).encode()


def job_of(name: str) -> Job:
    """Read one of the jobs."""
    job, problems = read_job(files()[name], name=name)
    assert job is not None, problems
    return job


@cache
def solved(name: str) -> Result:
    """Solve one of the jobs, once in a process."""
    return solve(job_of(name), limit=LIMIT, cores=1)
