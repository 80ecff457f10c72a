"""Every error has one shape: problem+json as in RFC 9457, with everything that is wrong at once."""

import html
import json

import httpx
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from api.service.problems import Kind, pointer
from tests.served import Served, few, serving, stand


def check_problem(answer: httpx.Response, kind: Kind) -> dict:
    body = answer.json()
    assert answer.status_code == kind.status
    assert answer.headers["content-type"] == "application/problem+json"
    assert {"type", "title", "status", "detail", "instance", "errors"} == set(body)
    assert (body["type"], body["title"], body["status"]) == (kind.uri, kind.title, kind.status)
    assert body["instance"] == answer.request.url.path
    return body


def test_all_problems_of_a_job_come_at_once_with_their_pointers(served: Served) -> None:
    job = stand(
        parts=[
            {"section": "SHS 1-1/2x1-1/2x1/8", "length": "6-8", "quantity": 0},
            {"section": "", "length": "10", "quantity": 1, "colour": "red"},
        ],
        saw={"kerf": "-1"},
    )
    body = check_problem(served.post(job), Kind.INVALID_JOB)
    found = {error["pointer"]: error for error in body["errors"]}
    assert set(found) == {
        "#/parts/0/length",
        "#/parts/0/quantity",
        "#/parts/1/section",
        "#/parts/1/colour",
        "#/saw/kerf",
    }
    assert (found["#/parts/0/length"]["text"], found["#/parts/0/length"]["position"]) == ("6-8", 2)
    assert "6' 8\"" in found["#/parts/0/length"]["detail"]


def test_a_pointer_is_escaped_as_rfc_6901_wants_it() -> None:
    # RFC 6901, section 3: ~ is written ~0, / is written ~1.
    assert pointer("a/b[0].m~n") == "#/a~1b/0/m~0n"


@pytest.mark.parametrize(
    ("method", "path", "kind"),
    [
        ("GET", "/v1/nothing", Kind.NOT_FOUND),
        ("GET", "/v1/jobs/nobody", Kind.NOT_FOUND),
        ("GET", "/v1/jobs/nobody/events", Kind.NOT_FOUND),
        ("POST", "/v1/jobs/nobody/stop", Kind.NOT_FOUND),
        ("DELETE", "/v1/jobs/nobody", Kind.NOT_FOUND),
        ("GET", "/v1/jobs/nobody/plan", Kind.NOT_FOUND),
        ("GET", "/v1/jobs/nobody/labels.pdf", Kind.NOT_FOUND),
        ("PUT", "/v1/jobs", Kind.METHOD_NOT_ALLOWED),
        ("PATCH", "/v1/sections", Kind.METHOD_NOT_ALLOWED),
        ("GET", "/v1/jobs?count=many", Kind.INVALID_PARAMETERS),
        ("POST", "/v1/jobs?limit=-3&seed=x", Kind.INVALID_PARAMETERS),
        ("GET", "/v1/sections/read", Kind.INVALID_PARAMETERS),
        ("GET", "/v1/sections/read?name=pipe+1-1/4", Kind.INVALID_PARAMETERS),
        ("GET", "/problems/nonsense", Kind.NOT_FOUND),
    ],
)
def test_each_kind_of_error(served: Served, method: str, path: str, kind: Kind) -> None:
    check_problem(served.client.request(method, path), kind)


def test_wrong_parameters_are_all_named(served: Served) -> None:
    answer = served.client.post("/v1/jobs?limit=-3&seed=x", json=stand())
    assert {error["parameter"] for error in check_problem(answer, Kind.INVALID_PARAMETERS)["errors"]} == {
        "limit",
        "seed",
    }


def test_a_method_that_is_not_allowed_names_those_that_are(served: Served) -> None:
    assert "POST" in served.client.put("/v1/jobs").headers["allow"]


def test_another_media_type_is_refused(served: Served) -> None:
    answer = served.client.post("/v1/jobs", content=b"{}", headers={"Content-Type": "text/plain"})
    check_problem(answer, Kind.UNSUPPORTED_MEDIA_TYPE)


def test_a_large_body_is_refused_by_its_announced_length_and_while_it_comes(tmp_path) -> None:
    with serving(tmp_path, limits=few(body=1000)) as served:
        check_problem(served.client.post("/v1/jobs", content=b"x" * 1001), Kind.TOO_LARGE)
        for path in ("/v1/jobs", "/v1/read", "/v1/read/parts"):
            unannounced = (b"x" * 100 for _ in range(20))
            check_problem(served.client.post(path, content=unannounced), Kind.TOO_LARGE)
        assert served.client.post("/v1/jobs", content=b"x" * 999).status_code == 422


def test_a_browser_gets_a_page_instead(served: Served) -> None:
    answer = served.client.get("/plans/nobody", headers={"Accept": "text/html"})
    assert answer.status_code == 404
    assert answer.headers["content-type"].startswith("text/html")
    assert "There is no job of this name." in answer.text


def test_a_defect_says_so_and_no_more(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(_: int) -> None:
        raise RuntimeError("secret detail")

    monkeypatch.setattr(type(served.service.store), "latest", lambda _self, count: broken(count))
    body = check_problem(served.client.get("/v1/jobs"), Kind.DEFECT)
    assert "secret detail" not in str(body)


def test_each_type_of_problem_is_explained_at_its_address(served: Served) -> None:
    for kind in Kind:
        page = served.client.get(kind.uri)
        assert page.status_code == 200
        assert f'<h1 class="said">{kind.title}.' in html.unescape(page.text)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=10), inner, max_size=4),
    max_leaves=12,
)
FIELDS = st.sampled_from(["parts", "sticks", "rack", "own", "saw", "unit", "currency", "title", "tolerance", "extra"])
BAD = st.binary(max_size=300).map(lambda data: (data, None)) | st.dictionaries(FIELDS, JSON, max_size=5).map(
    lambda changes: (None, {**stand(), "parts": [{"length": "x"}], **changes})
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(BAD, st.sampled_from(["/v1/jobs", "/v1/read", "/v1/read/parts", "/v1/read/rack"]))
def test_a_bad_body_is_the_sender_s_fault_or_read(served: Served, body: tuple, path: str) -> None:
    data = body[0] if body[1] is None else json.dumps(body[1]).encode("utf-8", "surrogatepass")
    answer = served.client.post(path, content=data, headers={"Content-Type": "application/json"})
    if path.startswith("/v1/read/"):
        assert answer.status_code in {200, 422}
    else:
        assert 400 <= answer.status_code < 500, answer.text
        assert answer.headers["content-type"] == "application/problem+json"
