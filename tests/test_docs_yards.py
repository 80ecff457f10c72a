"""What the README shows of buying from yards is what the command prints."""

import re
from pathlib import Path

from typer.testing import CliRunner

from cli.main import app
from cutting.question.job import Source
from shared.reading import read_offers, read_parts

ROOT = Path(__file__).parents[1]


def test_the_comparison_is_what_the_command_prints() -> None:
    shown = re.findall(r"```text\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
    job = str(ROOT / "fixtures" / "two_yards.toml")
    done = CliRunner().invoke(app, ["compare", job, "--time-limit", "60"])
    assert done.exit_code == 0
    assert done.stdout in shown
    saved = dict(
        re.findall(r"without (the rack|cuts by the yard|substitutes)(?:\s+USD [\d.,]+){2}\s+USD ([\d.]+)", done.stdout)
    )
    words = f"The rack saved {saved['the rack']}, cuts by the yard {saved['cuts by the yard']}"
    assert words in (ROOT / "README.md").read_text()


def test_the_lists_it_shows_are_read_as_it_says() -> None:
    shown = re.findall(r"```text\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
    block = next(text for text in shown if "Harbour Steel:" in text)
    lines = [re.split(r"\s{6,}", line)[0] for line in block.splitlines() if line]
    sticks, rack, parts = "\n".join(lines[:2]), lines[2], lines[3]
    found, questions = read_offers(sticks, kind=Source.STICKS)
    assert questions == ()
    assert [(each.yard, each.breaks[0].least) for each in found.offers] == [("Harbour Steel", 10)]
    pieces, questions = read_offers(rack, kind=Source.RACK, yards=["Harbour Steel", "North Yard Metals"])
    assert questions == ()
    assert [each.yard for each in pieces.offers] == ["North Yard Metals"]
    needed, questions = read_parts(parts)
    assert questions == ()
    assert needed.parts[0].substitutes[0].remark == "heavier"
    for yard_column in ("yard", "supplier"):
        table = f"{yard_column},section,length,price\nNorth Yard,SHS 2x2x1/8,20 ft,61.40\nHarbour,SHS 2x2x1/8,20 ft,60"
        assert read_offers(table, kind=Source.STICKS)[0].offers[0].yard == "North Yard"
