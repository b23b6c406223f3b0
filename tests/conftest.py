"""What all tests share: Hypothesis settings, and the count of checks against the outside world."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import settings

if TYPE_CHECKING:
    import pytest
    from _pytest.terminal import TerminalReporter

# A busy machine is no reason to fail; a failure prints the line that repeats it.
settings.register_profile("weftline", deadline=None, print_blob=True)
settings.load_profile("weftline")


OUTSIDE = ("outside", "true")
"""Travels with a test's report, also from one process to another."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Note on every check against the outside world that it is one."""
    for item in items:
        if item.get_closest_marker("outside"):
            item.user_properties.append(OUTSIDE)


def pytest_terminal_summary(terminalreporter: TerminalReporter) -> None:
    """Say how many checks against published sources and independent libraries held."""
    held = [report for report in terminalreporter.stats.get("passed", []) if OUTSIDE in report.user_properties]
    terminalreporter.write_line(f"outside checks: {len(held)} held against published sources or independent libraries")
