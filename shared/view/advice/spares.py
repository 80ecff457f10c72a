"""What a spoilt part would cost: which can be cut again from the drops, and what covering the others costs."""

from __future__ import annotations

from collections.abc import Sequence

from cutting.asking.spares import Spare
from cutting.question.job import Job
from shared.view.advice.table import Advice, Heading, value_text
from shared.wording.plurals import listed
from shared.wording.sentences import worth_text
from shared.wording.tape import tape_of

__all__ = ["spares_advice"]


def spares_advice(job: Job, found: Sequence[Spare]) -> Advice:
    """Present what happens where one piece of a part is spoilt.

    Parameters
    ----------
    job : Job
        The job.
    found : sequence of Spare
        From `cutting.asking.spares.spares`.
    """
    tape = tape_of(job)
    lengths = {part.mark: tape.text(part.length) for part in job.parts}
    bare = [each.mark for each in found if not each.covered]
    if bare:
        lead = f"One spoilt piece of {listed(bare)} can't be cut again from what this plan leaves."
    else:
        lead = "Any one spoilt piece can be cut again from what this plan leaves."
    return Advice(
        title=job.title,
        lead=(lead,),
        columns=(
            Heading(text="mark"),
            Heading(text="length", right=True),
            Heading(text="from a drop of"),
            Heading(text="a spare costs", right=True),
        ),
        rows=tuple((each.mark, lengths[each.mark], each.stick or "", _cost(job, each)) for each in found),
        notes=("One piece of one mark at a time: a drop serves once. A spare is cut with the rest of the plan.",),
        data={
            "unit": job.unit.value,
            "currency": job.currency,
            "spares": [
                {
                    "mark": each.mark,
                    "covered": each.covered,
                    "stick": each.stick,
                    "cost": value_text(job, each.cost),
                    "certain": each.certain,
                }
                for each in found
            ],
        },
    )


def _cost(job: Job, spare: Spare) -> str:
    if spare.covered:
        return "nothing"
    if spare.cost is None:
        return "no plan with one more exists" if spare.certain else "not known"
    return ("" if spare.certain else "at most ") + (worth_text(job, spare.cost) if spare.cost else "nothing")
