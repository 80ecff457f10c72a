"""The gate: right host, right origin, the password where one is needed, headers that keep a page to itself."""

import time
from concurrent.futures import ThreadPoolExecutor

import httpx
import pytest

from api.service.entrance import COOKIE, Entrance, Tries, WaitError
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
    # The last letter of a signature of 20 bytes has bits that say nothing; the one before it has none.
    forged = value[:-2] + ("B" if value[-2] == "A" else "A") + value[-1]
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
    locked.service.porter._tries._made.clear()
    for _ in range(10):
        assert locked.client.post("/enter", data={"password": "guess"}).status_code == 403
    waiting = locked.client.post("/enter", data={"password": PASSWORD})
    assert waiting.status_code == 429
    assert int(waiting.headers["retry-after"]) > 0
    key = locked.client.get("/v1/jobs", headers={"Authorization": "Bearer guess"})
    assert (key.status_code, key.json()["type"]) == (429, "/problems/too-many-tries")
    locked.service.porter._tries._made.clear()


def test_of_many_guesses_at_once_no_more_are_judged_than_may_be(
    locked: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    judged, together, most = [], set(), []
    real = locked.service.entrance.is_password

    def watched(given: str) -> bool:
        together.add(given)
        most.append(len(together))
        judged.append(given)
        answer = real(given)
        together.discard(given)
        return answer

    monkeypatch.setattr(locked.service.entrance, "is_password", watched)
    locked.service.porter._tries._made.clear()
    with ThreadPoolExecutor(60) as guessers:
        answers = list(guessers.map(lambda n: guess(locked, f"guess {n}").status_code, range(120)))
    locked.service.porter._tries._made.clear()
    assert (answers.count(401), answers.count(429)) == (10, 110)
    assert len(judged) == 10
    assert max(most) <= 2


def guess(locked: Served, key: str) -> httpx.Response:
    return httpx.get(f"{locked.url}/v1/jobs", headers={"Authorization": f"Bearer {key}"}, timeout=60)


def test_who_was_let_in_before_is_not_locked_out_by_a_neighbour_s_guesses(locked: Served) -> None:
    locked.service.porter._tries._made.clear()
    assert guess(locked, PASSWORD).status_code == 200
    with httpx.Client(base_url=locked.url, timeout=60) as browser:
        assert browser.post("/enter", data={"password": PASSWORD}).status_code == 303
        browser.cookies.delete(COOKIE)
        for _ in range(11):
            wrong = guess(locked, "guess")
        assert wrong.status_code == 429
        assert guess(locked, PASSWORD).status_code == 200  # a program's key that was right before
        assert browser.post("/enter", data={"password": PASSWORD}).status_code == 303  # and a browser's device
        browser.cookies.delete(COOKIE)
        for _ in range(10):
            assert browser.post("/enter", data={"password": "guess"}).status_code == 403
        assert browser.post("/enter", data={"password": "guess"}).status_code == 429
    locked.service.porter._tries._made.clear()


def test_a_forged_device_is_none() -> None:
    shop, other = Entrance("one two three", b"secret"), Entrance("one two four", b"secret")
    assert other.device_of(shop.device())  # it outlives the password
    assert not Entrance("one two three", b"other").device_of(shop.device())
    assert not shop.device_of(shop.cookie())
    assert not shop.is_cookie(shop.device())
    assert not shop.device_of("")


def test_the_right_password_ends_the_counting() -> None:
    tries = Tries(most=2)
    for _ in range(5):
        tries.begin("a")
        tries.right("a")


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


def test_tries_are_forgotten_after_their_window() -> None:
    now = [100.0]
    tries = Tries(most=2, seconds=10, clock=lambda: now[0])
    tries.begin("a")
    now[0] += 4
    tries.begin("a")
    with pytest.raises(WaitError) as wait:
        tries.begin("a")
    assert wait.value.seconds == 7
    tries.begin("b")
    now[0] += 7
    tries.begin("a")
    with pytest.raises(WaitError):
        tries.begin("a")


def test_the_addresses_of_one_ipv6_network_are_one_client() -> None:
    tries = Tries(most=1)
    tries.begin("2001:db8:0:1::1")
    tries.begin("2001:db8:0:2::1")
    with pytest.raises(WaitError):
        tries.begin("2001:db8:0:1:ffff::2")
    tries.begin("192.0.2.1")
    tries.begin("192.0.2.2")


def test_a_multitude_of_clients_takes_no_more_memory_than_it_may() -> None:
    tries = Tries()
    for number in range(12_000):
        tries.begin(f"client {number}")
    assert len(tries._made) <= 10_001
