"""Near misses: parts that would save something if they were a little shorter, and how much longer each may get."""

from __future__ import annotations

from fractions import Fraction

from cutting.asking.margins import Longer, Margins, Shorter
from cutting.question.job import Job
from cutting.question.lengths import format_length
from shared.view.advice.table import Advice, Heading, value_text
from shared.wording.sentences import worth_text
from shared.wording.tape import Tape, tape_of

__all__ = ["margins_advice"]


def margins_advice(job: Job, found: Margins, most: Fraction, saving: Fraction = Fraction(0)) -> Advice:
    """Present the margins of a job.

    Parameters
    ----------
    job : Job
        The job.
    found : Margins
        From `cutting.asking.margins.margins`.
    most : Fraction
        mm, the largest change that was asked about.
    saving : Fraction
        The least saving that was asked for, in the objective's unit; 0 for any.
    """
    tape = tape_of(job)
    shorter = {each.mark: each for each in found.shorter}
    lengths = {part.mark: tape.text(part.length) for part in job.parts}
    return Advice(
        title=job.title,
        lead=tuple(_lead(found, f"{tape.text(most)} saves {_least(job, saving)}", tape)),
        columns=(
            Heading(text="mark"),
            Heading(text="length", right=True),
            Heading(text="shorter by", right=True),
            Heading(text="saves", right=True),
            Heading(text="sticks fewer", right=True),
            Heading(text="longer for free", right=True),
        ),
        rows=tuple(
            (each.mark, lengths[each.mark], *_saving(job, tape, shorter.get(each.mark)), _free(tape, each, most))
            for each in found.longer
        ),
        notes=(
            "All pieces of one mark at a time, each proven by planning anew. Ask the designer before changing a part.",
        ),
        data=_data(job, found),
    )


def _least(job: Job, saving: Fraction) -> str:
    return f"{worth_text(job, saving)} or more" if saving else "anything"


def _lead(found: Margins, asked: str, tape: Tape) -> list[str]:
    lead = []
    if not found.shorter:
        lead.append(f"No part shortened by up to {asked}.")
    if found.kerf is not None:
        lead.append(f"This plan still fits with a saw cut of up to {tape.text(found.kerf)}.")
    return lead


def _saving(job: Job, tape: Tape, found: Shorter | None) -> tuple[str, str, str]:
    if found is None:
        return "", "", ""
    least = "" if found.certain else "at least "
    return tape.text(found.by), least + worth_text(job, found.saves), str(found.sticks) if found.sticks > 0 else ""


def _free(tape: Tape, found: Longer, most: Fraction) -> str:
    if found.by >= most:
        return f"{tape.text(found.by)} and maybe more"
    return ("" if found.certain else "at least ") + (tape.text(found.by) if found.by else "nothing")


def _data(job: Job, found: Margins) -> dict[str, object]:
    def write(mm: Fraction) -> str:
        return format_length(mm, job.unit)

    return {
        "unit": job.unit.value,
        "currency": job.currency,
        "kerf": None if found.kerf is None else write(found.kerf),
        "shorter": [
            {
                "mark": each.mark,
                "by": write(each.by),
                "saves": value_text(job, each.saves),
                "sticks": each.sticks,
                "certain": each.certain,
            }
            for each in found.shorter
        ],
        "longer": [{"mark": each.mark, "by": write(each.by), "certain": each.certain} for each in found.longer],
    }
