"""The gate: right host, right origin, the password where one is needed, headers that keep a page to itself."""

import time

import pytest

from api.service.entrance import COOKIE, Entrance, Throttle
from tests.served import Served, serving

PASSWORD = "mild steel 2x2"


@pytest.fixture(scope="module")
def locked(tmp_path_factory: pytest.TempPathFactory) -> Served:
    with serving(tmp_path_factory.mktemp("locked"), password=PASSWORD) as running:
        yield running


def test_every_answer_keeps_to_itself(served: Served) -> None:
    for path in ("/", "/v1/jobs", "/static/sheet.css", "/v1/nothing", "/docs"):
        headers = served.client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "same-origin"


def test_another_name_is_not_answered_so_that_no_site_can_point_its_own_at_us(served: Served) -> None:
    for host in ("evil.example", "localhost.evil.example", "evil.example:80", "[::1", "a b", "localhost@evil.example"):
        answer = served.client.get("/v1/jobs", headers={"Host": host})
        assert (answer.status_code, answer.json()["type"]) == (421, "/problems/wrong-host"), host
    for host in ("localhost", "127.0.0.1:1", "192.168.7.20", "[::1]:8765"):
        assert served.client.get("/v1/jobs", headers={"Host": host}).status_code == 200, host


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:1"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_another_site_s_form_changes_nothing(served: Served, headers: dict) -> None:
    answer = served.client.post("/demo", headers=headers)
    assert (answer.status_code, answer.json()["type"]) == (403, "/problems/foreign-origin")


def test_our_own_form_does(served: Served) -> None:
    headers = {"Origin": served.url, "Sec-Fetch-Site": "same-origin"}
    assert served.client.post("/demo", headers=headers).status_code == 303


def test_without_the_password_only_the_door_and_health_are_there(locked: Served) -> None:
    for method, path in [("GET", "/v1/jobs"), ("POST", "/v1/jobs"), ("GET", "/"), ("GET", "/v1/openapi.json")]:
        answer = locked.client.request(method, path)
        assert (answer.status_code, answer.json()["type"]) == (401, "/problems/password-needed")
        assert answer.headers["www-authenticate"].startswith("Bearer")
    for path in ("/healthz", "/readyz", "/enter", "/static/sheet.css"):
        assert locked.client.get(path).status_code == 200


def test_a_program_sends_the_password_as_a_key(locked: Served) -> None:
    assert locked.client.get("/v1/jobs", headers={"Authorization": f"Bearer {PASSWORD}"}).status_code == 200
    assert locked.client.get("/v1/jobs", headers={"Authorization": f"Bearer {PASSWORD}x"}).status_code == 401
    assert locked.client.get("/v1/jobs", headers={"Authorization": f"Basic {PASSWORD}"}).status_code == 401


def test_a_browser_is_shown_the_door_and_comes_back_to_where_it_was(locked: Served) -> None:
    shown = locked.client.get("/plans", headers={"Accept": "text/html"})
    assert (shown.status_code, shown.headers["location"]) == (303, "/enter?then=/plans")
    entered = locked.client.post("/enter", data={"password": PASSWORD, "then": "/plans"})
    assert (entered.status_code, entered.headers["location"]) == (303, "/plans")
    cookie = entered.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie
    locked.client.cookies.clear()
    value = entered.cookies[COOKIE]
    assert locked.client.get("/plans", headers={"Cookie": f"{COOKIE}={value}"}).status_code == 200
    forged = value[:-1] + ("B" if value.endswith("A") else "A")
    assert locked.client.get("/plans", headers={"Cookie": f"{COOKIE}={forged}"}).status_code == 401


@pytest.mark.parametrize("then", ["//evil.example", "https://evil.example", "/\\evil.example", "/\r\nX: y", "plans"])
def test_the_way_back_never_leaves_the_house(locked: Served, then: str) -> None:
    entered = locked.client.post("/enter", data={"password": PASSWORD, "then": then})
    locked.client.cookies.clear()
    assert entered.headers["location"] == "/"


def test_the_code_of_the_terminal_opens_the_door_once_it_is_right(locked: Served) -> None:
    code = locked.service.entrance.code()
    opened = locked.client.get(f"/enter?code={code}")
    locked.client.cookies.clear()
    assert opened.status_code == 303
    assert COOKIE in opened.headers["set-cookie"]
    assert locked.client.get(f"/enter?code={code[:-2]}").status_code == 403


def test_wrong_passwords_are_counted_and_then_have_to_wait(locked: Served) -> None:
    locked.service.throttle._wrong.clear()
    for _ in range(10):
        assert locked.client.post("/enter", data={"password": "guess"}).status_code == 403
    waiting = locked.client.post("/enter", data={"password": PASSWORD})
    assert waiting.status_code == 429
    assert int(waiting.headers["retry-after"]) > 0
    key = locked.client.get("/v1/jobs", headers={"Authorization": "Bearer guess"})
    assert (key.status_code, key.json()["type"]) == (429, "/problems/too-many-tries")
    locked.service.throttle._wrong.clear()


def test_cookie_and_code_hold_for_their_own_purpose_secret_and_password_only() -> None:
    shop = Entrance("one two three", b"secret")
    assert shop.is_cookie(shop.cookie())
    assert shop.is_code(shop.code())
    assert not shop.is_cookie(shop.code())
    assert not shop.is_code(shop.cookie())
    assert not Entrance("one two four", b"secret").is_cookie(shop.cookie())
    assert not Entrance("one two three", b"other").is_cookie(shop.cookie())
    for nonsense in ("", ".", "x.y", "9999999999.", "9" * 5000 + ".x"):
        assert not shop.is_cookie(nonsense)


def test_a_cookie_runs_out(monkeypatch: pytest.MonkeyPatch) -> None:
    shop = Entrance("one two three", b"secret")
    cookie = shop.cookie()
    later = time.time() + 91 * 86_400
    monkeypatch.setattr("api.service.entrance.time.time", lambda: later)
    assert not shop.is_cookie(cookie)


def test_the_throttle_forgets_after_its_window(monkeypatch: pytest.MonkeyPatch) -> None:
    now = [100.0]
    monkeypatch.setattr("api.service.entrance.time.monotonic", lambda: now[0])
    throttle = Throttle(most=2, seconds=10)
    throttle.wrong("a")
    assert throttle.wait("a") == 0
    throttle.wrong("a")
    assert throttle.wait("a") > 0
    assert throttle.wait("b") == 0
    now[0] += 11
    assert throttle.wait("a") == 0
