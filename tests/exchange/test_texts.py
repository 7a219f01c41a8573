"""A text: handled once, stamped, answered after the commit; from a stranger nothing (S10, S14)."""

import re
from collections.abc import Callable
from datetime import timedelta
from threading import Barrier, Thread

import pytest

from bot.exchange import Handled
from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.store.people import erase
from bot.store.transaction import Store
from flows.parts.events import CycleBegan, QuestionAsked
from tests.kit.shell import ANN, ELLA, NINE, SHARED, SITE, shell, statements

STRANGER = "+12025550199"


def test_a_text_is_recorded_with_who_sent_it_where_and_in_which_text(store: Store) -> None:
    clinic = shell(store)

    done = clinic.sends(ANN, "clean v1", sid="SM77")

    (began,) = clinic.entries(CycleBegan)
    assert done is Handled.DONE
    assert (began.at, began.person, began.phone, began.cause) == (NINE, "p1", "f1", "SM77")


def test_the_question_that_follows_is_heard_on_the_phone_that_spoke(store: Store) -> None:
    clinic = shell(store)

    clinic.sends(ANN, "clean v1")

    (asked,) = clinic.entries(QuestionAsked)
    assert len(clinic.heard(ANN)) == 1
    assert clinic.heard(ELLA) == []
    assert clinic.rows("SELECT phone, state, slug FROM outbox") == [
        ("f1", "sent", asked.event.slug)  # type: ignore[attr-defined]
    ]


def test_a_text_is_kept_as_it_came_with_both_its_times(store: Store) -> None:
    clinic = shell(store)
    sent, arrived = NINE - timedelta(minutes=5), NINE - timedelta(minutes=1)

    clinic.sends(ANN, "Clean v1 ", sid="SM1", arrived_at=arrived, sent_at=sent, raw='{"a":"b"}')

    wanted = "SELECT sid, site, phone, channel, body, state, error, raw FROM inbox"
    assert clinic.rows(wanted) == [
        ("SM1", SITE, "f1", "sms", "Clean v1 ", "handled", None, '{"a":"b"}')
    ]
    assert clinic.text(ANN, "x", arrived_at=arrived, sent_at=sent).earliest(NINE) == sent


@pytest.mark.parametrize(
    ("sent", "arrived", "earliest"),
    [(None, 0, 0), (None, -60, -60), (-90, -60, -90), (30, 0, 0), (None, 90, 0), (30, 90, 0)],
)
def test_S2_the_earliest_of_gateway_date_arrival_and_now_is_the_evidence(
    store: Store, sent: int | None, arrived: int, earliest: int
) -> None:
    def at(seconds: int) -> timedelta:
        return timedelta(seconds=seconds)

    text = shell(store).text(
        ANN,
        "out",
        arrived_at=NINE + at(arrived),
        sent_at=None if sent is None else NINE + at(sent),
    )

    assert text.earliest(NINE) == NINE + at(earliest)


def test_S10_a_text_that_is_brought_again_does_nothing(store: Store) -> None:
    clinic = shell(store)
    clinic.sends(ANN, "clean v1", sid="SM1")
    before, heard = clinic.entries(), clinic.heard(ANN)

    again = clinic.sends(ANN, "clean v1", sid="SM1")

    assert again is Handled.SEEN
    assert clinic.entries() == before
    assert clinic.heard(ANN) == heard


def test_S10_a_text_brought_many_times_at_once_is_handled_once(store: Store) -> None:
    clinic = shell(store)
    text, together, done = clinic.text(ANN, "clean v1"), Barrier(4), []

    def bring() -> None:
        together.wait()
        done.append(clinic.exchange.text(text))

    in_threads(bring, 4)

    assert sorted(each.name for each in done) == ["DONE", "SEEN", "SEEN", "SEEN"]
    assert len(clinic.entries(CycleBegan)) == 1


def test_texts_of_many_phones_at_once_leave_one_whole_chain(store: Store) -> None:
    clinic = shell(store)
    together = Barrier(3)
    bodies = iter([(ANN, "clean v1"), (ELLA, "menu"), (ANN, "state")])

    def bring() -> None:
        number, body = next(bodies)
        together.wait()
        clinic.sends(number, body)

    in_threads(bring, 3)

    with store.read() as connection:
        assert verify(connection, SITE) == []
    assert rebuild(store, SITE) == []
    assert len(clinic.rows("SELECT sid FROM inbox")) == 3


def in_threads(work: Callable[[], None], number: int) -> None:
    threads = [Thread(target=work) for _ in range(number)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert not any(thread.is_alive() for thread in threads)


def test_S14_a_stranger_gets_silence_and_a_counter_and_is_not_kept(store: Store) -> None:
    clinic = shell(store)
    before = clinic.entries()

    done = [clinic.sends(STRANGER, "clean v1"), clinic.sends(STRANGER, "my secret")]

    assert done == [Handled.STRANGER, Handled.STRANGER]
    assert clinic.entries() == before
    assert clinic.rows("SELECT texts FROM stranger_count") == [(2,)]
    assert clinic.rows("SELECT sid FROM inbox") == []
    assert clinic.heard(STRANGER) == []
    assert STRANGER not in clinic.everything_kept()
    assert "secret" not in clinic.everything_kept()


@pytest.mark.parametrize("number", ["CARRIER", "", "12345", "nonsense"])
def test_S14_a_sender_without_a_number_is_a_stranger(store: Store, number: str) -> None:
    clinic = shell(store)

    assert clinic.sends(number, "clean v1") is Handled.STRANGER
    assert clinic.rows("SELECT texts FROM stranger_count") == [(1,)]


def test_a_number_is_known_however_it_is_written(store: Store) -> None:
    clinic = shell(store)

    assert clinic.sends("+1 (202) 555-0101", "menu") is Handled.DONE


@pytest.mark.parametrize("body", ["a\0b", "half \ud83d of it", "", "\U0001f600" * 400, "x" * 5000])
def test_whatever_is_typed_is_taken(store: Store, body: str) -> None:
    clinic = shell(store)

    assert clinic.sends(ANN, body) is Handled.DONE
    assert rebuild(store, SITE) == []


def test_the_sender_is_woken_after_the_commit_and_not_before(store: Store) -> None:
    clinic = shell(store)
    seen: list[int] = []

    def look() -> None:
        seen.append(len(clinic.rows("SELECT id FROM outbox")))

    clinic.exchange.wake = look
    clinic.sends(ANN, "clean v1")

    assert seen == [1]


def test_a_stranger_wakes_nobody(store: Store) -> None:
    clinic = shell(store)
    woken: list[int] = []
    clinic.exchange.wake = lambda: woken.append(1)

    clinic.sends(STRANGER, "clean v1")

    assert woken == []


def test_an_answer_takes_at_most_ten_statements(store: Store) -> None:
    clinic = shell(store)
    clinic.sends(ANN, "clean v1")

    with statements(store) as sent:
        clinic.sends(ANN, "ready")

    assert sent[0].startswith("SELECT phone.site")
    assert sent[1].startswith("SELECT site.seq")
    assert len(sent) <= 10


def test_S15_an_erased_person_s_texts_are_gone_and_the_chain_is_whole(store: Store) -> None:
    clinic = shell(store)
    clinic.sends(ANN, "spill on my dress")
    clinic.sends(SHARED, "3 3141")
    clinic.sends(SHARED, "menu please")
    clinic.sends(ELLA, "menu thanks")
    clinic.heard(ANN)

    with store.write() as connection:
        erase(connection, SITE, "p1", ("f1",))
        erase(connection, SITE, "p3", ())

    kept = [body for (body,) in clinic.rows("SELECT body FROM inbox ORDER BY id")]
    assert kept == ["(erased)", "(erased)", "(erased)", "menu thanks"]
    assert {body for (body,) in clinic.rows("SELECT body FROM outbox WHERE phone = 'f1'")} == {
        "(erased)"
    }
    assert ANN not in clinic.everything_kept()
    with store.read() as connection:
        assert verify(connection, SITE) == []


def test_S15_the_name_is_gone_where_others_wrote_it_and_where_others_were_told_it(
    store: Store,
) -> None:
    clinic = shell(store)
    clinic.sends(SHARED, "3 3141")
    clinic.sends(ELLA, "used v1 CHO")
    clinic.sends(ELLA, "spill: cho splashed, chosen by nobody")
    columns = "SELECT id, phone, slug, septets, state FROM outbox ORDER BY id"
    rows = clinic.rows(columns)
    before = clinic.everything_kept().lower()

    with store.write() as connection:
        erase(connection, SITE, "p3", ())

    after = clinic.everything_kept().lower()
    assert len(re.findall(r"\bcho\b", before)) == 5
    assert re.findall(r"\bcho\b", after) == []
    assert clinic.rows(columns) == rows
    assert clinic.rows("SELECT salt, body FROM free_text") == [("", "*")]
    assert clinic.rows("SELECT body FROM inbox WHERE phone = 'f9' ORDER BY id") == [
        ("used v1 *",),
        ("spill: * splashed, chosen by nobody",),
    ]
    with store.read() as connection:
        assert verify(connection, SITE) == []


def test_names_stand_in_texts_and_not_in_the_record(store: Store) -> None:
    clinic = shell(store)

    clinic.sends(SHARED, "3 3141")

    assert "Cho" in clinic.heard(SHARED)[-1]
    assert "Cho" not in "".join(str(row) for row in clinic.rows("SELECT body FROM entry"))
