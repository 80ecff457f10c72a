"""The finished view of a plan: every string ready, so that writers compute nothing."""

from __future__ import annotations

from dataclasses import dataclass

from cutting.answer.plan import Status
from shared.view.orders import ChangeView, MoneyView, OrderView, YardCutView
from shared.view.rows import BuyRow
from shared.wording.values import Amount, Length, Quantity

__all__ = [
    "BuyRow",
    "DropRow",
    "LayoutView",
    "PartRow",
    "PieceView",
    "SawView",
    "StopRow",
    "StrokeView",
    "TotalsView",
    "View",
]


@dataclass(frozen=True, kw_only=True, slots=True)
class SawView:
    """The saw.

    Attributes
    ----------
    sentence : str
        Kerf and trims in plain words.
    kerf : Length
        Steel that one cut takes.
    hold : Length or None
        The shortest piece it can hold.
    """

    sentence: str
    kerf: Length
    hold: Length | None


@dataclass(frozen=True, kw_only=True, slots=True)
class PieceView:
    """One part on a stick.

    Attributes
    ----------
    number : int
        Position on the stick, from 1 at the trimmed end.
    mark, note, assembly : str
        As the job has them.
    length : Length
        Of the finished part.
    start, end : Length
        Running dimensions from the trimmed end; of a part with angled ends, of the points between which it is measured.
    ends : str
        Its angles as it lies and its three lengths; empty for square ends.
    """

    number: int
    mark: str
    note: str
    assembly: str
    length: Length
    start: Length
    end: Length
    ends: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class StrokeView:
    """One stroke of the saw through a stick that holds angled ends.

    Attributes
    ----------
    number : int
        From 1, in cutting order.
    at : str
        Running dimension along the named edge, to what a tape shows.
    length : Length
        The same, to 1/1024 in or 0.01 mm.
    angle : str
        Angle from square and to which side.
    stick : str
        How to roll or lay the stick before it; empty where it stays.
    makes : str
        Which ends it makes.
    shared : bool
        It makes two angled ends at once.
    """

    number: int
    at: str
    length: Length
    angle: str
    stick: str
    makes: str
    shared: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class StopRow:
    """A run of equal parts on a stick, cut with the stop left where it is.

    Attributes
    ----------
    length : Length
        Where to set the stop.
    count : int
        Parts in the run.
    marks : str
        Their marks, each once, in order.
    """

    length: Length
    count: int
    marks: str


@dataclass(frozen=True, kw_only=True, slots=True)
class LayoutView:
    """One layout, and how many sticks are cut alike.

    Attributes
    ----------
    number : int
        From 1, in the order in which they should be sawn.
    heading : str
        Which sticks to fetch, in words.
    id : str
        The job's name for this kind of stick.
    section : str
        With its material.
    length : Length
        Of the whole stick.
    source : str
        ``sticks``, ``rack`` or ``own``.
    quantity : int
        Sticks cut alike.
    trims : tuple of Length
        Taken off the first and the second end.
    clear : Length
        What parts and kerfs may fill, from the trimmed end.
    pieces : tuple of PieceView
        In cutting order.
    stops : tuple of StopRow
        The same parts, as runs of equal length.
    drop : Length
        Left behind the last cut within what may be counted on.
    drop_whole : Length
        As its label should say: with the raw end that isn't trimmed off it.
    drop_words : str
        What is left, in words.
    keep : bool
        The drop is worth a label.
    notes : tuple of str
        What to watch at this stick: skim cuts, pieces too short to hold, a stick that may come short.
    weight : Quantity or None
        Of one stick.
    edge : str
        Along which edge the strokes are measured; empty where all ends are square.
    strokes : tuple of StrokeView
        Every stroke of the saw, where the stick holds angled ends.
    """

    number: int
    heading: str
    id: str
    section: str
    length: Length
    source: str
    quantity: int
    trims: tuple[Length, Length]
    clear: Length
    pieces: tuple[PieceView, ...]
    stops: tuple[StopRow, ...]
    drop: Length
    drop_whole: Length
    drop_words: str
    keep: bool
    notes: tuple[str, ...]
    weight: Quantity | None
    edge: str = ""
    strokes: tuple[StrokeView, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class PartRow:
    """One line of the parts list, and where its pieces are.

    Attributes
    ----------
    mark, section, note, assembly : str
        As the job has them; the section with its material.
    length : Length
        Of the finished part.
    asked, planned : int
        Pieces.
    layouts : str
        Where they are, such as ``4 on layout 1, 2 on layout 3``; counted over all sticks cut alike.
    weight, surface : Quantity or None
        Of all its pieces; None where unknown.
    ends : str
        Its angles and three lengths; empty for square ends.
    """

    mark: str
    section: str
    note: str
    assembly: str
    length: Length
    asked: int
    planned: int
    layouts: str
    weight: Quantity | None
    surface: Quantity | None
    ends: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class DropRow:
    """Drops of one length from one layout.

    Attributes
    ----------
    section : str
        With its material.
    length : Length
        As its label should say.
    quantity : int
        How many.
    layout : int
        Number of the layout it comes from.
    keep : bool
        Worth a label, as the job says.
    """

    section: str
    length: Length
    quantity: int
    layout: int
    keep: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class TotalsView:
    """Sums over the plan.

    Attributes
    ----------
    parts, sticks : int
        Pieces cut; sticks, rack pieces and own pieces taken.
    layouts : int
        Distinct layouts.
    length : Length
        Of all sticks taken.
    used : str
        Share of that length which ends up in parts, such as ``96.4 %``.
    weight, surface : Quantity or None
        Of the sticks; of the parts' outside. One from which sections of unknown weight are missing says so and a
        remark names them; None where no section's is known.
    cost : Amount or None
        None in a job without prices.
    sentence : str
        Pieces, sticks, layouts and used share in one sentence.
    """

    parts: int
    sticks: int
    layouts: int
    length: Length
    used: str
    weight: Quantity | None
    surface: Quantity | None
    cost: Amount | None
    sentence: str


@dataclass(frozen=True, kw_only=True, slots=True)
class View:
    """A plan, or why there is none, ready to be written.

    Attributes
    ----------
    title : str
        The job's.
    name : str
        Short name of exactly this plan, as all that is written of it shows it; empty without a plan.
    unit : str
        Unit of every `Length.text`.
    currency : str
        Currency of every `Amount.text`; empty in a job without prices.
    status : Status
        How the solve ended.
    sum, proven : str
        What it costs and how good that is, in few words; no sum without a plan.
    answer : str
        The sentence to read first: what to buy and what it costs, or that there is no plan.
    proof : str
        How good that is, in the objective's own terms.
    remarks : tuple of str
        What else has to be said of it: what was minimised, what the proof rests on, unknown weights.
    why : tuple of str
        Why no plan can exist.
    gap : str
        What could at most still be saved, with its unit; empty without a plan.
    saw : SawView
        The saw.
    buy : tuple of BuyRow
        The buy list.
    layouts : tuple of LayoutView
        In the order in which they should be sawn.
    parts : tuple of PartRow
        The parts list with where each is.
    drops : tuple of DropRow
        What is left, longest first.
    totals : TotalsView or None
        None without a plan.
    cautions : tuple of str
        What the plan does not vouch for.
    sharing : tuple of str
        What shared cuts save, a sentence for each section that has some.
    orders : tuple of OrderView
        The buy list by yard; empty in a job without yards' terms.
    yard_cuts : tuple of YardCutView
        What yards cut for carrying.
    changes : tuple of ChangeView
        Parts cut from a substitute.
    money : MoneyView or None
        Money paid apart; None in a job without such terms.
    """

    title: str
    name: str
    unit: str
    currency: str
    status: Status
    sum: str
    proven: str
    answer: str
    proof: str
    remarks: tuple[str, ...]
    why: tuple[str, ...]
    gap: str
    saw: SawView
    buy: tuple[BuyRow, ...]
    layouts: tuple[LayoutView, ...]
    parts: tuple[PartRow, ...]
    drops: tuple[DropRow, ...]
    totals: TotalsView | None
    cautions: tuple[str, ...]
    sharing: tuple[str, ...] = ()
    orders: tuple[OrderView, ...] = ()
    yard_cuts: tuple[YardCutView, ...] = ()
    changes: tuple[ChangeView, ...] = ()
    money: MoneyView | None = None
