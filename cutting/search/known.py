"""What is known of a job before its search: plans to begin with, and bounds that hold for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil
from typing import Self

from cutting.answer.load import Load
from cutting.answer.plan import Cut, Plan, Proof, Result
from cutting.buying.market import Market
from cutting.buying.portions import Portion
from cutting.fit.fit import Fit

__all__ = ["Hints", "Offer", "holds", "offer_of"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Hints:
    """What other searches say of a job.

    Attributes
    ----------
    plans : tuple of Plan
        Of this job, or of one with lines of parts and sticks of the same names. Nothing is believed of them: one whose
        parts are those of the job, and that its sticks hold, is a plan to begin with.
    proof : Proof or None
        No plan of the job costs less than its bound.
    sections : mapping of (str, str) to Fraction
        By key of a section, what it costs at least where no rule joins it to others.
    """

    plans: tuple[Plan, ...] = ()
    proof: Proof | None = None
    sections: Mapping[tuple[str, str], Fraction] = field(default_factory=dict)

    @classmethod
    def of(cls, *answers: Result, least: Result | None = None) -> Self:
        """Take the plans of some answers, and the bounds of one whose job costs no more than the one to be solved.

        Parameters
        ----------
        *answers : Result
            Whose plans may do.
        least : Result, optional
            Every plan of the job to be solved would do for this one's job too, at this cost or less.
        """
        plans = tuple(answer.plan for answer in answers if answer.plan is not None)
        if least is None or least.proof.infeasible:
            return cls(plans=plans)
        told = {each.section.key: each.lower_bound for each in least.report.sections if each.lower_bound is not None}
        return cls(plans=plans, proof=least.proof, sections=told)

    def least(self, portion: Portion, *, alone: bool) -> int:
        """Return what a portion costs at least, in its unit; `alone` where there is no other."""
        market = portion.market
        least = Fraction(0)
        if alone and self.proof is not None:
            least = self.proof.lower_bound
        elif len(market.sections) == 1:
            key = market.rooms[market.sections[0][0]].section.key
            least = self.sections.get(key, least)
        return ceil(least / market.unit)


@dataclass(frozen=True, kw_only=True, slots=True)
class Offer:
    """Places of a portion's wishes, loads of its rooms, sticks of its lines that stay whole."""

    places: tuple[int, ...]
    loads: tuple[tuple[Load, ...], ...]
    idle: tuple[int, ...]


def holds(market: Market, offer: Offer, fits: Sequence[Fit]) -> bool:
    """Whether an offer cuts every piece of a portion, no more, on sticks that hold it.

    Parameters
    ----------
    market : Market
        The portion's.
    offer : Offer
        The offer.
    fits : sequence of Fit
        What the parts of each room do on its sticks.
    """
    wanted = [Counter[int]() for _ in market.sections]
    for wish, at in zip(market.wishes, offer.places, strict=True):
        section, size = wish.places[at]
        wanted[section][size] += wish.part.quantity
    for rooms, demands in zip(market.sections, wanted, strict=True):
        made = Counter[int]()
        for room in rooms:
            for load in offer.loads[room]:
                made.update({size: count * load.times for size, count in enumerate(load.pattern) if count})
        if made != demands:
            return False
    return all(fit.holds(load.kind, load.pattern) for fit, some in zip(fits, offer.loads, strict=True) for load in some)


def offer_of(whole: Market, portion: Portion, plan: Plan) -> Offer | None:
    """Return what a plan cuts in one portion of a job; None where it names what isn't there.

    Parameters
    ----------
    whole : Market
        The job.
    portion : Portion
        The portion.
    plan : Plan
        The plan, of this job or one like it.
    """
    market = portion.market
    keys = [market.rooms[rooms[0]].section.key for rooms in market.sections]
    cuts = [cut for cut in plan.cuts if cut.section.key in keys]
    taken = {piece.mark: keys.index(cut.section.key) for cut in cuts for piece in cut.pieces}
    places = []
    for wish in market.wishes:
        here = [at for at, (section, _) in enumerate(wish.places) if section == taken.get(wish.part.mark)]
        if not here:
            return None
        places.append(here[0])
    sizes = {wish.part.mark: wish.places[at][1] for wish, at in zip(market.wishes, places, strict=True)}
    if not taken.keys() <= sizes.keys():
        return None
    names = {whole.lines[number].stick.id: line for line, some in enumerate(portion.lines) for number in some}
    loads: list[list[Load]] = [[] for _ in market.rooms]
    for cut in cuts:
        room = market.sections[keys.index(cut.section.key)][0]
        load = _load(market, room, cut, sizes, names)
        if load is None:
            return None
        loads[room].append(load)
    idle = Counter({name: count for each in plan.idle for name, count in each.sticks})
    return Offer(
        places=tuple(places),
        loads=tuple(tuple(some) for some in loads),
        idle=tuple(sum(idle[whole.lines[number].stick.id] for number in some) for some in portion.lines),
    )


def _load(market: Market, room: int, cut: Cut, sizes: dict[str, int], names: dict[str, int]) -> Load | None:
    line = names.get(cut.stick)
    here = [] if line is None else [kind for at, kind in market.lines[line].kinds if at == room]
    kinds = [kind for kind in here if market.rooms[room].ways[kind].cuts == len(cut.marks)]
    if not kinds:
        return None
    held = Counter(sizes[piece.mark] for piece in cut.pieces)
    pattern = tuple(held[size] for size in range(len(market.rooms[room].instance.sizes)))
    return Load(kind=kinds[0], pattern=pattern, times=cut.quantity)
