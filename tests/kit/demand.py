"""Where everything is demanded, a skip is a failure that gives its reason."""

import os
from collections.abc import Generator

import pytest

DEMAND = "SOAKBELL_TEST_DEMAND"
"""`all`: here are PostgreSQL, a browser and the gateway's description; no test may be skipped."""


def pytest_configure() -> None:
    asked = os.environ.get(DEMAND, "")
    if asked not in {"", "all"}:
        raise pytest.UsageError(f"{DEMAND} is '{asked}'; it may be 'all', or not set.")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    _demand(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    report = yield
    _demand(report)
    return report


def _demand(report: pytest.TestReport | pytest.CollectReport) -> None:
    """Turn a skip into a failure that gives the skip's reason; an expected failure stays one."""
    if os.environ.get(DEMAND) != "all" or not report.skipped or hasattr(report, "wasxfail"):
        return
    why = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
    report.outcome = "failed"
    report.longrepr = f"{DEMAND}=all forbids skips, and this was one. {why}"
