"""What every test stands on: skips that may be forbidden, and the clinic, phone and database."""

import os
from collections.abc import Generator

import pytest
from hypothesis import settings

from tests.kit.database import (  # noqa: F401 - fixtures
    bare_database,
    database,
    postgresql,
    sqlite_template,
    store,
)

DEMAND = "SOAKBELL_TEST_DEMAND"
"""`all`: here are PostgreSQL, a browser and the gateway's description; no test may be skipped."""

# The same examples every time, so that a red run can be repeated; `--hypothesis-profile=searching`
# looks for new ones.
settings.register_profile("repeatable", derandomize=True, deadline=None, database=None)
settings.register_profile("searching", max_examples=2_000, deadline=None)
settings.load_profile("repeatable")


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


# lead: the fixtures (clock, clinic, phone, database) stand below this line.
