"""The invented district, and a browser that looks at its phones."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from bot import wiring
from bot.cli.demo import begin, phones_of
from bot.cli.district import read_district
from bot.clock import FastClock
from tests.web.phone.browser import SIX_UTC, Browser

DISTRICT = read_district()


@pytest.fixture(scope="session")
def settled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The district, set up once: hashing its PINs is slow on purpose."""
    path = tmp_path_factory.mktemp("district") / "soakbell.db"
    clock = FastClock(SIX_UTC, ticks=lambda: 0.0)
    bot, _ = wiring.demo(f"sqlite:///{path}", clock)
    begin(DISTRICT, bot, clock)
    bot.close()
    return path


@pytest.fixture
def browser(settled: Path, tmp_path: Path) -> Iterator[Browser]:
    path = shutil.copy(settled, tmp_path / "soakbell.db")
    ticks = [0.0]
    clock = FastClock(SIX_UTC, ticks=lambda: ticks[0])
    bot, screens = wiring.demo(f"sqlite:///{path}", clock)
    yield Browser(bot, phones_of(DISTRICT, bot, clock, screens), ticks)
    bot.close()
