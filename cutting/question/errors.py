"""Every exception the engine raises on purpose, drawn as one tree.

::

    CuttingError
    +-- LengthError        a text that is no length, or has two readings
    +-- JobError           a job that cannot be right; carries every problem found
    +-- PlanRejectedError  a plan that the checker refused: a defect of ours, never of the input
    +-- SectionError       a section name with two readings, or one that contradicts itself
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cutting.question.problems import Problem

__all__ = ["CuttingError", "JobError", "LengthError", "PlanRejectedError", "SectionError"]


class CuttingError(Exception):
    """Root of the tree: catch this to catch everything the engine says on purpose."""


class LengthError(CuttingError):
    """A text could not be read as one exact length.

    Parameters
    ----------
    text : str
        What was given.
    position : int
        Index into `text` where reading failed (for a caret).
    wanted : str
        What is wrong and what to write instead, in one sentence.
    """

    def __init__(self, text: str, position: int, wanted: str) -> None:
        self.text = text
        self.position = position
        self.wanted = wanted
        super().__init__(f"{wanted}: {text!r}")


class JobError(CuttingError):
    """A job has problems; all of them travel in `problems`.

    Parameters
    ----------
    problems : Sequence[Problem]
        Every problem found, in the order of the input.
    """

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{p.where}: {p.message}" for p in self.problems))


class PlanRejectedError(CuttingError):
    """The checker found faults in a plan of our own making.

    Parameters
    ----------
    faults : Sequence[str]
        What the checker found, one sentence each.
    """

    def __init__(self, faults: Sequence[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("the plan fails its check: " + "; ".join(self.faults))


class SectionError(CuttingError):
    """A section name has two readings, or contradicts itself.

    Parameters
    ----------
    text : str
        The name as given.
    message : str
        What is wrong and what to write instead, in one sentence.
    choices : Sequence[str]
        The names it may stand for, each of which is read without a question; empty where there are none to offer.
    """

    def __init__(self, text: str, message: str, choices: Sequence[str] = ()) -> None:
        self.text = text
        self.message = message
        self.choices = tuple(choices)
        super().__init__(f"{message}: {text!r}")
