"""The notebooks run from top to bottom, each in a fresh kernel, and show a drawing."""

from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

from tests.builders import PATIENCE
from tests.kinds import further

ROOT = Path(__file__).parents[1]
FOLDER = ROOT / "fixtures" / "notebooks"
NAMES = sorted(path.name for path in FOLDER.glob("*.ipynb"))


def test_there_are_six_without_what_an_older_run_showed() -> None:
    assert len(NAMES) == 6
    for name in NAMES:
        book = nbformat.read(FOLDER / name, as_version=4)
        assert [cell for cell in book.cells if cell.cell_type == "code" and cell.outputs] == []


@pytest.mark.parametrize("name", further(NAMES, "a further notebook"))
def test_it_runs_from_top_to_bottom(name: str) -> None:
    book = nbformat.read(FOLDER / name, as_version=4)
    nbformat.validate(book)
    NotebookClient(book, timeout=PATIENCE, kernel_name="python3", resources={"metadata": {"path": ROOT}}).execute()
    outputs = [output for cell in book.cells if cell.cell_type == "code" for output in cell.outputs]
    assert any("<svg" in output.get("data", {}).get("text/html", "") for output in outputs)
