"""The job file: the one wire form of a job, in TOML, in JSON and over the network; reading one needs no writer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.late import handed_out

if TYPE_CHECKING:
    from shared.files.job.read import job_of_table, read_job
    from shared.files.job.wire import JobFile, job_schema
    from shared.files.job.write import Format, write_job

__all__ = ["Format", "JobFile", "job_of_table", "job_schema", "read_job", "write_job"]

__getattr__, __dir__ = handed_out(
    __name__,
    {
        "Format": "write",
        "JobFile": "wire",
        "job_of_table": "read",
        "job_schema": "wire",
        "read_job": "read",
        "write_job": "write",
    },
)
