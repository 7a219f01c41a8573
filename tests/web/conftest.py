"""A clinic behind its web doors, on both databases."""

from collections.abc import Iterator

import pytest

from tests.web.clinic import Clinic, opened


@pytest.fixture
def clinic(database: str) -> Iterator[Clinic]:
    clinic = opened(database)
    yield clinic
    clinic.bot.close()
