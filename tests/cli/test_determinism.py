"""Same job, same seed, same versions: the same plan, byte for byte, whatever the hash seed."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from shared.files.plan import PlanFile
from tests.builders import PATIENCE

ROOT = Path(__file__).parents[2]


def plan_of(job: Path, hash_seed: str, *options: str) -> bytes:
    done = subprocess.run(
        [sys.executable, "-c", "from cli.main import run; run()", "plan", str(job), "--json", "-", *options],
        capture_output=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": hash_seed},
        timeout=PATIENCE,
        check=True,
    )
    return done.stdout


@pytest.mark.parametrize("name", ["market_stalls.toml", "kayak_racks.toml", "published/paper_rolls_kerf_3.toml"])
def test_two_hash_seeds_give_the_same_bytes(name: str) -> None:
    job = ROOT / "fixtures" / name
    first, second = plan_of(job, "1"), plan_of(job, "2")
    assert PlanFile.model_validate_json(first).status == "optimal"
    assert first == second


def test_one_core_or_two_give_the_same_plan() -> None:
    from cutting.solve import solve
    from shared.files.job import read_job

    path = ROOT / "fixtures" / "market_stalls.toml"
    job, _ = read_job(path.read_bytes(), name=path.name)
    assert job is not None
    assert solve(job, cores=1, limit=PATIENCE).plan == solve(job, cores=2, limit=PATIENCE).plan
