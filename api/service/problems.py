"""Errors of the service in one shape: problem details as in RFC 9457, all problems with an input at once."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from enum import Enum
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, field_validator

from cutting.question.problems import Problem

__all__ = ["ApiError", "Fault", "Kind", "ProblemBody", "fault_of", "invalid_job", "not_now", "pointer", "sendable"]

_STEP = re.compile(r"\.?([^.\[\]]+)|\[(\d+)\]")


class Kind(Enum):
    """The types of problem: (name in the type's address, status, title). They are stable."""

    BAD_REQUEST = ("bad-request", 400, "The request can't be understood")
    PASSWORD_NEEDED = ("password-needed", 401, "The shop's password is needed")
    FOREIGN_ORIGIN = ("foreign-origin", 403, "The request comes from another site")
    NOT_FOUND = ("not-found", 404, "There is nothing here")
    METHOD_NOT_ALLOWED = ("method-not-allowed", 405, "That can't be done here")
    NO_PLAN_YET = ("no-plan", 409, "There is no plan")
    TAKEN = ("taken", 409, "A piece is no longer free")
    STALE = ("stale", 409, "Somebody else changed it meanwhile")
    NOT_POSSIBLE = ("not-possible", 409, "That can't be done as things stand")
    IN_HAND = ("in-hand", 409, "The job is in hand")
    TOO_SLOW = ("too-slow", 408, "The request came too slowly")
    TOO_LARGE = ("too-large", 413, "The request is too large")
    UNSUPPORTED_MEDIA_TYPE = ("unsupported-media-type", 415, "The content type is not one that is read here")
    WRONG_HOST = ("wrong-host", 421, "The request is addressed to another host")
    INVALID_JOB = ("invalid-job", 422, "The job has problems")
    UNCLEAR_LINES = ("unclear-lines", 422, "Some lines can't be taken as they stand")
    INVALID_PARAMETERS = ("invalid-parameters", 422, "The request's parameters have problems")
    KEY_REUSED = ("key-reused", 422, "The Idempotency-Key was used for another request")
    TOO_HARD_TO_READ = ("too-hard-to-read", 422, "The upload took too much to read")
    QUEUE_FULL = ("queue-full", 429, "Too many solves are waiting")
    TOO_MANY_TRIES = ("too-many-tries", 429, "Too many wrong passwords")
    DEFECT = ("defect", 500, "A defect of ours")
    BUSY = ("busy", 503, "The service is busy")

    @property
    def slug(self) -> str:
        """Name in the type's address."""
        return str(self.value[0])

    @property
    def status(self) -> int:
        """HTTP status."""
        return int(self.value[1])

    @property
    def title(self) -> str:
        """One sentence, always the same."""
        return str(self.value[2])

    @property
    def uri(self) -> str:
        """The type's address, where it is explained."""
        return f"/problems/{self.slug}"


def sendable(text: str) -> str:
    r"""Write a text so that it can be sent: half a surrogate pair, which JSON's escapes allow, becomes a question mark.

    Examples
    --------
    >>> sendable("Zaun \ud800"), sendable("Zäune")
    ('Zaun ?', 'Zäune')
    """
    return text.encode(errors="replace").decode()


class Fault(BaseModel):
    """One thing that is wrong with what was sent."""

    model_config = ConfigDict(frozen=True)

    detail: str = Field(description="What is wrong and what to write instead.")
    pointer: str | None = Field(
        default=None, description="JSON Pointer (RFC 6901) as a fragment to the value.", examples=["#/parts/3/length"]
    )
    parameter: str | None = Field(default=None, description="Name of the query parameter or header.")
    where: str | None = Field(default=None, description="The place in words, such as a line of a text.")
    text: str | None = Field(default=None, description="The text as it was given.")
    position: int | None = Field(default=None, description="Index into the text where a caret helps.")

    @field_validator("detail", "pointer", "parameter", "where", "text", mode="before")
    @classmethod
    def _sendable(cls, text: str | None) -> str | None:
        return None if text is None else sendable(text)


class ProblemBody(BaseModel):
    """An error, as RFC 9457 describes it."""

    model_config = ConfigDict(frozen=True)

    type: str = Field(description="What kind of problem, by address.", examples=["/problems/invalid-job"])
    title: str = Field(description="The kind in words; always the same for one type.")
    status: int = Field(description="The HTTP status.")
    detail: str = Field(description="This one in words.")
    instance: str | None = Field(default=None, description="Path of the request.")
    errors: tuple[Fault, ...] = Field(default=(), description="Every single fault with what was sent.")


class ApiError(Exception):
    """Answer a request with a problem.

    Parameters
    ----------
    kind : Kind
        Which.
    detail : str
        This one in words.
    faults : tuple of Fault
        Every single one.
    headers : mapping of str to str, optional
        To be sent with it.
    """

    def __init__(
        self, *, kind: Kind, detail: str, faults: tuple[Fault, ...] = (), headers: Mapping[str, str] | None = None
    ) -> None:
        self.kind = kind
        self.detail = sendable(detail)
        self.faults = faults
        self.headers = headers or {}
        super().__init__(detail)

    def body(self, instance: str) -> dict[str, Any]:
        """Return the problem as JSON has it."""
        return ProblemBody(
            type=self.kind.uri,
            title=self.kind.title,
            status=self.kind.status,
            detail=self.detail,
            instance=instance,
            errors=self.faults,
        ).model_dump(exclude_none=True)


def pointer(where: str) -> str | None:
    """Turn a field path into a JSON pointer.

    Examples
    --------
    >>> pointer("parts[3].length"), pointer("line 7, column 2")
    ('#/parts/3/length', None)
    >>> pointer("a~b.c/d")
    '#/a~0b/c~1d'
    """
    if " " in where or where in {"", "file"}:
        return None
    steps = [name or index for name, index in _STEP.findall(where)]
    return "#" + "".join("/" + step.replace("~", "~0").replace("/", "~1") for step in steps)


def fault_of(problem: Problem) -> Fault:
    """Turn a reader's problem into a fault."""
    found = pointer(problem.where)
    return Fault(
        detail=problem.message,
        pointer=found,
        where=problem.where if found is None else None,
        text=problem.text or None,
        position=problem.position,
    )


def not_now(why: str) -> ApiError:
    """Refuse for now what can't be kept: the request is right and may be sent again."""
    detail = f"{why[:1].upper()}{why[1:]}. Nothing was changed; try again in a few seconds."
    return ApiError(kind=Kind.BUSY, detail=detail, headers={"Retry-After": "5"})


def invalid_job(problems: Sequence[Problem]) -> ApiError:
    """Refuse a job with all its problems."""
    count = "one problem" if len(problems) == 1 else f"{len(problems)} problems"
    return ApiError(kind=Kind.INVALID_JOB, detail=f"The job has {count}.", faults=tuple(map(fault_of, problems)))
