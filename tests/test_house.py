"""The house rules, held by tests: arrows, who may do what, and every module standing alone."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ROOMS = ("cutting", "shared", "api", "cli")
MODULES = {
    ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): path
    for room in ROOMS
    for path in sorted((ROOT / room).rglob("*.py"))
}
MAY_IMPORT = {"cutting": {"cutting"}, "shared": {"cutting", "shared"}, "api": {"cutting", "shared", "api"}}
MAY_IMPORT["cli"] = {"cutting", "shared", "cli"}

# `tallystick serve` starts the service; that one line is where the two doors meet, and only when it is asked for.
DOORS_MEET = {"cli.serve"}
# The engine ends its search by a clock and says how long it took.
READS_A_CLOCK = {"cutting.clock"}


def imports(path: Path) -> Iterator[str]:
    """Every module a file imports, wherever in it."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module


def reached(start: str) -> set[str]:
    """Every module of ours that a module imports, however far down."""
    seen: set[str] = set()
    todo = [start]
    while todo:
        module = todo.pop()
        if module in MODULES and module not in seen:
            seen.add(module)
            todo.extend(imports(MODULES[module]))
    return seen


def test_there_are_modules_to_look_at() -> None:
    assert {"cutting.solve", "shared.jobfile.read", "cli.main"} <= set(MODULES)


@pytest.mark.parametrize("room", ROOMS)
def test_arrows_point_inward(room: str) -> None:
    for module, path in MODULES.items():
        if module.split(".")[0] == room and module not in DOORS_MEET:
            ours = {name.split(".")[0] for name in imports(path)} & set(ROOMS)
            assert ours <= MAY_IMPORT[room], module


def test_imports_are_never_relative() -> None:
    for module, path in MODULES.items():
        relative = [node for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.ImportFrom) and node.level]
        assert not relative, module


def test_the_engine_needs_the_standard_library_numpy_and_ortools_only() -> None:
    allowed = set(sys.stdlib_module_names) | {"cutting", "numpy", "ortools"}
    for module, path in MODULES.items():
        if module.split(".")[0] == "cutting":
            others = {name.split(".")[0] for name in imports(path)} - allowed
            assert others <= ({"pandas"} if module == "cutting.tables" else set()), module


def test_only_solver_modules_import_ortools() -> None:
    for module, path in MODULES.items():
        if any(name.split(".")[0] == "ortools" for name in imports(path)):
            assert module.split(".")[0] == "cutting", module
    for module in ("job", "plan", "lengths", "money", "problems", "errors", "prices", "feasible", "check", "totals", "make"):
        for other in reached(f"cutting.{module}"):
            assert not any(name.startswith("ortools") for name in imports(MODULES[other])), (module, other)


def test_the_checker_shares_no_code_with_the_solver() -> None:
    types = {"cutting.errors", "cutting.job", "cutting.lengths", "cutting.money", "cutting.plan"}
    assert {name for name in reached("cutting.check") if not name.startswith("cutting.check")} <= types


def test_only_doors_print_log_or_touch_the_network() -> None:
    for module, path in MODULES.items():
        if module.split(".")[0] not in {"cutting", "shared"}:
            continue
        names = {name.split(".")[0] for name in imports(path)}
        assert not names & {"logging", "socket", "urllib", "http", "requests", "httpx", "ssl"}, module
        calls = [node.func for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.Call)]
        assert not any(isinstance(call, ast.Name) and call.id in {"print", "input"} for call in calls), module


def test_only_doors_read_the_clock() -> None:
    reading = {"time", "monotonic", "perf_counter", "process_time", "now", "today", "utcnow"}
    for module, path in MODULES.items():
        if module.split(".")[0] in {"cutting", "shared"} and module not in READS_A_CLOCK:
            for node in ast.walk(ast.parse(path.read_text())):
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
                    owner = node.func.value.id if isinstance(node.func.value, ast.Name) else ""
                    clock = owner in {"time", "datetime", "date"} and node.func.attr in reading
                    assert not clock, (module, node.lineno)


def test_every_module_imports_alone_with_warnings_as_errors() -> None:
    """Each in a process of its own; what others make is loaded once before, so that this stays quick."""
    code = """
import importlib, os, sys, traceback, warnings
for name in ("numpy", "pandas", "pydantic", "typer", "rapidfuzz", "ortools.sat.python.cp_model",
             "ortools.math_opt.python.mathopt", "fastapi", "sqlalchemy", "alembic", "jinja2", "typst", "openpyxl"):
    try:
        importlib.import_module(name)
    except ImportError:
        pass
warnings.simplefilter("error")
failed = []
for module in sys.argv[1:]:
    child = os.fork()
    if not child:
        try:
            importlib.import_module(module)
        except BaseException:
            traceback.print_exc()
            os._exit(1)
        os._exit(0)
    if os.waitpid(child, 0)[1]:
        failed.append(module)
sys.exit(" ".join(failed))
"""
    alone = [module for module in MODULES if not module.endswith("__main__")]
    done = subprocess.run([sys.executable, "-c", code, *alone], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_every_module_says_what_it_is() -> None:
    for module, path in MODULES.items():
        assert ast.get_docstring(ast.parse(path.read_text())), module


def test_nothing_names_the_workshop() -> None:
    """What is published names no machine path and no registry host of the place where it was written."""
    secrets = ("/" + "work/", ".lib" + "rary", "py" + "pi.org", "file:///" + "opt")
    for path in [*MODULES.values(), *ROOT.glob("*.md"), ROOT / "Makefile", ROOT / "pyproject.toml", ROOT / ".ci/run"]:
        for secret in secrets:
            assert secret not in path.read_text(), (path, secret)
