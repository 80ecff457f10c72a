"""Load: many clients at once, a kill -9 in the middle, memory over hundreds of jobs, the time a request adds.

``python -m tests.benchmarks.load`` starts the service as a person would and says what it measured. It ends with exit
code 1 where a job was lost, answered twice, or answered by a 5xx.
"""

import argparse
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import httpx

from tests.served import stand

START_SECONDS = 600


class Program:
    """`tallystick serve` in a process of its own, in a folder that outlives it."""

    def __init__(self, folder: Path, *options: str) -> None:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self.client = httpx.Client(base_url=self.url, timeout=600, limits=httpx.Limits(max_keepalive_connections=0))
        self._folder = folder
        self._options = options
        self.process = self._start()

    def _start(self) -> subprocess.Popen:
        command = [sys.executable, "-c", "from cli.main import run; run()", "serve", "--data", str(self._folder)]
        process = subprocess.Popen(
            [*command, "--port", str(self.port), *self._options], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        end = time.monotonic() + START_SECONDS
        while time.monotonic() < end:
            try:
                if self.client.get("/readyz").status_code == 200:
                    return process
            except httpx.TransportError:
                time.sleep(0.1)
        raise RuntimeError("the service doesn't start")

    def kill(self) -> None:
        """End it as a power cut would."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def restart(self) -> None:
        """Start it again over the same folder."""
        self.process = self._start()

    def stop(self) -> None:
        """End it as a person would."""
        self.client.close()
        self.process.send_signal(signal.SIGINT)
        self.process.wait(timeout=600)

    def memory(self) -> int:
        """Resident bytes of the service's own process (Linux)."""
        return int(Path(f"/proc/{self.process.pid}/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")


def job(number: int) -> dict:
    """A small job that no other one equals."""
    parts = stand()["parts"]
    return stand(title=f"Stand {number}", parts=[{**parts[0], "quantity": 1 + number % 5}, parts[1]])


def post(client: httpx.Client, number: int, statuses: Counter, seconds: float = 600) -> str:
    """Post until it is taken: a full queue, a refused connection and a restart are waited out with the same key."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            headers = {"Idempotency-Key": f"load-{number}", "X-Client": f"client {number % 20}"}
            answer = client.post("/v1/jobs", json=job(number), headers=headers)
        except httpx.TransportError:
            statuses["no connection"] += 1
            time.sleep(0.2)
            continue
        statuses[answer.status_code] += 1
        if answer.status_code in {200, 202}:
            return answer.json()["id"]
        time.sleep(float(answer.headers.get("retry-after", "0.2")))
    raise RuntimeError(f"job {number} was never taken")


def settle(client: httpx.Client, ids: list[str], seconds: float = 900) -> Counter:
    """Wait until all jobs are over; count how they ended."""
    end = time.monotonic() + seconds
    states: dict[str, str] = {}
    while len(states) < len(ids) and time.monotonic() < end:
        for job_id in ids:
            if job_id not in states:
                status = client.get(f"/v1/jobs/{job_id}").json()
                if status["state"] in {"done", "failed", "cancelled"}:
                    states[job_id] = f"{status['state']} {status['plan']['status'] if status['plan'] else ''}".strip()
        time.sleep(0.2)
    return Counter(states.values())


def crowd(program: Program, jobs: int, clients: int, *, kill: bool) -> dict:
    """Post jobs by many clients; kill the service in the middle and start it again where asked."""
    statuses: Counter = Counter()
    begin = time.monotonic()
    killer = threading.Timer(0.5, lambda: (program.kill(), program.restart())) if kill else None
    if killer:
        killer.start()
    with ThreadPoolExecutor(clients) as pool:
        ids = list(pool.map(lambda number: post(program.client, number, statuses), range(jobs)))
    if killer:
        killer.join()
    states = settle(program.client, ids)
    listed = program.client.get("/v1/jobs?count=200").json()["jobs"]
    return {
        "jobs": jobs,
        "clients": clients,
        "killed": kill,
        "seconds": round(time.monotonic() - begin, 1),
        "statuses": dict(statuses),
        "states": dict(states),
        "ids": len(set(ids)),
        "titles twice": len(listed) - len({one["title"] for one in listed}),
    }


def waits(program: Program, times: int) -> dict:
    """How much a request with Prefer: wait adds to the engine's own time."""
    extra = []
    for number in range(times):
        begin = time.monotonic()
        answer = program.client.post("/v1/jobs", json=job(number), headers={"Prefer": "wait=60"}).json()
        extra.append(1000 * (time.monotonic() - begin - answer["seconds"]))
    extra.sort()
    return {"times": times, "median ms": round(extra[times // 2]), "worst ms": round(extra[-1])}


def growth(program: Program, jobs: int) -> dict:
    """The service's resident memory after a tenth of the jobs and after all of them, in MiB."""
    measured = []
    for number in range(jobs):
        program.client.post("/v1/jobs", json=job(number), headers={"Prefer": "wait=60"})
        if number in {jobs // 10, jobs - 1}:
            measured.append(round(program.memory() / 2**20, 1))
    return {"jobs": jobs, "MiB after a tenth": measured[0], "MiB at the end": measured[-1]}


def main() -> int:
    """Run what is asked for and say what came out."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--jobs", type=int, default=200)
    asked.add_argument("--clients", type=int, default=20)
    asked.add_argument("--memory", type=int, default=500, help="jobs of the memory test; 0 leaves it out")
    options = asked.parse_args()
    report, bad = {}, False
    for name, kill in (("crowd", False), ("crowd with kill -9", True)):
        folder = Path(tempfile.mkdtemp(prefix="tallystick-load-"))
        program = Program(folder)
        try:
            found = report[name] = crowd(program, options.jobs, options.clients, kill=kill)
            bad = bad or found["states"] != {"done optimal": options.jobs} or found["ids"] != options.jobs
            bad = bad or found["titles twice"] > 0 or any(str(status).startswith("5") for status in found["statuses"])
            if not kill:
                report["wait"] = waits(program, 20)
                if options.memory:
                    report["memory"] = growth(program, options.memory)
        finally:
            program.stop()
            shutil.rmtree(folder)
    sys.stdout.write(json.dumps(report, indent=2) + "\n")
    return int(bad)


if __name__ == "__main__":
    sys.exit(main())
