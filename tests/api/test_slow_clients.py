"""Clients that are slow, or many, or hang up: nobody else waits for them, and the log has no errors of theirs."""

from __future__ import annotations

import logging
import socket
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import httpx
import pytest

from tests.served import Served, few, serving

HEAD = b"POST /v1/jobs HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n"


@pytest.fixture(scope="module")
def brisk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    limits = few(header_seconds=0.5, body_seconds=0.5, connections=40, connections_each=30)
    with serving(tmp_path_factory.mktemp("brisk"), limits=limits) as running:
        yield running


def connected(served: Served, sent: bytes = b"") -> socket.socket:
    url = httpx.URL(served.url)
    made = socket.create_connection((url.host, url.port), timeout=30)
    made.sendall(sent)
    return made


def gone(made: socket.socket) -> bool:
    """Whether the service has hung up."""
    try:
        return not made.recv(1)
    except TimeoutError:
        return False
    except OSError:
        return True


def heard(made: socket.socket) -> bytes:
    """Everything that comes until the service hangs up."""
    found = b""
    with made:
        try:
            while piece := made.recv(65536):
                found += piece
        except ConnectionResetError:
            pass
    return found


@pytest.mark.parametrize("sent", [b"", b"GET / HTTP/1.1\r\nHost: 127"], ids=["nothing", "half a head"])
def test_who_doesn_t_send_a_whole_head_is_hung_up_on(brisk: Served, sent: bytes) -> None:
    assert heard(connected(brisk, sent)) == b""


def test_a_head_that_drips_is_as_late_as_one_that_doesn_t_come(brisk: Served) -> None:
    made = connected(brisk)
    made.settimeout(0.05)
    while not gone(made):
        with suppress(OSError):
            made.sendall(b"X")
    made.close()


def test_a_body_that_doesn_t_come_is_told_and_hung_up_on(brisk: Served) -> None:
    answer = heard(connected(brisk, HEAD + b"{"))
    assert answer.startswith(b"HTTP/1.1 408 ")
    assert b"/problems/too-slow" in answer
    assert b"connection: close" in answer.lower()


def test_the_next_request_of_a_connection_has_its_own_time(brisk: Served) -> None:
    with httpx.Client(base_url=brisk.url) as client:
        for _ in range(3):
            assert client.get("/healthz").status_code == 200
    made = connected(brisk, b"GET /healthz HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
    first = b""
    while not first.endswith(b"}"):
        first += made.recv(65536)
    assert first.startswith(b"HTTP/1.1 200")
    made.sendall(b"GET /hea")
    assert heard(made) == b""


def test_a_long_answer_has_no_deadline(brisk: Served) -> None:
    job = brisk.post(wait=10).json()
    with brisk.client.stream("GET", f"/v1/jobs/{job['id']}/events") as events:
        assert events.status_code == 200
        assert b"done" in b"".join(events.iter_bytes())


def test_many_half_open_connections_leave_room_for_others(brisk: Served) -> None:
    crowd = [connected(brisk, HEAD) for _ in range(60)]
    try:
        gone = 0
        for made in crowd[40:]:
            made.settimeout(5)
            gone += heard(made) == b""
        assert gone == 20  # of one client no more than its share is held
    finally:
        for made in crowd:
            made.close()
    with httpx.Client(base_url=brisk.url, transport=httpx.HTTPTransport(retries=20)) as client:
        assert client.get("/healthz").status_code == 200


def test_who_hangs_up_in_the_middle_is_no_error_in_the_log(brisk: Served, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.WARNING):
        for sent in (HEAD, HEAD + b"{", HEAD.replace(b"/v1/jobs", b"/v1/read/parts"), b"GET / HTTP/1.1\r\n"):
            connected(brisk, sent).close()
        form = HEAD.replace(b"/v1/jobs", b"/rack/add")
        form = form.replace(b"application/json", b"application/x-www-form-urlencoded")
        connected(brisk, form + b"section=tube").close()
        for _ in range(5):
            assert brisk.client.get("/healthz").status_code == 200
    assert [record.getMessage() for record in caplog.records if record.levelno >= logging.ERROR] == []
    assert "Traceback" not in caplog.text


def test_a_proxy_is_believed_only_where_it_is_named(tmp_path: Path) -> None:
    said = {"X-Forwarded-For": "192.0.2.7"}
    for trusted, expected in (((), "127.0.0.1"), (("127.0.0.1",), "192.0.2.7")):
        with serving(tmp_path / str(len(trusted)), trusted_proxies=trusted) as served:
            posted = served.post(**said)
            record = served.service.store.get(posted.json()["id"])
            assert record.client == expected
