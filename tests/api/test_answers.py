"""Answers to what pasted lists leave open, over the API and the form: one for all alike, set aside, brought back."""

import re

from tests.served import Served

PARTS = """Hi Pat, order 4711
4 - SHS 40x40x3 @ 1200
2 - SHS 40x40x3 1.500 mm
3 - SHS 40x40x3 1.300 mm
5 - SHS 40x40x3 1.100 mm
24 bolts M10"""


def texts(read: dict) -> list[str]:
    return [line["text"] for line in read["parts"]]


def test_each_question_says_which_it_is_like_and_one_answer_holds_for_all(served: Served) -> None:
    first = served.client.post("/v1/read", json={"parts": PARTS}).json()
    asked = [line["problems"][0] for line in first["parts"] if line["problems"]]
    assert len(asked) == 3
    assert len({each["alike"] for each in asked}) == 1
    made = {choice["reading"]: choice["makes"] for choice in asked[0]["choices"]}
    assert made["1500 mm"].startswith("2 x SHS 40x40x3 x 1500 mm")
    answer = {"list": "parts", "line": 3, "reading": "1500 mm"}
    one = served.client.post("/v1/read", json={"parts": PARTS, "answers": [answer]}).json()
    assert texts(one) == PARTS.replace("1.500", "1500").split("\n")
    every = served.client.post("/v1/read", json={"parts": PARTS, "answers": [{**answer, "alike": True}]}).json()
    assert texts(every) == re.sub(r"1\.(\d00) mm", r"1\1 mm", PARTS).split("\n")
    assert not any(line["problems"] for line in every["parts"])
    none = {**answer, "reading": "not a part", "alike": True}
    gone = served.client.post("/v1/read", json={"parts": PARTS, "answers": [none]}).json()
    assert [line["kind"] for line in gone["parts"]] == ["remark", "part", *["remark"] * 3, "also needed"]


def test_an_answer_to_nothing_changes_nothing(served: Served) -> None:
    answers = [
        {"list": "parts", "line": 2, "reading": "1500 mm"},
        {"list": "parts", "line": 99, "reading": "not a part"},
        {"list": "parts", "line": 3, "reading": "7 mm", "alike": True},
    ]
    assert texts(served.client.post("/v1/read", json={"parts": PARTS, "answers": answers}).json()) == PARTS.split("\n")
    assert served.client.post("/v1/read", json={"answers": [{"list": "saw", "line": 1, "reading": ""}]}).is_error


def test_a_line_set_aside_says_how_it_comes_back(served: Served) -> None:
    read = served.client.post("/v1/read", json={"parts": PARTS}).json()["parts"]
    assert [line["as_part"] for line in read] == [
        "Hi Pat, order 4711 (a part)",
        "",
        "",
        "",
        "",
        "24 bolts M10 (a part)",
    ]
    assert read[1]["not_a_part"] == "4 - SHS 40x40x3 @ 1200 (not a part)"
    said = {(line["text"][each["start"] : each["end"]], each["taken_for"]) for line in read for each in line["account"]}
    assert {("SHS 40x40x3", "section"), ("24 bolts M10", "also needed")} <= said
    assert any(text.endswith("1200") and what == "length" for text, what in said)


def test_the_form_takes_an_answer_for_all_without_a_script(served: Served) -> None:
    first = served.client.post("/sheet", data={"parts": PARTS})
    assert 'value="parts:3:1500 mm"' in first.text
    assert "All 3 lines that ask this" in first.text
    fields = {"parts": PARTS, "was-parts-3": PARTS.split("\n")[2], "fix-parts-3": PARTS.split("\n")[2]}
    second = served.client.post("/sheet", data={**fields, "alike": "parts:3:1500 mm"})
    assert "5 - SHS 40x40x3 1100 mm" in second.text
    assert "that ask this" not in second.text
    aside = served.client.post("/sheet", data={**fields, "choose": f"parts:3:{fields['was-parts-3']} (not a part)"})
    assert "All 2 lines that ask this" in aside.text
    back = {"parts": "SHS 40x40x3 2 pcs 900 (not a part)", "was-parts-1": "SHS 40x40x3 2 pcs 900 (not a part)"}
    shown = served.client.post("/sheet", data=back)
    assert 'value="parts:1:SHS 40x40x3 2 pcs 900"' in shown.text
    again = served.client.post("/sheet", data={**back, "choose": "parts:1:SHS 40x40x3 2 pcs 900"})
    assert "2 pieces, 1 section" in again.text
