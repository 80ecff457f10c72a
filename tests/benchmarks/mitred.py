"""Measure jobs with angled ends: thirty generated shop jobs with half of their parts mitred.

    python -m tests.benchmarks.mitred [--jobs 30] [--seed 1] [--limit 10] [--save mitred.md]

Each job is solved as it is and with its angles ignored (every part square, as long as it was measured). Both go
through the front door, `cutting.solve`, so that building the model, laying out and checking count too. Seconds are
those of the wall; processor seconds stand beside them, because a busy machine stretches the former.
"""

from __future__ import annotations

import argparse
import datetime as dt
import importlib.metadata
import os
import platform
import statistics
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from random import Random

from cutting.answer.plan import Status
from cutting.question.job import Ends, Job, Lean, Measure, Part, PerStick, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.solve import solve

INCH = Fraction(127, 5)


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """What a unit system brings along, lengths in mm."""

    unit: Unit
    depths: tuple[Fraction, ...]
    kerfs: tuple[Fraction, ...]
    shortest: Fraction
    longest: Fraction
    step: Fraction
    mill: tuple[Fraction, Fraction]
    trim: Fraction


SHOPS = (
    Shop(
        unit=Unit.IN,
        depths=tuple(INCH * Fraction(size) for size in ("1.5", "2", "3")),
        kerfs=(INCH / 16, 3 * INCH / 32, INCH / 8),
        shortest=14 * INCH,
        longest=100 * INCH,
        step=INCH / 16,
        mill=(240 * INCH, 288 * INCH),
        trim=INCH / 4,
    ),
    Shop(
        unit=Unit.MM,
        depths=tuple(Fraction(size) for size in (30, 40, 50, 60)),
        kerfs=(Fraction(2), Fraction(5, 2), Fraction(3)),
        shortest=Fraction(350),
        longest=Fraction(2600),
        step=Fraction(1, 2),
        mill=(Fraction(6000), Fraction(7500)),
        trim=Fraction(10),
    ),
)


def mitred_jobs(count: int, seed: int) -> list[Job]:
    """Generate shop jobs of one section each, half of their parts with angled ends; a seed gives the same jobs."""
    rng = Random(seed)
    return [_job(rng, number) for number in range(1, count + 1)]


def _job(rng: Random, number: int) -> Job:
    shop = rng.choice(SHOPS)
    depth = rng.choice(shop.depths)
    other = rng.choice([depth, depth, depth * Fraction(2, 3)])
    family = "shs" if other == depth else "rhs"
    section = Section(name=f"{family} {number}", family=family, sides=(depth, other))
    kinds = rng.choice([6, 12, 20, 25])
    most = rng.choice([4, 12, 20])
    parts = tuple(_part(rng, shop, section, kind, most, angled=kind % 2 == 0) for kind in range(kinds))
    return Job(
        title=f"mitred {number}",
        parts=parts,
        sticks=tuple(_sticks(rng, shop, section)),
        saw=Saw(kerf=rng.choice(shop.kerfs)),
        unit=shop.unit,
        currency="USD",
    )


def _part(rng: Random, shop: Shop, section: Section, kind: int, most: int, *, angled: bool) -> Part:
    steps = rng.randint(int(shop.shortest / shop.step), int(shop.longest / shop.step))
    angles = rng.choice(
        [("45", "45")] * 6 + [("45", "0")] * 3 + [("22.5", "22.5"), ("30", "30"), ("30", "0"), ("45", "22.5")]
    )
    ends = Ends(
        angles=(Fraction(angles[0]), Fraction(angles[1])),
        lean=rng.choice([Lean.OPPOSED, Lean.OPPOSED, Lean.OPPOSED, Lean.PARALLEL]),
        measure=Measure.LONG_POINT,
    )
    return Part(
        mark=f"P{kind + 1}",
        section=section,
        length=steps * shop.step,
        quantity=rng.randint(1, most),
        ends=ends if angled else None,
    )


def _sticks(rng: Random, shop: Shop, section: Section) -> list[Stick]:
    """One or two mill lengths without limit, and what a rack may hold."""
    rate = Decimal("0.011") * rng.randint(80, 120) / 100  # per mm
    lengths = list(shop.mill[: rng.choice([1, 1, 2])])
    sticks = [(length, Decimal(int(length)) * rate, None) for length in lengths]
    for _ in range(rng.choice([0, 2, 6, 12])):
        length = rng.randint(int(shop.longest / shop.step), int(shop.mill[0] * 9 / 10 / shop.step)) * shop.step
        sticks.append((length, Decimal(int(length)) * rate * rng.randint(25, 75) / 100, rng.randint(1, 4)))
    return [
        Stick(
            id=f"{'S' if available is None else 'R'}{place}",
            section=section,
            length=length,
            source=Source.STICKS if available is None else Source.RACK,
            price=PerStick(amount=price.quantize(Decimal("0.01"))),
            available=available,
            trims=(shop.trim, Fraction(0)),
        )
        for place, (length, price, available) in enumerate(sticks, start=1)
    ]


def squared(job: Job) -> Job:
    """Return the job with its angles ignored."""
    return replace(job, parts=tuple(replace(part, ends=None) for part in job.parts))


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """One solve."""

    cost: Fraction | None
    bound: Fraction
    proven: bool
    seconds: float
    processor: float
    engine: float


def measure(job: Job, limit: float) -> Measured:
    """Solve one job and take the times."""
    wall, processor = time.perf_counter(), time.process_time()
    result = solve(job, limit=limit, cores=1)
    return Measured(
        cost=None if result.plan is None else result.plan.cost,
        bound=result.proof.lower_bound,
        proven=result.status is Status.OPTIMAL,
        seconds=time.perf_counter() - wall,
        processor=time.process_time() - processor,
        engine=sum(section.seconds for section in result.report.sections),
    )


def row(job: Job, angled: Measured, square: Measured) -> str:
    """One line of the table."""
    pieces = sum(part.quantity for part in job.parts)
    cells = [job.title, str(len(job.parts)), str(pieces), str(len(job.sticks))]
    for one in (angled, square):
        cost = "none" if one.cost is None else f"{float(one.cost):.2f}"
        cells += [cost, f"{float(one.bound):.2f}", f"{one.seconds:.2f}", f"{one.processor:.2f}"]
    return f"| {' | '.join(cells)} |"


def summary(name: str, rows: Sequence[Measured]) -> str:
    """How many are proven and how fast."""
    seconds = sorted(one.seconds for one in rows)
    processor = sorted(one.processor for one in rows)
    ninetieth = int(0.9 * (len(rows) - 1))

    def told(some: Sequence[float]) -> str:
        return f"median {statistics.median(some):.2f}, nine in ten within {some[ninetieth]:.2f}, worst {some[-1]:.2f}"

    proven = sum(one.proven for one in rows)
    return f"{name}: {proven} of {len(rows)} proven; seconds {told(seconds)}; processor seconds {told(processor)}."


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the benchmark and print its table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--jobs", type=int, default=30)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--limit", type=float, default=10.0)
    parser.add_argument("--save", type=Path)
    options = parser.parse_args(arguments)
    head = "| job | kinds | pieces | sticks | cost | bound | s | cpu s | cost, square | bound | s | cpu s |"
    lines = [head, "|" + "---|" * 12]
    angled: list[Measured] = []
    square: list[Measured] = []
    for job in mitred_jobs(options.jobs, options.seed):
        angled.append(measure(job, options.limit))
        square.append(measure(squared(job), options.limit))
        lines.append(row(job, angled[-1], square[-1]))
        sys.stdout.write(lines[-1] + "\n")
        sys.stdout.flush()
    versions = ", ".join(f"{name} {importlib.metadata.version(name)}" for name in ("ortools", "numpy"))
    machine = f"Python {platform.python_version()}, {versions}, {os.cpu_count()} cores of {platform.machine()}"
    told = [
        summary("Half of the parts mitred", angled),
        summary("The same with angles ignored", square),
        f"Limit {options.limit:g} s, seed {options.seed}; {dt.datetime.now(tz=dt.UTC):%Y-%m-%d}, {machine}.",
    ]
    sys.stdout.write("\n".join(told) + "\n")
    if options.save:
        text = "# Jobs with angled ends\n\n" + "\n\n".join(told) + "\n\n" + "\n".join(lines) + "\n"
        options.save.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
