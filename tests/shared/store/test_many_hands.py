"""Several processes at one store: of those who want the same piece exactly one gets it, and no event counts twice."""

import multiprocessing
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from cutting.question.job import Source
from shared.files.job import Format, write_job
from shared.files.plan import write_plan
from shared.store import ShopStore, open_database
from shared.store.database import WRITES
from shared.store.tables import JobRow, PlanRow
from shared.work.errors import NotPossibleError, StaleError, TakenError
from shared.work.rack.bars import BarState, NewBar
from shared.work.replan.anew import replan
from tests.builders import PATIENCE
from tests.clock import milliseconds
from tests.kinds import further
from tests.shared.store.forks import run
from tests.shared.store.scene import TUBE, WHO, begun, opened, part, planned, solved, stalls, stick

RIVALS = 4
CONTEXT = multiprocessing.get_context("fork")  # each opens the store anew; ours is closed before


def _keep_plans(shop: ShopStore, pieces: int) -> None:
    """For each piece a plan of each rival that counts on it; as the service keeps them, written at once."""
    job = stalls(stick("D1", 500, source=Source.OWN, count=1, trims=(0, 0)), parts=(part("TAG", 450, 1),))
    result = solved(job)
    (cut,) = planned(result).cuts
    (line,) = planned(result).buy
    with Session(shop.engine.execution_options(**{WRITES: True})) as session, session.begin():
        for number in range(1, pieces + 1):
            name = f"D{number}"
            own = replace(job, sticks=(replace(job.sticks[0], id=name),))
            plan = replace(planned(result), cuts=(replace(cut, stick=name),), buy=(replace(line, stick=name),))
            documents = write_job(own, Format.JSON), write_plan(own, replace(result, plan=plan))
            for rival in range(RIVALS):
                session.add(_job(f"{rival}-{number}", documents[0]))
                session.flush()
                session.add(PlanRow(job_id=f"{rival}-{number}", final=True, document=documents[1], created=0))


def _job(identity: str, document: bytes) -> JobRow:
    return JobRow(
        id=identity,
        state="done",
        client="",
        title=identity,
        document=document,
        digest="d",
        limit_seconds=1.0,
        seed=0,
        draft=False,
        attempts=1,
        stopped=False,
        error="",
        seconds=0.1,
        created=0,
        started=0,
        finished=0,
    )


def _compete(url: str, rival: int, pieces: int, start, won: multiprocessing.Queue) -> None:
    shop = ShopStore(open_database(url), milliseconds)
    mine = []
    for number in sorted(range(1, pieces + 1), key=lambda number: number != rival + 1):
        start.wait(PATIENCE)  # at each piece anew, so that nobody keeps the lock to himself
        try:
            shop.begin(f"{rival}-{number}", f"rival {rival}")
            mine.append(number)
        except TakenError:
            pass
    won.put((rival, mine))
    shop.engine.dispose()


@pytest.mark.parametrize("pieces", further([100, 1000], "a thousand pieces after a hundred"))
def test_of_four_processes_exactly_one_gets_each_piece(tmp_path: Path, pieces: int) -> None:
    """They go through the rack side by side; each begins at a piece of its own, so that each gets one."""
    with opened(tmp_path / "store.sqlite3") as shop:
        shop.add_bars([NewBar(section=TUBE, length=Fraction(500))] * pieces, WHO)
        _keep_plans(shop, pieces)
        won, start = CONTEXT.Queue(), CONTEXT.Barrier(RIVALS)
        url = str(shop.engine.url)
        shop.engine.dispose()
        run(CONTEXT.Process(target=_compete, args=(url, rival, pieces, start, won)) for rival in range(RIVALS))
        winners = dict(won.get(timeout=PATIENCE) for _ in range(RIVALS))
        assert sorted(number for mine in winners.values() for number in mine) == list(range(1, pieces + 1))
        owners = {bar.number: bar.work for bar in shop.bars()}
        assert owners == {number: f"{rival}-{number}" for rival, mine in winners.items() for number in mine}
        assert {bar.state for bar in shop.bars()} == {BarState.RESERVED}
        assert all(winners.values()), "who got none at all was no rival"
        assert shop.balance() == ()


def _tick(url: str, work: str, slots: list[int], start, told: multiprocessing.Queue) -> None:
    shop = ShopStore(open_database(url), milliseconds)
    start.wait(PATIENCE)  # one who died before the start must not keep the others waiting
    answers: Counter[str] = Counter()
    for slot in slots:
        answers["repeated" if shop.tick(work, slot, WHO, key=f"tick {slot}").repeated else "first"] += 1
        try:
            shop.spoilt(work, slot, 1, WHO)
            answers["spoilt"] += 1
        except NotPossibleError:
            answers["spoilt already"] += 1
    told.put(answers)
    shop.engine.dispose()


def test_an_event_that_several_devices_send_counts_once(tmp_path: Path) -> None:
    with opened(tmp_path / "store.sqlite3") as shop:
        work = begun(shop, stalls(parts=(part("POST", 5000, 20),)))
        slots = [slot.id for slot in shop.work(work).slots]
        told, start = CONTEXT.Queue(), CONTEXT.Barrier(3)
        shop.engine.dispose()
        run(CONTEXT.Process(target=_tick, args=(str(shop.engine.url), work, slots, start, told)) for _ in range(3))
        answers = sum((told.get(timeout=PATIENCE) for _ in range(3)), Counter())
        assert answers == {"first": 20, "repeated": 40, "spoilt": 20, "spoilt already": 40}
        assert len(shop.work(work).made) == 20
        assert shop.balance() == ()


def test_of_two_proposals_for_one_work_the_second_is_out_of_date(tmp_path: Path) -> None:
    with opened(tmp_path / "store.sqlite3") as shop:
        work = begun(shop)
        slot = shop.work(work).slots[0]
        shop.spoilt(work, slot.id, 1, WHO)
        one, two = (replan(shop.work(work), shop.bars(), limit=PATIENCE, cores=1) for _ in range(2))
        shop.accept(work, one, one.version, "Ana")
        try:
            shop.accept(work, two, two.version, "Ben")
        except StaleError:
            assert shop.work(work).work.mark == "B"
        else:
            raise AssertionError("both were put in force")
