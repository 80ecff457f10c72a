"""One and many: how counted things are said, in one place."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["listed", "many", "plural"]


def plural(number: int, one: str, several: str = "") -> str:
    """Return the word for so many, without the number; the plural is made with an s where none is given.

    Examples
    --------
    >>> plural(1, "stick"), plural(0, "stick"), plural(2, "piece from the rack", "pieces from the rack")
    ('stick', 'sticks', 'pieces from the rack')
    >>> plural(1, "is", "are"), plural(2, "is", "are")
    ('is', 'are')
    """
    return one if number == 1 else several or f"{one}s"


def many(number: int, one: str, several: str = "") -> str:
    """Say how many of what.

    Examples
    --------
    >>> many(1, "part"), many(12, "part"), many(0, "part")
    ('1 part', '12 parts', '0 parts')
    """
    return f"{number} {plural(number, one, several)}"


def listed(words: Sequence[str]) -> str:
    """Join words as a sentence does.

    Examples
    --------
    >>> listed(["a"]), listed(["a", "b"]), listed(["a", "b", "c"])
    ('a', 'a and b', 'a, b and c')
    """
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 2 else words)  # noqa: PLR2004
