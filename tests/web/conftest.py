"""A clinic behind its web doors, on both databases."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.web.clinic import Clinic, opened


@pytest.fixture
def clinic(database: str) -> Iterator[Clinic]:
    clinic = opened(database)
    yield clinic
    clinic.bot.close()


@pytest.fixture
def door(sqlite_template: Path, tmp_path: Path) -> Iterator[Clinic]:
    """The same on one database: for what is decided before any row is touched."""
    clinic = opened(f"sqlite:///{shutil.copy(sqlite_template, tmp_path / 'soakbell.db')}")
    yield clinic
    clinic.bot.close()
