"""Several processes at one store: of those who want the same piece exactly one gets it, and no event counts twice."""

import multiprocessing
import random
import time
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

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
from tests.clock import milliseconds
from tests.shared.store.scene import TUBE, WHO, begun, opened, part, planned, solved, stalls, stick

PIECES = 1000
RIVALS = 4
CONTEXT = multiprocessing.get_context("fork")  # each opens the store anew; ours is closed before


def _keep_plans(shop: ShopStore) -> None:
    """For each piece a plan of each rival that counts on it; as the service keeps them, written at once."""
    job = stalls(stick("D1", 500, source=Source.OWN, count=1, trims=(0, 0)), parts=(part("TAG", 450, 1),))
    result = solved(job)
    (cut,) = planned(result).cuts
    (line,) = planned(result).buy
    with Session(shop.engine.execution_options(**{WRITES: True})) as session, session.begin():
        for number in range(1, PIECES + 1):
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
    start.wait(120)  # one who died before the start must not keep the others waiting
    mine = []
    dice = random.Random(rival)
    for number in range(1, pieces + 1):
        time.sleep(dice.uniform(0.0, 0.01))  # so that nobody keeps the lock to himself
        try:
            shop.begin(f"{rival}-{number}", f"rival {rival}")
            mine.append(number)
        except TakenError:
            pass
    won.put((rival, mine))
    shop.engine.dispose()


def _run(rivals: list) -> None:
    for rival in rivals:
        rival.start()
    for rival in rivals:
        rival.join()
        assert rival.exitcode == 0


def test_of_four_processes_exactly_one_gets_each_of_a_thousand_pieces(tmp_path: Path) -> None:
    with opened(tmp_path / "store.sqlite3") as shop:
        shop.add_bars([NewBar(section=TUBE, length=Fraction(500))] * PIECES, WHO)
        _keep_plans(shop)
        won, start = CONTEXT.Queue(), CONTEXT.Barrier(RIVALS)
        url = str(shop.engine.url)
        shop.engine.dispose()
        rivals = [CONTEXT.Process(target=_compete, args=(url, rival, PIECES, start, won)) for rival in range(RIVALS)]
        _run(rivals)
        winners = dict(won.get(timeout=60) for _ in rivals)
        assert sorted(number for mine in winners.values() for number in mine) == list(range(1, PIECES + 1))
        owners = {bar.number: bar.work for bar in shop.bars()}
        assert owners == {number: f"{rival}-{number}" for rival, mine in winners.items() for number in mine}
        assert {bar.state for bar in shop.bars()} == {BarState.RESERVED}
        assert sum(bool(mine) for mine in winners.values()) > 1, "had one got all, it would have been no contest"
        assert shop.balance() == ()


def _tick(url: str, work: str, slots: list[int], start, told: multiprocessing.Queue) -> None:
    shop = ShopStore(open_database(url), milliseconds)
    start.wait(120)  # one who died before the start must not keep the others waiting
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
        _run([CONTEXT.Process(target=_tick, args=(str(shop.engine.url), work, slots, start, told)) for _ in range(3)])
        answers = sum((told.get(timeout=60) for _ in range(3)), Counter())
        assert answers == {"first": 20, "repeated": 40, "spoilt": 20, "spoilt already": 40}
        assert len(shop.work(work).made) == 20
        assert shop.balance() == ()


def test_of_two_proposals_for_one_work_the_second_is_out_of_date(tmp_path: Path) -> None:
    with opened(tmp_path / "store.sqlite3") as shop:
        work = begun(shop)
        slot = shop.work(work).slots[0]
        shop.spoilt(work, slot.id, 1, WHO)
        one, two = (replan(shop.work(work), shop.bars(), limit=20.0, cores=1) for _ in range(2))
        shop.accept(work, one, one.version, "Ana")
        try:
            shop.accept(work, two, two.version, "Ben")
        except StaleError:
            assert shop.work(work).work.mark == "B"
        else:
            raise AssertionError("both were put in force")
