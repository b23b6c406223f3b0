"""What all tests share: Hypothesis settings, and the count of checks against the outside world."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import settings

if TYPE_CHECKING:
    from _pytest.terminal import TerminalReporter

# A busy machine is no reason to fail; a failure prints the line that repeats it.
settings.register_profile("weftline", deadline=None, print_blob=True)
settings.load_profile("weftline")


def pytest_terminal_summary(terminalreporter: TerminalReporter) -> None:
    """Say how many checks against published sources and independent libraries held."""
    held = [report for report in terminalreporter.stats.get("passed", []) if "outside" in report.keywords]
    terminalreporter.write_line(f"outside checks: {len(held)} held against published sources or independent libraries")
