"""A service that runs inside the test process, on a port of its own."""

import contextlib
import socket
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import httpx
import uvicorn

from api.app import create_app
from api.service.running import Service
from api.service.settings import LONGEST_SOLVE, Limits, Settings
from api.serving import server_config
from shared.store.place import sqlite_url
from tests.builders import PATIENCE


def stand(**changes):
    """A small job of ours: solved in a blink."""
    return {
        "title": "Kayak stand",
        "unit": "in",
        "currency": "USD",
        "saw": {"kerf": "3/32", "end_trim": "1/4"},
        "parts": [
            {"mark": "A", "section": "SHS 1-1/2x1-1/2x1/8", "length": "80 1/2", "quantity": 4},
            {"mark": "B", "section": "SHS 1-1/2x1-1/2x1/8", "length": "34 5/8", "quantity": 6},
        ],
        "sticks": [{"section": "SHS 1-1/2x1-1/2x1/8", "length": "20 ft", "price": "61.40"}],
        **changes,
    }


def long_job(seed: int = 1):
    """A job that no computer proves within the minute a test may ask for: by threes its parts fill sticks exactly.

    Of 200 sticks so filled a gap was left after a minute of one core; 134 took six seconds.
    """
    import random

    chance = random.Random(seed)
    filled = [_three(chance) for _ in range(200)]
    lengths = [length for three in filled for length in three]
    chance.shuffle(lengths)
    return {
        "title": "Firewood racks",
        "unit": "mm",
        "currency": "EUR",
        "saw": {"kerf": "2.4"},
        "parts": [{"section": "SHS 40x40x3", "length": f"{length / 10}", "quantity": 1} for length in lengths],
        "sticks": [
            {"section": "SHS 40x40x3", "length": "6000", "price": "31.37"},
            {"section": "SHS 40x40x3", "length": "6553", "price": "35.11"},
            {"section": "SHS 40x40x3", "length": "7500", "price": "39.97"},
        ],
    }


def _three(chance):
    """Lengths of three parts, in tenths of a millimetre, that with two kerfs between them are 6 m."""
    while True:
        one, other = chance.randint(9000, 30000), chance.randint(9000, 30000)
        rest = 60000 - 2 * 24 - one - other
        if 9000 <= rest <= 30000:
            return one, other, rest


@dataclass
class Served:
    """A running service and a client for it."""

    url: str
    service: Service
    client: httpx.Client = field(init=False)

    def __post_init__(self) -> None:
        self.client = httpx.Client(base_url=self.url, timeout=PATIENCE)

    def post(
        self, job=None, *, wait: int | None = None, limit: float = LONGEST_SOLVE, **headers: str
    ) -> httpx.Response:
        """Post a job."""
        if wait is not None:
            headers["Prefer"] = f"wait={wait}"
        return self.client.post(f"/v1/jobs?limit={limit}", json=job or stand(), headers=headers)

    def until(self, job_id: str, *states: str, seconds: float = PATIENCE) -> dict:
        """Wait until a job is in one of some states; by default until it is over."""
        wanted = states or ("done", "failed", "cancelled")
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            status = self.client.get(f"/v1/jobs/{job_id}").json()
            if status["state"] in wanted:
                return status
            time.sleep(0.05)
        raise AssertionError(f"still {status['state']}, not {wanted}")


def few(**changes) -> Limits:
    """Limits that suit a test: one solve at once, short graces."""
    return Limits(**{"places": 1, "stop_grace": 3.0, **changes})


@contextlib.contextmanager
def serving(
    folder: Path, *, limits: Limits | None = None, password: str | None = None, trusted_proxies: tuple[str, ...] = ()
) -> Iterator[Served]:
    """Run a service while a test lasts."""
    settings = Settings(database=sqlite_url(folder / "store.sqlite3"), limits=limits or few(), password=password)
    gate = create_app(settings)
    bound = socket.socket()
    bound.bind(("127.0.0.1", 0))
    config = server_config(gate, settings.limits, trusted_proxies)
    config.timeout_graceful_shutdown = 2
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [bound]})
    thread.start()
    try:
        end = time.monotonic() + PATIENCE
        while not server.started:
            assert thread.is_alive(), "the service didn't start"
            assert time.monotonic() < end, "the service doesn't start"
            time.sleep(0.02)
        served = Served(url=f"http://127.0.0.1:{bound.getsockname()[1]}", service=gate.service)
        with served.client:
            yield served
    finally:
        server.should_exit = True
        thread.join()
        bound.close()
