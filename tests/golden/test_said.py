"""What terminal, cut sheet, workbook and page say of eight jobs is as kept, line by line and cell by cell."""

from collections.abc import Iterator

import pytest

from tests.golden import said
from tests.golden.compare import text_differences
from tests.served import Served, serving


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("service")) as running:
        yield running


def kept(name: str, kind: str) -> str:
    return said.said_path(name, kind).read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", ["terminal", "cut_sheet", "workbook"])
@pytest.mark.parametrize("name", said.JOBS)
def test_what_the_command_writes_is_as_kept(name: str, kind: str) -> None:
    assert text_differences(kept(name, kind), said.from_the_terminal(name)[kind]) == []


@pytest.mark.parametrize("name", said.JOBS)
def test_the_page_says_what_is_kept(name: str, served: Served) -> None:
    assert text_differences(kept(name, "page"), said.page_text(served, name)) == []


def test_nothing_else_is_kept() -> None:
    found = {path for path in said.SAID.rglob("*") if path.is_file()}
    assert found == {said.said_path(name, kind) for name in said.JOBS for kind in said.KINDS}


def test_any_line_changed_in_what_is_kept_is_seen() -> None:
    for name in said.JOBS:
        for kind in said.KINDS:
            lines = kept(name, kind).splitlines()
            assert len(lines) > 20, (name, kind)
            for number, line in enumerate(lines):
                planted = [*lines[:number], f"{line}.", *lines[number + 1 :]]
                if number % 7 == 0:
                    (told,) = text_differences("\n".join(planted), "\n".join(lines))
                    assert told.startswith(f"line {number + 1}: "), (name, kind)


def test_only_what_can_be_read_of_a_page_is_kept() -> None:
    page = (
        "<title>no</title><p>Cut <b>4</b>\n of <a href='x'>P1</a></p><script>no()</script><tr><td>1</td><td>2</td></tr>"
    )
    assert said.seen(page) == "Cut 4 of P1\n1 2\n"
