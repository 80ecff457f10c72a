"""kill -9 in the middle of whatever it is: what was answered is there, what wasn't is there whole or not at all."""

import os
import random
import signal
import time
from fractions import Fraction
from pathlib import Path

import pytest

from shared.store import ShopStore, open_database
from shared.work.errors import ShopError
from shared.work.rack.bars import BarState, NewBar, Received
from shared.work.saw.work import WorkBook
from tests.clock import milliseconds
from tests.kinds import further
from tests.shared.store.forks import forked
from tests.shared.store.scene import TUBE, WHO, kept, opened, part, solved, stalls, stick

KILLS = 10
BATCHES = 5
WORKS = 3


def _one_event(shop: ShopStore, work: str, dice: random.Random, key: str) -> None:
    """Tell something, whatever comes to hand."""
    book = shop.work(work)
    slots = [slot for slot in book.slots if slot.left]
    what = dice.randrange(6)
    last = shop.history(limit=1)[0].id
    if what == 0 or not slots or (what == 4 and last <= WORKS):  # that a work was begun isn't taken back
        new = NewBar(section=TUBE, length=Fraction(dice.randrange(100, 3000)))
        shop.add_bars([new] * dice.randrange(1, 8), WHO, key=key)
        return
    slot = dice.choice(slots)
    if what == 1:
        _receive(shop, book, key)
    elif what == 2:
        shop.spoilt(work, slot.id, dice.randrange(1, len(slot.cut.pieces) + 1), WHO, key=key)
    elif what == 3:
        shop.blade(work, Fraction(dice.choice([2, 3, 4])), WHO, key=key)
    elif what == 4:
        shop.undo(last, WHO, key=key)
    else:
        shop.tick(work, slot.id, WHO, key=key, parts=slot.sawn + 1)


def _receive(shop: ShopStore, book: WorkBook, key: str) -> None:
    lines = [Received(bar=bar.number, heat="H") for bar in book.bars if bar.state is BarState.EXPECTED]
    shop.receive(book.work.id, lines[:3], WHO, key=key)


def _work_until_killed(url: str, work: str, seed: int, answered: int) -> None:
    """In a process of its own: events without end; each key goes into a pipe once its event was answered."""
    shop = ShopStore(open_database(url), milliseconds)
    dice = random.Random(seed)
    for number in range(10**6):
        key = f"{seed}/{number}"
        try:
            _one_event(shop, work, dice, key)
        except ShopError:
            continue
        os.write(answered, f"{key}\n".encode())


def _killed(url: str, work: str, seed: int, dice: random.Random) -> list[str]:
    """Let a process work and kill it while it does; return the keys of the events that were answered."""
    reading, writing = os.pipe()
    child = forked(lambda: (os.close(reading), _work_until_killed(url, work, seed, writing)))
    os.close(writing)
    with os.fdopen(reading) as pipe:
        answered = [pipe.readline().strip() for _ in range(dice.randrange(1, 4))]
        time.sleep(dice.uniform(0.0, 0.03))  # waits for nothing: the moment of the kill is a random one
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        assert os.WIFSIGNALED(status), "it was still at work"
        return [*answered, *(line.strip() for line in pipe.readlines())]


@pytest.mark.kind(name="kill")
@pytest.mark.parametrize("batch", further(range(BATCHES), "a further batch of kills"))
def test_after_kills_at_random_points_the_books_balance(tmp_path: Path, batch: int) -> None:
    path = tmp_path / "store.sqlite3"
    dice = random.Random(batch)
    job = stalls(stick("MILL", 6000), parts=(part("POST", 900, 40), part("RAIL", 400, 60)))
    result = solved(job)
    with opened(path) as shop:
        url, works = str(shop.engine.url), [kept(shop, job, result) for _ in range(WORKS)]
        for work in works:
            shop.begin(work, WHO)
    answered: list[str] = []
    for number in range(batch * KILLS, (batch + 1) * KILLS):
        answered += _killed(url, works[number % WORKS], number, dice)
        with opened(path) as shop:
            assert shop.balance() == ()
    with opened(path) as shop:
        known = {entry.id for entry in shop.history(limit=10**6)}
        assert known == set(range(1, len(known) + 1)), "no entry is there by half, none is missing"
        for key in answered:
            assert _kept_under(shop, key), f"{key} was answered and is gone"


def _kept_under(shop: ShopStore, key: str) -> bool:
    from sqlalchemy import select
    from sqlalchemy.orm import Session

    from shared.store.desk.tables import EntryRow

    with Session(shop.engine) as session:
        return session.scalar(select(EntryRow.id).where(EntryRow.key == key)) is not None
