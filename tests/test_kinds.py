"""What `make test` leaves to `make test-all` is further of its kind: the first of each kind is always run."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.kinds import KINDS, further, unsaid

HERE = Path(__file__).parent
COLLECT = """
import json, sys
import pytest

class Listed:
    def pytest_collection_finish(self, session):
        self.found = [
            [mark.kwargs["name"], item.get_closest_marker("slow") is None]
            for item in session.items
            for mark in item.iter_markers("kind")
        ]

listed = Listed()
assert pytest.main(["--collect-only", "-qq", *sys.argv[1:]], [listed]) == 0
print(json.dumps(listed.found))
"""


def test_of_each_kind_one_test_is_quick_and_one_is_further() -> None:
    here = Path(__file__)
    marked = [path for path in HERE.rglob("test_*.py") if path != here and ".kind(name=" in path.read_text()]
    done = subprocess.run(
        [sys.executable, "-c", COLLECT, *map(str, marked)], cwd=HERE.parent, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    found = {(name, quick) for name, quick in json.loads(done.stdout.splitlines()[-1])}
    assert found == {(name, quick) for name in KINDS for quick in (True, False)}


def test_the_first_cases_are_quick_and_the_others_say_why_not() -> None:
    first, second, third = further([1, (2, "b"), 3], "a further number", fast=1)
    assert first == 1
    assert (second.values, third.values) == ((2, "b"), (3,))
    assert [mark.args for case in (second, third) for mark in case.marks] == [("a further number",)] * 2


@pytest.mark.parametrize(
    ("marker", "said"),
    [
        (pytest.mark.slow, "doesn't say why it is slow"),
        (pytest.mark.slow(""), "doesn't say why it is slow"),
        (pytest.mark.kind(name="thorough"), "write one of brute force"),
        (pytest.mark.slow("a further batch"), ""),
        (pytest.mark.kind(name="kill"), ""),
    ],
)
def test_a_marker_that_does_not_say_what_it_must_is_refused(
    request: pytest.FixtureRequest, marker: pytest.MarkDecorator, said: str
) -> None:
    request.node.add_marker(marker)
    assert said in unsaid(request.node)
    assert bool(said) == bool(unsaid(request.node))
