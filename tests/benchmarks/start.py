"""Measure how long a one-part plan takes beside the import that no plan can do without.

    python -m tests.benchmarks.start [--times 15]

Both are whole processes, from starting the interpreter to its end, and take turns, so that whatever else the machine
does falls on both; processor seconds stand beside those of the wall for when it does much. What is compiled is kept, as
in an ordinary installation; a first run of each isn't counted.
"""

from __future__ import annotations

import argparse
import importlib.metadata
import os
import platform
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Final

ROOT: Final = Path(__file__).parents[2]
JOB: Final = """
unit = "in"
currency = "USD"
[saw]
kerf = "3/32"
[[parts]]
section = "tube"
length = "80 1/2"
quantity = 1
[[sticks]]
section = "tube"
length = "20 ft"
price = "61.40"
"""
IMPORT: Final = "import ortools.sat.python.cp_model"
PLAN: Final = "from cli.main import run; run()"


Taken = tuple[float, float]
"""Seconds of the wall, and of the processor."""


def seconds_of(command: Sequence[str]) -> Taken:
    """How long one process takes; fails where it fails."""
    settings = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start, busy = time.perf_counter(), processor()
    subprocess.run(command, check=True, cwd=ROOT, env=settings, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start, processor() - busy


def processor() -> float:
    """Processor seconds of all child processes that have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def take_turns(commands: dict[str, Sequence[str]], times: int) -> dict[str, list[Taken]]:
    """Seconds of each command, run in turns, a first run of each aside."""
    seconds: dict[str, list[Taken]] = {name: [] for name in commands}
    for turn in range(times + 1):
        for name, command in commands.items():
            taken = seconds_of(command)
            if turn:
                seconds[name].append(taken)
    return seconds


def table(seconds: dict[str, list[Taken]]) -> list[str]:
    """What was measured, as a table for the results, the ratios of the medians below it."""
    lines = ["| process | runs | median s | least s | most s | median processor s |", "|---|---|---|---|---|---|"]
    medians = []
    for name, taken in seconds.items():
        walls, busy = zip(*taken, strict=True)
        medians.append((statistics.median(walls), statistics.median(busy)))
        spread = f"{medians[-1][0]:.3f} | {min(walls):.3f} | {max(walls):.3f} | {medians[-1][1]:.3f}"
        lines.append(f"| {name} | {len(taken)} | {spread} |")
    wall, busy_ratio = (plan / bare for bare, plan in zip(*medians, strict=True))
    return [*lines, "", f"The plan takes {wall:.2f} times the import, by the processor {busy_ratio:.2f} times."]


def main() -> None:
    reading = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    reading.add_argument("--times", type=int, default=15, help="runs of each")
    times = reading.parse_args().times
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder, "one_part.toml")
        job.write_text(JOB)
        commands = {
            f'`python -c "{IMPORT}"`': (sys.executable, "-c", IMPORT),
            "`tallystick plan` of one part": (sys.executable, "-c", PLAN, "plan", str(job)),
        }
        measured = take_turns(commands, times)
    versions = ", ".join(f"{name} {importlib.metadata.version(name)}" for name in ("ortools", "pydantic", "typer"))
    print(f"{os.cpu_count()} cores {platform.machine()}, Python {platform.python_version()}, {versions}\n")
    print("\n".join(table(measured)))


if __name__ == "__main__":
    main()
