"""All layouts at a glance: every part and drop on one scale, nothing outside its stick."""

import re
import xml.etree.ElementTree as ET

import pytest

from shared.view import present
from shared.view.drawing import plan_bars
from shared.view.drawing.overview import overviews
from shared.writers.svg.thin import SHADES, longest_of, patterns, thin_bar
from tests.golden.questions import job_of, solved

JOBS = ("kayak_racks.toml", "kayak_stands.toml", "two_yards.toml", "random/angled_4.json", "random/carried_2.json")


def seen(name: str):
    job, result = job_of(name), solved(name)
    cut = [layout for layout in present(job, result).layouts if layout.pieces]
    return cut, overviews(cut, plan_bars(job, result.plan))


@pytest.mark.parametrize("name", JOBS)
def test_every_layout_is_there_once_and_its_parts_lie_on_its_stick(name: str) -> None:
    cut, sections = seen(name)
    bars = [bar for section in sections for bar in section.bars]
    assert sorted(bar.number for bar in bars) == sorted(layout.number for layout in cut)
    by_number = {layout.number: layout for layout in cut}
    for bar in bars:
        layout = by_number[bar.number]
        assert [part.mark for part in bar.parts] == [piece.mark for piece in layout.pieces]
        assert bar.parts[0].start >= 0
        assert bar.parts[-1].end + bar.drop <= bar.length
        assert all(part.start < part.end for part in bar.parts)


@pytest.mark.parametrize("name", JOBS)
def test_thin_bars_are_drawn_on_one_scale(name: str) -> None:
    _, sections = seen(name)
    longest = longest_of(sections)
    for bar in (bar for section in sections for bar in section.bars):
        tree = ET.fromstring(thin_bar(bar, longest))
        width = float(tree.find(".//rect[@class='stick']").get("width"))
        assert width == pytest.approx(458 * float(bar.length / longest), abs=0.06)
        parts = tree.findall(".//rect[@class='part']")
        assert [re.search(r"shade-(\d+)", part.get("fill"))[1] for part in parts] == [str(p.shade) for p in bar.parts]
        assert (tree.find(".//rect[@fill='url(#shade-drop)']") is not None) is bool(bar.drop)
        assert f"Layout {bar.number}:" in tree.find("title").text


def test_equal_marks_have_one_shade_and_other_marks_another() -> None:
    _, sections = seen("kayak_racks.toml")
    shades = {(part.mark, part.shade) for section in sections for bar in section.bars for part in bar.parts}
    assert len({mark for mark, _ in shades}) == len({shade for _, shade in shades}) == len(shades)
    assert patterns().count("<pattern ") == SHADES + 1
