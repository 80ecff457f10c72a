"""What the service says while its store is locked, full or damaged: 503 and a reason, then it goes on by itself."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import NamedTuple

import pytest
from sqlalchemy.exc import DatabaseError, IntegrityError, OperationalError

from shared.store import database, health
from tests.served import Served, serving


class Usage(NamedTuple):
    total: int
    used: int
    free: int


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Served]:
    monkeypatch.setattr(database, "_BUSY_MILLISECONDS", 100)
    with serving(tmp_path) as running:
        yield running


@contextmanager
def locked(served: Served) -> Iterator[None]:
    """Hold the store's write lock as another program would."""
    path = served.service.store.engine.url.database
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield
        other.execute("ROLLBACK")


def test_a_locked_store_is_a_503_that_says_when_to_come_back_and_passes(own: Served) -> None:
    assert own.client.get("/readyz").json() == {"status": "ok", "warning": ""}
    with locked(own):
        ready, posted = own.client.get("/readyz"), own.post()
        assert (ready.status_code, posted.status_code) == (503, 503)
        for answer in (ready, posted):
            assert answer.headers["retry-after"] == "5"
            assert answer.json()["type"] == "/problems/busy"
            assert "locked by another program" in answer.json()["detail"]
        assert own.client.get("/healthz").status_code == 200
        page = own.client.post("/rack/add", data={"section": "tube"}, headers={"accept": "text/html"})
        assert "Traceback" not in page.text
    assert own.client.get("/readyz").status_code == 200
    assert own.until(own.post().json()["id"])["state"] == "done"


@pytest.mark.parametrize(
    ("mib", "status", "said"), [(10, 503, "10 MiB are free"), (300, 200, "nearly full: 300 MiB are free")]
)
def test_little_room_is_said_before_it_is_none(
    own: Served, monkeypatch: pytest.MonkeyPatch, mib: int, status: int, said: str
) -> None:
    monkeypatch.setattr(health.shutil, "disk_usage", lambda _: Usage(0, 0, mib * 1024 * 1024))
    answer = own.client.get("/readyz")
    assert answer.status_code == status
    assert said in answer.text


def test_a_worker_that_has_ended_is_told(own: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(own.service.scheduler._threads[0], "is_alive", lambda: False)
    assert "a worker has ended" in own.client.get("/readyz").text.lower()
    assert own.client.get("/readyz").status_code == 503


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("database is locked", "locked by another program"),
        ("database or disk is full", "disk of the store is full"),
        ("database disk image is malformed", "tallystick restore FILE"),
        ("file is not a database", "tallystick restore FILE"),
        ("attempt to write a readonly database", "may only be read"),
        ("connection refused\nmore of it", "doesn't answer (connection refused)"),
        ("", "doesn't answer"),
    ],
)
def test_what_is_wrong_is_said_in_words_and_without_the_statement(text: str, said: str) -> None:
    error = OperationalError("INSERT INTO jobs VALUES (secret)", {"secret": 1}, Exception(text))
    assert said in health.why(error)
    assert "INSERT" not in health.why(error)


def test_only_what_passes_is_tried_again() -> None:
    assert health.may_pass(OperationalError("", {}, Exception("locked")))
    assert health.may_pass(DatabaseError("", {}, Exception("malformed")))
    assert not health.may_pass(IntegrityError("", {}, Exception("constraint")))
    assert not health.may_pass(ValueError("ours"))


def test_a_damaged_store_is_told_with_the_way_out(own: Served) -> None:
    path = Path(own.service.store.engine.url.database)
    own.service.store.engine.dispose()
    with path.open("r+b") as file:
        file.write(os.urandom(4096))
    answer = own.client.get("/readyz")
    assert answer.status_code == 503
    assert "tallystick restore" in answer.json()["detail"]
