"""Numbers that follow one another, as runs from first to last."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["runs"]


def runs(numbers: Iterable[int]) -> tuple[tuple[int, int], ...]:
    """Return numbers as runs from first to last, ascending."""
    found: list[tuple[int, int]] = []
    for number in sorted(set(numbers)):
        if found and found[-1][1] == number - 1:
            found[-1] = (found[-1][0], number)
        else:
            found.append((number, number))
    return tuple(found)
