"""A job with yards on the page: what is paid to whom, what the yard cuts, and what the designer must confirm."""

import json
import tomllib
from decimal import Decimal
from pathlib import Path

from tests.served import Served

FIXTURE = Path(__file__).parents[2] / "fixtures" / "two_yards.toml"


def test_the_page_shows_orders_cuts_and_changed_parts(served: Served) -> None:
    job = json.loads(json.dumps(tomllib.loads(FIXTURE.read_text(), parse_float=Decimal), default=str))
    answer = served.post(job, wait=60).json()
    assert answer["plan"]["status"] == "optimal"
    page = served.client.get(f"/plans/{answer['id']}").text
    for order in answer["plan"]["orders"]:
        assert f"{order['yard']}, together" in page
    assert answer["plan"]["changes"]
    assert "designer must confirm" in page
    assert "of each you carry home" in page
    assert "1,410.50" in page
    saw = served.client.get(f"/plans/{answer['id']}/saw").text
    assert "designer must confirm" in saw
