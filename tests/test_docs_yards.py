"""What the README shows of buying from yards is what the command prints."""

import re
from pathlib import Path

from typer.testing import CliRunner

from cli.main import app

ROOT = Path(__file__).parents[1]


def test_the_comparison_is_what_the_command_prints() -> None:
    shown = re.findall(r"```text\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
    job = str(ROOT / "fixtures" / "two_yards.toml")
    done = CliRunner().invoke(app, ["compare", job, "--time-limit", "60"])
    assert done.exit_code == 0
    assert done.stdout in shown
    saved = dict(
        re.findall(r"without (the rack|cuts by the yard|substitutes)\s+USD [\d.,]+\s+USD ([\d.]+)", done.stdout)
    )
    words = f"The rack saved {saved['the rack']}, cuts by the yard {saved['cuts by the yard']}"
    assert words in (ROOT / "README.md").read_text()
