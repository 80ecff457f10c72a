"""The sentences of the view: what to buy, how good that is, how the saw is set."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Final

from cutting.answer.plan import Buy, Objective, Plan, Rests, Result, Status
from cutting.answer.totals import add_up
from cutting.buying.objective import objective_of
from cutting.question.job import Job, Source
from cutting.question.tape import told_length
from shared.wording.amounts import cost_text, gap_of
from shared.wording.cautions import ON_THE_SUMMARY
from shared.wording.held import held_to
from shared.wording.plurals import listed, many
from shared.wording.tape import tape_of
from shared.wording.values import amount, weight
from shared.wording.weights import missing

__all__ = [
    "CAUTIONS",
    "answer",
    "counted",
    "gap_text",
    "proof",
    "proven_text",
    "remarks",
    "saw_sentence",
    "sum_text",
    "trim_words",
    "usual_trims",
    "worth_text",
]

CAUTIONS: Final = tuple(caution.text for caution in ON_THE_SUMMARY)

_MOST_NAMED: Final = 3
_SOURCES: Final = {
    Source.STICKS: ("stick", "sticks"),
    Source.RACK: ("piece from the rack", "pieces from the rack"),
    Source.OWN: ("piece of your own", "pieces of your own"),
}


def counted(number: int, source: Source) -> str:
    """Say how many of what: ``1 stick``, ``3 pieces from the rack``."""
    return many(number, *_SOURCES[source])


def answer(job: Job, result: Result) -> str:
    """Say first what to buy and what it costs, or that there is no plan."""
    if result.plan is None:
        if result.status is Status.INFEASIBLE:
            return "No plan can exist for this job."
        return "No plan was found within the time limit, and none is ruled out."
    taken = {source: _taken(result.plan.buy, source) for source in Source}
    bought = [f"Buy {counted(taken[Source.STICKS], Source.STICKS)}"] if taken[Source.STICKS] else []
    pieces = [counted(taken[source], source) for source in (Source.RACK, Source.OWN) if taken[source]]
    phrase = listed([*bought, f"{'take' if bought else 'Take'} {listed(pieces)}"] if pieces else bought)
    return f"{_from_yards(result.plan, phrase)}: {_cost(job, result.plan)}."


def _from_yards(plan: Plan, phrase: str) -> str:
    """Name the yards, where they are few and have names."""
    names = [order.yard for order in plan.orders]
    if not names or not all(names):
        return phrase
    where = listed(names) if len(names) <= _MOST_NAMED else f"{len(names)} yards"
    return f"From {where} {phrase[0].lower()}{phrase[1:]}"


def _taken(buy: Sequence[Buy], source: Source) -> int:
    return sum(line.quantity for line in buy if line.source is source)


def _cost(job: Job, plan: Plan) -> str:
    if plan.objective is Objective.MONEY:
        return worth_text(job, plan.cost if plan.paid is None else Fraction(plan.paid))
    return f"{worth_text(job, plan.cost)} of steel"


def worth_text(job: Job, value: Fraction) -> str:
    """Write a value of the objective with its unit: money, length or weight."""
    objective = objective_of(job)
    if objective is Objective.MONEY:
        return amount(Decimal(cost_text(job, objective, value)), job.currency or "").full
    if objective is Objective.LENGTH:
        return told_length(value, job.unit, job.tape)
    shown = weight(value, job.unit)
    return shown.full if shown else ""


def sum_text(job: Job, result: Result) -> str:
    """Write what the plan costs, alone: the sum that stands wherever the answer is named; empty without a plan."""
    return "" if result.plan is None else _cost(job, result.plan)


def proven_text(job: Job, result: Result) -> str:
    """Say in few words how good the plan is; see `proof` for the whole sentence."""
    if result.plan is None:
        return "no plan can exist" if result.status is Status.INFEASIBLE else "no plan was found"
    if result.status is not Status.OPTIMAL:
        return f"at most {gap_text(job, result)} more could be saved{_counting(job)}"
    less = {Objective.MONEY: "cheaper", Objective.LENGTH: "shorter", Objective.WEIGHT: "lighter"}
    return f"nothing {less[result.plan.objective]} exists{_counting(job)}"


def _counting(job: Job) -> str:
    """Say what counts beside money that is paid, since less might be paid without it; empty where nothing does."""
    kinds = {
        "what leftovers are worth": job.keep_value is not None,
        "what each further section costs you": bool(job.kind_cost),
        "what each further layout costs you": bool(job.layout_cost),
    }
    counted = [words for words, is_counted in kinds.items() if is_counted and job.priced]
    return f", counting {listed(counted)}" if counted else ""


def gap_text(job: Job, result: Result) -> str:
    """Write what could at most still be saved, with its unit; empty without a plan."""
    gap = gap_of(job, result)
    return "" if gap is None else worth_text(job, gap)


def proof(job: Job, result: Result) -> str:
    """Say how good the plan is, in plain words."""
    plan = result.plan
    if plan is None:
        infeasible = result.status is Status.INFEASIBLE
        least = worth_text(job, result.proof.lower_bound)
        return "" if infeasible else f"Any plan costs at least {least}{_counting(job)}."
    money = plan.objective is Objective.MONEY
    if result.status is Status.OPTIMAL:
        if money:
            terms = "prices" if plan.paid is None else "prices and terms"
            used = "" if job.idle or plan.paid is None else ", with a part on every stick that is bought"
            return f"Nothing cheaper exists at these {terms} with this saw{used}{_counting(job)}."
        return f"No plan with this saw buys less {'weight' if plan.objective is Objective.WEIGHT else 'length'}."
    return f"At most {gap_text(job, result)} more could be saved{_counting(job)}."


def remarks(job: Job, result: Result) -> tuple[str, ...]:
    """Say what a plan was held to, what was minimised where that isn't money, and on what the proof rests."""
    held = held_to(job) if result.plan is not None or result.status is Status.INFEASIBLE else ""
    found = [held] if held else []
    if not job.priced:
        what = "weight" if result.plan and result.plan.objective is Objective.WEIGHT else "length"
        found.append(f"No prices were given, so the {what} of what is bought was minimised.")
    if result.proof.rests is Rests.FLOATING:
        found.append("The lower bound rests on a floating-point solver's word at one step, not on whole numbers alone.")
    if result.plan is not None:
        sums = add_up(result.plan)
        found.extend(missing([sums.weights], [sums.surfaces]))
    return tuple(found)


def usual_trims(job: Job) -> tuple[Fraction, Fraction]:
    """Trims of most kinds of stick of a job."""
    counts = Counter(stick.trims for stick in job.sticks)
    return max(counts, key=lambda trims: counts[trims], default=(Fraction(0), Fraction(0)))


def trim_words(job: Job, trims: tuple[Fraction, Fraction]) -> str:
    """Say what is taken off the ends of a stick."""
    tape = tape_of(job)
    first, second = (tape.text(trim) for trim in trims)
    if not any(trims):
        return "no end is trimmed"
    if not trims[1]:
        return f"trim {first} off one end, before anything else"
    begin = f"trim {first} off one end, before anything else" if trims[0] else "the first end is not trimmed"
    return f"{begin}; the last {second} at the other end are not used"


def saw_sentence(job: Job) -> str:
    """Say how the saw is set, and what is trimmed off most sticks."""
    cut = f"The saw takes {tape_of(job).fine.text(job.saw.kerf)} a cut" if job.saw.kerf else "The saw's kerf is 0"
    unless = ", unless a stick says otherwise" if len({stick.trims for stick in job.sticks}) > 1 else ""
    return f"{cut}; {trim_words(job, usual_trims(job))}{unless}."
