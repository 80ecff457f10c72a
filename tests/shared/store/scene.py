"""A shop with a plan in its store, for tests: jobs of ours, solved, kept, and taken in hand."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from cutting.answer.plan import Plan, Result
from cutting.question.job import Ends, Job, Lean, Measure, Part, Saw, Section, Source, Stick
from cutting.question.lengths import Unit
from cutting.solve import solve
from shared.files.job import Format, write_job
from shared.files.plan import write_plan
from shared.sections import understand
from shared.store import NewJob, ShopStore, Store, open_database
from shared.work.rack.bars import NewBar
from shared.work.saw.ledger import Account
from shared.work.saw.work import Slot, SlotState, WorkBook
from tests.builders import PATIENCE
from tests.clock import milliseconds

TUBE = understand("SHS 50x50x3", "")
FLAT = understand("FLAT 40x5", "galvanised")
WHO = "Saw 1"
ZERO = Fraction(0)


@contextlib.contextmanager
def opened(path: Path) -> Iterator[ShopStore]:
    shop = ShopStore(open_database(f"sqlite:///{path}"), milliseconds)
    yield shop
    shop.engine.dispose()


def mitre(length: int, degrees: int = 45) -> tuple[Fraction, Ends]:
    angles = (Fraction(degrees), Fraction(degrees))
    return Fraction(length), Ends(angles=angles, lean=Lean.OPPOSED, measure=Measure.LONG_POINT)


def stick(
    name: str,
    length: int,
    *,
    section: Section = TUBE,
    source: Source = Source.STICKS,
    count: int | None = None,
    trims: tuple[int, int] = (5, 0),
    usable: int | None = None,
) -> Stick:
    return Stick(
        id=name,
        section=section,
        length=Fraction(length),
        source=source,
        price=None,
        available=count,
        trims=(Fraction(trims[0]), Fraction(trims[1])),
        usable=None if usable is None else Fraction(usable),
    )


def part(mark: str, length: int, quantity: int, *, section: Section = TUBE, ends: Ends | None = None) -> Part:
    return Part(mark=mark, section=section, length=Fraction(length), quantity=quantity, ends=ends)


def stalls(*sticks: Stick, parts: tuple[Part, ...] | None = None, keep_from: int | None = 300) -> Job:
    """Frames of market stalls: legs and rails from 6 m tube."""
    return Job(
        parts=parts or (part("LEG", 2100, 4), part("RAIL", 900, 3)),
        sticks=sticks or (stick("MILL", 6000),),
        saw=Saw(kerf=Fraction(5, 2)),
        unit=Unit.MM,
        title="Market stalls",
        keep_from=None if keep_from is None else Fraction(keep_from),
    )


def solved(job: Job) -> Result:
    result = solve(job, limit=PATIENCE, cores=1)
    assert result.plan is not None, result.proof.infeasible
    return result


def kept(shop: ShopStore, job: Job, result: Result | None = None, *, draft: bool = False) -> str:
    """Keep a job with its final plan; return its id."""
    store = Store(shop.engine, milliseconds)
    result = result or solved(job)
    document = write_job(job, Format.TOML)
    made, _ = store.add(
        NewJob(
            document=document,
            title=job.title,
            digest="d",
            limit_seconds=1.0,
            seed=0,
            client="test",
            draft=draft,
        )
    )
    store.claim(made.id)
    assert store.finish(made.id, write_plan(job, result), seconds=0.1, stopped=False)
    return made.id


def begun(shop: ShopStore, job: Job | None = None) -> str:
    """Take a job in hand."""
    work = kept(shop, job or stalls())
    shop.begin(work, WHO)
    return work


def open_slots(book: WorkBook) -> list[Slot]:
    return [slot for slot in book.slots if slot.state is SlotState.OPEN]


def put(shop: ShopStore, *lengths: int, section: Section = TUBE, **more: object) -> list[int]:
    """Put free pieces on the rack."""
    news = [NewBar(section=section, length=Fraction(length), **more) for length in lengths]
    return list(shop.add_bars(news, WHO).bars)


def account(shop: ShopStore, name: Account, section: Section = TUBE) -> Fraction:
    return shop.accounts().get((section.key, name), ZERO)


def planned(result: Result) -> Plan:
    assert result.plan is not None
    return result.plan
