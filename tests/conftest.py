"""What every test run rests on, and what it says at its end."""

from collections import Counter

import pytest
from hypothesis import HealthCheck, settings

from tests.kinds import unsaid

# How long an example takes says how busy the machine is, and nothing about the code.
settings.register_profile("any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("any machine")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Refuse a marker that doesn't say what it must."""
    faults = [fault for item in items if (fault := unsaid(item))]
    if faults:
        raise pytest.UsageError("\n".join(faults))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say loudly what was left out and why: a run without LibreOffice is not a whole run."""
    reasons = Counter(str(report.longrepr[2]) for report in terminalreporter.stats.get("skipped", []))
    if reasons:
        terminalreporter.section("LEFT OUT", sep="!", red=True, bold=True)
        for reason, count in sorted(reasons.items()):
            terminalreporter.write_line(f"{count} tests: {reason.removeprefix('Skipped: ')}", red=True)
