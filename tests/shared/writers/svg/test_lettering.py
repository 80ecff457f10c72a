"""Lettering: widths, escapes, places of crowded labels."""

import itertools
import unicodedata
import xml.etree.ElementTree as ET
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.writers.svg.lettering import cells, safe, spread


@given(st.lists(st.floats(-50, 250), min_size=1, max_size=40))
def test_labels_keep_their_distance_their_order_and_the_sheet(wanted: list[float]) -> None:
    places = spread(sorted(wanted), 3.5, 2, 178)
    assert all(b - a >= 3.5 - 1e-9 for a, b in itertools.pairwise(places))
    assert places[0] >= 2 - 1e-9
    assert places[-1] <= 178 + 1e-9


@given(st.lists(st.floats(0, 100), min_size=2, max_size=5), st.lists(st.floats(0, 100), min_size=5, max_size=5))
def test_no_other_places_are_nearer_to_where_labels_belong(wanted: list[float], other: list[float]) -> None:
    wanted = sorted(wanted)
    gap = 4.0
    rival = [max(value, 0.0) for value in sorted(other)[: len(wanted)]]
    rival = [value + gap * number for number, value in enumerate(rival)]
    if rival[-1] > 120:
        rival = [value - (rival[-1] - 120) for value in rival]
    if rival[0] < 0:
        return
    places = spread(wanted, gap, 0, 120)
    assert _off(places, wanted) <= _off(rival, wanted) + 1e-6


def _off(places: Sequence[float], wanted: Sequence[float]) -> float:
    return sum((a - b) ** 2 for a, b in zip(places, wanted, strict=True))


def test_more_labels_than_room_are_refused() -> None:
    with pytest.raises(ValueError, match="need more room"):
        spread([1.0] * 60, 3.5, 0, 180)


@given(st.text(max_size=40))
def test_any_text_may_stand_in_a_drawing(text: str) -> None:
    shown = ET.fromstring(f"<text>{safe(text)}</text>").text or ""
    assert len(shown) == len(text)
    for before, after in zip(text, shown, strict=True):
        assert after == before or (after == "\ufffd" and unicodedata.category(before)[0] == "C")


def test_cells_of_wide_and_combining_letters() -> None:
    assert (cells("P1"), cells("e\u0301"), cells("横梁")) == (2, 1, 4)
