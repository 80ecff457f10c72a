"""The API's description: its examples work, its docs are there offline, and schemathesis finds nothing."""

import contextlib
import json
import re

import jsonschema
import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode
from schemathesis.checks import load_all_checks, not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from tests.kinds import further
from tests.served import Served

load_all_checks()
SHOP = ("/v1/rack", "/v1/works")
"""Examples of these change the books: test_rack and test_work post them."""
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]


def document(served: Served) -> dict:
    return served.client.get("/v1/openapi.json").json()


def test_it_is_openapi_and_describes_every_route_below_v1(served: Served) -> None:
    found = document(served)
    assert found["openapi"].startswith("3.1")
    for path in ("/v1/read", "/v1/jobs", "/v1/jobs/{job_id}/events", "/v1/jobs/{job_id}/cut-sheet.pdf", "/healthz"):
        assert path in found["paths"]
    assert "/plans" not in found["paths"]
    for path, operations in found["paths"].items():
        for operation in operations.values():
            assert operation["summary"], path
            assert "421" in operation["responses"]
            problems = [answer for status, answer in operation["responses"].items() if status >= "400"]
            assert all(list(answer["content"]) == ["application/problem+json"] for answer in problems), path


def test_every_reference_leads_somewhere(served: Served) -> None:
    found = document(served)
    named = set(re.findall(r"#/components/schemas/(\w+)", json.dumps(found)))
    assert {"TickEvent", "JobFile"} <= named
    assert named <= set(found["components"]["schemas"])


def test_every_example_of_a_body_is_answered_as_described(served: Served) -> None:
    found = document(served)
    tried = 0
    for path, operations in found["paths"].items():
        if path.startswith(SHOP):
            continue
        for media, content in operations.get("post", {}).get("requestBody", {}).get("content", {}).items():
            for example in content.get("examples", {}).values():
                value = example["value"]
                data = value if isinstance(value, str) else json.dumps(value)
                answer = served.client.post(
                    path.replace("{name}", "parts"), content=data, headers={"Content-Type": media, "Prefer": "wait=60"}
                )
                assert answer.status_code == 200, answer.text
                schema = operations["post"]["responses"]["200"]["content"]["application/json"]["schema"]
                jsonschema.validate(answer.json(), {**schema, "components": found["components"]})
                tried += 1
    assert tried == 4


def test_lists_that_were_read_make_a_job_that_is_solved(served: Served) -> None:
    from api.routes.examples import LISTS_JSON

    echo = served.client.post("/v1/read", json=LISTS_JSON["value"]).json()
    assert [line["kind"] for line in echo["parts"]][:2] == ["part", "part"]
    assert served.post(echo["job"], wait=60).json()["plan"]["status"] == "optimal"


def test_a_question_about_a_line_comes_with_its_readings(served: Served) -> None:
    echo = served.client.post("/v1/read", json={"parts": "4 - 3x3x1/8 sq tube 6-8"}).json()
    (problem,) = echo["parts"][0]["problems"]
    assert problem["position"] == 20
    assert "4 - 3x3x1/8 sq tube 6' 8\"" in [choice["line"] for choice in problem["choices"]]
    assert echo["job"] is None


def test_the_docs_need_nothing_from_elsewhere(served: Served) -> None:
    page = served.client.get("/docs").text
    assert "POST /v1/jobs" in page
    assert "JobFile" in page
    assert not re.search(r"(?:src|href)=\"(?:https?:)?//", page)


@pytest.mark.kind(name="schemathesis")
@pytest.mark.parametrize("examples", further([1, 6], "further requests to every operation"))
def test_schemathesis_finds_nothing(served: Served, examples: int) -> None:
    """Every operation, with requests made up from its own description, right ones and wrong ones."""
    known = served.post(wait=60).json()["id"]
    tried = set()
    schema = schemathesis.openapi.from_url(f"{served.url}/v1/openapi.json")
    for found in schema.get_all_operations():
        operation = found.ok()
        for mode in GenerationMode:

            @settings(max_examples=examples, deadline=None, suppress_health_check=list(HealthCheck), database=None)
            @given(case=operation.as_strategy(generation_mode=mode))
            def check(case) -> None:
                if "job_id" in case.path_parameters and case.operation.method != "delete":
                    case.path_parameters["job_id"] = known
                case.call_and_validate(base_url=served.url, checks=CHECKS)
                tried.add(case.operation.label)

            with contextlib.suppress(Unsatisfiable):  # an operation without parameters can't be asked wrongly
                check()
    assert len(tried) == sum(len(operations) for operations in document(served)["paths"].values())
