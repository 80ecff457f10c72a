"""A plan that is known, in a portion's whole numbers: a search begins with it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from cutting.answer.load import Load
from cutting.answer.plan import Cut, Plan
from cutting.buying.market import Market
from cutting.buying.portions import Portion

__all__ = ["Offer", "offer_of"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Offer:
    """Places of a portion's wishes, loads of its rooms, sticks of its lines that stay whole."""

    places: tuple[int, ...]
    loads: tuple[tuple[Load, ...], ...]
    idle: tuple[int, ...]


def offer_of(whole: Market, portion: Portion, plan: Plan) -> Offer | None:
    """Return what a plan cuts in one portion of its job; None where it names what isn't there.

    Parameters
    ----------
    whole : Market
        The job.
    portion : Portion
        The portion.
    plan : Plan
        The plan, of this job.
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
