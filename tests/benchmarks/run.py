"""Measure the engine, alone or beside plain models of our own on general solvers.

    python -m tests.benchmarks.run SET [SET ...] [--peers columns,arc-flow] [--limit 10] [--save results.md]

A SET is the path of a set file (`tests.benchmarks.instances`) or the name of a built-in generator: ``cutgen1``,
``shop``, ``limited`` (every stick limited), ``large`` (2,000 pieces of 150 kinds over 60 kinds of stick), ``augmented``
(201 pieces that need one stick more than they measure). A set that cannot be read is named and left out, and the
exit code says so.

Every solve runs in a child process of its own, so that peak memory is its own and nothing is left warm. Seconds are
those of the wall; processor seconds stand beside them, because a busy machine stretches the former.
"""

from __future__ import annotations

import argparse
import contextlib
import datetime as dt
import importlib.metadata
import multiprocessing
import os
import platform
import resource
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from tests.bare import solved
from tests.benchmarks.augmented import augmented
from tests.benchmarks.instances import Case, cutgen1, read_set, shop_jobs
from tests.benchmarks.peers import PEERS, Outcome

COLUMNS = (
    "solver",
    "proven",
    "dearer on average",
    "dearer in all, in units of cost",
    "median s",
    "90 % s",
    "worst s",
    "processor: median s",
    "all s",
    "peak MiB",
    "time / engine's",
)
GENERATORS: dict[str, Callable[[], list[Case]]] = {
    "cutgen1": lambda: cutgen1(20, kinds=20, stick=10_000, low=0.01, high=0.6, mean=10),
    "shop": lambda: shop_jobs(20, pieces=120, kinds=20, stock=12, seed=7),
    "limited": lambda: shop_jobs(20, pieces=80, kinds=15, stock=12, seed=11, limited=True),
    "augmented": lambda: augmented(10),
    "large": lambda: shop_jobs(3, pieces=2000, kinds=150, stock=60, seed=13),
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """One solve: what it found, its seconds on the wall and of the processor, and its peak memory in MiB."""

    case: Case
    outcome: Outcome
    seconds: float
    processor: float
    memory: float


def engine(case: Case, limit: float, seed: int) -> Outcome:
    """The engine on one instance; where no plan can exist the bound is infinite and the cost None."""
    found = solved(case.instance, limit=limit, seed=seed).found
    if found.bound is None:
        return Outcome(cost=None, bound=float("inf"), note="no plan exists")
    cost = None if found.choice is None else found.choice.cost
    return Outcome(cost=cost, bound=found.bound, note=found.rests.value)


def _child(pipe: object, call: Callable[[], Outcome]) -> None:
    begin, worked = time.perf_counter(), time.process_time()
    outcome = call()
    seconds, processor = time.perf_counter() - begin, time.process_time() - worked
    pipe.send((outcome, seconds, processor, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024))  # type: ignore[attr-defined]


def measure(case: Case, call: Callable[[], Outcome], limit: float) -> Measured:
    """Run one solve in a child process; one that dies or hangs past twice its limit is reported as finding nothing."""
    context = multiprocessing.get_context("fork")
    here, there = context.Pipe(duplex=False)
    child = context.Process(target=_child, args=(there, call))
    child.start()
    there.close()
    outcome, seconds, processor, memory = Outcome(cost=None, bound=None, note="died"), limit, limit, 0.0
    if here.poll(2 * limit + 10):
        with contextlib.suppress(EOFError):  # reported as died
            outcome, seconds, processor, memory = here.recv()
    child.kill()
    child.join()
    return Measured(case=case, outcome=outcome, seconds=seconds, processor=processor, memory=memory)


def _settled(row: Measured) -> bool:
    return row.outcome.proven or row.outcome.note == "no plan exists"


def summary(name: str, rows: Sequence[Measured], engine_rows: Sequence[Measured]) -> str:
    """One row of the table."""
    times = sorted(row.seconds for row in rows)
    ninth = times[min(len(times) - 1, int(0.9 * len(times)))]
    proven = sum(map(_settled, rows))
    best = {row.case.name: row.outcome.cost for row in engine_rows}
    excess = [
        row.outcome.cost / cost - 1 for row in rows if row.outcome.cost is not None and (cost := best[row.case.name])
    ]
    ratios = [row.seconds / mine.seconds for row, mine in zip(rows, engine_rows, strict=True)]
    dearer = f"{100 * statistics.mean(excess):.2f} %" if excess else "-"
    extra = sum(
        row.outcome.cost - cost for row in rows if row.outcome.cost is not None and (cost := best[row.case.name])
    )
    processor = [row.processor for row in rows]
    spread = (
        f"{statistics.median(times):.3f} | {ninth:.3f} | {times[-1]:.3f} "
        f"| {statistics.median(processor):.3f} | {sum(processor):.2f}"
    )
    return (
        f"| {name} | {proven}/{len(rows)} | {dearer} | {extra} | {spread} "
        f"| {max(row.memory for row in rows):.0f} | {statistics.median(ratios):.1f} |"
    )


def detail(row: Measured) -> str:
    """One line per instance, for the eye while it runs."""
    bound = row.outcome.bound
    known = "" if row.case.optimum is None else f" (published {row.case.optimum})"
    return (
        f"{row.case.name:32} pieces {sum(row.case.instance.demands):5} cost {row.outcome.cost}{known} "
        f"bound {bound if bound is None else round(bound, 2)} "
        f"{row.seconds:.3f} s, processor {row.processor:.3f} s {row.outcome.note}"
    )


def contradictions(rows: Sequence[Measured]) -> list[str]:
    """A bound above a published optimum or a cost below one: a defect, always."""
    return [
        f"{row.case.name}: {row.outcome} contradicts the published optimum {row.case.optimum}"
        for row in rows
        if row.case.optimum is not None
        and (
            (row.outcome.cost is not None and row.outcome.cost < row.case.optimum)
            or (row.outcome.bound is not None and row.outcome.bound > row.case.optimum + 1e-6)
        )
    ]


def machine() -> str:
    """What it was measured on, in one line."""
    versions = ", ".join(f"{name} {importlib.metadata.version(name)}" for name in ("ortools", "numpy"))
    return (
        f"{dt.datetime.now(tz=dt.UTC).date()}, {os.cpu_count()} cores {platform.machine()}, "
        f"Python {platform.python_version()}, {versions}"
    )


def run_set(name: str, cases: Sequence[Case], peers: Sequence[str], limit: float, seed: int) -> tuple[str, bool]:
    """Measure one set; return its table and whether it was free of contradictions."""
    rows = []
    for case in cases:
        rows.append(measure(case, partial(engine, case, limit, seed), limit))
        print(detail(rows[-1]), flush=True)
    lines = [
        f"### {name} ({len(cases)} instances, limit {limit:g} s, seed {seed})",
        "",
        "| " + " | ".join(COLUMNS) + " |",
        "|" + "---|" * len(COLUMNS),
        summary("engine", rows, rows),
    ]
    wrong = contradictions(rows)
    for peer in peers:
        theirs = [measure(case, partial(PEERS[peer], case.instance, limit), limit) for case in cases]
        lines.append(summary(peer, theirs, rows))
        print(lines[-1], flush=True)
    unproven = [row.case.name for row in rows if not _settled(row)]
    if unproven:
        lines += ["", f"Not proven by the engine: {', '.join(unproven)}."]
    lines += ["", *wrong]
    return "\n".join(lines), not wrong


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; 0 where every set was measured and none contradicts a published optimum."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("sets", nargs="+", metavar="SET")
    parser.add_argument("--peers", default="", help=f"comma separated, of: {', '.join(PEERS)}; or all")
    parser.add_argument("--limit", type=float, default=10.0, help="seconds for each instance")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--most", type=int, default=None, help="only so many instances of each set, spread over it")
    parser.add_argument("--save", type=Path, default=None, help="append the tables to this file")
    options = parser.parse_args(arguments)
    peers = list(PEERS) if options.peers == "all" else [name for name in options.peers.split(",") if name]
    good = True
    tables = [f"## {machine()}", ""]
    for name in options.sets:
        try:
            cases = GENERATORS[name]() if name in GENERATORS else read_set(Path(name))
        except OSError as error:
            print(f"left out: {name}: {error}", file=sys.stderr)
            good = False
            continue
        if options.most is not None:
            cases = cases[:: max(1, len(cases) // options.most)]
        table, sound = run_set(Path(name).stem, cases, peers, options.limit, options.seed)
        print(table, flush=True)
        tables += [table, ""]
        good = good and sound
    if options.save is not None:
        with options.save.open("a") as file:
            file.write("\n".join(tables) + "\n")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
