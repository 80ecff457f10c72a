"""Exit codes and the last word before one."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum
from typing import NoReturn

import typer

from cutting.answer.plan import Status
from cutting.question.problems import Problem

__all__ = ["Code", "leave", "leave_with_problems", "of_status", "printable"]


class Code(IntEnum):
    """What a command's exit code says."""

    DONE = 0
    """A plan (proven or not), or whatever else was asked for."""
    FAULTS = 1
    """`check` found faults in the plan."""
    USAGE = 2
    """The command was not written as it should be."""
    INPUT = 3
    """The input is wrong, or a file can't be read or written."""
    IMPOSSIBLE = 4
    """No plan can exist for this job."""
    UNKNOWN = 5
    """No plan was found within the time limit, and none was ruled out."""
    DEFECT = 70
    """A defect of ours."""
    STOPPED = 130
    """Stopped with Ctrl-C."""


def of_status(status: Status) -> Code:
    """Exit code of a solve: 0 for a plan, proven cheapest or not."""
    return {Status.INFEASIBLE: Code.IMPOSSIBLE, Status.UNKNOWN: Code.UNKNOWN}.get(status, Code.DONE)


def leave(code: Code, message: str = "") -> NoReturn:
    """End the command, with a message on stderr."""
    if message:
        typer.echo(message, err=True)
    raise typer.Exit(code)


def leave_with_problems(name: str, problems: Sequence[Problem]) -> NoReturn:
    """End the command with everything that is wrong with an input."""
    count = "1 problem" if len(problems) == 1 else f"{len(problems)} problems"
    leave(Code.INPUT, "\n".join([f"{name}: {count}", *(_block(problem) for problem in problems)]))


def _block(problem: Problem) -> str:
    from rich.cells import cell_len  # noqa: PLC0415 - only where something is wrong

    where, text = printable(problem.where), printable(problem.text)
    lines = [f"  {where}: {text}" if text else f"  {where}"]
    if text and problem.position is not None:
        lines.append(" " * (cell_len(f"  {where}: ") + cell_len(text[: problem.position])) + "^")
    return "\n".join([*lines, f"      {problem.message}"])


def printable(text: str) -> str:
    """Keep a terminal safe from what a file may hold, its tabs as spaces; positions stay."""
    spaced = text.replace("\t", " ")
    return "".join(character if character.isprintable() else "\N{REPLACEMENT CHARACTER}" for character in spaced)
