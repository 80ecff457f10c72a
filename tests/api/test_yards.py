"""A job with yards on the page: what is paid to whom, what the yard cuts, and what the designer must confirm."""

import html
import json
import tomllib
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from api.sheet.form import SheetForm
from api.sheet.kept import Kept
from shared.files.job import read_job
from tests.served import Served

FIXTURE = Path(__file__).parents[2] / "fixtures" / "two_yards.toml"


def test_the_page_shows_orders_cuts_and_changed_parts(served: Served) -> None:
    job = json.loads(json.dumps(tomllib.loads(FIXTURE.read_text(), parse_float=Decimal), default=str))
    answer = served.post(job, wait=60).json()
    assert answer["plan"]["status"] == "optimal"
    page = served.client.get(f"/plans/{answer['id']}").text
    for order in answer["plan"]["orders"]:
        assert f"{order['yard']}, together" in page
    assert answer["plan"]["changes"]
    assert "designer must confirm" in page
    assert "of each you carry home" in page
    assert "1,386.50" in page
    saw = served.client.get(f"/plans/{answer['id']}/saw").text
    assert "designer must confirm" in saw


PARTS = "8 - SHS 2x2x1/8 @ 80 1/2 posts, or SHS 2x2x3/16 (heavier)\n6 - SHS 2x2x1/8 @ 30"
STICKS = """\
Harbour Steel:
SHS 2x2x1/8 20 ft $61.40, from 2: $57.90
North Yard Metals:
SHS 2x2x3/16 20 ft $51.40
"""
RACK = '2 pcs SHS 2x2x1/8 81" $12 (North Yard Metals)'
SHEET = {
    "parts": PARTS,
    "sticks": STICKS,
    "rack": RACK,
    "longest": "13 ft",
    "load": "900 lbs",
    "kind_cost": "$5",
    "layout_cost": "$2.50",
    "no_idle": "on",
    "leftover": "0.60/ft",
    "leftover_from": "24",
    "yard-1-name": "Harbour Steel",
    "yard-1-delivery": "$45",
    "yard-1-free_from": "900",
    "yard-1-minimum": "50",
    "yard-1-tax": "8.25",
    "yard-1-on_material": "on",
    "yard-1-on_cuts": "on",
    "yard-1-cut_charge": "2.50",
    "yard-1-free_cuts": "2",
    "yard-1-allowance": "1/4",
    "yard-1-reserves": "on",
    "yard-2-name": "",
    "yard-3-name": "North Yard Metals",
    "yard-3-collecting": "18",
    "yard-3-no_collecting": "",
    "yard-4-name": "",
}


def written(served: Served, **changes: str) -> str:
    """What the page says to a whole form that is sent without a script."""
    return html.unescape(served.client.post("/sheet", data={**SHEET, **changes}).text)


def job_of(served: Served, **changes: str):
    answer = served.client.post("/sheet", data={**SHEET, **changes})
    assert answer.status_code == 303, html.unescape(answer.text)
    plan = answer.headers["location"].partition("#")[0].rpartition("/")[2]
    job, problems = read_job(served.client.get(f"/v1/jobs/{plan}/job").content, name="job.json")
    assert problems == ()
    return job, plan


def test_terms_written_on_the_sheet_are_the_jobs(served: Served) -> None:
    job, _ = job_of(served)
    steel, quay = job.yards
    assert (steel.name, steel.delivery, steel.delivery_free_from, steel.minimum) == ("Harbour Steel", 45, 900, 50)
    assert (steel.tax.rate, [each.value for each in steel.tax.on]) == (Decimal("0.0825"), ["material", "cuts"])
    assert (steel.cuts.charge, steel.cuts.free, steel.cuts.allowance) == (Decimal("2.50"), 2, Fraction(127, 20))
    assert (steel.reserves, steel.collecting) == (True, 0)
    assert (quay.name, quay.delivery, quay.collecting, quay.tax, quay.cuts) == (
        "North Yard Metals",
        None,
        18,
        None,
        None,
    )
    assert (job.carry.longest, job.carry.load) == (13 * Fraction("304.8"), 900 * Fraction("0.45359237"))
    assert not job.idle
    assert job.layout_cost == Decimal("2.50")
    assert (job.kind_cost, job.keep_value.amount, job.keep_value.shortest) == (5, Decimal("0.60"), Fraction("609.6"))
    assert [(stick.yard, len(stick.breaks)) for stick in job.sticks] == [
        ("Harbour Steel", 1),
        ("North Yard Metals", 0),
        ("North Yard Metals", 0),
    ]
    assert job.parts[0].substitutes[0].section.name == "SHS 2x2x3/16"


def test_what_was_written_comes_back_with_the_plan(served: Served) -> None:
    _, plan = job_of(served)
    page = html.unescape(served.client.get(f"/plans/{plan}").text)
    for field in ("yard-1-delivery", "yard-1-allowance", "yard-3-collecting", "longest", "leftover"):
        assert f'name="{field}" value="{SHEET[field]}"' in page
    assert '<details class="buying" id="buying" open>' in page
    assert 'name="yard-1-on_delivery">' in page
    assert 'name="yard-1-on_cuts" checked>' in page
    assert 'name="yard-4-name"' in page
    assert 'name="yard-5-name"' not in page


def test_a_simple_sheet_stays_simple(served: Served) -> None:
    page = served.client.get("/").text
    assert '<details class="buying" id="buying">' in page
    lists = {"parts": "4 - SHS 2x2x1/8 @ 80", "sticks": "SHS 2x2x1/8 20 ft $61.40"}
    empty = {name: "on" if "-on_" in name else "" for name in SHEET if name not in lists}
    answer = served.client.post("/sheet", data={**empty, **lists})
    plan = answer.headers["location"].partition("#")[0].rpartition("/")[2]
    document = served.client.get(f"/v1/jobs/{plan}/job").json()
    assert not {"yards", "carry", "idle", "kind_cost", "keep_value"} & set(document)
    assert "yard" not in document["sticks"][0]


def test_one_yard_needs_no_heading(served: Served) -> None:
    bare = STICKS.replace("Harbour Steel:\n", "").replace("North Yard Metals:\n", "")
    job, plan = job_of(
        served,
        sticks=bare,
        rack=RACK.replace(" (North Yard Metals)", ""),
        **{"yard-3-name": "", "yard-3-collecting": ""},
    )
    assert {stick.yard for stick in job.sticks} == {"Harbour Steel"}
    assert "from Harbour Steel, the only yard" in served.client.get(f"/plans/{plan}").text


def test_lines_of_no_yard_are_asked_once_and_a_choice_writes_the_name_above(served: Served) -> None:
    page = written(served, sticks=STICKS.replace("Harbour Steel:\n", "SHS 2x2x1/8 24 ft $80\n"))
    assert page.count("which yard is this line and the 1 below from?") == 2  # beside the line, and below the list
    assert 'value="sticks:1:Harbour Steel:\nSHS 2x2x1/8 24 ft $80"' in page


def test_a_yard_that_is_only_named_has_no_terms_and_its_place_is_offered(served: Served) -> None:
    page = written(served, parts="", **{"yard-3-name": "", "yard-3-collecting": ""})
    assert '<button name="add" value="yard:North Yard Metals">' in page
    page = written(served, parts="", add="yard:North Yard Metals", **{"yard-3-name": "", "yard-3-collecting": ""})
    assert 'name="yard-2-name" value="North Yard Metals"' in page
    assert '<button name="add" value="yard:' not in page


_BLAMED = {
    ("yard-1-name", "North Yard Metals"): "yard-3-name",
    ("yard-3-no_collecting", "on"): "yard-3-collecting",
}


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("yard-1-delivery", "lots", "delivery: lots is no amount"),
        ("yard-1-delivery", "45.123", "45.123 is no amount"),
        ("yard-1-delivery", "€45", "it is in EUR, and the prices are in USD"),
        ("yard-1-delivery", "4.5678", "USD has 2 decimals"),
        ("yard-1-tax", "8 % VAT", "tax: write a rate"),
        ("yard-1-tax", "101", "tax: write a rate"),
        ("yard-1-cut_charge", "", "charge for a cut: write what a cut costs"),
        ("yard-1-allowance", "", "write how much steel to allow"),
        ("yard-1-allowance", "1/64", "write at least 3/32 in"),
        ("yard-1-allowance", "some", "steel to allow at a cut:"),
        ("yard-1-free_cuts", "two", "free cuts: write a whole number"),
        ("yard-1-name", "", "name of the yard: write it"),
        ("yard-1-name", "North Yard Metals", "yard 1 has this name already"),
        ("yard-3-no_collecting", "on", "it costs nothing where nothing can be fetched"),
        ("yard-3-minimum", "-5", "smallest order: -5 is no amount"),
        ("longest", "long", "longest piece:"),
        ("longest", "0", "longest piece: must be longer than 0"),
        ("load", "900", "write the weight with its unit: 900 lb or 900 kg"),
        ("load", "two men", "load: write a weight with its unit"),
        ("kind_cost", "x", "each more kind of section: x is no amount"),
        ("layout_cost", "x", "each more layout: x is no amount"),
        ("leftover", "0.60", "worth of leftovers: write an amount and what it is for"),
        ("leftover", "0.60/yard", "worth of leftovers: can't be priced by"),
        ("leftover", "", "worth of leftovers: write what a length of it is worth"),
        ("leftover_from", "", "shortest leftover: write from how long on"),
    ],
)
def test_a_bad_value_is_said_at_its_field(served: Served, field: str, value: str, message: str) -> None:
    page = written(served, **{field: value})
    said = next(line for line in page.splitlines() if message in plain(line))
    assert f'<label for="{_BLAMED.get((field, value), field)}">' in said


def plain(line: str) -> str:
    """A line of the page without marks for fractions."""
    return (
        line.replace('<span class="fraction"><sup>', "").replace("</sup>\u2044<sub>", "/").replace("</sub></span>", "")
    )


def test_everything_wrong_is_said_at_once(served: Served) -> None:
    page = written(served, load="900", **{"yard-1-tax": "x", "yard-1-free_cuts": "y", "yard-3-minimum": "z"})
    for field in ("load", "yard-1-tax", "yard-1-free_cuts", "yard-3-minimum"):
        assert f'<p class="why"><label for="{field}">' in page


def test_terms_without_prices_are_asked_about(served: Served) -> None:
    bare = STICKS.replace(" $61.40, from 2: $57.90", "").replace(" $51.40", "")
    page = written(served, sticks=bare, rack="")
    assert '<label for="yard-1-name">this costs money, and the sticks have no prices yet' in page


def test_older_sheets_open_still() -> None:
    old = {"form": {"parts": PARTS, "kerf": "1/8"}, "also": []}
    kept = Kept.from_json(json.dumps(old).encode())
    assert (kept.form.kerf, kept.form.yards, kept.form.longest) == ("1/8", (), "")
    again = Kept.from_json(Kept(form=SheetForm.of(SHEET), also=()).to_json())
    assert again.form == SheetForm.of(SHEET)
    assert [yard.name for yard in again.form.yards] == ["Harbour Steel", "", "North Yard Metals"]


def test_the_reading_route_takes_terms(served: Served) -> None:
    body = {
        "parts": PARTS,
        "sticks": STICKS,
        "longest": "13 ft",
        "yards": [
            {"name": "Harbour Steel", "delivery": "45", "tax": "8.25", "tax_on": ["material"]},
            {"name": "North Yard Metals", "no_collecting": True, "delivery": "5"},
        ],
    }
    found = served.client.post("/v1/read", json={**body, "idle": False}).json()
    assert found["faults"] == []
    assert found["job"]["idle"] is False
    assert "idle" not in served.client.post("/v1/read", json=body).json()["job"]
    assert found["job"]["yards"] == [
        {"name": "Harbour Steel", "delivery": "45", "tax": {"rate": "8.25 %", "on": ["material"]}},
        {"name": "North Yard Metals", "delivery": "5", "collecting": False},
    ]
    assert found["job"]["sticks"][0]["breaks"] == [{"from_quantity": 2, "price": "57.90"}]
    body["yards"] = body["yards"][:1]
    body["yards"][0]["tax"] = "much"
    wrong = served.client.post("/v1/read", json=body).json()
    assert wrong["yards_without_terms"] == ["North Yard Metals"]
    assert [fault["field"] for fault in wrong["faults"]] == ["yard-1-tax"]
    assert wrong["job"] is None
