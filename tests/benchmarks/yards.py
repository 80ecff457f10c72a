"""Jobs over two yards and three sections, generated; and how often the engine proves their optimum.

    python -m tests.benchmarks.yards [--jobs 30] [--limit 10] [--cores 2] [--first 0] [--keep 1.20]

Market-stall frames, firewood racks and kayak stands of invented make: 10 to 60 pieces a section, two or three mill
lengths at each yard with quantity breaks, a rack at one of them, some own drops, fees, minimum orders, taxes, a van
that carries only so long, a yard that cuts, substitutes for some parts, and in some jobs a price for extra kinds.
With `--keep` every foot of a leftover of 2 ft or more is worth so much.
"""

from __future__ import annotations

import argparse
import random
import resource
import statistics
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from cutting.answer.plan import Status
from cutting.question.job import (
    Break,
    Discount,
    Job,
    Part,
    PerLength,
    PerStick,
    Saw,
    Section,
    Source,
    Stick,
    Substitute,
)
from cutting.question.lengths import Unit
from cutting.question.yards import Carry, Charge, KeepValue, Tax, Yard, YardCuts
from cutting.solve import solve

INCH = Fraction(127, 5)
FOOT = 12 * INCH
ZERO = Fraction(0)
# kg per metre and money per metre, invented but of the right order for small hollow sections.
SECTIONS = (
    (Section(name="SHS 2x2x1/8", mass=Fraction(475, 100), family="shs", sides=(2 * INCH, 2 * INCH)), 11.2),
    (Section(name="SHS 1.5x1.5x1/8", mass=Fraction(340, 100), family="shs", sides=(INCH * 3 / 2, INCH * 3 / 2)), 8.7),
    (Section(name="RHS 3x2x1/8", mass=Fraction(604, 100), family="rhs", sides=(3 * INCH, 2 * INCH)), 14.9),
)


def yard_job(number: int) -> Job:
    """Make one job; the same number makes the same job."""
    chance = random.Random(f"yards {number}")
    trims = (INCH / 4, ZERO)
    parts = [part for at in range(len(SECTIONS)) for part in _parts(chance, at)]
    sticks = [
        stick for name in ("North", "Quay") for at in range(len(SECTIONS)) for stick in _line(chance, name, at, trims)
    ]
    sticks += [stick for at in range(len(SECTIONS)) for stick in _rack(chance, at, trims)]
    sticks += [stick for at in range(len(SECTIONS)) for stick in _own(chance, at)]
    longest = chance.choice([None, 11 * FOOT, 13 * FOOT, 21 * FOOT])
    return Job(
        parts=tuple(parts),
        sticks=tuple(sticks),
        saw=Saw(kerf=chance.choice([INCH * 3 / 32, INCH / 8, Fraction("2.4")])),
        unit=Unit.IN,
        title=f"Two yards {number}",
        currency="USD",
        yards=_yards(chance),
        carry=Carry(longest=longest, load=chance.choice([None, Fraction(250), Fraction(500)])),
        kind_cost=Decimal(chance.choice([0, 0, 5, 12])),
    )


def _yards(chance: random.Random) -> tuple[Yard, ...]:
    tax = Tax(
        rate=Decimal("0.0825"), on=chance.choice([tuple(Charge), (Charge.MATERIAL,), (Charge.MATERIAL, Charge.CUTS)])
    )
    north = Yard(
        name="North",
        delivery=Decimal(chance.choice([35, 60, 85])),
        delivery_free_from=Decimal(chance.choice([400, 700, 1500])),
        collecting=Decimal(chance.choice([0, 12, 20])),
        minimum=Decimal(chance.choice([0, 50, 150])),
        tax=tax,
        cuts=YardCuts(charge=Decimal("2.50"), free=chance.choice([0, 2, 5]), allowance=INCH / 2),
    )
    quay = Yard(
        name="Quay",
        delivery=Decimal(chance.choice([25, 45])),
        collecting=chance.choice([None, Decimal(8)]),
        minimum=Decimal(chance.choice([0, 100])),
        tax=Tax(rate=Decimal("0.07")) if chance.random() < 0.5 else None,
        cuts=chance.choice([None, YardCuts(charge=Decimal("1.75"), allowance=INCH * 3 / 4)]),
    )
    return north, quay


def _parts(chance: random.Random, at: int) -> list[Part]:
    section, _ = SECTIONS[at]
    lengths = sorted({chance.randint(12 * 16, 96 * 16) for _ in range(chance.randint(3, 8))}, reverse=True)
    parts = []
    for number, sixteenths in enumerate(lengths):
        accepted: tuple[Substitute, ...] = ()
        if chance.random() < 0.15:
            other, _ = SECTIONS[chance.choice([each for each in range(len(SECTIONS)) if each != at])]
            accepted = (Substitute(section=other, remark="ask first"),)
        parts.append(
            Part(
                mark=f"{'ABC'[at]}{number + 1}",
                section=section,
                length=sixteenths * INCH / 16,
                quantity=chance.choice([1, 2, 2, 4, 4, 6, 8, 12]),
                substitutes=accepted,
            )
        )
    return parts


def _line(chance: random.Random, yard: str, at: int, trims: tuple[Fraction, Fraction]) -> list[Stick]:
    section, rate = SECTIONS[at]
    sticks = []
    for feet in sorted(chance.sample([10, 16, 20, 21, 24], chance.choice([2, 2, 3]))):
        price = Decimal(round(rate * float(feet * FOOT) / 1000 * chance.uniform(0.92, 1.12), 2)).quantize(
            Decimal("0.01")
        )
        breaks: tuple[Break, ...] = ()
        if chance.random() < 0.5:
            lower = (price * Decimal("0.94")).quantize(Decimal("0.01"))
            breaks = (Break(least=chance.choice([5, 10]), price=PerStick(amount=lower)),)
        sticks.append(
            Stick(
                id=f"{yard[0]}{'ABC'[at]}{feet}",
                section=section,
                length=feet * FOOT,
                source=Source.STICKS,
                price=PerStick(amount=price),
                available=None,
                trims=trims,
                yard=yard,
                breaks=breaks,
            )
        )
    return sticks


def _rack(chance: random.Random, at: int, trims: tuple[Fraction, Fraction]) -> list[Stick]:
    section, rate = SECTIONS[at]
    cheap = PerLength(amount=Decimal(str(round(rate * 0.55, 2))), per=Fraction(1000))
    return [
        Stick(
            id=f"R{'ABC'[at]}{number + 1}",
            section=section,
            length=chance.randint(24 * 4, 150 * 4) * INCH / 4,
            source=Source.RACK,
            price=chance.choice([Discount(share=Decimal("0.40")), cheap]),
            available=chance.choice([1, 1, 2]),
            trims=trims,
            yard="North",
        )
        for number in range(chance.randint(1, 4))
    ]


def _own(chance: random.Random, at: int) -> list[Stick]:
    section, _ = SECTIONS[at]
    return [
        Stick(
            id=f"O{'ABC'[at]}{number + 1}",
            section=section,
            length=chance.randint(20 * 8, 70 * 8) * INCH / 8,
            source=Source.OWN,
            price=None,
            available=1,
            trims=(ZERO, ZERO),
        )
        for number in range(chance.randint(0, 2))
    ]


def main(arguments: Sequence[str] | None = None) -> int:
    """Solve the jobs and print a table; 0 where at least nine in ten are proven."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--jobs", type=int, default=30)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--limit", type=float, default=10.0)
    parser.add_argument("--cores", type=int, default=2)
    parser.add_argument("--keep", type=Decimal)
    options = parser.parse_args(arguments)
    proven, seconds = 0, []
    print("| job | pieces | lines | status | cost | bound | seconds | CPU seconds | proposals |")
    print("|---|---|---|---|---|---|---|---|---|")
    for number in range(options.first, options.first + options.jobs):
        job = yard_job(number)
        if options.keep is not None:
            job = replace(job, keep_value=KeepValue(amount=options.keep, per=FOOT, shortest=2 * FOOT))
        begin, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_SELF).ru_utime
        result = solve(job, limit=options.limit, cores=options.cores)
        seconds.append(time.perf_counter() - begin)
        cpu = resource.getrusage(resource.RUSAGE_SELF).ru_utime - before
        proven += result.status in {Status.OPTIMAL, Status.INFEASIBLE}
        cost = "-" if result.plan is None else f"{float(result.plan.cost):.2f}"
        proposals = max((each.proposals for each in result.report.sections), default=0)
        print(
            f"| {number} | {sum(part.quantity for part in job.parts)} | {len(job.sticks)} | {result.status} | {cost} "
            f"| {float(result.proof.lower_bound):.2f} | {seconds[-1]:.2f} | {cpu:.2f} | {proposals} |",
            flush=True,
        )
    ordered = sorted(seconds)
    print(f"\nProven {proven} of {options.jobs}; median {statistics.median(ordered):.2f} s, worst {ordered[-1]:.2f} s.")
    return 0 if proven * 10 >= options.jobs * 9 else 1


if __name__ == "__main__":
    sys.exit(main())
