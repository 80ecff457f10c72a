"""What every table of the job file has in common."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

__all__ = ["Table"]


class Table(BaseModel):
    """A table of the job file: unknown fields are refused by name."""

    model_config = ConfigDict(extra="forbid", frozen=True)
