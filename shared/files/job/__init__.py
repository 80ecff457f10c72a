"""The job file: the one wire form of a job, in TOML, in JSON and over the network."""

from shared.files.job.read import job_of_table, read_job
from shared.files.job.wire import JobFile, job_schema
from shared.files.job.write import Format, write_job

__all__ = ["Format", "JobFile", "job_of_table", "job_schema", "read_job", "write_job"]
