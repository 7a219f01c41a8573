"""What can be erased is, and the chain stays whole without it (S15)."""

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from bot.record.chain import verify
from bot.store.people import (
    Known,
    NotANumber,
    count_stranger,
    digest_of,
    e164,
    erase,
    find_phone,
    keep_number,
    keep_person,
    keep_text,
    names_of,
    pin_hash_of,
    text_of,
    who_texts,
)
from bot.store.tables import metadata
from bot.store.transaction import Store
from flows.parts.events import FreeText, Stamped
from tests.kit.record import NINE, SITE, morning, write

NUMBER = "+15005550006"


@pytest.mark.parametrize(
    "typed", ["+1 500 555 0006", "+1 (500) 555-0006", "0015005550006", "+1.500.555.0006"]
)
def test_a_number_is_kept_in_one_form(typed: str) -> None:
    assert e164(typed) == NUMBER


@pytest.mark.parametrize("typed", ["", "5005550006", "+05005550006", "+1500", "+1" * 9, "+1x"])
def test_what_is_no_number_is_refused_with_an_example(typed: str) -> None:
    with pytest.raises(NotANumber, match=r"Example: \+15005550006"):
        e164(typed)


def test_S14_a_phone_is_known_by_its_number(store: Store) -> None:
    store.open_chain(SITE)

    with store.write() as connection:
        keep_number(connection, SITE, "f1", "+1 500 555 0006")

        assert find_phone(connection, NUMBER) == Known(SITE, "f1")
        assert find_phone(connection, "+15005550007") is None


def test_who_texts_is_known_with_the_names_of_that_site_alone(store: Store) -> None:
    store.open_chain(SITE)
    store.open_chain("vale")

    with store.write() as connection:
        keep_number(connection, SITE, "f1", NUMBER)
        nobody_named = who_texts(connection, NUMBER)
        keep_person(connection, SITE, "p1", "Ann", None)
        keep_person(connection, SITE, "p2", "Ben", None)
        keep_person(connection, "vale", "p1", "Vic", None)

        assert nobody_named == (Known(SITE, "f1"), {})
        assert who_texts(connection, NUMBER) == (Known(SITE, "f1"), {"p1": "Ann", "p2": "Ben"})
        assert who_texts(connection, "+15005550007") == (None, {})


def test_a_number_belongs_to_one_phone(store: Store) -> None:
    store.open_chain(SITE)
    store.open_chain("vale")

    with store.write() as connection:
        keep_number(connection, SITE, "f1", NUMBER)

    with pytest.raises(IntegrityError), store.write() as connection:
        keep_number(connection, "vale", "f1", NUMBER)


def test_a_person_has_a_name_and_perhaps_a_pin_and_both_can_change(store: Store) -> None:
    store.open_chain(SITE)

    with store.write() as connection:
        keep_person(connection, SITE, "p1", "Ann", "hash-1")
        keep_person(connection, SITE, "p2", "Ben", None)
        keep_person(connection, SITE, "p1", "Anne", "hash-2")

        assert names_of(connection, SITE) == {"p1": "Anne", "p2": "Ben"}
        assert pin_hash_of(connection, SITE, "p1") == "hash-2"
        assert pin_hash_of(connection, SITE, "p2") is None
        assert pin_hash_of(connection, SITE, "p9") is None


def test_S15_free_text_is_kept_beside_the_record_under_its_salted_hash(store: Store) -> None:
    store.open_chain(SITE)

    with store.write() as connection:
        digest = keep_text(connection, SITE, "p1", NINE, "salt", "cable looks frayed")
        other = keep_text(connection, SITE, "p1", NINE, "pepper", "cable looks frayed")

        assert text_of(connection, SITE, digest) == "cable looks frayed"
    assert digest == digest_of("salt", "cable looks frayed")
    assert digest != other


def test_S15_erasing_a_person_leaves_no_word_and_the_chain_whole(store: Store) -> None:
    write(store, morning())
    with store.write() as connection:
        keep_person(connection, SITE, "p1", "Ann Marker", "hash-1")
        keep_person(connection, SITE, "p2", "Ben", "hash-2")
        keep_number(connection, SITE, "f1", NUMBER)
        keep_number(connection, SITE, "f2", "+15005550007")
        digest = keep_text(connection, SITE, "p1", NINE, "salt", "I felt dizzy")
    write(store, [Stamped(FreeText("spill", digest), NINE, "p1", "f1")])

    with store.write() as connection:
        erase(connection, SITE, "p1", ("f1",))

    everything = everything_kept(store)
    for word in ("Ann Marker", "hash-1", NUMBER, "dizzy", "salt"):
        assert word not in everything
    with store.read() as connection:
        assert names_of(connection, SITE) == {"p2": "Ben"}
        assert find_phone(connection, "+15005550007") == Known(SITE, "f2")
        assert text_of(connection, SITE, digest) is None
        assert verify(connection, SITE) == []


def everything_kept(store: Store) -> str:
    with store.read() as connection:
        return "\n".join(
            str(tuple(row))
            for table in metadata.sorted_tables
            for row in connection.execute(table.select())
        )


def test_S14_a_stranger_is_counted_by_day_and_nothing_else_is_kept(store: Store) -> None:
    with store.write() as connection:
        for _ in range(3):
            count_stranger(connection, "abc", NINE.date())

        rows = connection.execute(text("SELECT number_hash, texts FROM stranger_count")).all()

    assert [tuple(row) for row in rows] == [("abc", 3)]
