"""`tallystick check`: whether a plan is an answer to a job."""

from __future__ import annotations

from typing import Annotated

import typer

from cli.app import app
from cli.exits import Code, leave, leave_with_problems
from cli.files import name_of, read_bytes
from cli.plan import read_job_file
from shared.wording.plurals import listed

__all__ = ["check"]


@app.command()
def check(
    job: Annotated[str, typer.Argument(metavar="JOB", help="Job file, TOML or JSON; - reads standard input.")],
    plan: Annotated[
        str, typer.Argument(metavar="PLAN", help="Plan as JSON, as plan --json wrote it; - reads standard input.")
    ],
) -> None:
    """Check a plan against its job, from their two files."""
    from shared.files.plan import check_file, read_plan, unproven  # noqa: PLC0415 - keeps --help instant

    if job == plan == "-":
        raise typer.BadParameter("only one of the two can be standard input")
    question = read_job_file(job)
    stated, problems = read_plan(read_bytes(plan), question)
    if stated is None:
        leave_with_problems(name_of(plan), problems)
    faults = check_file(question, stated)
    if faults:
        leave(Code.FAULTS, "\n".join([f"{name_of(plan)} fails its check:", *(f"  {fault}" for fault in faults)]))
    what = "is a right answer" if stated.plan else "states no plan, and nothing else that could be wrong"
    taken = listed(unproven(stated))
    typer.echo(f"{name_of(plan)} {what}. Taken as stated, since only planning anew proves it: {taken}.")
