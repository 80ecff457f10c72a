"""The answer: what to buy and how to cut it, and how good that is.

Answer (`Plan`), bound (`Proof`) and run report (`Report`) are three objects; whether a plan is optimal is derived from
cost and bound, never set by hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from cutting.job import Section, Source

__all__ = ["Buy", "Cut", "Objective", "Piece", "Plan", "Proof", "Report", "Result", "Rests", "SectionReport", "Status"]


class Status(StrEnum):
    """How a solve ended."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"
    UNKNOWN = "unknown"


class Objective(StrEnum):
    """What was minimised."""

    MONEY = "money"
    LENGTH = "length"
    """A job without prices: bought millimetres."""
    WEIGHT = "weight"
    """A job without prices over several sections of known mass: bought kilograms."""


class Rests(StrEnum):
    """On what a lower bound or an impossibility rests."""

    EXACT = "exact"
    """Integer arithmetic from end to end."""
    FLOATING = "floating"
    """A floating-point solver's word at some step that could not be re-verified."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Piece:
    """One part on a stick.

    Attributes
    ----------
    mark : str
        Which part.
    length : Fraction
        mm, the part's length as stated in the job.
    start, end : Fraction
        mm from the trimmed end: running dimensions of its two ends.
    """

    mark: str
    length: Fraction
    start: Fraction
    end: Fraction


@dataclass(frozen=True, kw_only=True, slots=True)
class Buy:
    """One line of the buy list.

    Attributes
    ----------
    stick : str
        Id of the kind of stick.
    section : Section
        What it is.
    length : Fraction
        mm.
    source : Source
        Where from.
    quantity : int
        At least 1.
    price : Decimal or None
        For one; None in a job without prices, 0 for own pieces.
    cost : Decimal or None
        ``quantity * price``.
    """

    stick: str
    section: Section
    length: Fraction
    source: Source
    quantity: int
    price: Decimal | None
    cost: Decimal | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Cut:
    """One stick layout and how many sticks are cut alike (marks included).

    Attributes
    ----------
    stick : str
        Id of the kind of stick.
    section : Section
        What it is.
    length : Fraction
        mm of the whole stick.
    source : Source
        Where from.
    quantity : int
        Sticks cut alike.
    pieces : tuple of Piece
        Parts in cutting order, from the trimmed end.
    drop : Fraction
        mm left over behind the last cut, 0 where the last cut ate it.
    skim : bool
        The last cut meets less than a full kerf of steel, where a blade wanders.
    unheld : tuple of int
        1-based numbers of the cuts where both sides are shorter than the saw can hold.
    """

    stick: str
    section: Section
    length: Fraction
    source: Source
    quantity: int
    pieces: tuple[Piece, ...]
    drop: Fraction
    skim: bool
    unheld: tuple[int, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """What to buy and how to cut it.

    Attributes
    ----------
    objective : Objective
        What was minimised.
    cost : Fraction
        The objective's value: money, mm or kg.
    buy : tuple of Buy
        In the order of the job's sticks.
    cuts : tuple of Cut
        In the order they should be sawn.
    """

    objective: Objective
    cost: Fraction
    buy: tuple[Buy, ...]
    cuts: tuple[Cut, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Proof:
    """How much is proven.

    Attributes
    ----------
    lower_bound : Fraction
        No plan costs less, in the objective's unit.
    rests : Rests
        On what that rests.
    infeasible : tuple of str
        Where no plan can exist: why, in the words of the job, a sentence each.
    """

    lower_bound: Fraction
    rests: Rests = Rests.EXACT
    infeasible: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class SectionReport:
    """Work done on one section: counts of deterministic steps, and seconds.

    Attributes
    ----------
    section : Section
        Which.
    status : Status
        How it ended.
    cost, lower_bound : Fraction or None
        In the objective's unit.
    seconds : float
        Wall time of the engine on it.
    proposals, lp_solves, dives, nodes : int
        Sets of sticks proposed, linear programs solved, dives made, proof nodes visited.
    """

    section: Section
    status: Status
    cost: Fraction | None
    lower_bound: Fraction | None
    seconds: float
    proposals: int = 0
    lp_solves: int = 0
    dives: int = 0
    nodes: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Report:
    """How the solve went.

    Attributes
    ----------
    seconds : float
        Wall time of the engine.
    sections : tuple of SectionReport
        In the order of the job.
    seed : int
        As given.
    """

    seconds: float
    sections: tuple[SectionReport, ...]
    seed: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Result:
    """Answer, bound and run report of one solve.

    Attributes
    ----------
    plan : Plan or None
        None where none was found or none exists.
    proof : Proof
        What is proven.
    report : Report
        How it went.
    """

    plan: Plan | None
    proof: Proof
    report: Report

    @property
    def status(self) -> Status:
        """Derived from plan and bound."""
        if self.proof.infeasible:
            return Status.INFEASIBLE
        if self.plan is None:
            return Status.UNKNOWN
        return Status.OPTIMAL if self.proof.lower_bound >= self.plan.cost else Status.FEASIBLE

    @property
    def gap(self) -> Fraction | None:
        """What could at most still be saved, in the objective's unit; None without a plan."""
        if self.plan is None:
            return None
        return max(Fraction(0), self.plan.cost - self.proof.lower_bound)
