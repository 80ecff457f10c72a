"""Read a plan file back, for the checker."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from pydantic import ValidationError

from cutting.answer.plan import Buy, Carried, Change, Cut, Lie, Objective, Piece, Plan, Sharing
from cutting.question.errors import LengthError
from cutting.question.job import Job, Section, Source
from cutting.question.lengths import Unit, parse_length
from cutting.question.problems import Problem
from shared.files.job.document import read_document
from shared.files.plan.angled import read_lie, read_sharing, read_stroke
from shared.files.plan.terms.read import carried_of, change_of, idle_of, order_of
from shared.files.plan.terms.wire import CarriedFields, ChangeFields
from shared.files.plan.wire import BuyFields, CutFields, PieceFields, PlanFile, SharingFields
from shared.wording.amounts import cost_text, plan_cost_text

__all__ = ["StatedPlan", "read_plan"]

_MOST_SHOWN = 60


@dataclass(frozen=True, kw_only=True, slots=True)
class StatedPlan:
    """A plan as a file states it.

    Attributes
    ----------
    plan : Plan or None
        What to buy and cut; None where the file says that there is no plan.
    file : PlanFile
        Everything the file says, its status and totals included.
    """

    plan: Plan | None
    file: PlanFile


def read_plan(data: bytes, job: Job) -> tuple[StatedPlan | None, tuple[Problem, ...]]:
    """Read a plan file.

    Parameters
    ----------
    data : bytes
        JSON in UTF-8.
    job : Job
        The job it answers; what its lines are is looked up there, and what the file says else is kept as it is said.

    Returns
    -------
    tuple of (StatedPlan or None, tuple of Problem)
        Every problem at once, with its field path. Whether the plan is right is the checker's to say.
    """
    table, problems = read_document(data, name="plan.json")
    if table is None:
        return None, problems
    try:
        file = PlanFile.model_validate(table)
    except ValidationError as error:
        return None, tuple(
            Problem(where=_path(detail["loc"]), text=_short(detail["input"]), message=detail["msg"])
            for detail in error.errors(include_url=False)
        )
    return _Back(file, job).stated()


def _path(loc: tuple[int | str, ...]) -> str:
    return "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in loc).removeprefix(".") or "file"


def _short(value: object) -> str:
    text = str(value)
    return text if len(text) <= _MOST_SHOWN else text[: _MOST_SHOWN - 3] + "..."


class _Back:
    """Turns the texts of one file back into values and keeps what could not be."""

    def __init__(self, file: PlanFile, job: Job) -> None:
        self._file = file
        self._unit = Unit(file.unit)
        others = (other.section for part in job.parts for other in part.substitutes)
        self._sections = {s.key: s for s in (*(stick.section for stick in job.sticks), *others, *job.sections)}
        self._job = job
        self._problems: list[Problem] = []

    def stated(self) -> tuple[StatedPlan | None, tuple[Problem, ...]]:
        buy = tuple(self._buy(line, f"buy[{n}]") for n, line in enumerate(self._file.buy))
        cuts = tuple(self._cut(cut, f"cuts[{n}]") for n, cut in enumerate(self._file.cuts))
        objective = Objective(self._file.objective)
        plan = None
        if self._file.cost is not None:
            plan = self._plan(objective, self._cost(objective, self._file.cost, buy), buy, cuts)
        if self._problems:
            return None, tuple(self._problems)
        return StatedPlan(plan=plan, file=self._file), ()

    def _plan(self, objective: Objective, cost: Fraction, buy: tuple[Buy, ...], cuts: tuple[Cut, ...]) -> Plan:
        money = self._file.money
        changes, sharing = enumerate(self._file.changes), enumerate(self._file.sharing)
        return Plan(
            objective=objective,
            cost=cost,
            buy=buy,
            cuts=cuts,
            orders=tuple(order_of(order, self._job, buy) for order in self._file.orders),
            changes=tuple(self._change(objective, each, f"changes[{n}]") for n, each in changes),
            idle=tuple(map(idle_of, self._file.idle)),
            sharing=tuple(self._sharing(objective, each, f"sharing[{n}]") for n, each in sharing),
            paid=None if money is None else Decimal(money.paid),
            kinds=None if money is None else Decimal(money.kinds),
            own_value=None if money is None else Fraction(money.own_value),
            credit=None if money is None else Fraction(money.credit),
            layouts=None if money is None or money.layouts is None else Decimal(money.layouts),
        )

    def _length(self, text: str, where: str) -> Fraction:
        try:
            return parse_length(text, self._unit)
        except LengthError as error:
            self._problems.append(Problem(where=where, text=text, message=error.wanted, position=error.position))
            return Fraction(0)

    def _section(self, name: str, material: str) -> Section:
        return self._sections.get((name, material), Section(name=name, material=material))

    def _buy(self, line: BuyFields, where: str) -> Buy:
        return Buy(
            stick=line.id,
            section=self._section(line.section, line.material),
            length=self._length(line.length, f"{where}.length"),
            source=Source(line.source),
            quantity=line.quantity,
            price=None if line.price is None else Decimal(line.price),
            cost=None if line.cost is None else Decimal(line.cost),
        )

    def _change(self, objective: Objective, fields: ChangeFields, where: str) -> Change:
        saved = None if fields.saved is None else self._value(objective, fields.saved, f"{where}.saved")
        return change_of(fields, saved, self._section)

    def _sharing(self, objective: Objective, fields: SharingFields, where: str) -> Sharing:
        cost = None if fields.cost is None else self._value(objective, fields.cost, f"{where}.cost")
        return read_sharing(fields, self._section(fields.section, fields.material), cost)

    def _carried(self, piece: CarriedFields, section: Section, where: str) -> Carried:
        return carried_of(piece, section, lambda field: self._length(getattr(piece, field), f"{where}.{field}"))

    def _cut(self, cut: CutFields, where: str) -> Cut:
        section = self._section(cut.section, cut.material)
        return Cut(
            stick=cut.id,
            section=section,
            length=self._length(cut.length, f"{where}.length"),
            source=Source(cut.source),
            quantity=cut.quantity,
            pieces=tuple(self._piece(piece, f"{where}.parts[{n}]") for n, piece in enumerate(cut.parts)),
            drop=self._length(cut.drop, f"{where}.drop"),
            skim=cut.skim,
            unheld=cut.unheld,
            marks=tuple(self._length(mark, f"{where}.marks[{n}]") for n, mark in enumerate(cut.marks)),
            carried=tuple(
                self._carried(piece, section, f"{where}.carried[{n}]") for n, piece in enumerate(cut.carried)
            ),
            credit=None if cut.credit is None else Fraction(cut.credit),
            strokes=tuple(
                read_stroke(stroke, self._length(stroke.at, f"{where}.strokes[{n}].at"))
                for n, stroke in enumerate(cut.strokes)
            ),
            edge=cut.edge,
        )

    def _piece(self, piece: PieceFields, where: str) -> Piece:
        length, start, end = (
            self._length(getattr(piece, field), f"{where}.{field}") for field in ("length", "start", "end")
        )
        return Piece(mark=piece.mark, length=length, start=start, end=end, lie=self._lie(piece, f"{where}.lie"))

    def _lie(self, piece: PieceFields, where: str) -> Lie | None:
        if piece.lie is None:
            return None
        texts = {"long": piece.lie.long, "centre": piece.lie.centre, "short": piece.lie.short}
        long, centre, short = (self._length(text, f"{where}.{field}") for field, text in texts.items())
        return read_lie(piece.lie, (long, centre, short))

    def _value(self, objective: Objective, text: str, where: str) -> Fraction:
        if objective is Objective.LENGTH:
            return self._length(text, where)
        try:
            return Fraction(Decimal(text))
        except (ArithmeticError, ValueError):
            self._problems.append(Problem(where=where, text=_short(text), message="write an amount such as 61.40"))
            return Fraction(0)

    def _cost(self, objective: Objective, text: str, buy: tuple[Buy, ...]) -> Fraction:
        """Return the stated cost; of a weight or with leftovers, stated rounded, the exact one where it agrees."""
        stated = self._value(objective, text, "cost")
        money = self._file.money
        if objective is Objective.MONEY and self._job.keep_value is not None and money is not None:
            exact = Fraction(money.paid) + Fraction(money.kinds) + Fraction(money.own_value) - Fraction(money.credit)
            exact += Fraction(money.layouts or 0)
            plan = Plan(objective=objective, cost=exact, buy=(), cuts=())
            return exact if plan_cost_text(self._job, plan) == text else stated
        if objective is not Objective.WEIGHT:
            return stated
        exact = sum(
            (
                line.quantity * line.length * (line.section.mass or 0) / 1000
                for line in buy
                if line.source is not Source.OWN
            ),
            Fraction(0),
        )
        return exact if cost_text(self._job, objective, exact) == text else stated
