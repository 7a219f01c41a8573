"""The record is the truth: rows that say otherwise are found, and can be made again."""

from threading import Thread

import pytest
from sqlalchemy import text

from bot.record.append import append
from bot.record.rebuild import Difference, rebuild
from bot.store.errors import SiteUnknown
from bot.store.live import load
from bot.store.transaction import Store
from bot.timers import claim
from flows.parts.clinic import Clinic
from flows.parts.state import fold_all
from tests.kit.record import MINUTE, NINE, SITE, morning, write

DAMAGE = {
    "a changed row": (
        "UPDATE live SET body = replace(body, 'in_cycle', 'released') WHERE key = 'V1'",
        ("devices", "V1"),
    ),
    "a row gone": ("DELETE FROM live WHERE key = 'V1'", ("devices", "V1")),
    "a row too many": (
        (
            "INSERT INTO live (site, room, key, place, body) VALUES "
            "('hill', 'devices', 'V9', 99, '{\"label\":\"V9\",\"model\":\"endo\"}')"
        ),
        ("devices", "V9"),
    ),
    "a row that is no row": ("UPDATE live SET body = '?' WHERE key = 'V1'", ("devices", "V1")),
    "the site itself": (
        "UPDATE live SET body = replace(body, '17:00', '23:00') WHERE room = 'site'",
        ("site", "hill"),
    ),
    "a room in another order": (
        "UPDATE live SET place = 999 WHERE key = 'f2'",
        ("phones", "in order"),
    ),
    "a bell gone": ("DELETE FROM bell WHERE id = 'c1.contact'", ("bells", "c1.contact")),
    "a bell with other words": (
        "UPDATE bell SET body = replace(body, '\"closing\"', '\"nightly\"') WHERE id = 'closing'",
        ("bells", "closing"),
    ),
    "a bell at another time": (
        "UPDATE bell SET due_at = (SELECT at FROM entry WHERE seq = 1) WHERE id = 'closing'",
        ("bells", "closing"),
    ),
    "a bell too many": (
        (
            "INSERT INTO bell (site, id, place, due_at, body) "
            "SELECT site, 'extra', 99, due_at, body FROM bell WHERE id = 'closing'"
        ),
        ("bells", "extra"),
    ),
}


def test_a_check_waits_for_nobody_and_sees_nothing_unfinished(store: Store) -> None:
    write(store, morning()[:-1])
    found: list[list[Difference]] = []
    check = Thread(target=lambda: found.append(rebuild(store, SITE)), daemon=True)

    with store.exchange(SITE) as unit:
        append(unit, morning()[-1:])
        check.start()
        check.join(20)
        assert found == [[]]


def test_rows_as_written_need_no_rebuilding(store: Store) -> None:
    write(store, morning())

    assert rebuild(store, SITE) == []


@pytest.mark.parametrize(("statement", "where"), DAMAGE.values(), ids=DAMAGE)
def test_damage_to_the_rows_is_named_and_put_right(
    store: Store, statement: str, where: tuple[str, str]
) -> None:
    write(store, morning())
    with store.write() as connection:
        connection.execute(text(statement))

    found = rebuild(store, SITE)
    still = rebuild(store, SITE, check=False)
    then = rebuild(store, SITE)

    assert [(each.room, each.key) for each in found] == [where]
    assert still == found
    assert then == []
    with store.read() as connection:
        assert load(connection, SITE).clinic == fold_all(Clinic(), morning())


def test_a_difference_says_what_the_row_and_what_the_record_holds(store: Store) -> None:
    write(store, morning())
    with store.write() as connection:
        connection.execute(text("DELETE FROM live WHERE room = 'people' AND key = 'p1'"))

    (found,) = rebuild(store, SITE)

    assert found == Difference(
        SITE,
        "people",
        "p1",
        None,
        '{"cautions_at":null,"id":"p1","language":"en","level":"coach","may_release":true,'
        '"number":1,"role":"worker"}',
    )


def test_a_row_of_an_older_release_without_a_newer_field_is_no_difference(store: Store) -> None:
    write(store, morning())
    with store.write() as connection:
        connection.exec_driver_sql("UPDATE live SET body = replace(body, '\"tests\":0,', '')")

    assert rebuild(store, SITE) == []


def test_rebuilding_keeps_the_claims_of_bells(store: Store) -> None:
    write(store, morning())
    (claimed,) = claim(store, NINE + 12 * MINUTE, 1, MINUTE)
    with store.write() as connection:
        connection.execute(text("DELETE FROM live"))

    rebuild(store, SITE, check=False)

    assert claim(store, NINE + 12 * MINUTE, 1, MINUTE) == ()
    assert claimed.bell == "t1.nudge"


def test_a_site_nobody_opened_is_unknown(store: Store) -> None:
    with pytest.raises(SiteUnknown):
        rebuild(store, "nowhere")
