"""The engine: what is to be cut from what, the cheapest purchase for it, how to cut it, and the proof.

>>> from cutting import make_job, solve
>>> job = make_job(
...     unit="in", kerf="3/32", end_trim="1/4", currency="USD",
...     parts=[("tube", "80 1/2", 4), ("tube", "33 7/8", 8)],
...     sticks=[("tube", "20 ft", "61.40")],
... )
>>> result = solve(job)
>>> result.status, result.plan.cost
(<Status.OPTIMAL: 'optimal'>, Fraction(921, 5))

Names are imported when they are first used, so that reading a job needs no solver.
"""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from cutting.answer.plan import (
        Buy,
        Carried,
        Change,
        Cut,
        Objective,
        Order,
        Piece,
        Plan,
        Proof,
        Report,
        Result,
        Status,
        Transport,
    )
    from cutting.answer.tables import buy_table, cut_table
    from cutting.asking.compare import compare
    from cutting.asking.margins import margins
    from cutting.asking.spares import spares
    from cutting.asking.worth import worth
    from cutting.checking.check import check
    from cutting.question.errors import CuttingError, JobError, LengthError, PlanRejectedError
    from cutting.question.feasible import impossibilities, input_problems
    from cutting.question.job import (
        Break,
        Discount,
        Job,
        Part,
        PerLength,
        PerStick,
        PerWeight,
        Saw,
        Section,
        Source,
        Stick,
        Substitute,
    )
    from cutting.question.lengths import Unit, format_length, parse_length, show_length
    from cutting.question.make import make_job
    from cutting.question.problems import Problem
    from cutting.question.yards import Carry, Charge, KeepValue, Tax, Yard, YardCuts
    from cutting.solve import Progress, solve

__all__ = [
    "Break",
    "Buy",
    "Carried",
    "Carry",
    "Change",
    "Charge",
    "Cut",
    "CuttingError",
    "Discount",
    "Job",
    "JobError",
    "KeepValue",
    "LengthError",
    "Objective",
    "Order",
    "Part",
    "PerLength",
    "PerStick",
    "PerWeight",
    "Piece",
    "Plan",
    "PlanRejectedError",
    "Problem",
    "Progress",
    "Proof",
    "Report",
    "Result",
    "Saw",
    "Section",
    "Source",
    "Status",
    "Stick",
    "Substitute",
    "Tax",
    "Transport",
    "Unit",
    "Yard",
    "YardCuts",
    "buy_table",
    "check",
    "compare",
    "cut_table",
    "format_length",
    "impossibilities",
    "input_problems",
    "make_job",
    "margins",
    "parse_length",
    "show_length",
    "solve",
    "spares",
    "worth",
]

_HOMES = {
    "checking.check": ("check",),
    "asking.compare": ("compare",),
    "question.errors": ("CuttingError", "JobError", "LengthError", "PlanRejectedError"),
    "question.feasible": ("impossibilities", "input_problems"),
    "question.job": (
        "Break",
        "Discount",
        "Job",
        "Part",
        "PerLength",
        "PerStick",
        "PerWeight",
        "Saw",
        "Section",
        "Source",
        "Stick",
        "Substitute",
    ),
    "question.lengths": ("Unit", "format_length", "parse_length", "show_length"),
    "question.make": ("make_job",),
    "asking.margins": ("margins",),
    "answer.plan": (
        "Buy",
        "Carried",
        "Change",
        "Cut",
        "Objective",
        "Order",
        "Piece",
        "Plan",
        "Proof",
        "Report",
        "Result",
        "Status",
        "Transport",
    ),
    "question.problems": ("Problem",),
    "solve": ("Progress", "solve"),
    "asking.spares": ("spares",),
    "answer.tables": ("buy_table", "cut_table"),
    "asking.worth": ("worth",),
    "question.yards": ("Carry", "Charge", "KeepValue", "Tax", "Yard", "YardCuts"),
}
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names}


def __getattr__(name: str) -> Any:
    if name not in _HOME_OF:
        raise AttributeError(f"module 'cutting' has no attribute {name!r}")
    value = getattr(import_module(f"cutting.{_HOME_OF[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return list(__all__)


class _Package(ModuleType):
    """Keeps `solve` and `check` the functions, whose places their modules would take when imported."""

    def __setattr__(self, name: str, value: Any) -> None:
        if isinstance(value, ModuleType) and _HOME_OF.get(name) == name:
            value = getattr(value, name)
        super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Package
