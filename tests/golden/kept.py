"""Where the kept answers lie, and what belongs there today."""

from __future__ import annotations

from pathlib import Path

from shared.files.plan import write_plan
from tests.golden.compare import Answer, Work, answer_of, read, work_of, written
from tests.golden.questions import HERE, files, job_of, solved

ANSWERS = HERE / "answers.csv"
WORK = HERE / "work.csv"
PLANS = HERE / "plans"


def plan_path(name: str) -> Path:
    """Where a job's plan file is kept."""
    return PLANS / f"{name}.plan.json"


def plan_bytes(name: str) -> bytes:
    """Write a job's plan file as of today."""
    return write_plan(job_of(name), solved(name))


def answer(name: str) -> Answer:
    """Sum a job's answer up as of today."""
    return answer_of(name, job_of(name), solved(name))


def work(name: str) -> Work:
    """Count a job's work as of today."""
    return work_of(name, solved(name))


def kept_answers() -> dict[str, Answer]:
    """Read the kept table of answers."""
    return read(Answer, ANSWERS.read_text(encoding="utf-8"))


def kept_work() -> dict[str, Work]:
    """Read the kept table of work."""
    return read(Work, WORK.read_text(encoding="utf-8"))


def answers_of_today() -> dict[Path, bytes]:
    """Write the table of answers."""
    return {ANSWERS: written(answer(name) for name in files()).encode()}


def work_of_today() -> dict[Path, bytes]:
    """Write the table of work."""
    return {WORK: written(work(name) for name in files()).encode()}


def plans_of_today() -> dict[Path, bytes]:
    """Write every plan file."""
    return {plan_path(name): plan_bytes(name) for name in files()}
