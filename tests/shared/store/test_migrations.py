"""The schema's history, walked from its first step to the last and back, with data in it."""

import sqlite3
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import create_engine, inspect

from shared.store import Store, open_database
from shared.store.database import WRITES, alembic_config
from shared.store.desk import tables as shop_tables
from shared.store.tables import Base
from tests.clock import milliseconds
from tests.shared.store.scene import WHO, begun, opened, planned, solved, stalls

# What a store of schema 0001 holds, as the first version of the service wrote it.
FIRST = """
INSERT INTO jobs VALUES ('job-1', 'done', 'phone', 'Market stalls', :job, 'd', 10.0, 0, 0, 1, 0, '', 1.5,
                         1700000000000, 1700000001000, 1700000002000, 3);
INSERT INTO jobs VALUES ('job-2', 'waiting', 'phone', 'Kayak stands', x'7b7d', 'e', 10.0, 0, 1, 0, 0, '', NULL,
                         1700000000000, NULL, NULL, 1);
INSERT INTO plans VALUES ('job-1', 1, :plan, 1700000002000);
INSERT INTO sheets VALUES ('job-1', x'7368656574');
INSERT INTO keys VALUES ('key', 'd', 'job-1', 1700000000000);
"""


def to(engine, revision: str, *, up: bool) -> None:
    with engine.execution_options(**{WRITES: True}).begin() as connection:
        config = alembic_config()
        config.attributes["connection"] = connection
        (command.upgrade if up else command.downgrade)(config, revision)


@pytest.fixture
def first(tmp_path: Path) -> Path:
    """A store of the first schema with jobs, a plan, a sheet and a key in it."""
    from shared.files.job import write_job
    from shared.files.plan import write_plan

    path = tmp_path / "store.sqlite3"
    engine = open_database(f"sqlite:///{path}")
    to(engine, "0001", up=False)
    engine.dispose()
    job = stalls()
    rows = sqlite3.connect(path)
    for statement in filter(str.strip, FIRST.split(";")):
        named = {"job": write_job(job), "plan": write_plan(job, solved(job))}
        rows.execute(statement, {name: value for name, value in named.items() if f":{name}" in statement})
    rows.commit()
    rows.close()
    return path


def dump(path: Path) -> list[str]:
    rows = sqlite3.connect(path)
    lines = [line for line in rows.iterdump() if "alembic_version" not in line and "sqlite_sequence" not in line]
    rows.close()
    return lines


def test_the_first_schema_has_none_of_the_shops_tables(first: Path) -> None:
    engine = create_engine(f"sqlite:///{first}")
    assert sorted(inspect(engine).get_table_names()) == ["alembic_version", "jobs", "keys", "plans", "sheets"]
    engine.dispose()


def test_an_old_store_is_opened_and_its_plan_taken_in_hand(first: Path) -> None:
    with opened(first) as shop:
        shop.begin("job-1", WHO)
        book = shop.work("job-1")
        shop.tick("job-1", book.slots[0].id, WHO)
        assert shop.balance() == ()
        store = Store(shop.engine, milliseconds)
        assert (store.sheet("job-1"), store.of_key("key", "d").id) == (b"sheet", "job-1")
        assert store.get("job-2").title == "Kayak stands"


def test_up_and_down_leaves_what_was_there(first: Path) -> None:
    before = dump(first)
    with opened(first) as shop:
        shop.begin("job-1", WHO)
        to(shop.engine, "0001", up=False)
    assert dump(first) == before
    with opened(first) as shop:
        assert shop.works() == ()
        shop.begin("job-1", WHO)
        assert len(shop.work("job-1").slots) == sum(cut.quantity for cut in planned(solved(stalls())).cuts)


def test_the_migrations_make_the_tables_that_the_code_expects(tmp_path: Path) -> None:
    assert shop_tables.BarRow.metadata is Base.metadata
    engine = open_database(f"sqlite:///{tmp_path / 's.sqlite3'}")
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), Base.metadata) == []
    found = inspect(engine)
    declared = {
        (table.name, index.name, tuple(column.name for column in index.columns), index.unique)
        for table in Base.metadata.sorted_tables
        for index in table.indexes
    }
    there = {
        (table, index["name"], tuple(index["column_names"]), bool(index["unique"]))
        for table in found.get_table_names()
        for index in found.get_indexes(table)
    }
    assert there == declared
    checks = {check["name"] for check in found.get_check_constraints("bars")}
    assert checks == {"ck_bars_reserved_for_one", "ck_bars_free_for_all"}
    engine.dispose()


@pytest.mark.parametrize("table", ["bars", "slots", "made", "entries", "changes", "ledger"])
def test_numbers_are_never_given_twice(tmp_path: Path, table: str) -> None:
    with opened(tmp_path / "s.sqlite3") as shop:
        work = begun(shop)
        shop.tick(work, shop.work(work).slots[0].id, WHO)
        rows = sqlite3.connect(tmp_path / "s.sqlite3")
        (sql,) = rows.execute("SELECT sql FROM sqlite_master WHERE name = ?", (table,)).fetchone()
        (highest,) = rows.execute("SELECT seq FROM sqlite_sequence WHERE name = ?", (table,)).fetchone()
        rows.close()
    assert "AUTOINCREMENT" in sql
    assert highest > 0


def test_a_store_of_a_schema_we_do_not_know_is_not_touched(tmp_path: Path) -> None:
    path = tmp_path / "s.sqlite3"
    open_database(f"sqlite:///{path}").dispose()
    rows = sqlite3.connect(path)
    rows.execute("UPDATE alembic_version SET version_num = '9999'")
    rows.commit()
    rows.close()
    with pytest.raises(Exception, match="9999"):
        open_database(f"sqlite:///{path}")
