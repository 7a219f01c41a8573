"""The morning text over the whole bot: once, however many look, and made from the record."""

from datetime import UTC, datetime, timedelta
from threading import Thread

from bot.record.rebuild import rebuild
from bot.store.transaction import Store
from bot.timers import claim
from flows.calculations.hours import spread_of
from flows.parts.events import BellRang, BellSet, SiteChoiceMade
from tests.kit.shell import ANN, SITE, Shell, shell

MORNING = datetime(2026, 3, 3, 7, 30, tzinfo=UTC) + spread_of(SITE)
"""Half past seven of the clinic's own Tuesday, or a little later."""


def heard(clinic: Shell) -> list[str]:
    return [body for body in clinic.heard(ANN) if body.startswith("Good morning")]


def test_it_is_told_once_though_many_look_at_the_same_moment(store: Store) -> None:
    clinic = shell(store)
    clinic.clock.set(MORNING)

    lookers = [Thread(target=clinic.exchange.ring_due) for _ in range(4)]
    for each in lookers:
        each.start()
    for each in lookers:
        each.join()

    assert len(heard(clinic)) == 1
    assert len(clinic.entries(BellRang)) == 1


def test_one_who_claimed_it_and_died_has_only_delayed_it(store: Store) -> None:
    clinic = shell(store)
    clinic.clock.set(MORNING)
    (claimed,) = claim(store, MORNING, 10, timedelta(seconds=30))

    at_once = clinic.exchange.ring_due()
    clinic.clock.set(MORNING + timedelta(seconds=31))
    later = clinic.exchange.ring_due()

    assert claimed.bell == "morning"
    assert (at_once, later) == (0, 1)
    assert len(heard(clinic)) == 1


def test_until_its_moment_it_costs_no_exchange(store: Store) -> None:
    clinic = shell(store)
    before = len(clinic.entries())

    clinic.clock.set(MORNING - timedelta(seconds=1))
    rung = clinic.exchange.ring_due()

    assert rung == 0
    assert len(clinic.entries()) == before


def test_use_is_read_from_the_record_and_what_hangs_is_made_again_from_it(store: Store) -> None:
    clinic = shell(store)
    clinic.exchange.facts(SITE, [SiteChoiceMade("site", "strips_in_bottle", "1", "")])
    clinic.sends(ANN, "TEST T1")
    clinic.wait(timedelta(seconds=30))
    clinic.sends(ANN, "DIP T1")
    clinic.clock.set(MORNING)

    clinic.exchange.ring_due()

    (soon,) = [body for body in clinic.heard(ANN) if body.startswith("Soon:")]
    assert soon.startswith("Soon: S1: strips left 0; ")
    assert clinic.clinic.bells["morning"].due == MORNING + timedelta(days=1)
    assert len(clinic.entries(BellSet)) >= 2
    assert rebuild(store, SITE) == []
