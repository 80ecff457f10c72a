"""What every test run says at its end."""

from collections import Counter

import pytest


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say loudly what was left out and why: a run without LibreOffice is not a whole run."""
    reasons = Counter(str(report.longrepr[2]) for report in terminalreporter.stats.get("skipped", []))
    if reasons:
        terminalreporter.section("LEFT OUT", sep="!", red=True, bold=True)
        for reason, count in sorted(reasons.items()):
            terminalreporter.write_line(f"{count} tests: {reason.removeprefix('Skipped: ')}", red=True)
