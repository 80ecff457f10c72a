"""A plan's papers over HTTP, what strangers write in a job, and plans read back from the store."""

import io
import json
import zipfile

import pytest
from openpyxl import load_workbook

from api.service.runner.answers import result_of_plan
from cutting.solve import solve
from shared.files.job import read_job
from shared.files.plan import write_plan
from shared.view import present
from tests.builders import PATIENCE
from tests.served import Served, stand

HOSTILE = "=1+1 <script>alert(1)</script> \"'&#x27; #eval[x] $x$ \\ {{7*7}}"


@pytest.fixture(scope="module")
def hostile(served: Served) -> str:
    parts = [
        {"mark": HOSTILE, "section": "SHS 1-1/2x1-1/2x1/8", "length": "80 1/2", "quantity": 2, "note": HOSTILE},
        {"mark": "B", "section": "SHS 1-1/2x1-1/2x1/8", "length": "34 5/8", "quantity": 3, "assembly": HOSTILE},
    ]
    answer = served.post(stand(title=HOSTILE, parts=parts, keep_from="10"), wait=60).json()
    assert answer["plan"]["status"] == "optimal"
    return answer["id"]


@pytest.mark.parametrize(
    ("name", "media", "start"),
    [
        ("cut-sheet.pdf", "application/pdf", b"%PDF-"),
        ("labels.pdf?labels=a4-70x37&used=3", "application/pdf", b"%PDF-"),
        ("plan.xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", b"PK"),
        ("buy-list.csv", "text/csv; charset=utf-8", b""),
        ("buy-list.txt", "text/plain; charset=utf-8", b""),
        ("request.txt", "text/plain; charset=utf-8", b""),
        ("request.csv", "text/csv; charset=utf-8", b""),
        ("drawing.svg", "image/svg+xml", b"<svg"),
    ],
)
def test_each_paper_is_written_whatever_the_job_says(
    served: Served, hostile: str, name: str, media: str, start: bytes
) -> None:
    answer = served.client.get(f"/v1/jobs/{hostile}/{name}")
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == media
    assert answer.headers["x-plan-final"] == "true"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in answer.headers["content-security-policy"]
    assert answer.content.startswith(start)
    assert len(answer.content) > 100


def test_no_text_of_a_job_becomes_markup_or_a_formula(served: Served, hostile: str) -> None:
    for path in (f"/plans/{hostile}", f"/plans/{hostile}/saw", f"/v1/jobs/{hostile}/drawing.svg", "/plans"):
        text = served.client.get(path).text
        assert "<script>alert" not in text, path
        assert "{{7*7}}" in text or path == "/plans", path
    for name in ("buy-list.csv", "request.csv"):
        assert not [
            line for line in served.client.get(f"/v1/jobs/{hostile}/{name}").text.splitlines() if line[:1] == "="
        ]
    book = load_workbook(io.BytesIO(served.client.get(f"/v1/jobs/{hostile}/plan.xlsx").content))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]
    assert [cell.data_type for cell in cells if HOSTILE in cell.value]
    assert all(cell.data_type == "s" for cell in cells if HOSTILE in cell.value)


def test_more_labels_can_t_be_gone_than_a_sheet_has(served: Served, hostile: str) -> None:
    answer = served.client.get(f"/v1/jobs/{hostile}/labels.pdf?labels=letter-4x2&used=10")
    assert (answer.status_code, answer.json()["errors"][0]["parameter"]) == (422, "used")


def test_a_job_without_a_plan_has_no_papers(served: Served) -> None:
    job = stand(parts=[{"section": "SHS 1-1/2x1-1/2x1/8", "length": "21 ft", "quantity": 1}])
    job_id = served.post(job, wait=60).json()["id"]
    assert served.client.get(f"/v1/jobs/{job_id}/plan").json()["status"] == "infeasible"
    answer = served.client.get(f"/v1/jobs/{job_id}/cut-sheet.pdf")
    assert (answer.status_code, answer.json()["type"]) == (409, "/problems/no-plan")
    assert "No plan can exist" in served.client.get(f"/plans/{job_id}").text


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"sticks": [{"section": "SHS 1-1/2x1-1/2x1/8", "length": "20 ft"}], "currency": "USD"},
        {
            "sticks": [
                {"section": "SHS 1-1/2x1-1/2x1/8", "length": "20 ft"},
                {"section": "flat 2x1/4", "length": "20 ft"},
            ],
            "parts": [
                {"section": "SHS 1-1/2x1-1/2x1/8", "length": "80 1/2", "quantity": 4},
                {"section": "flat 2x1/4", "length": "26 9/32", "quantity": 7},
            ],
        },
    ],
)
def test_a_kept_plan_reads_back_as_it_was(changes: dict) -> None:
    job, problems = read_job(json.dumps(stand(**changes)).encode(), name="job.json")
    assert job is not None, problems
    result = solve(job, PATIENCE)
    back = result_of_plan(job, write_plan(job, result), 1.0)
    assert back.plan == result.plan
    assert back.status is result.status
    assert present(job, back) == present(job, result)


def test_a_sheet_s_other_needs_stand_on_the_buy_list(served: Served) -> None:
    form = {
        "parts": "4 - 3x3x1/8 sq tube @ 6'-8 1/2\"\n8 x hinges",
        "sticks": "SHS 3x3x1/8 20 ft $98.50",
        "currency": "USD",
        "limit": "10",
    }
    answer = served.client.post("/sheet", data=form)
    assert answer.status_code == 303
    job_id = answer.headers["location"].removeprefix("/plans/").removesuffix("#answer-h")
    served.until(job_id)
    assert "hinges" in served.client.get(f"/v1/jobs/{job_id}/buy-list.csv").text


def test_a_dropped_bomb_is_refused_and_the_service_lives(served: Served) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("xl/worksheets/sheet1.xml", b"0" * 200_000_000)
    answer = served.client.post("/v1/read/parts", content=packed.getvalue())
    assert answer.status_code in {200, 422}
    if answer.status_code == 200:
        assert answer.json()["job"] is None
        assert answer.json()["problems"]["parts"]
    assert served.client.get("/readyz").status_code == 200


def test_a_kept_plan_with_shared_mitres_reads_back_as_it_was(served: Served) -> None:
    lists = {"parts": "8 x SHS 40x40x3 500 mm 45/45 LP", "sticks": "SHS 40x40x3 6 m 21.50 EUR", "kerf": "2.5 mm"}
    document = json.dumps(served.client.post("/v1/read", json=lists).json()["job"]).encode()
    job, _ = read_job(document, name="job.json")
    result = solve(job, PATIENCE)
    assert result.plan.sharing
    back = result_of_plan(job, write_plan(job, result), 1.0)
    assert back.plan == result.plan
    assert present(job, back) == present(job, result)
