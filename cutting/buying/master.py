"""Buying all sections together: the cheapest orders that every rule allows and that cutting hasn't ruled out.

One CP-SAT model in whole numbers over every line of sticks, every rule (`cutting.buying.rules`) and every choice of
section, so that its optimum is a lower bound on all plans as long as each row that cutting added is proven.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, gcd
from typing import Any

from ortools.sat.python import cp_model

from cutting.buying.market import Market, Room, RoomOrder
from cutting.buying.portions import bare

__all__ = ["Basket", "Master", "RoomRow", "UnfinishedError", "chains", "new_solver"]

HALF = 0.5


@dataclass(frozen=True, kw_only=True, slots=True)
class Basket:
    """A proposal for the whole job.

    Attributes
    ----------
    rooms : tuple of RoomOrder
        For each room.
    places : tuple of int
        For each wish the number, among its places, of the section that it is cut from.
    idle : tuple of int
        For each line how many sticks stay whole.
    cost : int
        What it costs.
    bound : int
        A lower bound on every plan that the rows so far allow: `cost`, unless the effort ended the search before that.
    """

    rooms: tuple[RoomOrder, ...]
    places: tuple[int, ...]
    idle: tuple[int, ...]
    cost: int
    bound: int


@dataclass(frozen=True, kw_only=True, slots=True)
class RoomRow:
    """``sum(holds[s] * y[s]) >= sum(values[i] * d[i])`` in one room, whatever is cut there."""

    room: int
    holds: tuple[int, ...]
    values: tuple[int, ...]


class UnfinishedError(TimeoutError):
    """The buying model was neither solved nor proven without a solution.

    Parameters
    ----------
    bound : int
        No basket costs less.
    """

    def __init__(self, bound: int) -> None:
        self.bound = bound
        super().__init__("the buying model wasn't solved in time")


class Master:
    """The buying model.

    Parameters
    ----------
    market : Market
        The job.
    seed : int
        For CP-SAT's choices.

    Attributes
    ----------
    rows, nogoods : list
        What was added and is proven: inequalities, and orders that can't be cut.
    """

    def __init__(self, market: Market, seed: int) -> None:
        self.market = market
        self.seed = seed
        self.solves = 0
        self.rows: list[RoomRow] = []
        self.nogoods: list[tuple[tuple[int, RoomOrder], ...]] = []
        self.model = cp_model.CpModel()
        self._again = self.model.new_bool_var("")  # baskets put off undecided are allowed
        self.places = [[self.bool() for _ in wish.places] if wish.places[1:] else [1] for wish in market.wishes]
        self.counts = [
            [self.model.new_int_var(0, limit, "") for limit in room.instance.limits] for room in market.rooms
        ]
        self.demands = self._demands()
        self.idle = [self.model.new_int_var(0, line.idle, "") for line in market.lines]
        self.prices: list[Any] = []
        self.layouts: dict[int, Any] = {}
        costs = [(rule, rule.rows(self)) for rule in market.rules]
        self.cost: Any = sum(cost for _, cost in costs)
        self._money: Any = sum(cost for rule, cost in costs if not rule.lists())
        if not bare(market):  # else a stick that nothing is cut from is left where it is, and that costs no more
            self._every_stick_is_used()
        self.model.minimize(self.cost)

    def know_money(self, least: int) -> None:
        """Add that what layouts cost aside nothing costs less, which was proven without them."""
        self.model.add(self._money >= least)

    def require(self, row: RoomRow) -> None:
        """Add an inequality."""
        self.rows.append(row)
        common = gcd(*row.holds, *row.values) or 1
        holds = self.total(self.counts[row.room], [held // common for held in row.holds])
        self.model.add(holds >= self.total(self.demands[row.room], [value // common for value in row.values]))

    def exclude(self, orders: Sequence[tuple[int, RoomOrder]], *, proven: bool = True) -> None:
        """Add a no-good: in at least one of these rooms more sticks of at least some length, or fewer pieces to cut.

        One that isn't proven holds for proposals alone, not for what else the model is asked.
        """
        if proven:
            self.nogoods.append(tuple(orders))
        ways = [literal for room, order in orders for literal in self._escapes(room, order)]
        self.model.add_bool_or(ways if proven else [*ways, self._again])

    def propose(
        self,
        *,
        seconds: float,
        at_least: int | None = None,
        at_most: int | None = None,
        weights: Sequence[Sequence[int]] | None = None,
        below: int | None = None,
        effort: float | None = None,
    ) -> Basket | None:
        """Find the cheapest basket allowed.

        Parameters
        ----------
        seconds : float
            Ends the search.
        at_least, at_most : int, optional
            Only baskets whose cost lies between.
        weights : sequence of sequence of int, optional
            Minimise this weight of each room's kinds instead of the cost.
        below : int, optional
            Only baskets that weigh less.
        effort : float, optional
            Deterministic time (CP-SAT's measure of work) after which a basket that isn't proven cheapest will do.

        Returns
        -------
        Basket or None
            None where proven that there is none.

        Raises
        ------
        UnfinishedError
            Time or effort ran out with neither a basket nor a proof.
        """
        model = self.model.clone()
        model.add(self._again == 0)
        if at_least is not None:
            model.add(self.cost >= at_least)
        if at_most is not None:
            model.add(self.cost <= at_most)
        if weights is not None:
            weight = sum(self.total(counts, some) for counts, some in zip(self.counts, weights, strict=True))
            model.minimize(weight)
            if below is not None:
                model.add(weight < below)
        return self._solve(model, seconds, effort)

    def _solve(self, model: cp_model.CpModel, seconds: float, effort: float | None) -> Basket | None:
        solver = self.solver(seconds)
        if effort is not None:
            solver.parameters.max_deterministic_time = effort
        status = solver.solve(model)
        self.solves += 1
        if status == cp_model.INFEASIBLE:
            return None
        # Whole numbers of this size are exact as floating-point numbers, which is what the solver returns.
        bound = ceil(solver.best_objective_bound - HALF)
        if status != cp_model.OPTIMAL and (status != cp_model.FEASIBLE or effort is None):
            raise UnfinishedError(bound)
        cost = int(solver.value(self.cost))
        return Basket(
            rooms=self.read(solver),
            places=self.placed(solver),
            idle=self.whole(solver),
            cost=cost,
            bound=cost if status == cp_model.OPTIMAL else bound,
        )

    def solver(self, seconds: float) -> cp_model.CpSolver:
        """Return CP-SAT as this model, or a larger one, wants it."""
        solver = new_solver(self.seed, seconds)
        if any(any(room.takes) for room in self.market.rooms):
            # Every piece may go to either of two rooms then, and cuts take longer than what they save: of eleven models
            # of the leftovers' benchmark that took a second or more, six are solved in less than half, two take longer.
            solver.parameters.cut_level = 0
        return solver

    def read(self, solver: cp_model.CpSolver) -> tuple[RoomOrder, ...]:
        """Return what a solution of this model, or of a larger one, takes and cuts in each room."""
        return tuple(
            RoomOrder(counts=tuple(map(solver.value, counts)), demands=tuple(map(solver.value, demands)))
            for counts, demands in zip(self.counts, self.demands, strict=True)
        )

    def placed(self, solver: cp_model.CpSolver) -> tuple[int, ...]:
        """Return for each wish the number of the place that a solution gives it."""
        return tuple([solver.value(at) for at in place].index(1) for place in self.places)

    def whole(self, solver: cp_model.CpSolver) -> tuple[int, ...]:
        """Return for each line how many sticks a solution leaves whole."""
        return tuple(map(solver.value, self.idle))

    def slack(self, row: RoomRow) -> Any:
        """Return what the sticks of a row can hold beyond what the pieces cut there are worth."""
        return self.total(self.counts[row.room], row.holds) - self.total(self.demands[row.room], row.values)

    # -- what rules are written with ----------------------------------------------------------

    def total(self, terms: Sequence[Any], weights: Sequence[int]) -> Any:
        """Add up terms by weight."""
        return cp_model.LinearExpr.weighted_sum(list(terms), list(weights))

    def bool(self) -> Any:
        """Make a variable that is 0 or 1."""
        return self.model.new_bool_var("")

    def taken(self, number: int) -> Any:
        """Return how many sticks of a line are taken."""
        line = self.market.lines[number]
        counts = [self.counts[room][kind] for room, kind in line.kinds]
        counts += [self.idle[number]] if line.idle else []
        return self.total(counts, [1] * len(counts))

    # -- what is cut where --------------------------------------------------------------------

    def _demands(self) -> list[list[Any]]:
        """Pieces of each size of each room: what wishes place in its section, split where that has several rooms."""
        demands: list[list[Any]] = [[] for _ in self.market.rooms]
        placed: dict[tuple[int, int], list[tuple[Any, int]]] = {}
        for wish, literals in zip(self.market.wishes, self.places, strict=True):
            for place, literal in zip(wish.places, literals, strict=True):
                placed.setdefault(place, []).append((literal, wish.part.quantity))
        for number, rooms in enumerate(self.market.sections):
            for size in range(len(self.market.rooms[rooms[0]].instance.sizes)):
                wanted = sum(literal * quantity for literal, quantity in placed.get((number, size), []))
                if len(rooms) == 1:
                    demands[rooms[0]].append(wanted)
                    continue
                shares = [
                    self.model.new_int_var(0, self.market.rooms[room].instance.demands[size], "") for room in rooms
                ]
                self.model.add(sum(shares) == wanted)
                for room, share in zip(rooms, shares, strict=True):
                    demands[room].append(share)
        return demands

    def _every_stick_is_used(self) -> None:
        """A stick with no part is never taken: enough pieces short enough for the sticks of each length.

        These rows for all lengths suffice: from any layout of all pieces on all sticks, moving single pieces to empty
        sticks, longer and longer ones, leaves no stick empty.
        """
        for room, counts, demands in zip(self.market.rooms, self.counts, self.demands, strict=True):
            singles = [room.holds_alone(kind) for kind in range(len(room.ways))]
            for longest in sorted(set(singles)):
                sticks = [count for count, own in zip(counts, singles, strict=True) if own <= longest]
                pieces = [d for d, need in zip(demands, room.alone, strict=True) if need <= longest]
                self.model.add(self.total(sticks, [1] * len(sticks)) <= sum(pieces))

    def _escapes(self, number: int, order: RoomOrder) -> list[Any]:
        room = self.market.rooms[number]
        literals = []
        for kinds in chains(room):
            more = sum(order.counts[kind] for kind in kinds) + 1
            if more <= sum(room.instance.limits[kind] for kind in kinds):
                literal = self.bool()
                here = [self.counts[number][kind] for kind in kinds]
                self.model.add(self.total(here, [1] * len(here)) >= more * literal)
                literals.append(literal)
        return literals + self._fewer(number, order)

    def _fewer(self, number: int, order: RoomOrder) -> list[Any]:
        """Literals that say that fewer pieces of some size are cut here."""
        literals = []
        for size, pieces in enumerate(order.demands):
            if pieces > self._certain(number, size):
                literal = self.bool()
                most = self.market.rooms[number].instance.demands[size]
                self.model.add(self.demands[number][size] + (most - pieces + 1) * literal <= most)
                literals.append(literal)
        return literals

    def _certain(self, number: int, size: int) -> int:
        """Return how many pieces of a size are cut in a room whatever is chosen."""
        section = next(at for at, rooms in enumerate(self.market.sections) if number in rooms)
        if len(self.market.sections[section]) > 1:
            return 0
        return sum(wish.part.quantity for wish in self.market.wishes if wish.places == ((section, size),))


def new_solver(seed: int, seconds: float) -> cp_model.CpSolver:
    """Return CP-SAT as buying models want it: in one process, with the linear relaxation at its fullest."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.catch_sigint_signal = False  # Ctrl-C is the caller's to hear
    solver.parameters.linearization_level = 2
    # This step of CP-SAT 9.15 was seen to drop the condition of a conditional row with coefficients around 2^31.
    solver.parameters.presolve_inclusion_work_limit = 0
    solver.parameters.random_seed = seed
    solver.parameters.max_time_in_seconds = max(0.01, seconds)
    return solver


def chains(room: Room) -> list[list[int]]:
    """List the sets of kinds whose numbers decide what a set of sticks can hold.

    A set of sticks with no more sticks in each of these than another holds nothing that the other doesn't: uncut sticks
    of at least each length, and sticks with each sort of windows.
    """
    uncut = [kind for kind, way in enumerate(room.ways) if way.windows is None]
    clear = [room.holds_alone(kind) for kind in range(len(room.ways))]
    lengths = sorted({clear[kind] for kind in uncut}, reverse=True)
    found = [[kind for kind in uncut if clear[kind] >= length] for length in lengths]
    shapes = dict.fromkeys(way.windows for way in room.ways if way.windows is not None)
    return found + [[kind for kind, way in enumerate(room.ways) if way.windows == shape] for shape in shapes]
