"""`tallystick schema`: the JSON Schema of job and plan files."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from cli.app import app

__all__ = ["schema"]


class What(StrEnum):
    """What there is a schema of."""

    JOB = "job"
    PLAN = "plan"


@app.command()
def schema(what: Annotated[What, typer.Argument(metavar="job|plan", help="Which of the two.")]) -> None:
    """Write the JSON Schema of a job file or a plan file."""
    import json  # noqa: PLC0415 - keeps --help instant

    from shared.files.job import job_schema  # noqa: PLC0415
    from shared.files.plan import plan_schema  # noqa: PLC0415

    typer.echo(json.dumps(job_schema() if what is What.JOB else plan_schema(), indent=2))
