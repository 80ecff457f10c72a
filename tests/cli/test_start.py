"""A short command loads what it needs: the commands are found by name, and a small plan drags nothing along."""

import importlib
import importlib.util
import json
import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest
from typer.main import get_command
from typer.testing import CliRunner

import cli
from cli.app import HOMES
from cli.main import app
from tests.benchmarks import start

ROOT = Path(__file__).parents[2]
LOADED = """
import json, sys
import ortools.sat.python.cp_model  # brings numpy and pandas, whoever imports it
before = set(sys.modules)
from cli.main import run
try:
    run()
except SystemExit as ended:
    assert not ended.code, ended.code
json.dump(sorted(set(sys.modules) - before), sys.stderr)
"""
OURS = {"cli", "cutting", "shared"}
# What reading options and a job file takes, with what these bring along themselves, and the rest of OR-Tools.
NEEDED = {"annotated_doc", "annotated_types", "ortools", "pydantic", "pydantic_core", "typer", "typing_inspection"}
NEEDED |= {"typing_extensions", "shellingham"}


def loaded(*arguments: str) -> set[str]:
    """Modules that a command loads beyond the solver, in a process of its own."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *arguments], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return set(json.loads(done.stderr))


@pytest.fixture(scope="module")
def small_plan(tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    job = tmp_path_factory.mktemp("start") / "one_part.toml"
    job.write_text(start.JOB)
    return loaded("plan", str(job))


def test_a_small_plan_loads_no_package_it_does_not_need(small_plan: set[str]) -> None:
    packages = {name.partition(".")[0].lstrip("_") for name in small_plan if not name.startswith("swig_")}  # OR-Tools'
    others = packages - OURS - NEEDED - {name.lstrip("_") for name in sys.stdlib_module_names}
    assert others == set()
    assert "ortools.math_opt" not in small_plan


def test_a_small_plan_loads_no_room_it_does_not_enter(small_plan: set[str]) -> None:
    assert {
        "cutting.solve",
        "cutting.checking.check",
        "shared.files.job.read",
        "shared.view.present",
        "cli.terminal",
        "shared.writers.text",
    } <= small_plan
    shared = (
        "writers.pdf",
        "writers.svg",
        "writers.xlsx",
        "writers.letter",
        "reading",
        "store",
        "work.rack",
        "work.saw",
        "work.replan",
        "files.plan.wire",
    )
    assert not {name for name in small_plan if name.startswith(tuple(f"shared.{room}" for room in shared))}
    late = {f"cutting.search.{module}" for module in ("against", "rooms.cover", "rooms.joint")}
    late |= {"cutting.fit.rows", "cutting.fit.marked.marked", "cutting.packing.cover"}
    late |= {"cutting.laying.angled.layout", "cutting.answer.tables"}
    assert not late & small_plan
    assert all(importlib.util.find_spec(module) for module in late)
    homes = {f"cli.{module}" for modules in HOMES.values() for module in modules}
    assert homes & small_plan == {"cli.plan"}


def test_every_command_has_its_home_and_every_home_is_one() -> None:
    for module in pkgutil.iter_modules(cli.__path__):
        importlib.import_module(f"cli.{module.name}")
    registered = {each.callback.__name__: each.callback.__module__ for each in app.registered_commands}
    assert {name: f"cli.{modules[0]}" for name, modules in HOMES.items() if name != "rack"} == registered
    assert [group.name for group in app.registered_groups] == ["rack"]
    rack = app.registered_groups[0].typer_instance
    homes = {each.callback.__module__ for each in (*rack.registered_commands, rack.registered_callback)}
    assert homes == {f"cli.{module}" for module in HOMES["rack"]}


def test_the_help_shows_every_command_in_order() -> None:
    shown = CliRunner().invoke(app, ["--help"]).stdout.partition("Commands:")[2]
    assert [line.split()[0] for line in shown.splitlines() if line.startswith("  ")] == list(HOMES)
    assert list(get_command(app).commands) == list(HOMES)


def test_a_misspelt_command_is_answered_with_the_right_one() -> None:
    done = CliRunner().invoke(app, ["plann"])
    assert done.exit_code == 2
    assert "'plan'" in done.stderr


def test_the_benchmark_takes_turns_and_leaves_the_first_run_out(capfd: pytest.CaptureFixture[str]) -> None:
    code = "import sys; sys.stderr.write(sys.argv[1])"
    commands = {name: (sys.executable, "-c", code, name) for name in "ab"}
    seconds = start.take_turns(commands, 2)
    assert capfd.readouterr().err == "ababab"
    assert {name: len(taken) for name, taken in seconds.items()} == {"a": 2, "b": 2}
    lines = start.table({"bare": [(1.0, 2.0), (4.0, 2.0), (1.0, 2.0)], "plan": [(3.0, 5.0), (1.0, 1.0), (1.5, 2.5)]})
    assert lines[-1] == "The plan takes 1.50 times the import, by the processor 1.25 times."
