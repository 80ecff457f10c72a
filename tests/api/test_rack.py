"""The rack over HTTP: put on it, put right, counted, written out, taken in, undone."""

import csv
import io

import httpx
import jsonschema
import openpyxl
import pytest

from api.routes.rack.examples import CHANGES, COUNT, NEW_BARS
from api.service.problems import Kind
from tests.api.test_errors import check_problem
from tests.served import Served, serving


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Served:
    with serving(tmp_path_factory.mktemp("rack")) as running:
        yield running


def put(shop: Served, *bars: dict, **more) -> list[int]:
    answer = shop.client.post("/v1/rack", json={"bars": list(bars), **more})
    assert answer.status_code == 201, answer.text
    return [int(name[1:]) for name in answer.json()["bars"]]


def piece(length: str = "1240 mm", **more) -> dict:
    return {"section": "SHS 50x50x4", "length": length, **more}


def bar(shop: Served, number: int) -> dict:
    return shop.client.get(f"/v1/rack/{number}").json()


def described(shop: Served, answer: httpx.Response, path: str, method: str) -> None:
    """Check an answer against what the API says of it."""
    document = shop.client.get("/v1/openapi.json").json()
    content = document["paths"][path][method]["responses"][str(answer.status_code)]["content"]
    jsonschema.validate(answer.json(), {**content["application/json"]["schema"], "components": document["components"]})


def test_pieces_get_numbers_that_are_never_used_again(shop: Served) -> None:
    first = put(shop, piece(quantity=3, place="Bay 1", heat="K4471", remark="bent"))
    second = put(shop, piece())
    assert first == list(range(first[0], first[0] + 3))
    assert second[0] > first[-1]
    assert bar(shop, first[1]) == {
        **bar(shop, first[0]),
        "number": first[1],
        "name": f"D{first[1]}",
    }
    found = bar(shop, first[0])
    assert (found["length"], found["state"], found["origin"]) == ("1240 mm", "free", "counted")
    assert (found["place"], found["heat"], found["remark"]) == ("Bay 1", "K4471", "bent")


def test_the_examples_are_answered_as_described(shop: Served) -> None:
    answer = shop.client.post("/v1/rack", json=NEW_BARS["value"])
    assert answer.status_code == 201
    described(shop, answer, "/v1/rack", "post")
    number = int(answer.json()["bars"][0][1:])
    changed = shop.client.patch(f"/v1/rack/{number}", json=CHANGES["value"])
    assert changed.status_code == 200, changed.text
    described(shop, changed, "/v1/rack/{number}", "patch")
    assert bar(shop, number)["length"] == "41 1/4 in"
    lines = [
        {**line, "number": number, "length": "41 in"} if "number" in line else line for line in COUNT["value"]["lines"]
    ]
    counted = shop.client.post("/v1/rack/stock-take", json={**COUNT["value"], "lines": lines})
    assert counted.status_code == 200, counted.text
    described(shop, counted, "/v1/rack/stock-take", "post")
    for path in ("/v1/rack", "/v1/rack/history"):
        described(shop, shop.client.get(path), path, "get")


def test_all_problems_of_new_pieces_come_at_once_with_their_pointers(shop: Served) -> None:
    before = len(shop.client.get("/v1/rack").json()["bars"])
    bad = [piece(), piece("41"), {"section": "pipe 1-1/4", "length": "huh"}, piece(trims=["0", "soon"])]
    body = check_problem(shop.client.post("/v1/rack", json={"bars": bad}), Kind.INVALID_PARAMETERS)
    found = {error["pointer"]: error for error in body["errors"]}
    assert set(found) == {"#/bars/1/length", "#/bars/2/section", "#/bars/2/length", "#/bars/3/trims/1"}
    assert "41 in or 41 mm" in found["#/bars/1/length"]["detail"]
    assert len(shop.client.get("/v1/rack").json()["bars"]) == before
    wrong = shop.client.post("/v1/rack", json={"bars": [{"length": "1 m", "colour": "red"}]})
    assert {error["pointer"] for error in check_problem(wrong, Kind.INVALID_PARAMETERS)["errors"]} == {
        "#/bars/0/section",
        "#/bars/0/colour",
    }


def test_a_bare_number_means_the_stated_unit(shop: Served) -> None:
    (inches,) = put(shop, {"section": "SHS 3x3x1/8", "length": "41 3/8"}, unit="in")
    (metric,) = put(shop, piece("1240.5"), unit="mm")
    assert bar(shop, inches)["length"] == "41 3/8 in"
    assert bar(shop, metric)["length"] == "1240.5 mm"


def test_the_same_key_puts_pieces_on_the_rack_once(shop: Served) -> None:
    key = {"Idempotency-Key": "three-drops"}
    answers = [shop.client.post("/v1/rack", json={"bars": [piece()]}, headers=key).json() for _ in range(3)]
    assert len({answer["entry"] for answer in answers}) == 1
    assert [answer["repeated"] for answer in answers] == [False, True, True]
    other = shop.client.post("/v1/rack", json={"bars": [piece("900 mm")]}, headers=key)
    check_problem(other, Kind.NOT_POSSIBLE)


def test_the_list_is_filtered_by_state_section_and_work(shop: Served) -> None:
    (flat,) = put(shop, {"section": "flat 60x8", "length": "700 mm"})
    name = bar(shop, flat)["section"]
    only = shop.client.get("/v1/rack", params={"section": name}).json()["bars"]
    assert [each["number"] for each in only] == [flat]
    shop.client.post(f"/v1/rack/{flat}/scrap", json={})
    assert shop.client.get("/v1/rack", params={"section": name}).json()["bars"] == []
    gone = shop.client.get("/v1/rack", params={"section": name, "state": "scrap"}).json()["bars"]
    assert [each["number"] for each in gone] == [flat]
    assert shop.client.get("/v1/rack", params={"work": "none"}).json()["bars"] == []


def test_a_correction_has_history_and_can_be_undone(shop: Served) -> None:
    (number,) = put(shop, piece("1240 mm", place="Bay 1"), who="Ann")
    body = {"length": "1238.5 mm", "place": "Bay 2", "who": "Ben", "words": "measured again"}
    entry = shop.client.patch(f"/v1/rack/{number}", json=body).json()["entry"]
    assert (bar(shop, number)["length"], bar(shop, number)["place"]) == ("1238.5 mm", "Bay 2")
    history = shop.client.get("/v1/rack/history", params={"number": number}).json()["entries"]
    assert [line["who"] for line in history] == ["Ben", "Ann"]
    assert "measured again" in history[0]["words"]
    assert shop.client.post("/v1/rack/undo", json={"entry": entry}).status_code == 200
    assert (bar(shop, number)["length"], bar(shop, number)["place"]) == ("1240 mm", "Bay 1")
    check_problem(shop.client.post("/v1/rack/undo", json={"entry": entry}), Kind.NOT_POSSIBLE)
    assert shop.service.shop.balance() == ()


def test_an_undo_under_a_later_change_is_refused_naming_it(shop: Served) -> None:
    (number,) = put(shop, piece())
    first = shop.client.patch(f"/v1/rack/{number}", json={"length": "1200 mm"}).json()["entry"]
    shop.client.patch(f"/v1/rack/{number}", json={"length": "1100 mm"})
    body = check_problem(shop.client.post("/v1/rack/undo", json={"entry": first}), Kind.NOT_POSSIBLE)
    assert "1100 mm" in body["detail"]
    assert bar(shop, number)["length"] == "1100 mm"


def test_an_old_version_can_t_overwrite_a_newer_one(shop: Served) -> None:
    (number,) = put(shop, piece())
    seen = bar(shop, number)["version"]
    assert shop.client.patch(f"/v1/rack/{number}", json={"length": "1200 mm", "version": seen}).status_code == 200
    late = shop.client.patch(f"/v1/rack/{number}", json={"length": "1100 mm", "version": seen})
    check_problem(late, Kind.STALE)
    assert bar(shop, number)["length"] == "1200 mm"


def test_lost_found_and_scrapped(shop: Served) -> None:
    (number,) = put(shop, piece())
    for path, state in (("lost", "lost"), ("found", "free"), ("scrap", "scrap")):
        assert shop.client.post(f"/v1/rack/{number}/{path}", json={"who": "Ann"}).status_code == 200
        assert bar(shop, number)["state"] == state
    check_problem(shop.client.post(f"/v1/rack/{number}/found", json={}), Kind.NOT_POSSIBLE)
    check_problem(shop.client.patch(f"/v1/rack/{number}", json={"place": "Bay 9"}), Kind.NOT_POSSIBLE)


@pytest.mark.parametrize(
    ("method", "path", "kind"),
    [
        ("GET", "/v1/rack/999999", Kind.NOT_FOUND),
        ("POST", "/v1/rack/999999/scrap", Kind.NOT_FOUND),
        ("GET", "/v1/rack/0", Kind.INVALID_PARAMETERS),
        ("GET", "/v1/rack?state=rusty", Kind.INVALID_PARAMETERS),
        ("GET", "/v1/rack/labels.pdf?used=99", Kind.INVALID_PARAMETERS),
        ("GET", "/v1/rack/labels.pdf?number=D1+Q7", Kind.INVALID_PARAMETERS),
    ],
)
def test_each_kind_of_error(shop: Served, method: str, path: str, kind: Kind) -> None:
    check_problem(shop.client.request(method, path, json={} if method == "POST" else None), kind)


def test_a_stock_take_is_booked_whole_or_not_at_all(shop: Served) -> None:
    one, two, three = put(shop, piece(quantity=3, place="Bay 4"))
    lines = [
        {"number": one, "length": "1230 mm"},
        {"number": two, "found": False},
        {"number": 999_999, "found": False},
        {"length": "1 m"},
    ]
    body = check_problem(shop.client.post("/v1/rack/stock-take", json={"lines": lines}), Kind.INVALID_PARAMETERS)
    assert {error["pointer"] for error in body["errors"]} == {"#/lines/2/number", "#/lines/3/section"}
    assert bar(shop, one)["length"] == "1240 mm"
    right = [*lines[:2], {"number": three, "place": "Bay 5"}, {"section": "SHS 50x50x4", "length": "300 mm"}]
    answer = shop.client.post("/v1/rack/stock-take", json={"lines": right, "who": "Clipboard"})
    assert answer.status_code == 200, answer.text
    assert (bar(shop, one)["length"], bar(shop, two)["state"], bar(shop, three)["place"]) == (
        "1230 mm",
        "lost",
        "Bay 5",
    )
    (new,) = answer.json()["bars"]
    shop.client.post("/v1/rack/undo", json={"entry": answer.json()["entry"]})
    assert (bar(shop, one)["length"], bar(shop, two)["state"], bar(shop, three)["place"]) == (
        "1240 mm",
        "free",
        "Bay 4",
    )
    assert shop.client.get(f"/v1/rack/{new[1:]}").status_code == 404
    assert shop.service.shop.balance() == ()


def test_the_lists_go_out_and_come_in_again(shop: Served) -> None:
    (number,) = put(shop, piece("1111 mm", place="=1+1"))
    table = shop.client.get("/v1/rack/rack.csv")
    assert table.headers["content-type"].startswith("text/csv")
    rows = list(csv.DictReader(io.StringIO(table.content.decode("utf-8-sig"))))
    (row,) = [row for row in rows if row["label"] == f"D{number}"]
    assert (row["length"], row["place"]) == ("1111 mm", "'=1+1")
    book = openpyxl.load_workbook(io.BytesIO(shop.client.get("/v1/rack/rack.xlsx").content))
    assert f"D{number}" in [cell.value for cell in book.worksheets[0]["A"]]
    same = shop.client.post("/v1/rack/list", content=table.content, headers={"Content-Type": "text/csv"})
    check_problem(same, Kind.NOT_POSSIBLE)
    changed = table.text.replace("1111 mm", "1109 mm")
    answer = shop.client.post(
        "/v1/rack/list?who=Office", content=changed.encode(), headers={"Content-Type": "text/csv"}
    )
    assert answer.status_code == 200, answer.text
    assert bar(shop, number)["length"] == "1109 mm"
    assert bar(shop, number)["place"] == "=1+1"


def test_a_list_with_problems_names_every_row(shop: Served) -> None:
    before = len(shop.client.get("/v1/rack").json()["bars"])
    data = "label,section,length\n,SHS 50x50x4,1 m\nD888888,SHS 50x50x4,1 m\n,,900 mm\n"
    body = check_problem(
        shop.client.post("/v1/rack/list", content=data.encode(), headers={"Content-Type": "text/csv"}),
        Kind.UNCLEAR_LINES,
    )
    assert len(body["errors"]) == 2
    assert all("row" in error["where"] for error in body["errors"])
    assert len(shop.client.get("/v1/rack").json()["bars"]) == before


def test_papers_of_the_rack(shop: Served) -> None:
    numbers = put(shop, piece(quantity=2))
    for path in ("stock-take.pdf", "stock-take.pdf?paper=letter", "labels.pdf", f"labels.pdf?number=D{numbers[0]}"):
        answer = shop.client.get(f"/v1/rack/{path}")
        assert answer.status_code == 200, answer.text
        assert answer.content.startswith(b"%PDF-")


def test_a_change_from_another_site_is_refused(shop: Served) -> None:
    (number,) = put(shop, piece())
    for path in (f"/rack/{number}/scrap", f"/v1/rack/{number}/scrap", "/rack/undo"):
        answer = shop.client.post(path, headers={"Origin": "https://elsewhere.example"})
        assert (answer.status_code, answer.json()["type"]) == (403, "/problems/foreign-origin")
    assert bar(shop, number)["state"] == "free"
