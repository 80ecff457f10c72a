"""Read a new parts list for a work. Runs in a child: everything here is as somebody sent it."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, replace

from api.service.runner.child import Line
from api.sheet.form import SheetForm
from api.sheet.one_list import OneList
from cutting.question.feasible import Places, input_problems
from cutting.question.job import Job, Part, Stick
from cutting.question.lengths import show_length
from shared.files.job import Format, read_job, write_job
from shared.reading import PartsList, join_sections, part_of, read_parts
from shared.wording.angled import part_ends_words
from shared.wording.tape import tape_of
from shared.work.replan.marks import with_marks
from shared.work.replan.revise import compare_lists
from shared.work.saw.work import WorkBook

__all__ = ["ListRead", "listed_now", "read_list_task"]


@dataclass(frozen=True, kw_only=True, slots=True)
class ListRead(OneList):
    """A new parts list as understood.

    Attributes
    ----------
    faults : tuple of str
        What is wrong with parts that read well each by itself.
    changes : tuple of str
        What it changes, in words; empty while something is open.
    document : bytes
        The job file that would be in force; empty while something is open.
    """

    faults: tuple[str, ...]
    changes: tuple[str, ...]
    document: bytes


def read_list_task(_line: Line, form: SheetForm, book: WorkBook) -> ListRead:
    """Read a parts list, and say what it would change about a work."""
    read, questions = read_parts(form.parts, unit=form.stated_unit or book.work.job.unit)
    whole = tuple(question for question in questions if not question.line)
    faults: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    document = b""
    if read.parts and not questions:
        stated = _stated(book)
        revised = _Revised(stated=stated, parts=_parts(stated, read), lines=tuple(part.line for part in read.parts))
        faults = tuple(revised.faults())
        if not faults:
            compared = compare_lists(book.work.job, revised.job, book)
            changes, document = (*compared.words, *revised.kept_ends()), write_job(revised.job, Format.JSON)
    return ListRead(lines=read.lines, questions=whole, faults=faults, changes=changes, document=document)


def listed_now(job: Job) -> str:
    """Write a parts list as a table that reads back as it is, to be changed where the drawing did."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(("mark", "quantity", "section", "material", "length", "note"))
    for part in job.parts:
        section = part.section
        writer.writerow(
            (part.mark, part.quantity, section.name, section.material, show_length(part.length, job.unit), part.note)
        )
    return out.getvalue()


def _stated(book: WorkBook) -> Job:
    stated, problems = read_job(book.work.document, name="job.json")
    if stated is None:
        raise ValueError(f"the work's job can't be read: {problems[0].where}: {problems[0].message}")
    return stated


def _parts(stated: Job, read: PartsList) -> tuple[Part, ...]:
    """Return the parts of a list, each with the mark and the section that the work knows it by."""
    listed, _ = join_sections(read.parts, ())
    families = {stick.section.name.partition(" ")[2]: stick for stick in stated.sticks if " " in stick.section.name}
    return with_marks([_with_family(part_of(part), families) for part in listed], stated.parts)


def _with_family(part: Part, sticks: dict[str, Stick]) -> Part:
    """Give dimensions without a family the section that the work's sticks have for them."""
    known = sticks.get(part.section.name)
    if part.section.family or known is None:
        return part
    return replace(part, section=replace(known.section, material=part.section.material or known.section.material))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Revised:
    """The work's job with other parts.

    Attributes
    ----------
    stated : Job
        In force until now.
    parts : tuple of Part
        As the new list has them.
    lines : tuple of int
        Where each stands in it.
    """

    stated: Job
    parts: tuple[Part, ...]
    lines: tuple[int, ...]

    @property
    def job(self) -> Job:
        """The job from now on: what a pasted list never says of a part stays as it was."""
        before = {part.mark: part for part in self.stated.parts}
        return replace(self.stated, parts=tuple(_kept(part, before.get(part.mark)) for part in self.parts))

    def kept_ends(self) -> Iterator[str]:
        """Say which parts keep their angled ends because the list says nothing of them."""
        for part, now in zip(self.parts, self.job.parts, strict=True):
            if part.ends is None and now.ends is not None:
                ends = part_ends_words(now, tape_of(self.job))
                yield f"{now.mark} keeps its angled ends ({ends}): the list says none."

    def faults(self) -> Iterator[str]:
        """Say what is wrong with parts that read well each by itself."""
        job = self.job
        places = Places(
            parts=tuple(f"line {line}" for line in self.lines), sticks=tuple(stick.id for stick in job.sticks)
        )
        for problem in input_problems(job, places):
            yield f"{problem.where[:1].upper()}{problem.where[1:]}: {problem.message}."
        offered = {stick.section.key for stick in job.sticks}
        for part, line in zip(job.parts, self.lines, strict=True):
            if not offered & {part.section.key, *(other.section.key for other in part.substitutes)}:
                known = ", ".join(dict.fromkeys(stick.section.label for stick in job.sticks))
                yield (
                    f"Line {line}: nothing of {part.section.label} was offered for this work, which has {known}. "
                    "Write one of these, or plan such parts on a sheet of their own."
                )


def _kept(part: Part, before: Part | None) -> Part:
    """Keep what a pasted list doesn't say: angled ends, accepted substitutes, the assembly."""
    if before is None or part.section.key != before.section.key:
        return part
    return replace(
        part,
        ends=part.ends or before.ends,
        substitutes=part.substitutes or before.substitutes,
        assembly=part.assembly or before.assembly,
    )
