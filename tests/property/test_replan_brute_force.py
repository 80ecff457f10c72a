"""The replan against brute force: parts spoilt, sticks short, another blade, another parts list, steel on the rack.

What is still to be cut and from what is kept here by this test's own sums, event by event; the brute force then tries
every way to cut it from all of that and from what the yards offer. Neither knows anything of the replan.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

import pytest

from cutting.checking.check import check
from cutting.question.job import Break, Job, Part, PerStick, Saw, Section, Source, Stick, Substitute
from cutting.question.lengths import Unit
from cutting.question.yards import KeepValue, Tax, Yard
from cutting.solve import solve
from shared.files.job import read_job, write_job
from shared.work.rack.bars import Bar, parse_bar_name
from shared.work.replan.anew import Replanned, replan
from shared.work.saw.work import MadeState, Slot, SlotState
from tests.builders import PATIENCE
from tests.kinds import further
from tests.property.yards_brute_force import cheapest
from tests.shared.work.replan.scene import Scene, free_bar, in_hand

STATES = 240
BATCHES = 12
ZERO = Fraction(0)
A = Section(name="A")
B = Section(name="B")
GALVANISED = Section(name="A", material="galvanised")
KEEP_FROM = Fraction(300)


@dataclass
class Left:
    """What can still be cut from one bar, by this test's own sums."""

    section: Section
    length: Fraction
    trims: tuple[Fraction, Fraction]

    def saw(self, lengths: list[Fraction], kerf: Fraction) -> None:
        self.length = max(ZERO, self.length - self.trims[0] - sum(lengths) - len(lengths) * kerf)
        self.trims = (ZERO, self.trims[1])

    def stick(self, number: int, kerf: Fraction) -> Stick | None:
        trims = tuple(max(trim, kerf) if trim else trim for trim in self.trims)
        if self.length - sum(trims) <= 0:
            return None
        return Stick(
            id=f"own {number}",
            section=self.section,
            length=self.length,
            source=Source.OWN,
            price=None,
            available=1,
            trims=(trims[0], trims[1]),
        )


@dataclass
class Floor:
    """The scene, and beside it the sums."""

    scene: Scene
    job: Job
    kerf: Fraction
    steel: dict[int, Left]
    lacking: Counter[str]
    begun: dict[str, Section] = field(default_factory=dict)

    def good(self, slot: Slot, marks: list[str]) -> None:
        for mark in marks:
            self.lacking[mark] -= 1
            self.begun[mark] = slot.cut.section

    def saw(self, slot: Slot, count: int) -> None:
        pieces = slot.cut.pieces[slot.sawn : count]
        self.steel[slot.bar].saw([piece.length for piece in pieces], self.kerf)
        self.good(slot, [piece.mark for piece in pieces])
        before = {bar.number for bar in self.scene.rack}
        self.scene.saw(slot, count)
        if count == len(slot.cut.pieces):
            left = self.steel.pop(slot.bar)
            for bar in self.scene.rack:
                if bar.number not in before:
                    assert bar.length == left.length
                    self.steel[bar.number] = left

    def spoil(self, slot: Slot, position: int) -> None:
        pieces = slot.cut.pieces[slot.sawn : position]
        self.steel[slot.bar].saw([piece.length for piece in pieces], self.kerf)
        self.good(slot, [piece.mark for piece in pieces[:-1]])
        before = {bar.number for bar in self.scene.rack}
        self.scene.spoil(slot, position)
        if position == len(slot.cut.pieces):
            left = self.steel.pop(slot.bar)
            for bar in self.scene.rack:
                if bar.number not in before:
                    self.steel[bar.number] = left

    def question(self) -> Job:
        """Everything that is left to do, from everything that there is."""
        asked = {part.mark: part for part in self.scene.book.work.job.parts}
        parts = []
        for mark, part in asked.items():
            if self.lacking[mark] <= 0:
                continue
            now = replace(part, quantity=self.lacking[mark])
            if mark in self.begun:
                now = replace(now, section=self.begun[mark], substitutes=())
            parts.append(now)
        own = [left.stick(number, self.kerf) for number, left in self.steel.items()]
        bought = Counter({line.stick: line.quantity for line in self.scene.plan.buy})
        offers = [
            replace(
                stick,
                available=None if stick.available is None else stick.available - bought[stick.id],
                trims=tuple(max(trim, self.kerf) if trim else trim for trim in stick.trims),
            )
            for stick in self.job.sticks
            if stick.source is not Source.OWN
            if stick.available is None or stick.available > bought[stick.id]
        ]
        sticks = (*offers, *(_grouped([stick for stick in own if stick is not None])))
        return replace(self.job, parts=tuple(parts), sticks=sticks, saw=Saw(kerf=self.kerf))


def _grouped(sticks: list[Stick]) -> list[Stick]:
    """Alike pieces as one line of several, which spares the brute force a great deal."""
    alike: dict[tuple[object, ...], list[Stick]] = {}
    for stick in sticks:
        alike.setdefault((stick.section.key, stick.length, stick.trims), []).append(stick)
    return [replace(some[0], available=len(some)) for some in alike.values()]


# -- random states ----------------------------------------------------------------------------------


def random_floor(number: int) -> Floor | None:
    """Begin a small random work and let things happen; None where the job has no plan to begin with."""
    chance = random.Random(f"replan brute force {number}")
    job = _job(chance, with_terms=number % 4 == 3)
    rack = _rack(chance, job)
    labelled = [_own_line(bar) for bar in rack if chance.random() < 0.5]
    job = replace(job, sticks=(*job.sticks, *labelled))
    result = solve(job, cores=1, limit=PATIENCE)
    if result.plan is None:
        return None
    scene = in_hand(job, result, rack, keep_from=KEEP_FROM)
    held = {slot.bar: slot for slot in scene.book.slots}
    trims = {bar.number: held[bar.number].stick.trims if bar.number in held else bar.trims for bar in scene.book.bars}
    steel = {
        bar.number: Left(section=bar.section, length=bar.length, trims=trims.get(bar.number, bar.trims) or (ZERO, ZERO))
        for bar in (*scene.book.bars, *scene.rack)
    }
    floor = Floor(
        scene=scene,
        job=job,
        kerf=job.saw.kerf,
        steel=steel,
        lacking=Counter({part.mark: part.quantity for part in job.parts}),
    )
    for _ in range(chance.randint(1, 4)):
        _happen(chance, floor)
    return floor


def _job(chance: random.Random, *, with_terms: bool) -> Job:
    kerf = chance.choice([ZERO, Fraction("2.4"), Fraction(3)])
    sections = [A, B] if chance.random() < 0.4 else [A]
    scarce = chance.random() < 0.3
    parts = tuple(
        Part(
            mark=f"P{n}",
            section=sections[n % len(sections)],
            length=Fraction(chance.randint(20, 110) * 10),
            quantity=chance.randint(1, 3 if n < 2 else 2),
            substitutes=(Substitute(section=B, remark="stronger"),)
            if with_terms and sections[n % len(sections)] == A and chance.random() < 0.3
            else (),
        )
        for n in range(chance.randint(len(sections), 3))
    )
    return Job(
        parts=parts,
        sticks=tuple(
            _stick(chance, section, n, kerf, with_terms=with_terms, scarce=scarce)
            for section in (A, B)
            for n in range(2)
        ),
        saw=Saw(kerf=kerf),
        unit=Unit.MM,
        currency="EUR",
        yards=(_yard(chance, "X"), _yard(chance, "Y")) if with_terms else (),
        kind_cost=Decimal(chance.choice([0, 3])) if with_terms else Decimal(0),
        keep_value=KeepValue(amount=Decimal(chance.choice(["1", "8"])), per=Fraction(1000), shortest=Fraction(250))
        if with_terms and chance.random() < 0.4
        else None,
    )


def _stick(chance: random.Random, section: Section, n: int, kerf: Fraction, *, with_terms: bool, scarce: bool) -> Stick:
    price = Decimal(chance.randint(5, 40))
    source = Source.STICKS if n == 0 else chance.choice([Source.STICKS, Source.RACK])
    limited = scarce or source is Source.RACK or (n == 1 and chance.random() < 0.3)
    breaks = (Break(least=2, price=PerStick(amount=price / 2)),) if with_terms and not limited else ()
    return Stick(
        id=f"{section.name}{n}",
        section=section,
        length=Fraction(chance.randint(12, 30) * 100),
        source=source,
        price=PerStick(amount=price),
        available=chance.randint(1, 2) if limited else None,
        trims=chance.choice([(kerf, ZERO), (ZERO, ZERO), (2 * kerf, kerf)]),
        yard=chance.choice(["X", "Y"]) if with_terms else "",
        breaks=breaks,
    )


def _yard(chance: random.Random, name: str) -> Yard:
    return Yard(
        name=name,
        delivery=Decimal(chance.choice([3, 9])),
        delivery_free_from=chance.choice([None, Decimal(40)]),
        collecting=chance.choice([None, Decimal(4)]),
        minimum=Decimal(chance.choice([0, 0, 20])),
        tax=chance.choice([None, Tax(rate=Decimal("0.0725"))]),
    )


def _rack(chance: random.Random, job: Job) -> tuple[Bar, ...]:
    sections = [part.section for part in job.parts]
    return tuple(
        free_bar(
            number,
            chance.choice([*sections, GALVANISED]),
            Fraction(chance.randint(20, 120) * 10),
            trims=chance.choice([(ZERO, ZERO), (ZERO, Fraction(10)), (Fraction(12), ZERO)]),
        )
        for number in range(1, chance.randint(0, 3) + 1)
    )


def _own_line(bar: Bar) -> Stick:
    assert bar.trims is not None
    return Stick(
        id=bar.name,
        section=bar.section,
        length=bar.length,
        source=Source.OWN,
        price=None,
        available=1,
        trims=bar.trims,
    )


def _happen(chance: random.Random, floor: Floor) -> None:
    """Let one thing happen."""
    waiting = [slot for slot in floor.scene.book.slots if slot.state is SlotState.OPEN and slot.left]
    what = chance.choice(["saw", "saw part", "spoil", "spoil", "short", "blade", "list", "list"])
    if not waiting and what != "list":
        return
    slot = chance.choice(waiting) if waiting else None
    match what:
        case "saw" if slot:
            floor.saw(slot, len(slot.cut.pieces))
        case "saw part" if slot and len(slot.left) > 1:
            floor.saw(slot, slot.sawn + 1)
        case "spoil" if slot:
            floor.spoil(slot, chance.randint(slot.sawn + 1, len(slot.cut.pieces)))
        case "short" if slot and not slot.sawn:
            length = floor.steel[slot.bar].length - chance.choice([5, 40, 300])
            if length > sum(slot.stick.trims):
                floor.scene.measure(slot, length)
                floor.steel[slot.bar].length = length
        case "blade":
            floor.kerf += chance.choice([Fraction(1), Fraction("0.8")])
            floor.scene.blade(floor.kerf)
        case "list":
            _redraw(chance, floor)


def _redraw(chance: random.Random, floor: Floor) -> None:
    """Ask for another quantity or length of one part, or for one part more."""
    job = floor.scene.book.work.job
    part = chance.choice(job.parts)
    sort = chance.choice(["more", "fewer", "longer", "new"])
    parts = list(job.parts)
    at = parts.index(part)
    made = sum(each.mark == part.mark and each.state is MadeState.GOOD for each in floor.scene.book.made)
    if sort == "more" or (sort == "fewer" and part.quantity > 1):
        parts[at] = replace(part, quantity=part.quantity + (1 if sort == "more" else -1))
        floor.lacking[part.mark] += 1 if sort == "more" else -1
    elif sort == "longer" and not made:
        parts[at] = replace(part, length=part.length + 30)
    elif sort == "new" and len(parts) < 4:
        tens = chance.choice([chance.randint(20, 60)] * 3 + [chance.randint(150, 300)])
        fresh = Part(mark=f"N{len(parts)}", section=part.section, length=Fraction(tens * 10), quantity=1)
        parts.append(fresh)
        floor.lacking[fresh.mark] = 1
    floor.job = replace(floor.job, parts=tuple(parts))
    floor.scene.ask(replace(floor.job, parts=tuple(parts), saw=floor.job.saw))


# -- what must be true --------------------------------------------------------------------------------


def _proposal(floor: Floor) -> Replanned:
    return replan(floor.scene.book, floor.scene.rack, cores=1, limit=PATIENCE)


def _new_pieces(done: Replanned) -> Counter[str]:
    found: Counter[str] = Counter()
    for cut in done.plan.cuts if done.plan else ():
        for piece in cut.pieces:
            found[piece.mark] += cut.quantity
    return found


def _kept_worth(floor: Floor, done: Replanned) -> None:
    """Kept layouts are those of the book, they fit, and nothing new is cut from their steel."""
    slots = {slot.id: slot for slot in floor.scene.book.slots}
    own = {parse_bar_name(cut.stick) for cut in (done.plan.cuts if done.plan else ()) if cut.source is Source.OWN}
    for number in done.kept:
        slot = slots[number]
        left = floor.steel[slot.bar]
        lengths = [piece.length for piece in slot.left]
        trims = [max(trim, floor.kerf) if trim else trim for trim in left.trims]
        assert left.length - sum(trims) >= sum(lengths) + (len(lengths) - 1) * floor.kerf
        assert slot.bar not in own
        asked = {part.mark: part.length for part in floor.scene.book.work.job.parts}
        assert all(asked[piece.mark] == piece.length for piece in slot.left)
        starts = [piece.start for piece in slot.left]
        ends = [piece.end for piece in slot.left]
        gaps = [start - end for start, end in zip(starts[1:], ends, strict=False)]
        assert all(gap == floor.kerf for gap in gaps), "a layout drawn for another blade"


def _holds(floor: Floor) -> str:
    """Check one proposal; return what sort of state it was."""
    question = floor.question()
    done = _proposal(floor)
    told = "\n".join(done.words)
    wanted = cheapest(question) if question.parts else ZERO
    pieces = _new_pieces(done)
    if wanted is None:
        assert done.reasons, told
        return "impossible"
    assert not done.reasons, told
    kept = [slot for slot in floor.scene.book.slots if slot.id in done.kept]
    for slot in kept:
        pieces.update(piece.mark for piece in slot.left)
    assert +pieces == +floor.lacking, told
    _kept_worth(floor, done)
    waiting = {slot.id for slot in floor.scene.book.slots if slot.state is SlotState.OPEN and slot.left}
    whole = {slot.id for slot in floor.scene.book.slots if slot.state is SlotState.OPEN and not slot.cut.pieces}
    assert waiting == {*done.kept, *done.void} - whole, told  # a stick that stays whole may be let go with the rest
    if done.job is not None:
        assert done.plan is not None, told
        assert check(done.job, done.plan) == (), told
        assert read_job(write_job(done.job)) == (done.job, ()), told
    nothing_missing = done.job is None or (done.pay == 0 and not done.certain) or not question.parts
    if floor.job.keep_value is None:
        assert done.certain, told
        assert done.cost == wanted, f"replan {done.cost}, brute force {wanted}\n{told}"
        assert Fraction(done.pay or 0) == wanted, told
    elif done.cost != wanted:
        assert nothing_missing or _all_kept(floor, done), f"replan {done.cost}, brute force {wanted}\n{told}"
    return "buys" if done.extra else "frees"


def _all_kept(floor: Floor, done: Replanned) -> bool:
    """Whether nothing was missing, so that nothing was planned for money at all."""
    waiting = {slot.id for slot in floor.scene.book.slots if slot.state is SlotState.OPEN and slot.left}
    return not done.extra and waiting <= {*done.kept, *done.together}


@pytest.mark.kind(name="brute force")
@pytest.mark.parametrize("batch", further(range(BATCHES), "a further batch of random jobs"))
def test_least_extra_cost_is_that_of_brute_force(batch: int) -> None:
    for number in range(batch, STATES, BATCHES):
        floor = random_floor(number)
        if floor is not None:
            try:
                _holds(floor)
            except AssertionError as error:
                raise AssertionError(f"state {number}: {error}") from error


@pytest.mark.slow("looks at many batches together")
def test_the_random_states_are_of_every_sort() -> None:
    floors = [floor for number in range(80) if (floor := random_floor(number)) is not None]
    sorts = Counter(_holds(floor) for floor in floors)
    done = [_proposal(floor) for floor in floors]
    assert min(sorts["impossible"], sorts["buys"], sorts["frees"]) > 0, sorts
    assert any(each.kept and each.void for each in done)
    assert any(each.together for each in done)
    assert any(each.used for each in done)
    assert any(each.freed for each in done)
    assert any(floor.begun and any(part.substitutes for part in floor.job.parts) for floor in floors)
    assert any(made.state is MadeState.SPOILT for floor in floors for made in floor.scene.book.made)
    assert any(slot.sawn and slot.state is SlotState.OPEN for floor in floors for slot in floor.scene.book.slots)
