"""The store: one truth among competing writers, the schema's history, nothing lost by a kill -9."""

import multiprocessing
import sqlite3
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from shared.store import NewJob, State, Store, open_database
from shared.store.database import WRITES, alembic_config
from shared.store.jobs import KeyClashError
from shared.store.place import sqlite_url
from shared.store.tables import Base
from tests.builders import PATIENCE
from tests.clock import milliseconds


def new(**changes) -> NewJob:
    values = {"document": b"{}", "title": "Rack", "digest": "d", "limit_seconds": 1.0, "seed": 0, "client": "c"}
    return NewJob(**{**values, **changes})


@pytest.fixture
def store(tmp_path: Path) -> Store:
    opened = Store(open_database(sqlite_url(tmp_path / "store.sqlite3")), milliseconds)
    yield opened
    opened.engine.dispose()


def test_every_commit_is_on_the_disk_before_it_counts(store: Store) -> None:
    with store.engine.connect() as connection:
        # https://sqlite.org/pragma.html#pragma_synchronous: 2 is FULL.
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1


def test_the_migrations_make_the_tables_that_the_code_expects(store: Store) -> None:
    with store.engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), Base.metadata) == []


def test_every_step_of_the_history_can_be_taken_back_and_again(store: Store) -> None:
    with store.engine.execution_options(**{WRITES: True}).begin() as connection:
        config = alembic_config()
        config.attributes["connection"] = connection
        command.downgrade(config, "base")
        command.upgrade(config, "head")
    assert store.add(new())[1]


def test_opening_again_keeps_what_is_there(tmp_path: Path) -> None:
    url = sqlite_url(tmp_path / "store.sqlite3")
    first = Store(open_database(url), milliseconds)
    made, _ = first.add(new())
    first.engine.dispose()
    second = Store(open_database(url), milliseconds)
    assert second.get(made.id) == made
    second.engine.dispose()


def test_a_life_of_a_job(store: Store) -> None:
    made, fresh = store.add(new(sheet=b"sheet"))
    assert (fresh, made.state, store.document(made.id), store.sheet(made.id)) == (True, State.WAITING, b"{}", b"sheet")
    claimed = store.claim(made.id)
    assert (claimed.state, claimed.attempts) == (State.WORKING, 1)
    assert store.claim(made.id) is None
    store.improve(made.id, b"so far")
    assert (store.plan(made.id).document, store.plan(made.id).final) == (b"so far", False)
    assert store.finish(made.id, b"best", seconds=1.5, stopped=False)
    assert (store.plan(made.id).document, store.plan(made.id).final) == (b"best", True)
    assert (store.get(made.id).state, store.get(made.id).seconds) == (State.DONE, 1.5)


def test_what_is_over_stays_as_it_is(store: Store) -> None:
    made, _ = store.add(new())
    store.claim(made.id)
    store.cancel(made.id)
    assert not store.finish(made.id, b"late", seconds=1.0, stopped=False)
    store.improve(made.id, b"late")
    store.fail(made.id, "late")
    assert store.get(made.id).state is State.CANCELLED
    assert store.plan(made.id) is None


def test_forgetting_a_job_forgets_its_plan_its_sheet_and_its_key(store: Store, tmp_path: Path) -> None:
    made, _ = store.add(new(sheet=b"sheet"), "key")
    store.claim(made.id)
    store.finish(made.id, b"plan", seconds=1.0, stopped=False)
    assert store.forget(made.id)
    rows = sqlite3.connect(tmp_path / "store.sqlite3")
    for table in ("jobs", "plans", "sheets", "keys"):
        assert rows.execute(f"SELECT count(*) FROM {table}").fetchone() == (0,)
    rows.close()


def test_a_key_makes_one_job(store: Store) -> None:
    made, _ = store.add(new(), "key")
    assert store.add(new(), "key") == (made, False)
    assert store.of_key("key", "d") == made
    with pytest.raises(KeyClashError):
        store.add(new(digest="another"), "key")


def test_taking_up_finds_what_was_cut_short_oldest_first(store: Store) -> None:
    jobs = [store.add(new())[0].id for _ in range(3)]
    store.claim(jobs[1])
    store.claim(jobs[2])
    store.finish(jobs[2], b"plan", seconds=1.0, stopped=False)
    assert [record.id for record in store.take_up()] == jobs[:2]
    assert store.claim(jobs[1]).attempts == 2


def test_only_drafts_that_are_old_and_over_are_forgotten(store: Store) -> None:
    draft, kept, waiting = (store.add(new(draft=flag))[0].id for flag in (True, False, True))
    for job_id in (draft, kept):
        store.claim(job_id)
        store.finish(job_id, b"plan", seconds=1.0, stopped=False)
    assert store.forget_drafts(1) == 0
    assert store.forget_drafts(-1) == 1
    assert (store.get(draft), store.get(kept) is None, store.get(waiting) is None) == (None, False, False)


def _compete(url: str, job_ids: list[str], won: multiprocessing.Queue) -> None:
    store = Store(open_database(url), milliseconds)
    won.put([job_id for job_id in job_ids if store.claim(job_id) is not None])
    store.engine.dispose()


def test_of_competing_processes_exactly_one_gets_each_job(store: Store) -> None:
    jobs = [store.add(new())[0].id for _ in range(40)]
    context = multiprocessing.get_context("forkserver")
    won = context.Queue()
    url = str(store.engine.url)
    rivals = [context.Process(target=_compete, args=(url, jobs, won)) for _ in range(3)]
    for rival in rivals:
        rival.start()
    taken = [job_id for _ in rivals for job_id in won.get(timeout=PATIENCE)]
    for rival in rivals:
        rival.join()
    assert sorted(taken) == sorted(jobs)
    assert all(store.get(job_id).attempts == 1 for job_id in jobs)
