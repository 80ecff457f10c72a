"""Buying all sections together: the cheapest orders that the yards accept and that cutting hasn't ruled out.

One CP-SAT model in whole numbers over every line of sticks, every yard's terms and every choice of section, so that its
optimum is a lower bound on all plans as long as each row that cutting added is proven.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd
from typing import Any

from ortools.sat.python import cp_model

from cutting.buying.lines import Line
from cutting.buying.model import Market, Room
from cutting.buying.portions import bare, ruled
from cutting.question.yards import Charge

__all__ = ["Basket", "Master", "RoomOrder", "RoomRow", "UnfinishedError", "chains", "new_solver"]

HALF = 0.5
# A trip's load in whole numbers; masses are rounded down, so that trips are never overstated. CP-SAT 9.15 was seen to
# presolve rows with coefficients around 2^31 wrongly (it called a dearer basket optimal), so this stays well below.
MASS_UNITS = 1 << 20


@dataclass(frozen=True, kw_only=True, slots=True)
class RoomOrder:
    """What is bought and to be cut in one room.

    Attributes
    ----------
    counts : tuple of int
        Sticks of each kind.
    demands : tuple of int
        Pieces of each size.
    """

    counts: tuple[int, ...]
    demands: tuple[int, ...]


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
        self._places = [[self._bool() for _ in wish.places] if wish.places[1:] else [1] for wish in market.wishes]
        for place in self._places:
            if place[1:]:
                self.model.add_exactly_one(place)
        self._bare = bare(market)
        self.counts = [
            [self.model.new_int_var(0, limit, "") for limit in room.instance.limits] for room in market.rooms
        ]
        self.demands = self._demands()
        self.idle = [self.model.new_int_var(0, line.idle, "") for line in market.lines]
        self.cost = self._orders() + self._kinds() - self._credits()
        if not self._bare:  # else a stick that nothing is cut from is left where it is, and that costs no more
            self._every_stick_is_used()
        self.model.minimize(self.cost)

    def require(self, row: RoomRow) -> None:
        """Add an inequality."""
        self.rows.append(row)
        common = gcd(*row.holds, *row.values) or 1
        holds = self._sum(self.counts[row.room], [held // common for held in row.holds])
        self.model.add(holds >= self._sum(self.demands[row.room], [value // common for value in row.values]))

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
            weight = sum(self._sum(counts, some) for counts, some in zip(self.counts, weights, strict=True))
            model.minimize(weight)
            if below is not None:
                model.add(weight < below)
        return self._solve(model, seconds, effort)

    def _solve(self, model: cp_model.CpModel, seconds: float, effort: float | None) -> Basket | None:
        solver = new_solver(self.seed, seconds)
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

    def read(self, solver: cp_model.CpSolver) -> tuple[RoomOrder, ...]:
        """Return what a solution of this model, or of a larger one, takes and cuts in each room."""
        return tuple(
            RoomOrder(counts=tuple(map(solver.value, counts)), demands=tuple(map(solver.value, demands)))
            for counts, demands in zip(self.counts, self.demands, strict=True)
        )

    def placed(self, solver: cp_model.CpSolver) -> tuple[int, ...]:
        """Return for each wish the number of the place that a solution gives it."""
        return tuple([solver.value(at) for at in place].index(1) for place in self._places)

    def whole(self, solver: cp_model.CpSolver) -> tuple[int, ...]:
        """Return for each line how many sticks a solution leaves whole."""
        return tuple(map(solver.value, self.idle))

    def slack(self, row: RoomRow) -> Any:
        """Return what the sticks of a row can hold beyond what the pieces cut there are worth."""
        return self._sum(self.counts[row.room], row.holds) - self._sum(self.demands[row.room], row.values)

    @staticmethod
    def _sum(terms: Sequence[Any], weights: Sequence[int]) -> Any:
        return cp_model.LinearExpr.weighted_sum(list(terms), list(weights))

    def _bool(self) -> Any:
        return self.model.new_bool_var("")

    # -- what is cut where --------------------------------------------------------------------

    def _demands(self) -> list[list[Any]]:
        """Pieces of each size of each room: what wishes place in its section, split where that has several rooms."""
        demands: list[list[Any]] = [[] for _ in self.market.rooms]
        placed: dict[tuple[int, int], list[tuple[Any, int]]] = {}
        for wish, literals in zip(self.market.wishes, self._places, strict=True):
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

    def _credits(self) -> Any:
        """Return what the drops kept, and sticks that stay whole, are worth."""
        total: Any = self._sum(self.idle, [line.idle_credit for line in self.market.lines])
        for room, counts, demands in zip(self.market.rooms, self.counts, self.demands, strict=True):
            if any(room.takes):
                total += self._sum(counts, [way.credit for way in room.ways]) - self._sum(demands, room.takes)
        return total

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
                self.model.add(self._sum(sticks, [1] * len(sticks)) <= sum(pieces))

    def _escapes(self, number: int, order: RoomOrder) -> list[Any]:
        room = self.market.rooms[number]
        literals = []
        for kinds in chains(room):
            more = sum(order.counts[kind] for kind in kinds) + 1
            if more <= sum(room.instance.limits[kind] for kind in kinds):
                literal = self._bool()
                here = [self.counts[number][kind] for kind in kinds]
                self.model.add(self._sum(here, [1] * len(here)) >= more * literal)
                literals.append(literal)
        return literals + self._fewer(number, order)

    def _fewer(self, number: int, order: RoomOrder) -> list[Any]:
        """Literals that say that fewer pieces of some size are cut here."""
        literals = []
        for size, pieces in enumerate(order.demands):
            if pieces > self._certain(number, size):
                literal = self._bool()
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

    # -- what it costs ------------------------------------------------------------------------

    def _taken(self, line: Line) -> Any:
        counts = [self.counts[room][kind] for room, kind in line.kinds]
        counts += [self._idle_of(line)] if line.idle else []
        return self._sum(counts, [1] * len(counts))

    def _idle_of(self, line: Line) -> Any:
        return self.idle[self.market.lines.index(line)]

    def _price(self, line: Line) -> Any:
        """Return the price of all sticks of a line, by the break that their number reaches; keep to its stock."""
        steps = [(least, self._in_terms(line, price)) for least, price in line.steps]
        taken = self._taken(line)
        if len(line.kinds) > 1 or line.idle:
            self.model.add(taken <= line.most)
        if len(steps) == 1:
            return taken * steps[0][1]
        ends = [least - 1 for least, _ in steps[1:]] + [line.most]
        amounts, chosen = [], []
        for (least, price), end in zip(steps, ends, strict=True):
            if least <= min(end, line.most):
                here = self._bool()
                amount = self.model.new_int_var(0, min(end, line.most), "")
                self.model.add(amount <= min(end, line.most) * here)
                self.model.add(amount >= least * here)
                amounts.append((amount, price))
                chosen.append(here)
        self.model.add_at_most_one(chosen)
        self.model.add(taken == sum(amount for amount, _ in amounts))
        return self._sum([amount for amount, _ in amounts], [price for _, price in amounts])

    def _in_terms(self, line: Line, price: int) -> int:
        """Return a price in the smallest unit of the currency for a yard's line, in units of cost for an own piece."""
        return price if line.yard is None else price // self.market.money

    def _orders(self) -> Any:
        total: Any = 0
        own = [line for line in self.market.lines if line.yard is None]
        for line in own:
            total += self._price(line)
        for number in range(len(self.market.terms)):
            lines = [line for line in self.market.lines if line.yard == number]
            if lines and number in ruled(self.market):
                total += self.market.money * self._order(number, lines)
            else:
                total += self.market.money * sum(self._price(line) for line in lines)
        return total

    def _order(self, number: int, lines: Sequence[Line]) -> Any:
        """Return everything that one yard's order costs, and see to it that the yard takes it."""
        terms = self.market.terms[number]
        prices = [(line, self._price(line)) for line in lines]
        material = sum(price for _, price in prices)
        deliver, collect = self._bool(), self._bool()
        self.model.add_at_most_one([deliver, collect])
        used = deliver + collect
        if terms.delivery is None:
            self.model.add(deliver == 0)
        if terms.collecting is None:
            self.model.add(collect == 0)
        for line in lines:
            self.model.add(self._taken(line) <= line.most * used)
        if terms.minimum > 0:
            self.model.add(material >= terms.minimum * used)
        cuts = self._transported(lines, deliver, collect)
        return material + self._fees(number, lines, material, cuts, (deliver, collect))

    def _transported(self, lines: Sequence[Line], deliver: Any, collect: Any) -> Any:
        """Tie kinds of stick to how the order comes home; return the cuts that the yard makes."""
        cuts: Any = 0
        for line in lines:
            if line.idle_delivered:
                self.model.add(self._idle_of(line) <= line.idle * deliver)
            for room, kind in line.kinds:
                way = self.market.rooms[room].ways[kind]
                count = self.counts[room][kind]
                if way.only_delivered:
                    self.model.add(count <= line.most * deliver)
                if way.cuts:
                    self.model.add(count <= line.most * collect)
                    cuts += way.cuts * count
        return cuts

    def _fees(self, number: int, lines: Sequence[Line], material: Any, cuts: Any, transport: tuple[Any, Any]) -> Any:
        """Return what a yard and the road cost beyond the sticks."""
        terms = self.market.terms[number]
        deliver, collect = transport
        most = sum(max(price for _, price in line.steps) // self.market.money * line.most for line in lines)
        most_cuts = self._most_cuts(lines)
        delivery: Any = 0
        if terms.delivery:
            delivery = terms.delivery * deliver
            if terms.free_from is not None and terms.free_from <= most:
                free = self._bool()
                self.model.add(free <= deliver)
                self.model.add(material >= terms.free_from * free)
                delivery = terms.delivery * (deliver - free)
        cutting: Any = 0
        if terms.charge and most_cuts > terms.free:
            charged = self.model.new_int_var(0, most_cuts - terms.free, "")
            self.model.add(charged >= cuts - terms.free)
            cutting = terms.charge * charged
        fees = delivery + cutting
        if terms.collecting:
            fees += terms.collecting * self._trips(number, lines, collect)
        charges = {Charge.MATERIAL: material, Charge.CUTS: cutting, Charge.DELIVERY: delivery}
        base = sum(charges[charge] for charge in Charge if charge in terms.on)
        if terms.rate and terms.on:
            fees += self._tax(terms.rate, base, most + (terms.delivery or 0) + terms.charge * most_cuts)
        return fees

    def _most_cuts(self, lines: Sequence[Line]) -> int:
        ways = [(line, self.market.rooms[room].ways[kind].cuts) for line in lines for room, kind in line.kinds]
        return sum(line.most * cuts for line, cuts in ways)

    def _tax(self, rate: Fraction, base: Any, most: int) -> Any:
        """Round half up from below: the least whole number within half a unit of the exact tax."""
        tax = self.model.new_int_var(0, int(rate * most) + 1, "")
        self.model.add(2 * rate.denominator * tax >= 2 * rate.numerator * base - rate.denominator + 1)
        return tax

    def _trips(self, number: int, lines: Sequence[Line], collect: Any) -> Any:
        load = self.market.terms[number].load
        if load is None:
            return collect
        masses = [int(line.mass / load * MASS_UNITS) for line in lines]
        most = -(-sum(mass * line.most for mass, line in zip(masses, lines, strict=True)) // MASS_UNITS) + 1
        trips = self.model.new_int_var(0, most, "")
        self.model.add(trips >= collect)
        carried = sum(mass * self._taken(line) for mass, line in zip(masses, lines, strict=True))
        self.model.add(trips * MASS_UNITS + most * MASS_UNITS >= carried + most * MASS_UNITS * collect)
        return trips

    def _kinds(self) -> Any:
        """Return the cost of every section bought after the first."""
        sections = sorted({line.section for line in self.market.lines})
        if not self.market.kind_cost or len(sections) == 1:
            return 0
        bought = []
        for number in sections:
            here = self._bool()
            for line in self.market.lines:
                if line.section == number and line.yard is not None:
                    self.model.add(self._taken(line) <= line.most * here)
            bought.append(here)
        extra = self.model.new_int_var(0, len(bought) - 1, "")
        self.model.add(extra >= sum(bought) - 1)
        return self.market.kind_cost * extra


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
