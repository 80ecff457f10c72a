"""Backup, restore and export with real files and real processes: while others write, and killed half way."""

from __future__ import annotations

import csv
import json
import multiprocessing
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest
from alembic import command

from shared.shop.bars import BarChanges, NewBar
from shared.store import ShopStore, Store, open_database
from shared.store.database import WRITES, alembic_config
from shared.store.export import export_all
from shared.store.place import InUseError, alone_with, file_of, opened_by_us, sqlite_url, url_of
from shared.store.safety import SafetyError, back_up, look_at, restore
from tests.shared.store.scene import TUBE, WHO, begun, open_slots, opened, put

NOW = datetime(2026, 11, 25, 13, 0, tzinfo=UTC)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    folder = tmp_path / "data"
    folder.mkdir()
    return folder


def filled(path: Path, *lengths: int) -> None:
    with opened(path) as shop:
        put(shop, *lengths)


def lengths(path: Path) -> list[Fraction]:
    with opened(path) as shop:
        assert shop.balance() == ()
        return [bar.length for bar in shop.bars()]


# -- where it is --------------------------------------------------------------------------------


def test_the_store_is_in_the_users_data_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """XDG Base Directory Specification: XDG_DATA_HOME, else ~/.local/share."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert file_of(url_of()) == tmp_path / "tallystick" / "store.sqlite3"
    monkeypatch.delenv("XDG_DATA_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert file_of(url_of()) == tmp_path / ".local" / "share" / "tallystick" / "store.sqlite3"
    assert file_of(url_of(tmp_path)) == tmp_path / "store.sqlite3"
    assert url_of(tmp_path, "sqlite://") == "sqlite://"
    assert file_of("sqlite://") is None
    assert file_of("postgresql://shop/steel") is None
    with pytest.raises(ValueError, match="is no URL of a database"):
        file_of("store.sqlite3")


def test_many_may_have_it_open_but_a_restore_is_alone(data: Path) -> None:
    path = data / "store.sqlite3"
    with opened_by_us(sqlite_url(path)), opened_by_us(sqlite_url(path)):
        with pytest.raises(InUseError), alone_with(path):
            pass
    with alone_with(path), pytest.raises(InUseError), opened_by_us(sqlite_url(path)):
        pass


# -- backup -------------------------------------------------------------------------------------


def test_a_backup_is_one_sound_file_with_everything(data: Path, tmp_path: Path) -> None:
    filled(data / "store.sqlite3", 1200, 800)
    contents = back_up(sqlite_url(data / "store.sqlite3"), tmp_path / "shop.backup")
    assert (dict(contents.counts), contents.newest) == ({"jobs": 0, "bars": 2, "works": 0}, True)
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == ["shop.backup"]
    assert (tmp_path / "shop.backup").stat().st_mode & 0o77 == 0
    assert look_at(tmp_path / "shop.backup") == contents
    assert lengths(tmp_path / "shop.backup") == [1200, 800]


def test_a_backup_replaces_nothing_unless_told_to(data: Path, tmp_path: Path) -> None:
    url = sqlite_url(data / "store.sqlite3")
    filled(data / "store.sqlite3", 1200)
    (tmp_path / "notes").write_text("mine")
    with pytest.raises(SafetyError, match="exists already"):
        back_up(url, tmp_path / "notes")
    assert (tmp_path / "notes").read_text() == "mine"
    back_up(url, tmp_path / "notes", replace=True)
    assert lengths(tmp_path / "notes") == [1200]


@pytest.mark.parametrize(
    ("target", "said"),
    [
        ("data", "is a folder"),
        ("data/store.sqlite3", "is the store itself"),
        ("nowhere/shop.backup", "didn't work"),
    ],
)
def test_places_a_backup_can_not_go(data: Path, tmp_path: Path, target: str, said: str) -> None:
    filled(data / "store.sqlite3", 1200)
    with pytest.raises(SafetyError, match=said):
        back_up(sqlite_url(data / "store.sqlite3"), tmp_path / target, replace=True)
    assert lengths(data / "store.sqlite3") == [1200]


def test_nothing_there_to_back_up(data: Path, tmp_path: Path) -> None:
    with pytest.raises(SafetyError, match="there is no store here yet"):
        back_up(sqlite_url(data / "store.sqlite3"), tmp_path / "shop.backup")
    with pytest.raises(SafetyError, match="use the backup tools of that database"):
        back_up("postgresql://shop/steel", tmp_path / "shop.backup")
    assert list(data.iterdir()) == []


def hammer(path: str, seconds: float) -> None:
    """Put pairs of pieces on the rack, and correct one of each pair, as fast as it goes."""
    shop = ShopStore(open_database(sqlite_url(Path(path))))
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        numbers = shop.add_bars([NewBar(section=TUBE, length=Fraction(1000))] * 2, "hammer").bars
        shop.correct(numbers[1], BarChanges(length=Fraction(999)), "hammer")


def test_backups_while_others_write_are_each_of_one_moment(data: Path, tmp_path: Path) -> None:
    path = data / "store.sqlite3"
    filled(path, 1)
    processes = [multiprocessing.get_context("spawn").Process(target=hammer, args=(str(path), 4.0)) for _ in range(2)]
    for process in processes:
        process.start()
    sizes = []
    while any(process.is_alive() for process in processes) or len(sizes) < 3:
        target = tmp_path / f"{len(sizes)}.backup"
        sizes.append(dict(back_up(sqlite_url(path), target).counts)["bars"])
        assert (len(lengths(target)) - 1) % 2 == 0, "half an entry"
        time.sleep(0.05)
    for process in processes:
        process.join()
        assert process.exitcode == 0
    assert sizes == sorted(sizes)
    assert len(set(sizes)) > 1, "nothing was written meanwhile: the test tested nothing"


def test_a_backup_killed_half_way_leaves_no_file_of_that_name(data: Path, tmp_path: Path) -> None:
    path = data / "store.sqlite3"
    filled(path, *range(1, 400))
    code = "import sys; from pathlib import Path; from shared.store.safety import back_up; back_up(sys.argv[1], Path(sys.argv[2]))"
    whole = 0
    for attempt in range(8):
        target = tmp_path / f"{attempt}.backup"
        process = subprocess.Popen([sys.executable, "-c", code, sqlite_url(path), str(target)], cwd=os.getcwd())
        time.sleep(random.Random(attempt).uniform(0.3, 1.6))
        process.kill()
        process.wait()
        if target.exists():
            whole += 1
            assert len(lengths(target)) == 399
    assert len(lengths(path)) == 399


# -- restore ------------------------------------------------------------------------------------


def test_a_restore_puts_it_back_and_keeps_what_was_there(data: Path, tmp_path: Path) -> None:
    path = data / "store.sqlite3"
    filled(path, 1200)
    back_up(sqlite_url(path), tmp_path / "shop.backup")
    filled(path, 800)
    done = restore(tmp_path / "shop.backup", sqlite_url(path), NOW)
    assert lengths(path) == [1200]
    assert done.kept == data / "store.sqlite3.before-2026-11-25-130000"
    assert lengths(done.kept) == [1200, 800]
    again = restore(done.kept, sqlite_url(path), NOW)
    assert again.kept == data / "store.sqlite3.before-2026-11-25-130000-2"
    assert lengths(path) == [1200, 800]


def test_a_restore_where_there_was_nothing(data: Path, tmp_path: Path) -> None:
    filled(data / "store.sqlite3", 1200)
    back_up(sqlite_url(data / "store.sqlite3"), tmp_path / "shop.backup")
    done = restore(tmp_path / "shop.backup", url_of(tmp_path / "new"), NOW)
    assert done.kept is None
    assert lengths(tmp_path / "new" / "store.sqlite3") == [1200]


def test_a_restore_from_a_medium_that_can_not_be_written(data: Path, tmp_path: Path) -> None:
    filled(data / "store.sqlite3", 1200)
    disc = tmp_path / "disc"
    disc.mkdir()
    back_up(sqlite_url(data / "store.sqlite3"), disc / "shop.backup")
    (disc / "shop.backup").chmod(0o400)
    disc.chmod(0o500)
    try:
        restore(disc / "shop.backup", sqlite_url(data / "store.sqlite3"), NOW)
    finally:
        disc.chmod(0o700)
    assert [each.name for each in disc.iterdir()] == ["shop.backup"]
    assert lengths(data / "store.sqlite3") == [1200]


def test_what_a_crashed_store_left_in_its_log_is_kept_and_never_joins_the_new_one(data: Path, tmp_path: Path) -> None:
    path = data / "store.sqlite3"
    filled(path, 1)
    back_up(sqlite_url(path), tmp_path / "shop.backup")
    code = (
        "import os, sys; from pathlib import Path\n"
        "from tests.shared.store.scene import *\n"
        "shop = ShopStore(open_database(f'sqlite:///{sys.argv[1]}')); put(shop, 2, 3); os._exit(9)\n"
    )
    subprocess.run([sys.executable, "-c", code, str(path)], check=False)
    assert path.with_name("store.sqlite3-wal").stat().st_size > 0, "the test needs a log that was left behind"
    done = restore(tmp_path / "shop.backup", sqlite_url(path), NOW)
    assert lengths(path) == [1]
    assert done.kept is not None
    assert lengths(done.kept) == [1, 2, 3]


def test_a_damaged_store_is_kept_as_it_was_found(data: Path, tmp_path: Path) -> None:
    path = data / "store.sqlite3"
    filled(path, 1200)
    back_up(sqlite_url(path), tmp_path / "shop.backup")
    path.write_bytes(b"not what it was")
    done = restore(tmp_path / "shop.backup", sqlite_url(path), NOW)
    assert done.damaged
    assert done.kept is not None
    assert done.kept.read_bytes() == b"not what it was"
    assert lengths(path) == [1200]


def damaged(path: Path) -> None:
    content = bytearray(path.read_bytes())
    page = 4096
    for at in range(3 * page, len(content), page):
        content[at : at + 200] = b"\xff" * 200
    path.write_bytes(content)


def emptied(path: Path) -> None:
    path.unlink()
    sqlite3.connect(path).execute("CREATE TABLE songs (title TEXT)").connection.close()


def loosened(path: Path) -> None:
    with sqlite3.connect(path) as connection:
        connection.execute("INSERT INTO plans VALUES ('no such job', 1, x'00', 0)")
    connection.close()


def from_the_future(path: Path) -> None:
    with sqlite3.connect(path) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.close()


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda path: path.write_text("a letter"), "it isn't a database"),
        (lambda path: path.write_bytes(b""), "it isn't a database"),
        (lambda path: path.unlink(), "can't be read: no such file"),
        (emptied, "the database of something else"),
        (damaged, "is damaged"),
        (lambda path: os.truncate(path, path.stat().st_size // 2), "is damaged"),
        (loosened, "a row of plans refers to nothing in jobs"),
        (from_the_future, "was written by a newer Tallystick"),
    ],
    ids=["text", "empty", "missing", "other database", "damaged", "cut off", "loose rows", "newer"],
)
def test_what_is_no_sound_backup_of_ours_changes_nothing(data: Path, tmp_path: Path, spoil, said: str) -> None:
    path = data / "store.sqlite3"
    filled(path, 1200)
    back_up(sqlite_url(path), tmp_path / "shop.backup")
    spoil(tmp_path / "shop.backup")
    before = sorted(each.name for each in data.iterdir())
    with pytest.raises(SafetyError, match=said):
        restore(tmp_path / "shop.backup", sqlite_url(path), NOW)
    assert sorted(each.name for each in data.iterdir()) == before
    assert lengths(path) == [1200]


def test_no_restore_while_somebody_has_the_store_open(data: Path, tmp_path: Path) -> None:
    path = data / "store.sqlite3"
    filled(path, 1200)
    back_up(sqlite_url(path), tmp_path / "shop.backup")
    with opened_by_us(sqlite_url(path)), pytest.raises(InUseError):
        restore(tmp_path / "shop.backup", sqlite_url(path), NOW)
    other = sqlite3.connect(path)  # a program that knows nothing of our lock
    other.execute("SELECT count(*) FROM bars").fetchone()
    try:
        with pytest.raises(InUseError):
            restore(tmp_path / "shop.backup", sqlite_url(path), NOW)
    finally:
        other.close()
    assert lengths(path) == [1200]


def test_a_backup_of_the_first_schema_is_brought_up_to_date(data: Path, tmp_path: Path) -> None:
    old = open_database(sqlite_url(tmp_path / "old.sqlite3"))
    with old.execution_options(**{WRITES: True}).begin() as connection:
        config = alembic_config()
        config.attributes["connection"] = connection
        command.downgrade(config, "0001")
    old.dispose()
    done = restore(tmp_path / "old.sqlite3", sqlite_url(data / "store.sqlite3"), NOW)
    assert (done.before.revision, done.before.newest, done.after.newest) == ("0001", False, True)
    assert look_at(tmp_path / "old.sqlite3").revision == "0001", "the backup itself stays as it is"
    assert lengths(data / "store.sqlite3") == []


RESTORE = (
    "import sys; from datetime import datetime, UTC; from pathlib import Path; from shared.store.safety import restore\n"
    "print('go', flush=True)\n"
    "restore(Path(sys.argv[1]), sys.argv[2], datetime(2026, 11, 25, tzinfo=UTC))\n"
)


def test_a_restore_killed_anywhere_leaves_the_old_store_or_the_new_one(data: Path, tmp_path: Path) -> None:
    path = data / "store.sqlite3"
    filled(path, *range(1, 200))
    back_up(sqlite_url(path), tmp_path / "shop.backup")
    filled(path, *range(500, 520))
    outcomes = []
    for attempt in range(30):
        process = subprocess.Popen(
            [sys.executable, "-c", RESTORE, str(tmp_path / "shop.backup"), sqlite_url(path)], stdout=subprocess.PIPE
        )
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(random.Random(attempt).uniform(0.0, 0.9))
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        outcomes.append(len(lengths(path)))
        assert outcomes[-1] in {199, 219}
        if outcomes[-1] == 199:
            filled(path, *range(500, 520))
    assert set(outcomes) == {199, 219}, "killed always too early, or always too late, to test anything"
    restore(tmp_path / "shop.backup", sqlite_url(path), NOW)
    assert not list(data.glob(".*")), "what a killed restore left behind is swept away by the next one"


# -- export -------------------------------------------------------------------------------------


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_an_export_holds_everything_in_words(data: Path, tmp_path: Path) -> None:
    with opened(data / "store.sqlite3") as shop:
        put(shop, 700, place="=bay", heat="H1")
        work = begun(shop)
        slot = open_slots(shop.work(work))[0]
        shop.tick(work, slot.id, WHO)
        shop.undo(shop.add_bars([NewBar(section=TUBE, length=Fraction(5))], WHO).entry, WHO)
        book, accounts = shop.work(work), shop.accounts()
        document = Store(shop.engine).document(work)
    names = export_all(sqlite_url(data / "store.sqlite3"), tmp_path / "out")
    tables = [name for name in names if name.endswith(".csv")]
    assert {*names} == {*tables, "README.txt", "jobs", "works"}
    readme = (tmp_path / "out" / "README.txt").read_text()
    for name in tables:
        header = (tmp_path / "out" / name).read_text(encoding="utf-8-sig").splitlines()[0]
        assert all(f"  {column}: " in readme.partition(f"{name}:")[2] for column in header.split(",")), name
    assert len(rows(tmp_path / "out" / "layouts.csv")) == len(book.slots)
    parts = rows(tmp_path / "out" / "parts.csv")
    assert [(row["mark"], row["position"], row["state"]) for row in parts] == [
        (made.mark, str(made.position), "good") for made in book.made
    ]
    assert (tmp_path / "out" / "jobs" / work / "job.json").read_bytes() == document
    assert json.loads((tmp_path / "out" / "jobs" / work / "plan.json").read_bytes())["status"] == "optimal"
    assert (tmp_path / "out" / "works" / work / "A-plan.json").exists()
    ledger = rows(tmp_path / "out" / "ledger.csv")
    for (section, account), amount in accounts.items():
        mine = [
            Fraction(row["amount"])
            for row in ledger
            if (row["section"], row["material"], row["account"]) == (*section, account)
        ]
        assert sum(mine) == amount
    assert rows(tmp_path / "out" / "rack.csv")[0]["place"] == "'=bay"
    history = rows(tmp_path / "out" / "history.csv")
    assert history[-1]["takes back"] == history[-2]["entry"]
    assert history[-2]["taken back by"] == history[-1]["entry"]
    assert not [
        path for path in (tmp_path / "out").rglob("*") if path.name.startswith(".") or path.suffix == ".sqlite3"
    ]


def test_an_export_goes_into_a_new_folder_only(data: Path, tmp_path: Path) -> None:
    filled(data / "store.sqlite3", 1)
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "mine").write_text("mine")
    (tmp_path / "empty").mkdir()
    with pytest.raises(SafetyError, match="isn't empty"):
        export_all(sqlite_url(data / "store.sqlite3"), tmp_path / "full")
    assert [path.name for path in (tmp_path / "full").iterdir()] == ["mine"]
    assert "rack.csv" in export_all(sqlite_url(data / "store.sqlite3"), tmp_path / "empty")
    with pytest.raises(SafetyError, match="no store here yet"):
        export_all(url_of(tmp_path / "nothing"), tmp_path / "other")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["data", "empty", "full"]
