"""The server that children are forked from loads what they would otherwise load one by one."""

import importlib

import pytest

from api.service.runner.process import _PRELOADED


@pytest.mark.parametrize("module", _PRELOADED)
def test_what_is_loaded_beforehand_exists(module: str) -> None:
    """The standard library's fork server passes over a name that can't be imported without a word."""
    importlib.import_module(module)


def test_the_engine_is_loaded_beforehand() -> None:
    assert {
        "api.service.runner.tasks",
        "cutting.search.against",
        "cutting.fit.marked.marked",
        "cutting.fit.rows",
        "ortools.math_opt.python.mathopt",
    } <= set(_PRELOADED)
