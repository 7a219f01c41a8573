"""A whole cycle and all that can go wrong with it leave nobody's words, name or number in the log.

Everything of ours is listened to at the lowest level, however little a running bot lets through.
"""

import logging
from datetime import datetime, timedelta
from typing import Any

import pytest

from bot.engines.scheduler import Tried
from bot.exchange import Fetching
from bot.exchange.fetching import Listed
from bot.outbox.channel import Later
from bot.protocols import Today
from bot.store.transaction import Store
from flows.parts.clinic import Clinic
from flows.parts.events import FreeText
from tests.exchange.test_whole_cycle import obeys
from tests.kit.shell import ANN, ELLA, NAMES, NUMBERS, PINS, SHARED, SITE, shell

STRANGER = "+12025550199"
WORDS = "the cable is frayed, ask Mary"


class Broken(Exception):
    """With whatever the text held."""


def breaks(_: Clinic) -> Today:
    raise Broken(f"{WORDS} {ANN} Ann 271828")


def breaks_to_send(*_: Any, **__: Any) -> Any:
    raise Broken(f"{ANN} {WORDS}")


def gone(_: datetime) -> list[Listed]:
    raise Later("the gateway cannot be reached (ConnectionError)")


def test_neither_numbers_names_texts_nor_pins_are_in_the_log(
    store: Store, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG, "bot")
    caplog.set_level(logging.DEBUG, "flows")
    clinic = shell(store)
    obeys(clinic)
    for number, body in ((SHARED, "4 271828"), (SHARED, "4 9999"), (ANN, f"fault v1 {WORDS}"),
                         (ELLA, "used v1 Mary"), (STRANGER, WORDS)):  # fmt: skip
        clinic.sends(number, body)
    broken = clinic.without(protocols=breaks)
    broken.sends(SHARED, "4 271828", sid="SMx1")
    broken.sends(ANN, f"spill {WORDS}", sid="SMx2")
    broken.exchange.fact(SITE, FreeText("spill", "digest"))
    broken.clock.advance(timedelta(hours=8))
    broken.exchange.ring_due()
    clinic.phones.send = breaks_to_send  # type: ignore[method-assign]
    Tried("send", clinic.sender.send_due)()
    Tried("fetch", Fetching(clinic.exchange, store, clinic.clock, gone).fetch)()

    told = "\n".join(record.getMessage() for record in caplog.records)
    texts = [
        body for (body,) in clinic.rows("SELECT body FROM inbox UNION SELECT body FROM outbox")
    ]
    for kind in (
        "text SMx1 failed",
        "text SMx2 failed",
        "FreeText of hill failed",
        "bell ",
        "send failed",
        "fetch failed",
    ):
        assert kind in told
    secret = [*NUMBERS.values(), STRANGER, *NAMES.values(), *PINS.values(), "Mary", *texts]
    assert [each for each in secret if len(each) > 2 and each in told] == []
    assert [record.exc_info for record in caplog.records if record.exc_info] == []
    assert [line for line in told.splitlines() if "error=" not in line] == []
