"""No test depends on how busy the machine is: a search or a wait is ended by an event, and only a fault by seconds."""

import ast
from pathlib import Path

from tests.builders import PATIENCE

HERE = Path(__file__).parent
SEARCHES = {"solve", "replan", "compare", "worth", "margins", "spares"}
# A kill comes at a random moment; who asks a service again and again leaves it time to answer.
MAY_SLEEP = {"test_power_cuts.py", "test_safety.py", "served.py", "test_comparison.py", "test_scheduler.py"}
TREES = {path: ast.parse(path.read_text()) for path in sorted(HERE.rglob("*.py")) if "benchmarks" not in path.parts}


def hasty(tree: ast.Module) -> list[int]:
    """Lines on which a search is given a number of seconds of its own, or the few that are usual for people."""
    ours = {
        name.asname or name.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").partition(".")[0] in {"cutting", "shared"}
        for name in node.names
    }
    return [
        node.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ours & SEARCHES
        if not any(isinstance(limit, ast.Name) for limit in limits(node))
    ]


def limits(call: ast.Call) -> list[ast.expr]:
    """The limit of a search: named, or the second thing that `solve` is given; what is spread out may hold one."""
    return [word.value for word in call.keywords if word.arg in {"limit", None}] + call.args[1:2]


def test_every_search_is_waited_for_until_its_proof() -> None:
    assert {str(path): lines for path, tree in TREES.items() if (lines := hasty(tree))} == {}


def test_a_hasty_search_would_be_seen() -> None:
    begin = "from cutting.solve import solve\n"
    assert PATIENCE >= 300
    assert hasty(ast.parse(f"{begin}solve(job, limit=PATIENCE)\nsolve(job, PATIENCE)\nsolve(job, **words)")) == []
    assert hasty(ast.parse(f"{begin}solve(job)\nsolve(job, limit=20)\nsolve(job, 20.0, cores=1)")) == [2, 3, 4]
    assert hasty(ast.parse("solve(job)")) == []


def test_nothing_sleeps_but_between_two_looks() -> None:
    assert {path.name for path, tree in TREES.items() if sleeps(tree)} <= MAY_SLEEP


def sleeps(tree: ast.Module) -> bool:
    """Whether something waits for time to pass."""
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)]
    return any(call.func.attr == "sleep" and ast.unparse(call.args[0]) != "0" for call in calls)  # 0: others' turn


def test_a_sleep_would_be_seen() -> None:
    assert sleeps(ast.parse("import time\ntime.sleep(0.5)"))
    assert not sleeps(ast.parse("await asyncio.sleep(0)\ntime.monotonic()"))
