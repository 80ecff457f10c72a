"""Backup, restore and export with real files and real processes: while others write, and killed half way."""

from __future__ import annotations

import csv
import json
import os
import random
import signal
import sqlite3
import time
from datetime import UTC, datetime
from fractions import Fraction
from itertools import count
from pathlib import Path
from types import SimpleNamespace

import pytest
from alembic import command

from shared.store import ShopStore, Store, open_database, safety
from shared.store.database import WRITES, alembic_config
from shared.store.export import export_all
from shared.store.place import InUseError, alone_with, file_of, opened_by_us, sqlite_url, url_of
from shared.store.safety import SafetyError, back_up, look_at, restore
from shared.work.rack.bars import BarChanges, NewBar
from tests.clock import milliseconds
from tests.shared.store.forks import forked
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
    url = sqlite_url(path)
    with opened_by_us(url), opened_by_us(url), pytest.raises(InUseError), alone_with(path):
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


def hammer(path: Path, told: int) -> None:
    """Put pairs of pieces on the rack, and correct one of each pair, as fast as it goes, and tell after each."""
    shop = ShopStore(open_database(sqlite_url(path)), milliseconds)
    while True:
        numbers = shop.add_bars([NewBar(section=TUBE, length=Fraction(1000))] * 2, "hammer").bars
        shop.correct(numbers[1], BarChanges(length=Fraction(999)), "hammer")
        os.write(told, b".")


def hammering(path: Path) -> tuple[int, int]:
    """Start somebody who hammers; return the process and where it is heard."""
    heard, told = os.pipe()
    child = forked(lambda: hammer(path, told))
    os.close(told)
    return child, heard


def test_backups_while_others_write_are_each_of_one_moment(data: Path, tmp_path: Path) -> None:
    path = data / "store.sqlite3"
    filled(path, 1)
    others = [hammering(path) for _ in range(2)]
    targets = [tmp_path / f"{number}.backup" for number in range(5)]
    for target in targets:
        for _, heard in others:
            os.read(heard, 65536)
            assert os.read(heard, 1), "each has written something since the backup before"
        back_up(sqlite_url(path), target)
    for child, heard in others:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        os.close(heard)
    sizes = [len(lengths(target)) for target in targets]
    assert all((size - 1) % 2 == 0 for size in sizes), "half an entry"
    assert sizes == sorted(sizes)
    assert len(set(sizes)) > 1, "nothing was written meanwhile: the test tested nothing"


def killed_at(number: int, act) -> bool:
    """Do something in a process that is killed at its so-manieth step on the disk; whether it came that far."""

    def doomed() -> None:
        steps = iter(range(number))

        def step(what):
            def instead(*arguments, **named):
                if next(steps, None) is None:
                    os.kill(os.getpid(), signal.SIGKILL)
                return what(*arguments, **named)

            return instead

        for owner, name in (
            (os, "link"),
            (os, "open"),
            (os, "fsync"),
            (os, "close"),
            (Path, "replace"),
            (Path, "unlink"),
        ):
            setattr(owner, name, step(getattr(owner, name)))
        safety.sqlite3 = SimpleNamespace(**{**vars(sqlite3), "connect": step(sqlite3.connect)})
        act()

    _, status = os.waitpid(forked(doomed), 0)
    return os.WIFSIGNALED(status)


@pytest.mark.kind(name="kill")
def test_a_backup_killed_at_any_step_leaves_a_whole_file_or_none(data: Path, tmp_path: Path) -> None:
    url = sqlite_url(data / "store.sqlite3")
    filled(data / "store.sqlite3", *range(1, 40))
    outcomes = []
    for number in count():
        target = tmp_path / f"{number}.backup"
        if not killed_at(number, lambda target=target: back_up(url, target)):
            break
        outcomes.append(target.exists())
        if target.exists():
            assert len(lengths(target)) == 39
    assert True in outcomes, "never killed behind the last step but one"
    assert outcomes.count(False) > 5


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
    os.waitpid(forked(lambda: put(ShopStore(open_database(sqlite_url(path)), milliseconds), 2, 3)), 0)
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
    path.with_name("store.sqlite3-wal").write_bytes(b"nor its log")
    done = restore(tmp_path / "shop.backup", sqlite_url(path), NOW)
    assert done.damaged
    assert done.kept is not None
    assert done.kept.read_bytes() == b"not what it was"
    assert done.kept.with_name(f"{done.kept.name}-wal").read_bytes() == b"nor its log"
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


@pytest.mark.kind(name="kill")
@pytest.mark.slow("a further kill at every step, after that of a backup")
def test_a_restore_killed_at_any_step_leaves_the_old_store_or_the_new_one(data: Path, tmp_path: Path) -> None:
    path = data / "store.sqlite3"
    filled(path, 1)
    back_up(sqlite_url(path), tmp_path / "shop.backup")
    outcomes = []
    found = 1
    for number in count():
        os.waitpid(
            forked(lambda: put(ShopStore(open_database(sqlite_url(path)), milliseconds), 2)), 0
        )  # leaves a log behind
        old = found + 1
        killed = killed_at(number, lambda: restore(tmp_path / "shop.backup", sqlite_url(path), NOW))
        found = len(lengths(path))
        assert found in {1, old}, number
        if not killed:
            break
        outcomes.append(found == 1)
    assert outcomes == sorted(outcomes), "the new store is there from one step on"
    assert outcomes[-1], "never killed behind the step that puts the new store in its place"
    assert outcomes.count(False) > 10
    assert not list(data.glob(".*")), "what a killed restore left behind is swept away by the next one"


@pytest.mark.kind(name="kill")
@pytest.mark.slow("further kills at random moments")
def test_a_restore_killed_at_any_time_leaves_the_old_store_or_the_new_one(data: Path, tmp_path: Path) -> None:
    path = data / "store.sqlite3"
    filled(path, *range(1, 200))
    back_up(sqlite_url(path), tmp_path / "shop.backup")
    for attempt in range(10):
        filled(path, 500)
        old = len(lengths(path))
        child = forked(lambda: restore(tmp_path / "shop.backup", sqlite_url(path), NOW))
        time.sleep(random.Random(attempt).uniform(0.0, 0.4))  # waits for nothing: the moment is a random one
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        assert len(lengths(path)) in {199, old}


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
        document = Store(shop.engine, milliseconds).document(work)
    names = export_all(sqlite_url(data / "store.sqlite3"), tmp_path / "out", milliseconds)
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
        export_all(sqlite_url(data / "store.sqlite3"), tmp_path / "full", milliseconds)
    assert [path.name for path in (tmp_path / "full").iterdir()] == ["mine"]
    assert "rack.csv" in export_all(sqlite_url(data / "store.sqlite3"), tmp_path / "empty", milliseconds)
    with pytest.raises(SafetyError, match="no store here yet"):
        export_all(url_of(tmp_path / "nothing"), tmp_path / "other", milliseconds)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["data", "empty", "full"]
