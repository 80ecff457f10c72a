"""What is imported is declared, what is declared is imported, and all that is installed is pinned by hash."""

import ast
import importlib.metadata
import re
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from packaging.markers import default_environment
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())
ROOMS = ("cutting", "shared", "api", "cli")
RUN_LOCK, DEV_LOCK = ROOT / "requirements.lock", ROOT / "requirements-dev.lock"

# Declared, though no statement of ours imports them.
BY_NAME = {"python-multipart": "FastAPI reads forms with it and refuses to without"}
AS_COMMANDS = {
    "ruff": "make check and make format",
    "mypy": "make check",
    "import-linter": "make check",
    "pytest-xdist": "make test shares the tests out with it",
    "ipykernel": "the notebooks run in it",
    "pandas-stubs": "types for mypy",
    "types-jsonschema": "types for mypy",
    "types-openpyxl": "types for mypy",
}

PIN = re.compile(r"^(?P<name>[a-z0-9-]+)==(?P<version>\S+)(?: ; (?P<marker>.+?))? \\$")
HASH = re.compile(r"^    --hash=sha256:[0-9a-f]{64}( \\)?$")
SYSTEMS = {"linux": ("Linux", "posix"), "darwin": ("Darwin", "posix"), "win32": ("Windows", "nt")}
MACHINES = {
    f"{python}-{system}": {
        "python_version": python,
        "python_full_version": f"{python}.1",
        "sys_platform": system,
        "platform_system": SYSTEMS[system][0],
        "os_name": SYSTEMS[system][1],
        "platform_machine": "x86_64",
        "extra": "",
    }
    for python in ("3.11", "3.12", "3.13")
    for system in SYSTEMS
}


def declared(*extras: str) -> dict[str, Requirement]:
    """What the project asks for at run time, or what some of its extras ask for besides."""
    project = PROJECT["project"]
    texts = [text for extra in extras for text in project["optional-dependencies"][extra]]
    asked = [Requirement(text) for text in (texts if extras else project["dependencies"])]
    own = [extra for each in asked if each.name == project["name"] for extra in each.extras]
    found = {canonicalize_name(each.name): each for each in asked if each.name != project["name"]}
    return found | (declared(*own) if own else {})


def imported(*rooms: str) -> set[str]:
    """Distributions that the modules of some rooms import, wherever in them."""
    homes = importlib.metadata.packages_distributions()
    names: set[str] = set()
    for path in (path for room in rooms for path in (ROOT / room).rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text())):
            names |= set(named(node))
    names -= {*sys.stdlib_module_names, *ROOMS, "tests"}
    assert names <= set(homes), names - set(homes)
    return {canonicalize_name(homes[name][0]) for name in names}


def named(node: ast.AST) -> Iterator[str]:
    """Top-level packages that a statement imports, skipped over where they are missing or not."""
    if isinstance(node, ast.Import):
        yield from (name.name.partition(".")[0] for name in node.names)
    elif isinstance(node, ast.ImportFrom) and node.module:
        yield node.module.partition(".")[0]
    elif isinstance(node, ast.Call) and ast.unparse(node.func) == "pytest.importorskip":
        yield ast.literal_eval(node.args[0]).partition(".")[0]


def pins(path: Path) -> list[Requirement]:
    """Every pin of a lock; a line that is neither a pin, a hash nor a comment is no lock's."""
    found = []
    hashes = 1
    for line in path.read_text().splitlines():
        if pin := PIN.match(line):
            assert hashes, f"{found[-1]} has no hash"
            marker = f"; {pin['marker']}" if pin["marker"] else ""
            found.append(Requirement(f"{pin['name']}=={pin['version']}{marker}"))
            hashes = 0
        elif HASH.match(line):
            hashes += 1
        else:
            assert not line or line.lstrip().startswith("#"), line
    assert hashes
    return found


def on(machine: str, *locks: Path) -> dict[str, Version]:
    """What pip installs of some locks on a machine."""
    wanted = [pin for lock in locks for pin in pins(lock) if applies(pin, machine)]
    chosen = {pin.name: Version(next(iter(pin.specifier)).version) for pin in wanted}
    assert len(chosen) == len(wanted), "a package is pinned twice"
    return chosen


def applies(requirement: Requirement, machine: str, extras: frozenset[str] = frozenset({""})) -> bool:
    marker = requirement.marker
    return marker is None or any(
        marker.evaluate({**default_environment(), **MACHINES[machine], "extra": extra}) for extra in extras
    )


def reached(machine: str, asked: dict[str, Requirement], locked: dict[str, Version]) -> set[str]:
    """Follow what is asked for through the packages' own metadata; every step must be locked at a version that fits."""
    seen: set[tuple[str, frozenset[str]]] = set()
    todo = [(requirement, "pyproject.toml") for requirement in asked.values()]
    while todo:
        requirement, asker = todo.pop()
        name, extras = canonicalize_name(requirement.name), frozenset({"", *requirement.extras})
        assert name in locked, f"{name}, which {asker} asks for, isn't locked; make lock"
        assert requirement.specifier.contains(locked[name], prereleases=True), f"{asker}: {requirement}; make lock"
        if (name, extras) not in seen:
            seen.add((name, extras))
            inner = map(Requirement, requires(name))
            todo += [(each, name) for each in inner if applies(each, machine, extras)]
    return {name for name, _ in seen}


def requires(name: str) -> list[str]:
    """What a package's metadata ask for; nothing where it is for another machine and not installed here."""
    try:
        return importlib.metadata.requires(name) or []
    except importlib.metadata.PackageNotFoundError:
        return []


def test_what_runs_imports_what_is_declared_and_no_more() -> None:
    assert imported(*ROOMS) - {"pandas"} == set(declared()) - set(BY_NAME)


def test_tables_for_notebooks_are_the_only_extra() -> None:
    assert set(declared("notebook")) == {"pandas"}
    users = [path.stem for room in ROOMS for path in (ROOT / room).rglob("*.py") if "import pandas" in path.read_text()]
    assert users == ["tables"]


def test_the_tests_import_what_is_declared_and_no_more() -> None:
    besides = imported("tests") - set(declared())
    assert besides == set(declared("dev")) - set(AS_COMMANDS)


@pytest.mark.parametrize("machine", MACHINES)
def test_all_that_is_installed_is_locked(machine: str) -> None:
    run = declared() | {each.name: each for each in map(Requirement, PROJECT["build-system"]["requires"])}
    locked = on(machine, RUN_LOCK)
    assert reached(machine, run, locked) == set(locked)
    both = on(machine, RUN_LOCK, DEV_LOCK)
    assert reached(machine, {**run, **declared("dev")}, both) == set(both)


@pytest.mark.parametrize("name", ["numpy", "ortools", "pydantic-core", "sqlalchemy"])
def test_compiled_packages_are_locked_for_every_python_and_system(name: str) -> None:
    (text,) = re.findall(rf"^{name}==(?:.|\n)*?^    #", RUN_LOCK.read_text(), re.MULTILINE)[:1]
    assert text.count("--hash=sha256:") >= len(MACHINES)


def test_the_makefile_installs_by_the_locks_alone() -> None:
    lines = [line.strip() for line in (ROOT / "Makefile").read_text().splitlines()]
    installs = [line.removeprefix("$(PIP) ") for line in lines if line.startswith("$(PIP) ")]
    assert set(installs) == {
        "'$(UV)'",
        "--require-hashes --requirement requirements.lock",
        "--require-hashes --requirement requirements.lock --requirement requirements-dev.lock",
        "--no-deps --no-build-isolation --editable .",
    }
