"""A fresh shop for each test; after each the books must balance."""

from pathlib import Path

import pytest

from tests.shared.store.scene import opened


@pytest.fixture
def shop(tmp_path: Path):
    with opened(tmp_path / "store.sqlite3") as found:
        yield found
        assert found.balance() == ()
