"""Whether a time limit holds: large jobs of every kind, a plan and a bound within the limit.

    python -m tests.benchmarks.limits [SECONDS]

says for each job how long `solve` took, what its plan costs and what none costs less than.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from cutting.question.job import Ends, Job, Lean, Measure, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.question.yards import KeepValue, Yard
from cutting.solve import solve

__all__ = ["JOBS", "LEFTOVERS", "angled", "sections", "square", "yards"]

LEFTOVERS = KeepValue(amount=Decimal("1.20"), per=Fraction(300), shortest=Fraction(600))
_SIDE = Fraction(40)
_MITRE = Ends(
    angles=(Fraction(45), Fraction(45)), lean=Lean.OPPOSED, measure=Measure.LONG_POINT, planes=(0, 0), toward=(1, 1)
)


def square(pieces: int, lengths: int, section: str = "A") -> Job:
    """Make a job of so many square-ended pieces of so many lengths, from sticks of two mill lengths."""
    chance = random.Random(f"{section} {pieces} {lengths}")
    steel = Section(name=section, mass=Fraction(4), family="shs", sides=(_SIDE, _SIDE))
    several, rest = divmod(pieces, lengths)
    parts = tuple(
        Part(mark=f"{section}{at}", section=steel, length=Fraction(length), quantity=several + (at < rest))
        for at, length in enumerate(chance.sample(range(300, 3000), lengths))
    )
    sticks = tuple(_stick(steel, length, price) for length, price in ((6000, "30.00"), (8000, "41.00")))
    return Job(parts=parts, sticks=sticks, saw=Saw(kerf=Fraction("2.4")), unit=Unit.MM, currency="EUR")


def _stick(section: Section, length: int, price: str) -> Stick:
    return Stick(
        id=f"{section.name} {length}",
        section=section,
        length=Fraction(length),
        source=Source.STICKS,
        price=PerStick(amount=Decimal(price)),
        available=None,
        trims=(Fraction(5), Fraction(0)),
    )


def angled(pieces: int, lengths: int) -> Job:
    """Make one whose pieces are mitred, every third at one end only."""
    job = square(pieces, lengths)
    one = replace(_MITRE, angles=(Fraction(45), Fraction(0)))
    return replace(job, parts=tuple(replace(p, ends=_MITRE if n % 3 else one) for n, p in enumerate(job.parts)))


def yards(pieces: int, lengths: int) -> Job:
    """Make one that three yards sell for, each with its delivery and its minimum."""
    job = square(pieces, lengths)
    terms = (("X", "90", "1"), ("Y", "50", "1.02"), ("Z", "200", "0.98"))
    sticks = tuple(
        replace(stick, id=f"{name} {stick.id}", yard=name, price=PerStick(amount=_dearer(stick, factor)))
        for name, _, factor in terms
        for stick in job.sticks
    )
    sellers = tuple(
        Yard(name=name, delivery=Decimal(fee), delivery_free_from=Decimal(20_000), minimum=Decimal(100))
        for name, fee, _ in terms
    )
    return replace(job, sticks=sticks, yards=sellers)


def _dearer(stick: Stick, factor: str) -> Decimal:
    assert isinstance(stick.price, PerStick)
    return (stick.price.amount * Decimal(factor)).quantize(Decimal("0.01"))


def sections(count: int, pieces: int, lengths: int) -> Job:
    """Make one of so many sections, each with so many pieces."""
    jobs = [square(pieces, lengths, f"S{number}_") for number in range(count)]
    parts = tuple(part for job in jobs for part in job.parts)
    return replace(jobs[0], parts=parts, sticks=tuple(stick for job in jobs for stick in job.sticks))


JOBS: dict[str, Callable[[], Job]] = {
    "6,000 pieces of 1,500 lengths": lambda: square(6_000, 1_500),
    "20,000 pieces of 60 lengths": lambda: square(20_000, 60),
    "5,000 mitred pieces of 200 lengths": lambda: angled(5_000, 200),
    "2,000 pieces of 60 lengths from three yards": lambda: yards(2_000, 60),
    "20 sections, 200 pieces of 30 lengths each": lambda: sections(20, 200, 30),
    "6,000 pieces of 600 lengths from three yards": lambda: yards(6_000, 600),
    "2,000 mitred of 60 from three yards": lambda: replace(yards(2_000, 60), parts=angled(2_000, 60).parts),
    "2,000 of 200, leftovers worth something": lambda: replace(square(2_000, 200), keep_value=LEFTOVERS),
    "2,000 of 60 from three yards, the same": lambda: replace(yards(2_000, 60), keep_value=LEFTOVERS),
    "2,000 of 200, each layout costs": lambda: replace(square(2_000, 200), layout_cost=Decimal(5)),
    "2,000 mitred of 60, each layout costs": lambda: replace(angled(2_000, 60), layout_cost=Decimal(5)),
}


def rows(limit: float) -> Iterator[str]:
    """Yield a line for each job."""
    for name, make in JOBS.items():
        job = make()
        begin, work = time.perf_counter(), time.process_time()
        result = solve(job, limit=limit)
        took, cpu = time.perf_counter() - begin, time.process_time() - work
        cost = "no plan" if result.plan is None else f"{float(result.plan.cost):12,.2f}"
        bound = float(result.proof.lower_bound)
        yield f"{name:44} {took:6.2f} s  {cpu:6.2f} s of CPU  {cost}  at least {bound:12,.2f}  {result.status}"


def main(arguments: Sequence[str]) -> int:
    """Measure them all."""
    limit = float(arguments[0]) if arguments else 1.0
    sys.stdout.write(f"limit {limit:g} s\n")
    for row in rows(limit):
        sys.stdout.write(f"{row}\n")
        sys.stdout.flush()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
