"""Which part of the list in force a line of a new list means, where the new one doesn't say its marks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from cutting.question.job import Part

__all__ = ["with_marks"]


def with_marks(parts: Sequence[Part], before: Sequence[Part]) -> tuple[Part, ...]:
    """Give the parts of a new list the marks that the list in force has for them.

    Parameters
    ----------
    parts : sequence of Part
        Of the new list. Where all are only numbered (``P1``, ``P2``, ...), as a list without marks is, each takes
        what its line begins with, where that is different for each and some of it is a mark in force; else the mark of
        a part of the same section, length and ends; else its own number
        where that is a part's mark and left over; else a number that no part had.
    before : sequence of Part
        Of the list in force.

    Returns
    -------
    tuple of Part
        In the order of the new list. A list that states its marks stays as it is.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from cutting.question.job import Section
    >>> def part(mark, length, note=""):
    ...     return Part(mark=mark, section=Section(name="SHS 2x2x1/8"), length=Fraction(length), quantity=1, note=note)
    >>> [each.mark for each in with_marks([part("P1", 500), part("P2", 700)], [part("A", 700), part("B", 600)])]
    ['P1', 'A']
    >>> [each.mark for each in with_marks([part("P1", 500, "B rails")], [part("A", 700), part("B", 600)])]
    ['B']
    """
    if any(part.mark != f"P{number}" for number, part in enumerate(parts, start=1)):
        return tuple(parts)
    matching = _Matching(parts, before)
    matching.by_note()
    matching.by(lambda part, old: part.mark == old.mark and _alike(part, old))
    matching.by(_alike)
    matching.by(lambda part, old: part.mark == old.mark)
    return matching.named()


def _alike(part: Part, old: Part) -> bool:
    """Whether a line may mean this part; one that says nothing of its ends may mean angled ones."""
    same = (part.section.key, part.length) == (old.section.key, old.length)
    return same and part.ends in {None, old.ends}


class _Matching:
    """Lines of a new list, each with the part of the old one that it means."""

    def __init__(self, parts: Sequence[Part], before: Sequence[Part]) -> None:
        self.parts = list(parts)
        self.marks: list[str | None] = [None] * len(parts)
        self.known = {part.mark for part in before}
        self.free = {part.mark: part for part in before}

    def by_note(self) -> None:
        """Take what each line begins with for its mark, where these are all different and one of them is known."""
        firsts = [part.note.partition(" ")[0].strip(".:,;") for part in self.parts]
        if len(set(firsts)) < len(firsts) or "" in firsts or not self.known.intersection(firsts):
            return
        for at, (part, mark) in enumerate(zip(self.parts, firsts, strict=True)):
            self.marks[at] = mark
            self.parts[at] = replace(part, note=part.note.partition(" ")[2].strip())
            self.free.pop(mark, None)

    def by(self, means: Callable[[Part, Part], bool]) -> None:
        """Match what is left by some likeness."""
        for at, part in enumerate(self.parts):
            if self.marks[at] is None:
                found = next((mark for mark, old in self.free.items() if means(part, old)), None)
                if found is not None:
                    self.marks[at] = found
                    del self.free[found]

    def named(self) -> tuple[Part, ...]:
        """Return the parts with their marks; those that are new get numbers that no part had."""
        taken = self.known | {mark for mark in self.marks if mark is not None}
        numbers = (f"P{number}" for number in range(1, len(taken) + len(self.parts) + 1))
        unused = (mark for mark in numbers if mark not in taken)
        return tuple(
            replace(part, mark=next(unused) if mark is None else mark)
            for part, mark in zip(self.parts, self.marks, strict=True)
        )
