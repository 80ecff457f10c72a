"""What one offcut is worth to a job, by its length: what to have in hand at the rack."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cutting.asking.worth import Worth
from cutting.question.job import Job
from cutting.question.lengths import format_length
from shared.view.advice.plot import staircases
from shared.view.advice.table import Advice, Heading, value_text
from shared.wording.sentences import trim_words, usual_trims, worth_text
from shared.wording.tape import tape_of

__all__ = ["worth_advice", "worth_plot"]

_WIDE = 32
_EIGHTHS = " ▏▎▍▌▋▊▉█"


def worth_advice(job: Job, found: Worth) -> Advice:
    """Present what pieces of one section are worth.

    Parameters
    ----------
    job : Job
        The job.
    found : Worth
        One section's, from `cutting.asking.worth.worth`.
    """
    tape = tape_of(job)
    if found.shortest is None:
        lead = ["No single piece of this section would save anything, whatever its length."]
    else:
        lead = [f"Nothing shorter than {tape.text(found.shortest)} is worth looking at."]
    most = max((step.worth for step in found.steps), default=Fraction(0))
    rows = tuple(
        (
            tape.text(step.length),
            ("" if step.certain else "at least ") + worth_text(job, step.worth),
            _bar(step.worth, most),
        )
        for step in found.steps
    )
    return Advice(
        title=found.section.label,
        lead=tuple(lead),
        columns=(
            Heading(text="from a length of", right=True),
            Heading(text="pay at most", right=True),
            Heading(text=""),
        ),
        rows=rows,
        notes=tuple(_notes(job)) if rows else (),
        data={
            "section": found.section.name,
            "material": found.section.material,
            "shortest": None if found.shortest is None else format_length(found.shortest, job.unit),
            "steps": [
                {
                    "length": format_length(step.length, job.unit),
                    "worth": value_text(job, step.worth),
                    "certain": step.certain,
                }
                for step in found.steps
            ],
        },
    )


def _bar(value: Fraction, most: Fraction) -> str:
    """Draw a value as a bar of up to `_WIDE` signs, exact to an eighth of one."""
    eighths = int(value * _WIDE * 8 / most) if most else 0
    whole, rest = divmod(eighths, 8)
    return "█" * whole + (_EIGHTHS[rest] if rest else "")


def _notes(job: Job) -> Sequence[str]:
    trims = trim_words(job, usual_trims(job))
    return (
        "For one piece by itself, delivery, minimum orders and breaks aside, against the best plan without it.",
        f"Lengths are of sound steel with both ends sawn square; for raw ends add what is trimmed ({trims}).",
    )


def worth_plot(job: Job, found: Sequence[Worth]) -> str:
    """Draw the worth of pieces over their length as SVG, a staircase for each section that is worth anything.

    Parameters
    ----------
    job : Job
        The job.
    found : sequence of Worth
        From `cutting.asking.worth.worth`.
    """
    return staircases(job, [each for each in found if each.steps])
