"""What a notebook shows of a result."""

from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree as ET

import pytest

from cutting import Result, make_job, solve
from tests.builders import PATIENCE


def shown(result: Result) -> ET.Element:
    return ET.fromstring(result._repr_html_())


def test_it_names_the_cost_every_line_and_every_part() -> None:
    job = make_job(
        unit="in",
        kerf="3/32",
        currency="USD",
        parts=[("tube <b>", "80 1/2", 4, "post & rail"), ("tube <b>", "33 7/8", 8, "P2")],
        sticks=[("tube <b>", "20 ft", "61.40")],
    )
    result = solve(job, PATIENCE)
    page = shown(result)
    text = "".join(page.itertext())
    assert "USD 184.20. Nothing cheaper exists." in text.replace("steel, ", "")
    assert "tube <b>" in text
    titles = [title.text or "" for title in page.iter("{http://www.w3.org/2000/svg}title")]
    assert result.plan is not None
    for cut in result.plan.cuts:
        for piece in cut.pieces:
            assert any(title.startswith(f"{piece.mark} ") and title.endswith(" in") for title in titles)


@pytest.mark.parametrize(
    ("unit", "sticks", "currency", "words"),
    [
        ("mm", [("tube", 6000, None)], None, "6000 mm"),
        ("mm", [("tube", 6000, 1200)], "JPY", "JPY 1,200."),
        ("mm", [("tube", 6000, "1.234")], "KWD", "KWD 1.234."),
    ],
)
def test_it_counts_as_the_job_does(
    unit: str, sticks: list[tuple[str, int, str | int | None]], currency: str | None, words: str
) -> None:
    result = solve(make_job(unit=unit, kerf="2", parts=[("tube", 1000, 3)], sticks=sticks, currency=currency), PATIENCE)
    assert words in "".join(shown(result).itertext())


def test_no_plan_says_why() -> None:
    job = make_job(unit="mm", kerf="2", parts=[("tube", 7000, 1)], sticks=[("tube", 6000, "30")], currency="EUR")
    text = "".join(shown(solve(job, PATIENCE)).itertext())
    assert text.startswith("No plan can exist.")
    assert "P1" in text


def test_what_could_be_saved_is_rounded_up() -> None:
    job = make_job(unit="mm", kerf="2", parts=[("tube", 1000, 3)], sticks=[("tube", 6000, "30")], currency="EUR")
    result = solve(job, PATIENCE)
    assert result.plan is not None
    open_still = replace(result, proof=replace(result.proof, lower_bound=Fraction("29.999")))
    assert "At most EUR 0.01 could still be saved." in "".join(shown(open_still).itertext())
