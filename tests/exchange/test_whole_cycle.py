"""One device from CLEAN to its release through the bot's own door, by a worker who obeys."""

import re
from datetime import timedelta

from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.store.transaction import Store
from flows.parts.clinic import Standing
from flows.parts.events import BellRang, Immersed, Released, TakenOut
from tests.kit.shell import ANN, SITE, Shell, shell, statements

MINUTE = timedelta(minutes=1)

WAITS = {"read the strip after": timedelta(seconds=92)}
EXPECTED = (
    r"(\d) all purple",
    r"(IN 21\.5)",
    r"(?:OUT|RINSED) \d\d(?: \d\d\.\d)?",
    r"[Rr]eply (?:only )?([A-Z]+(?: T\d)?)",
    r": ([A-Z]{3,})\b",
)


def answer_to(asked: str) -> str | None:
    """The answer that a text asks for; None where it only tells something."""
    for pattern in EXPECTED:
        found = re.search(pattern, asked)
        if found:
            return found[found.lastindex or 0]
    return None


def obeys(clinic: Shell) -> int:
    """Do what each text says until the device is released; the most statements a text took."""
    most = 0
    clinic.sends(ANN, "CLEAN V1")
    for _ in range(60):
        if clinic.entries(Released):
            return most
        asked = clinic.heard(ANN)[-1]
        clinic.wait(next((wait for text, wait in WAITS.items() if text in asked), MINUTE))
        asked = clinic.heard(ANN)[-1]
        answer = answer_to(asked)
        if answer:
            with statements(clinic.store) as sent:
                clinic.sends(ANN, answer)
            most = max(most, len(sent))
    raise AssertionError(clinic.heard(ANN)[-6:])


def test_a_worker_who_obeys_has_a_released_device_and_a_whole_record(store: Store) -> None:
    clinic = shell(store)

    most = obeys(clinic)

    (immersed,), (taken_out,) = clinic.entries(Immersed), clinic.entries(TakenOut)
    soaked = taken_out.event.ended - immersed.at  # type: ignore[attr-defined]
    assert clinic.clinic.devices["V1"].standing is Standing.RELEASED
    assert soaked >= 12 * MINUTE
    assert [each.event.kind for each in clinic.entries(BellRang)][-1] == "contact"  # type: ignore[attr-defined]
    assert most <= 11
    with store.read() as connection:
        assert verify(connection, SITE) == []
    assert rebuild(store, SITE) == []
