"""What every test stands on: the kit's fixtures, the rule about skips, and repeatable examples."""

from pathlib import Path

import pytest
from hypothesis import settings

pytest_plugins = ["tests.kit.database", "tests.kit.demand"]
"""Fixtures live in the kit, a file each; a new one is named here."""

# The same examples every time, so that a red run can be repeated; `--hypothesis-profile=searching`
# looks for new ones.
settings.register_profile("repeatable", derandomize=True, deadline=None, database=None)
settings.register_profile("searching", max_examples=2_000, deadline=None)
settings.load_profile("repeatable")

_KILLED = Path(__file__).parent / "whole" / "test_killed.py"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What waits for killed processes, most of its time, goes first: others run beside it."""
    items.sort(key=lambda item: item.path != _KILLED)
