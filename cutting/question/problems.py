"""What is wrong with an input, said so that the person can mend it."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Problem"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Problem:
    """One thing that is wrong with an input.

    Attributes
    ----------
    where : str
        A field path (``parts[3].length``) or a line (``line 7``).
    text : str
        The text as it was given, empty where something is missing.
    message : str
        What is wrong and what to write instead.
    position : int or None
        Index into `text` at which a caret helps, where one position is to blame.
    """

    where: str
    text: str
    message: str
    position: int | None = None
