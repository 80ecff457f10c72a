"""Of what kind a test is, and what only `make test-all` runs.

A test is marked slow for a reason, which it states: it is a further batch, walk or size of something of which the first
is in `make test`. The kinds named here are those of which one must always be there (`tests/test_kinds.py`).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest

KINDS = ("brute force", "browser walk", "kill", "schemathesis")


def further(cases: Iterable[Any], why: str, *, fast: int = 1) -> list[Any]:
    """Cases for `parametrize`: the first so many always run, the others are slow, for the reason given."""
    slow = pytest.mark.slow(why)
    return [
        case if at < fast else pytest.param(*(case if isinstance(case, tuple) else (case,)), marks=slow)
        for at, case in enumerate(cases)
    ]


def unsaid(item: pytest.Item) -> str:
    """What is wrong with an item's markers; nothing where each says what it must."""
    if any(not (mark.args and mark.args[0]) for mark in item.iter_markers("slow")):
        return f"{item.nodeid} doesn't say why it is slow: write slow('a further ...')"
    wrong = [mark for mark in item.iter_markers("kind") if mark.kwargs.get("name") not in KINDS]
    return f"{item.nodeid} is of a kind that nobody knows; write one of {', '.join(KINDS)}" if wrong else ""
