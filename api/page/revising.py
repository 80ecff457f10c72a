"""Read a new parts list for a work. Runs in a child: everything here is as somebody sent it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from api.page.form import SheetForm
from api.runner.child import Line
from cutting.feasible import Places, input_problems
from cutting.job import Job, Part, Stick
from cutting.problems import Problem
from shared.jobfile import Format, read_job, write_job
from shared.reading import LineRead, PartsList, Question, join_sections, part_of, read_parts
from shared.shop.revise import compare_lists
from shared.shop.work import WorkBook

__all__ = ["ListRead", "read_list_task"]

_MOST_OPEN = 40


@dataclass(frozen=True, kw_only=True, slots=True)
class ListRead:
    """A new parts list as understood.

    Attributes
    ----------
    lines : tuple of LineRead
        Each line.
    questions : tuple of Question
        What concerns the list as a whole.
    faults : tuple of str
        What is wrong with parts that read well each by itself.
    changes : tuple of str
        What it changes, in words; empty while something is open.
    document : bytes
        The job file that would be in force; empty while something is open.
    """

    lines: tuple[LineRead, ...]
    questions: tuple[Question, ...]
    faults: tuple[str, ...]
    changes: tuple[str, ...]
    document: bytes

    def echo(self, _name: str) -> tuple[LineRead, ...]:
        """Return the lines, for the margin."""
        return self.lines

    def open(self, _name: str) -> tuple[LineRead, ...]:
        """Return the lines that ask something, the first of many."""
        return self._asking[:_MOST_OPEN]

    def more_open(self, _name: str) -> int:
        """Count the lines that ask something beyond those."""
        return max(0, len(self._asking) - _MOST_OPEN)

    def whole(self, _name: str) -> tuple[Question, ...]:
        """Return what concerns the list as a whole."""
        return self.questions

    def caret(self, question: Question) -> str:
        """Return a line with a caret under the place in question."""
        return " " * (question.position or 0) + "^"

    @property
    def _asking(self) -> tuple[LineRead, ...]:
        return tuple(line for line in self.lines if line.questions)


def read_list_task(_line: Line, form: SheetForm, book: WorkBook) -> ListRead:
    """Read a parts list, and say what it would change about a work."""
    read, questions = read_parts(form.parts, unit=form.stated_unit or book.work.job.unit)
    whole = tuple(question for question in questions if not question.line)
    faults: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    document = b""
    if read.parts and not questions:
        job = _revised(book, read)
        faults = tuple(_faults(job, read))
        if not faults:
            changes, document = compare_lists(book.work.job, job, book).words, write_job(job, Format.JSON)
    return ListRead(lines=read.lines, questions=whole, faults=faults, changes=changes, document=document)


def _revised(book: WorkBook, read: PartsList) -> Job:
    """Return the job of the work with other parts; what is understood of a part stays where the list doesn't say it."""
    stated, problems = read_job(book.work.document, name="job.json")
    if stated is None:
        raise ValueError(f"the work's job can't be read: {problems[0].where}: {problems[0].message}")
    listed, _ = join_sections(read.parts, ())
    before = {part.mark: part for part in stated.parts}
    families = {stick.section.name.partition(" ")[2]: stick for stick in stated.sticks if " " in stick.section.name}
    parts = tuple(_kept(_with_family(part_of(part), families), before.get(part.mark)) for part in listed)
    return replace(stated, parts=parts)


def _with_family(part: Part, sticks: dict[str, Stick]) -> Part:
    """Give dimensions without a family the section that the work's sticks have for them."""
    known = sticks.get(part.section.name)
    if part.section.family or known is None:
        return part
    return replace(part, section=replace(known.section, material=part.section.material or known.section.material))


def _kept(part: Part, before: Part | None) -> Part:
    """Keep what a pasted list never says: accepted substitutes, and the assembly where it names none."""
    if before is None:
        return part
    substitutes = before.substitutes if part.section.key == before.section.key else ()
    return replace(part, substitutes=substitutes, assembly=part.assembly or before.assembly)


def _faults(job: Job, read: PartsList) -> Iterator[str]:
    places = Places(
        parts=tuple(f"line {part.line}" for part in read.parts), sticks=tuple(stick.id for stick in job.sticks)
    )
    offered = {stick.section.key for stick in job.sticks}
    for problem in input_problems(job, places):
        yield _said(problem)
    for part, line in zip(job.parts, read.parts, strict=True):
        if not offered & {part.section.key, *(other.section.key for other in part.substitutes)}:
            known = ", ".join(dict.fromkeys(stick.section.label for stick in job.sticks))
            yield (
                f"Line {line.line}: nothing of {part.section.label} was offered for this work, which has {known}. "
                "Write one of these, or put a whole new sheet in hand for it."
            )


def _said(problem: Problem) -> str:
    where = problem.where[:1].upper() + problem.where[1:]
    return f"{where}: {problem.message}."
