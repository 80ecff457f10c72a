"""The house rules, held by tests: arrows, who may do what, and every module standing alone."""

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from graphlib import CycleError, TopologicalSorter
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
READS_A_CLOCK = {"cutting.fit.clock"}
# The migration tool runs this one inside itself; it is no module to import.
NO_MODULE = {"shared.store.migrations.env"}


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text())


@cache
def imports(path: Path) -> tuple[str, ...]:
    """Every module a file imports, wherever in it."""
    return tuple(name for node in ast.walk(tree(path)) for name in named(node))


def named(node: ast.AST) -> Iterator[str]:
    """Modules that a statement imports."""
    if isinstance(node, ast.Import):
        yield from (name.name for name in node.names)
    elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
        inner = [f"{node.module}.{name.name}" for name in node.names]
        yield from (name if name in MODULES else node.module for name in inner)


def at_once(statements: list[ast.stmt]) -> Iterator[str]:
    """Modules imported as soon as a module is: not in functions, not for type checkers."""
    for node in statements:
        yield from named(node)
        if isinstance(node, ast.If) and "TYPE_CHECKING" not in ast.dump(node.test):
            yield from at_once([*node.body, *node.orelse])
        elif isinstance(node, ast.Try):
            yield from at_once([*node.body, *node.orelse, *node.finalbody, *(s for h in node.handlers for s in h.body)])


def needed(module: str) -> set[str]:
    """Modules of ours that must be loaded before one: what it imports, and the packages these live in."""
    home = module if MODULES[module].name == "__init__.py" else module.rpartition(".")[0]
    found = {name for name in at_once(tree(MODULES[module]).body) if name in MODULES}
    for name in tuple(found):
        steps = name.split(".")
        packages = {".".join(steps[:length]) for length in range(1, len(steps))}
        found |= {package for package in packages if not f"{home}.".startswith(f"{package}.")}
    return found - {module}


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
    assert {"cutting.solve", "shared.files.job.read", "cli.main"} <= set(MODULES)


@pytest.mark.parametrize("room", ROOMS)
def test_arrows_point_inward(room: str) -> None:
    for module, path in MODULES.items():
        if module.split(".")[0] == room and module not in DOORS_MEET:
            ours = {name.split(".")[0] for name in imports(path)} & set(ROOMS)
            assert ours <= MAY_IMPORT[room], module


def test_imports_are_never_relative() -> None:
    for module, path in MODULES.items():
        relative = [node for node in ast.walk(tree(path)) if isinstance(node, ast.ImportFrom) and node.level]
        assert not relative, module


def test_the_engine_needs_the_standard_library_numpy_and_ortools_only() -> None:
    allowed = set(sys.stdlib_module_names) | {"cutting", "numpy", "ortools"}
    for module, path in MODULES.items():
        if module.split(".")[0] == "cutting":
            others = {name.split(".")[0] for name in imports(path)} - allowed
            assert others <= ({"pandas"} if module == "cutting.answer.tables" else set()), module


def test_only_solver_modules_import_ortools() -> None:
    for module, path in MODULES.items():
        if any(name.split(".")[0] == "ortools" for name in imports(path)):
            assert module.split(".")[0] == "cutting", module
    for module in (
        "question.job",
        "answer.plan",
        "question.lengths",
        "question.money",
        "question.problems",
        "question.errors",
        "question.prices",
        "question.feasible",
        "checking.check",
        "answer.totals",
        "question.make",
    ):
        for other in reached(f"cutting.{module}"):
            assert not any(name.startswith("ortools") for name in imports(MODULES[other])), (module, other)


def test_the_checker_shares_no_code_with_the_solver() -> None:
    question = {f"cutting.question.{name}" for name in ("errors", "job", "lengths", "money", "problems", "yards")}
    others = {name for name in reached("cutting.checking.check") if not name.startswith("cutting.checking.")}
    for_notebooks = {
        "cutting.answer.html",
        "cutting.question.tape",
    }  # how a result shows itself
    assert others <= question | {"cutting.answer.plan"} | for_notebooks


def test_only_doors_print_log_or_touch_the_network() -> None:
    for module, path in MODULES.items():
        if module.split(".")[0] not in {"cutting", "shared"}:
            continue
        names = {name.split(".")[0] for name in imports(path)}
        assert not names & {"logging", "socket", "urllib", "http", "requests", "httpx", "ssl"}, module
        calls = [node.func for node in ast.walk(tree(path)) if isinstance(node, ast.Call)]
        assert not any(isinstance(call, ast.Name) and call.id in {"print", "input"} for call in calls), module


def test_only_doors_read_the_clock() -> None:
    reading = {"time", "monotonic", "perf_counter", "process_time", "now", "today", "utcnow"}
    reading |= {f"{name}_ns" for name in reading}
    for module, path in MODULES.items():
        if module.split(".")[0] in {"cutting", "shared"} and module not in READS_A_CLOCK:
            for node in ast.walk(tree(path)):
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
                    owner = node.func.value.id if isinstance(node.func.value, ast.Name) else ""
                    clock = owner in {"time", "datetime", "date"} and node.func.attr in reading
                    assert not clock, (module, node.lineno)


def test_every_module_imports_without_a_warning() -> None:
    wanted = [module for module in MODULES if module not in NO_MODULE]
    code = "import importlib, sys\nfor module in sys.argv[1:]:\n    importlib.import_module(module)\n"
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code, *wanted], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


def test_every_module_imports_alone() -> None:
    """No module waits for one that waits for it, so whichever is imported first, all are loaded in turn."""
    order = TopologicalSorter({module: needed(module) for module in MODULES})
    assert len(tuple(order.static_order())) == len(MODULES)


def test_a_circle_of_imports_would_be_seen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name, text in (("a", "import b"), ("b", "if True:\n    from a import x"), ("c", "def f():\n    import a")):
        (tmp_path / f"{name}.py").write_text(text)
        monkeypatch.setitem(MODULES, name, tmp_path / f"{name}.py")
    with pytest.raises(CycleError):
        tuple(TopologicalSorter({module: needed(module) for module in ("a", "b", "c")}).static_order())
    assert needed("c") == set()


def test_every_module_says_what_it_is() -> None:
    for module, path in MODULES.items():
        assert ast.get_docstring(tree(path)), module


def test_nothing_names_the_workshop() -> None:
    """What is published names no machine path and no registry host of the place where it was written."""
    secrets = (r"(?<!\w)/" + "work/", r"\.lib" + "rary", "py" + r"pi\.org", "file:///" + "opt")
    written = [*MODULES.values(), *ROOT.glob("*.md"), *ROOT.glob("*.lock")]
    for path in [*written, ROOT / "Makefile", ROOT / "pyproject.toml", ROOT / ".ci/run"]:
        for secret in secrets:
            assert not re.search(secret, path.read_text()), (path, secret)


def test_a_command_body_is_short() -> None:
    """Doors hold no arithmetic: a command is at most 15 statements, nested ones counted."""
    seen = 0
    for module, path in MODULES.items():
        if not module.startswith("cli."):
            continue
        for node in tree(path).body:
            decorators = "".join(map(ast.unparse, node.decorator_list)) if isinstance(node, ast.FunctionDef) else ""
            if isinstance(node, ast.FunctionDef) and ".command(" in decorators:
                seen += 1
                statements = [inner for inner in ast.walk(node) if isinstance(inner, ast.stmt)]
                assert len(statements) - 2 <= 15, (module, node.name)  # itself and its docstring aside
    assert seen >= 3


def test_every_package_holds_what_it_exports() -> None:
    code = """
import importlib, sys
for name in sys.argv[1:]:
    module = importlib.import_module(name)
    listed = getattr(module, "__all__", [])
    assert all(hasattr(module, member) for member in listed), name
"""
    packages = [module for module, path in MODULES.items() if path.name == "__init__.py" and module not in ROOMS]
    subprocess.run([sys.executable, "-c", code, "cutting", *packages], cwd=ROOT, check=True)
