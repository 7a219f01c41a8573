"""Facts from elsewhere, the setting up of a site, and what the gateway did not bring."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import pytest

from bot.exchange import Fetching, Handled
from bot.exchange.path import Speaker
from bot.record.rebuild import rebuild
from bot.store.people import keep_number, names_of
from bot.store.transaction import Store
from flows.parts.events import (
    AlertRaised,
    CycleBegan,
    PhoneEnrolled,
    PhoneOptedOut,
    SiteOpened,
    TextUndelivered,
)
from tests.kit.shell import ANN, ELLA, NAMES, NINE, SITE, shell

MINUTE = timedelta(minutes=1)


def test_a_site_is_set_up_with_its_names_and_numbers_in_one_go(store: Store) -> None:
    clinic = shell(store)

    with store.read() as connection:
        assert names_of(connection, SITE) == NAMES
    assert [*clinic.clinic.phones] == ["f1", "f3", "f9"]
    assert rebuild(store, SITE) == []


def test_names_are_not_kept_where_the_events_are_not(store: Store) -> None:
    clinic = shell(store)

    def two_phones_one_number(connection: object) -> None:
        keep_number(connection, SITE, "f8", "+12025550188")  # type: ignore[arg-type]
        raise RuntimeError

    with pytest.raises(RuntimeError):
        clinic.exchange.facts(
            SITE, (PhoneEnrolled("f8", ("p1",), shared=False),), also=two_phones_one_number
        )

    assert "f8" not in clinic.clinic.phones
    assert "+12025550188" not in clinic.everything_kept()


def test_setting_up_again_adds_to_what_is_there(store: Store) -> None:
    clinic = shell(store)

    clinic.exchange.set_up(SITE, (SiteOpened(SITE, "Etc/UTC", "18:00", "en"),))

    assert clinic.clinic.site is not None
    assert clinic.clinic.site.closes_at == "18:00"
    assert "f1" in clinic.clinic.phones


def test_a_fact_is_stamped_with_its_phone(store: Store) -> None:
    clinic = shell(store)

    clinic.exchange.fact(SITE, PhoneOptedOut("f1"), "f1")

    (told,) = clinic.entries(PhoneOptedOut)
    assert (told.at, told.person, told.phone, told.cause) == (NINE, None, "f1", None)
    assert clinic.clinic.phones["f1"].opted_out


def test_a_fact_is_stamped_with_the_person_who_stated_it(store: Store) -> None:
    clinic = shell(store)

    clinic.exchange.facts(SITE, (PhoneOptedOut("f1"),), Speaker(person="p9"))

    (told,) = clinic.entries(PhoneOptedOut)
    assert told.person == "p9"


def test_what_follows_from_a_fact_is_said(store: Store) -> None:
    clinic = shell(store)

    clinic.exchange.fact(SITE, TextUndelivered("f1", "7", "handset switched off"), "f1")

    assert len(clinic.heard(ELLA)) == 1


def broken(_: object) -> object:
    raise LookupError


def test_a_fact_that_breaks_is_kept_bare_and_told_and_not_told_again(store: Store) -> None:
    clinic = shell(store).without(protocols=broken)

    done = clinic.exchange.fact(SITE, PhoneOptedOut("f1"), "f1")

    (told,), (alert,) = clinic.entries(PhoneOptedOut), clinic.entries(AlertRaised)
    assert done is Handled.FAILED
    assert told.phone == "f1"
    assert alert.event.cause == "fact_failed"  # type: ignore[attr-defined]
    assert len(clinic.heard(ELLA)) == 1
    assert rebuild(store, SITE) == []


def test_facts_from_a_person_that_break_are_raised_and_leave_nothing(store: Store) -> None:
    clinic = shell(store).without(protocols=broken)

    with pytest.raises(LookupError):
        clinic.exchange.facts(SITE, (PhoneOptedOut("f1"),))

    assert clinic.entries(PhoneOptedOut) == []


# -- fetching -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Text:
    sid: str
    number: str
    body: str
    sent_at: datetime


class Gateway:
    def __init__(self, *texts: Text) -> None:
        self.texts = list(texts)
        self.asked_since: list[datetime] = []
        self.broken = False

    def listed(self, since: datetime) -> list[Text]:
        if self.broken:
            raise OSError
        self.asked_since.append(since)
        return self.texts


def test_a_text_that_was_not_brought_is_fetched_once_with_the_gateway_s_date(
    store: Store,
) -> None:
    clinic = shell(store)
    gateway = Gateway(Text("SM1", ANN, "clean v1", NINE - 3 * MINUTE))
    fetching = Fetching(clinic.exchange, store, clinic.clock, gateway.listed)

    fetched = [fetching.fetch(), fetching.fetch()]

    assert fetched == [1, 0]
    assert len(clinic.entries(CycleBegan)) == 1
    wanted = "SELECT sent_at < arrived_at, state FROM inbox"
    assert clinic.rows(wanted) == [(True, "handled")]


def test_a_text_that_was_brought_is_not_fetched(store: Store) -> None:
    clinic = shell(store)
    clinic.sends(ANN, "clean v1", sid="SM1")
    gateway = Gateway(Text("SM1", ANN, "clean v1", NINE))

    assert Fetching(clinic.exchange, store, clinic.clock, gateway.listed).fetch() == 0


def test_it_asks_since_the_last_text_at_first_and_then_since_it_last_asked(
    store: Store,
) -> None:
    clinic = shell(store)
    clinic.sends(ANN, "menu")
    gateway = Gateway()
    fetching = Fetching(clinic.exchange, store, clinic.clock, gateway.listed)

    clinic.clock.advance(30 * MINUTE)
    fetching.fetch()
    clinic.clock.advance(3 * MINUTE)
    fetching.fetch()

    assert gateway.asked_since == [NINE, NINE + 30 * MINUTE]


def test_a_gateway_out_of_reach_is_asked_again_for_all_that_time(store: Store) -> None:
    clinic = shell(store)
    gateway = Gateway()
    fetching = Fetching(clinic.exchange, store, clinic.clock, gateway.listed)
    fetching.fetch()
    gateway.broken = True
    clinic.clock.advance(3 * MINUTE)
    with pytest.raises(OSError):  # noqa: PT011 - it has no words
        fetching.fetch()

    gateway.broken = False
    clinic.clock.advance(3 * MINUTE)
    fetching.fetch()

    assert gateway.asked_since == [NINE, NINE]


def test_a_stranger_who_is_fetched_again_and_again_is_not_counted_so_often(store: Store) -> None:
    clinic = shell(store)
    gateway = Gateway(Text("SM1", "+12025550199", "hello", NINE))
    fetching = Fetching(clinic.exchange, store, clinic.clock, gateway.listed)

    for _ in range(3):
        fetching.fetch()

    assert clinic.rows("SELECT texts FROM stranger_count") == []
    assert Handled.STRANGER in Handled
