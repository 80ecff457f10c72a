"""The answer: what to buy and how to cut it, and how good that is.

Answer (`Plan`), bound (`Proof`) and run report (`Report`) are three objects; whether a plan is optimal is derived from
cost and bound, never set by hand.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from cutting.question.job import Job, Section, Source

__all__ = [
    "Buy",
    "Carried",
    "Change",
    "Cut",
    "Idle",
    "IdleReason",
    "Lie",
    "Objective",
    "Order",
    "Piece",
    "Plan",
    "Proof",
    "Report",
    "Rests",
    "Result",
    "SectionReport",
    "Sharing",
    "Status",
    "Stroke",
    "Transport",
]


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


class Transport(StrEnum):
    """How an order comes home."""

    DELIVERED = "delivered"
    COLLECTED = "collected"


class IdleReason(StrEnum):
    """What sticks that stay whole do to the order that they are part of."""

    MINIMUM = "minimum"
    """Without them the yard takes no such order."""
    DELIVERY = "delivery"
    """They make its delivery free."""
    PRICE = "price"
    """They reach a price by quantity."""


class Rests(StrEnum):
    """On what a lower bound or an impossibility rests."""

    EXACT = "exact"
    """Integer arithmetic from end to end."""
    FLOATING = "floating"
    """A floating-point solver's word at some step that could not be re-verified."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Lie:
    """How a part with angled ends lies in the stick.

    The stick's section is seen from the trimmed end, its first side upright (an angle reads as an L, a channel as a C);
    x runs along the stick, w across it along the side that lies in the plane of a cut, from its bottom or left end to
    its top or right end. A face then is ``x = c + w tan(lean)``.

    Attributes
    ----------
    turned : bool
        End for end: its second end comes first. (A turned part is turned about its upright axis, then rolled.)
    roll : int
        Quarter turns, clockwise, that it lies rolled: 0 to 3.
    planes : tuple of int
        For its face nearer the trimmed end and the other one, which side of the section lies in the plane of the cut.
    leans : tuple of Fraction
        Their signed degrees from square.
    lengths : tuple of Fraction
        mm between long points, along the centre line, between short points; irrational ones rounded up.
    """

    turned: bool
    roll: int
    planes: tuple[int, int]
    leans: tuple[Fraction, Fraction]
    lengths: tuple[Fraction, Fraction, Fraction]


@dataclass(frozen=True, kw_only=True, slots=True)
class Stroke:
    """One stroke of the saw through a stick that holds angled ends.

    Attributes
    ----------
    at : Fraction
        mm from the trimmed end, along the edge that `Cut.edge` names, to the face it makes; where it makes two, to the
        face nearer the trimmed end. Rounded to the nearest 1/1024 in or 0.01 mm.
    angle : Fraction
        Degrees from square that the saw is set to.
    swing : int
        0 for square; 1 where the cut reaches further along the stick at the back (the fence), -1 at the front.
    back : int or None
        What is at the back: 0 the top of the section's first side, 1 the right end of its second, 2 the bottom of the
        first, 3 the left end of the second (as `Lie` sees the section). None where it doesn't matter yet.
    roll : int
        Quarter turns, clockwise seen from the trimmed end, to roll the stick before this stroke.
    ends, begins : int or None
        Number, from 1, of the piece whose further end, and of the piece whose nearer end it makes. Both: a shared cut.
    """

    at: Fraction
    angle: Fraction
    swing: int
    back: int | None
    roll: int
    ends: int | None
    begins: int | None

    @property
    def shared(self) -> bool:
        """Whether it makes two angled ends at once."""
        return self.ends is not None and self.begins is not None and self.angle > 0


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
        mm from the trimmed end: running dimensions of its two ends. Of a part with angled ends: of the two points
        between which its length was measured.
    lie : Lie or None
        How it lies, where it has an angled end.
    """

    mark: str
    length: Fraction
    start: Fraction
    end: Fraction
    lie: Lie | None = None

    @property
    def centre(self) -> Fraction:
        """Length along the centre line (mm): what the part takes of steel, however it was measured."""
        return self.length if self.lie is None else self.lie.lengths[1]


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
class Carried:
    """One piece of a collected stick as it is carried home.

    Attributes
    ----------
    length : Fraction
        mm, from one of the yard's marks to the next; its first and last piece reach to the stick's raw ends.
    weight : Fraction or None
        kg; None where the section's weight is unknown.
    begin : Fraction
        mm from the stick's trimmed end to where its parts begin, as the running dimensions of pieces are counted.
    parts : int
        How many of the stick's pieces lie in it.
    drop : Fraction
        mm left over behind its last cut, 0 where that ate it.
    skim : bool
        Its last cut meets less than a full kerf of steel.
    """

    length: Fraction
    weight: Fraction | None
    begin: Fraction
    parts: int
    drop: Fraction
    skim: bool


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
        mm left over behind the last cut, 0 where the last cut ate it; along its shorter side where that cut is angled.
    skim : bool
        The last cut meets less than a full kerf of steel, where a blade wanders.
    unheld : tuple of int
        1-based numbers of the cuts where both sides are shorter than the saw can hold.
    strokes : tuple of Stroke
        Where the stick holds angled ends: every stroke of the saw, in order. Empty where all ends are square.
    edge : str
        The edge along which `strokes` are measured, seen as `Lie` sees it: ``corner`` (the lower left one), ``heel``
        of an angle, ``back`` (the lower corner at the back of a channel), ``flange`` (the left end of a tee's flange),
        ``line`` (scribed along the bottom of a round); empty where all ends are square.
    marks : tuple of Fraction
        Where the yard cuts the stick: mm from its raw first end to the middle of what each of its cuts takes.
    carried : tuple of Carried
        The pieces in which one collected stick comes home, from its raw first end; empty where it is delivered or own.
    credit : Fraction or None
        What the drop of one such stick is worth to the shop (nothing on sticks that the yard cuts); None where that
        isn't counted.
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
    strokes: tuple[Stroke, ...] = ()
    edge: str = ""
    marks: tuple[Fraction, ...] = ()
    carried: tuple[Carried, ...] = ()
    credit: Fraction | None = None

    @property
    def drops(self) -> tuple[Fraction, ...]:
        """Every drop (mm) that one such stick leaves: one for each piece the yard cut it into."""
        return tuple(piece.drop for piece in self.carried) if self.marks else (self.drop,)


@dataclass(frozen=True, kw_only=True, slots=True)
class Sharing:
    """What shared cuts save in one section, against cutting each part out singly.

    Attributes
    ----------
    section : Section
        Which.
    shared : int
        Strokes that make two angled ends at once, over all sticks.
    sticks : int or None
        Sticks fewer than the cheapest plan without shared cuts takes; None where that is not known for certain.
    cost : Fraction or None
        What that plan costs more, in the objective's unit: exact, or at least this much (`certain`); None where unknown
        or where the sticks don't suffice without sharing.
    certain : bool
        Whether that plan is proven to be the cheapest without shared cuts.
    possible : bool
        Whether a plan without shared cuts exists at all.
    """

    section: Section
    shared: int
    sticks: int | None
    cost: Fraction | None
    certain: bool
    possible: bool = True


@dataclass(frozen=True, kw_only=True, slots=True)
class Order:
    """What is taken from one yard, and what that costs.

    Attributes
    ----------
    yard : str
        Its name; empty for a job's nameless yard.
    transport : Transport
        How it comes home.
    trips : int
        Trips to fetch it; 0 where delivered.
    weight : Fraction or None
        kg of all sticks of the order; None where the weight of one is unknown.
    cuts : int
        Cuts the yard makes.
    material, cutting, delivery, collecting, tax, total : Decimal or None
        Price of the sticks, charge for the yard's cuts, its delivery, our trips, its tax, and their sum; None in a job
        without prices.
    """

    yard: str
    transport: Transport
    trips: int
    weight: Fraction | None
    cuts: int
    material: Decimal | None
    cutting: Decimal | None
    delivery: Decimal | None
    collecting: Decimal | None
    tax: Decimal | None
    total: Decimal | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Idle:
    """Sticks of one yard's order that no part is cut from: they stay whole.

    Attributes
    ----------
    yard : str
        The yard's name; empty for a job's nameless yard.
    sticks : tuple of (str, int)
        Lines and how many sticks of each stay whole, in the order of the job.
    reasons : tuple of IdleReason
        What they do to the order.
    saved : Fraction or None
        What the same layouts cost more without them, in the objective's unit; None where the yard takes no such order.
    """

    yard: str
    sticks: tuple[tuple[str, int], ...]
    reasons: tuple[IdleReason, ...]
    saved: Fraction | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """A part that is cut from another section than the one drawn; the designer must confirm it.

    Attributes
    ----------
    mark : str
        Which part, all of its pieces.
    wanted, taken : Section
        The section drawn and the one it is cut from.
    remark : str
        The designer's, as stated with the substitute.
    saved : Fraction or None
        What the cheapest plan that leaves this part as drawn costs more, in the objective's unit: exact, or at least
        this much (`certain`); None where unknown or impossible.
    certain : bool
        Whether that is proven.
    possible : bool
        Whether a plan that leaves it as drawn exists, as far as is known.
    """

    mark: str
    wanted: Section
    taken: Section
    remark: str
    saved: Fraction | None
    certain: bool
    possible: bool = True


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
    sharing : tuple of Sharing
        For each section with angled ends what shared cuts save.
    orders : tuple of Order
        One for each yard that anything is taken from, in the order of the job; empty for a job without yards' terms.
    changes : tuple of Change
        Parts cut from a substitute, in the order of the job.
    idle : tuple of Idle
        Sticks that stay whole, by yard in the order of `orders`.
    kinds : Decimal or None
        What buying more than one section costs you, which nobody is paid; None, as the three below, where no terms or
        prices are stated.
    paid : Decimal or None
        All money paid: the orders.
    own_value : Fraction or None
        Value of one's own pieces that are used; never rounded, since nobody pays it.
    credit : Fraction or None
        Worth of the drops kept; ``cost = paid + kinds + own_value - credit + layouts``.
    layouts : Decimal or None
        What further layouts cost you, which nobody is paid; None where that isn't stated.
    """

    objective: Objective
    cost: Fraction
    buy: tuple[Buy, ...]
    cuts: tuple[Cut, ...]
    sharing: tuple[Sharing, ...] = ()
    orders: tuple[Order, ...] = ()
    changes: tuple[Change, ...] = ()
    idle: tuple[Idle, ...] = ()
    kinds: Decimal | None = None
    paid: Decimal | None = None
    own_value: Fraction | None = None
    credit: Fraction | None = None
    layouts: Decimal | None = None


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
    job : Job or None
        The question, for showing lengths in its unit; a result that was made without it shows millimetres.
    """

    plan: Plan | None
    proof: Proof
    report: Report
    job: Job | None = field(default=None, repr=False, compare=False)

    def _repr_html_(self) -> str:
        """Return the plan with a drawing, for a notebook."""
        from cutting.answer.html import result_html  # noqa: PLC0415 - only a notebook asks for it

        return result_html(self)

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
