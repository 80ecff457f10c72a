"""What a new drawing changes: two parts lists side by side, and which pieces were cut for nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from cutting.question.job import Job, Part
from shared.wording.angled import part_ends_words
from shared.wording.plurals import listed
from shared.wording.tape import Tape, tape_of
from shared.work.saw.needs import same_piece, sawn_part
from shared.work.saw.work import Made, MadeState, WorkBook

__all__ = ["ChangeKind", "ListChange", "ListChanges", "compare_lists"]


class ChangeKind(StrEnum):
    """What is different about a part."""

    ADDED = "added"
    GONE = "gone"
    MORE = "more"
    FEWER = "fewer"
    LONGER = "longer"
    SHORTER = "shorter"
    SECTION = "section"
    ENDS = "ends"
    SUBSTITUTES = "substitutes"
    """What else it may be cut from."""
    NOTE = "note"
    """Its note, or the assembly it belongs to."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ListChange:
    """One thing that is different about one part.

    Attributes
    ----------
    mark : str
        Which part.
    kind : ChangeKind
        What.
    words : str
        A sentence for people.
    """

    mark: str
    kind: ChangeKind
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class ListChanges:
    """What is different between two parts lists.

    Attributes
    ----------
    changes : tuple of ListChange
        In the order of the new list; parts that are gone last, in the order of the old one.
    surplus : tuple of int
        Ids of good pieces that nobody needs any more; of more than are needed those that were sawn last.
    again : tuple of int
        Ids of pieces that an earlier revision had no use for, and that this one asks for again.
    words : tuple of str
        All of it for people, a sentence each.
    """

    changes: tuple[ListChange, ...]
    surplus: tuple[int, ...]
    again: tuple[int, ...]
    words: tuple[str, ...]

    @property
    def any(self) -> bool:
        """Whether the lists differ at all."""
        return bool(self.changes)


def compare_lists(old: Job, new: Job, book: WorkBook | None = None) -> ListChanges:
    """Set two parts lists side by side.

    Parameters
    ----------
    old : Job
        In force until now.
    new : Job
        From now on; its unit is the one that lengths are shown in.
    book : WorkBook or None
        The work whose list it is: what was made so far, and as what.
    """
    before = {part.mark: part for part in old.parts}
    after = {part.mark: part for part in new.parts}
    tape = tape_of(new)
    found: list[ListChange] = []
    for part in new.parts:
        if part.mark in before:
            found += _changed(before[part.mark], part, old, new, tape)
        else:
            found.append(_added(part, tape))
    found += (_gone(part) for part in old.parts if part.mark not in after)
    fate = _Fate.of(() if book is None else _sawn(book), after)
    told = tuple(change.words for change in found) or ("Nothing in the parts list has changed.",)
    return ListChanges(
        changes=tuple(found),
        surplus=tuple(each.made.id for each in fate.surplus),
        again=tuple(each.made.id for each in fate.again),
        words=(*told, *fate.words(after)),
    )


def _added(part: Part, tape: Tape) -> ListChange:
    ends = f", {part_ends_words(part, tape)}" if part.ends is not None else ""
    words = f"{part.mark} is new: {part.quantity} of {part.section.label}, {tape.text(part.length)}{ends}."
    return ListChange(mark=part.mark, kind=ChangeKind.ADDED, words=words)


def _gone(part: Part) -> ListChange:
    words = f"{part.mark} is no longer asked for; it was {part.quantity} of {part.section.label}."
    return ListChange(mark=part.mark, kind=ChangeKind.GONE, words=words)


def _changed(one: Part, two: Part, old: Job, new: Job, tape: Tape) -> Iterator[ListChange]:
    mark = two.mark

    def change(kind: ChangeKind, words: str) -> ListChange:
        return ListChange(mark=mark, kind=kind, words=f"{mark} {words}.")

    if two.quantity != one.quantity:
        more = two.quantity - one.quantity
        kind = ChangeKind.MORE if more > 0 else ChangeKind.FEWER
        yield change(kind, f"is wanted {two.quantity} times instead of {one.quantity}: {abs(more)} {kind}")
    if two.length != one.length:
        by = two.length - one.length
        kind = ChangeKind.LONGER if by > 0 else ChangeKind.SHORTER
        yield change(
            kind, f"is {tape.text(two.length)} long instead of {tape.text(one.length)}: {tape.text(abs(by))} {kind}"
        )
    if two.section.key != one.section.key:
        yield change(ChangeKind.SECTION, f"is of {two.section.label} instead of {one.section.label}")
    if two.ends != one.ends:
        yield change(ChangeKind.ENDS, f"has other ends: {_ends(two, new)}, before {_ends(one, old)}")
    if [each.section.key for each in two.substitutes] != [each.section.key for each in one.substitutes]:
        yield change(ChangeKind.SUBSTITUTES, f"may be cut from {_others(two)} besides, before from {_others(one)}")
    if two.note != one.note:
        yield change(ChangeKind.NOTE, f"has the note {_quoted(two.note)}, before {_quoted(one.note)}")
    if two.assembly != one.assembly:
        yield change(ChangeKind.NOTE, f"belongs to {_quoted(two.assembly)}, before {_quoted(one.assembly)}")


def _ends(part: Part, job: Job) -> str:
    return "both square" if part.ends is None else part_ends_words(part, tape_of(job))


def _others(part: Part) -> str:
    return listed([each.section.label for each in part.substitutes]) if part.substitutes else "nothing"


def _quoted(text: str) -> str:
    return f'"{text}"' if text else "none"


@dataclass(frozen=True, kw_only=True, slots=True)
class _Sawn:
    """A piece that was made, and the part it is: as it was asked for then, of the section it was cut from."""

    made: Made
    part: Part


def _sawn(book: WorkBook) -> tuple[_Sawn, ...]:
    parts = ((each, sawn_part(book, each), book.bar(each.bar).section) for each in book.made)
    return tuple(_Sawn(made=made, part=replace(part, section=section)) for made, part, section in parts)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Fate:
    """What becomes of the pieces that were made."""

    surplus: tuple[_Sawn, ...]
    again: tuple[_Sawn, ...]

    @classmethod
    def of(cls, sawn: Sequence[_Sawn], after: Mapping[str, Part]) -> _Fate:
        left = Counter({mark: part.quantity for mark, part in after.items()})
        found: dict[tuple[MadeState, bool], list[_Sawn]] = {}
        for state in (MadeState.GOOD, MadeState.SURPLUS):
            for each in (each for each in sawn if each.made.state is state):
                mark = each.made.mark
                serves = left[mark] > 0 and same_piece(each.part, after[mark])
                left[mark] -= serves
                found.setdefault((state, serves), []).append(each)
        return cls(
            surplus=tuple(found.get((MadeState.GOOD, False), ())), again=tuple(found.get((MadeState.SURPLUS, True), ()))
        )

    def words(self, after: Mapping[str, Part]) -> Iterator[str]:
        """Say it by mark."""
        parts = {each.made.mark: each.part for each in self.surplus}
        for mark, count in Counter(each.made.mark for each in self.surplus).items():
            other = _like(parts[mark], after)
            hint = f"; {other} is of the same section, length and ends" if other else ""
            yield f"{count} of {mark} {_are(count)} cut already and no longer needed{hint}."
        for mark, count in Counter(each.made.mark for each in self.again).items():
            yield f"{count} of {mark} that {'were' if count > 1 else 'was'} surplus before {_are(count)} needed again."


def _are(count: int) -> str:
    return "are" if count > 1 else "is"


def _like(part: Part, after: Mapping[str, Part]) -> str:
    """Return the mark of another part of the new list for which such pieces would do; empty where there is none."""
    return next((mark for mark, now in after.items() if mark != part.mark and same_piece(part, now)), "")
