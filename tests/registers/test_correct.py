"""S15: an entry is corrected by another, which brings neither a name nor a story with it."""

from dataclasses import replace

import pytest

from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.record.written import of_kinds
from bot.registers.add import standing
from bot.registers.correct import Wish, correct
from bot.registers.draft import NotSetUp
from bot.registers.set_up import SetUp
from bot.store.people import text_of
from bot.store.transaction import Store
from flows.parts.events import Corrected
from tests.kit.sheets import MOMENT
from tests.kit.shell import ANN, SITE, Shell, shell

WHY = "Read the label wrong."


def number(bot: Shell, kind: str) -> int:
    with bot.store.read() as connection:
        return of_kinds(connection, SITE, (kind,))[0].seq


def wished(bot: Shell, kind: str, name: str, value: str, reason: str = WHY) -> SetUp:
    wish = Wish(number(bot, kind), name, value, reason)
    return correct(bot.store, SITE, wish, MOMENT, standing(bot.store, SITE))


def test_S15_a_correction_names_the_entry_and_changes_nothing_that_is(store: Store) -> None:
    bot = shell(store)
    before = bot.clinic
    made = wished(bot, "JugOpened", "lot", "L8")

    bot.exchange.facts(SITE, made.events, also=made.keep)

    (said,) = bot.entries(Corrected)
    event = said.event
    assert isinstance(event, Corrected)
    assert (event.entry, event.field, event.value) == (number(bot, "JugOpened"), "lot", "L8")
    assert said.person is None
    assert bot.clinic == before
    with store.read() as connection:
        assert text_of(connection, SITE, event.reason_digest) == WHY
        assert verify(connection, SITE) == []
    assert rebuild(store, SITE, check=True) == []
    assert WHY not in "".join(str(row) for row in bot.rows("SELECT body FROM entry"))


@pytest.mark.parametrize(
    ("kind", "name", "typed", "written"),
    [
        ("JugOpened", "expires", "2027-04-30", "2027-04-30"),
        ("JugOpened", "opened", "2026-03-01 08:30", "2026-03-01T08:30:00.000000Z"),
        ("JugOpened", "tag", "j2", "J2"),
        ("JugOpened", "lot", "none", ""),
        ("Poured", "kind", "bath", "bath"),
        ("Poured", "topped_up", "yes", "true"),
        ("PersonEnrolled", "number", "7", "7"),
        ("PersonEnrolled", "person", "p4", "p4"),
        ("SiteOpened", "day_order", "none", "null"),
        ("DeviceEnrolled", "device", "v2", "V2"),
    ],
)
def test_a_value_is_read_as_its_field_has_it(
    store: Store, kind: str, name: str, typed: str, written: str
) -> None:
    bot = shell(store)

    event, *_ = wished(bot, kind, name, typed).events

    assert isinstance(event, Corrected)
    assert event.value == written


@pytest.mark.parametrize(
    ("kind", "name", "typed", "why"),
    [
        ("JugOpened", "expires", "soon", "is no soon; a day as year, month, day"),
        ("JugOpened", "opened", "2026-03-01", "the site's own day and time"),
        ("JugOpened", "colour", "blue", "is no field of JugOpened; it has tag, product, lot"),
        ("JugOpened", "lot", "L1", "says that already"),
        ("JugOpened", "lot", "Ann", "would hold a name"),
        ("JugOpened", "product", "what ann told me", "would hold a name"),
        ("JugOpened", "product", "call 12025550101", "is not written like that"),
        ("JugOpened", "product", "it was late and nobody had looked", "is not written like that"),
        ("JugOpened", "because", "nonsense", "is a name or a sum of the bot's own"),
        ("JugOpened", "expires", "9999-12-31", "is no 9999-12-31; a day as year, month, day"),
        ("JugOpened", "opened", "9999-12-31 23:59", "the site's own day and time"),
        ("Poured", "poured", "2030-01-01 10:00", "which is still to come"),
        ("Poured", "kind", "bucket", "one of jug, bottle, bath"),
        ("PersonEnrolled", "person", "Cho", "is the opaque id of a person of this site"),
        ("PhoneEnrolled", "phone", "+12025550101", "is the opaque id of a phone of this site"),
        ("PhoneEnrolled", "people", "p1", "holds more than one value"),
        ("SiteOpened", "site", "vale", "is a name or a sum of the bot's own"),
    ],
)
def test_what_the_field_cannot_hold_is_refused_and_why_is_said(
    store: Store, kind: str, name: str, typed: str, why: str
) -> None:
    bot = shell(store)

    with pytest.raises(NotSetUp) as refused:
        wished(bot, kind, name, typed)

    assert why in str(refused.value)
    assert str(refused.value).startswith(f"entry {number(bot, kind)}: {name} ")


def test_S16_a_use_is_corrected_to_a_code_and_never_to_a_name(store: Store) -> None:
    bot = shell(store)
    bot.sends(ANN, "used v1 0412")

    (event,) = wished(bot, "DeviceUsed", "patient", "a 0413").events

    assert replace(event, reason_digest="") == Corrected(  # type: ignore[type-var]
        number(bot, "DeviceUsed"), "patient", "A0413", ""
    )
    with pytest.raises(NotSetUp, match="patient is not written like that"):
        wished(bot, "DeviceUsed", "patient", "Mrs Miller")


def test_a_reason_is_owed_and_the_entry_must_be_there_and_be_no_correction(store: Store) -> None:
    bot = shell(store)
    made = wished(bot, "JugOpened", "lot", "L8")
    bot.exchange.facts(SITE, made.events, also=made.keep)
    stands = standing(store, SITE)

    with pytest.raises(NotSetUp, match="reason is missing"):
        wished(bot, "JugOpened", "lot", "L9", reason="  ")
    with pytest.raises(NotSetUp, match="hill: entry 999 is not in this record"):
        correct(store, SITE, Wish(999, "lot", "L9", WHY), MOMENT, stands)
    with pytest.raises(NotSetUp, match="is one that nobody corrects"):
        wished(bot, "Corrected", "value", "L9")
