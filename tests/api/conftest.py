"""One service for all tests that don't need one of their own."""

import pytest

from tests.served import Served, serving


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Served:
    with serving(tmp_path_factory.mktemp("service")) as running:
        yield running
