"""What comes late about something that is gone changes nothing, and rings nobody."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from flows.answer import BellIn
from flows.parts.clinic import Clinic, Frame
from flows.parts.events import (
    AlertRaised,
    BathChosen,
    BellRang,
    BellSet,
    BellStopped,
    CautionsAcknowledged,
    CleaningRestarted,
    CycleVoided,
    Event,
    Immersed,
    NotUnderstood,
    PhoneReachable,
    QuestionAsked,
    SiteChoiceMade,
    SiteOpened,
    StepDone,
    StripDipped,
    StripRead,
    TextFailed,
    TextUndelivered,
    ThreadEnded,
    WrongPin,
)
from tests.kit.cycles import cycle_of, play_cycle, thread_of
from tests.kit.strips import dips
from tests.kit.talk import NINE, Talk, clinic

LATER = NINE + timedelta(days=1)

OF_WHAT_IS_GONE = [
    CautionsAcknowledged("p7"),
    StepDone("c7", "V1", "dry"),
    BathChosen("c7", "T1"),
    CleaningRestarted("c7", "V1", "asked"),
    CycleVoided("c7", "V1", "strip_failed"),
    NotUnderstood("thread7", "word"),
    PhoneReachable("ph7"),
    WrongPin("ph7", None),
    BellStopped("bell7"),
    ThreadEnded("thread7", "done"),
    BellRang("bell7", "contact", timedelta(0), "c7"),
    StripDipped("t7", "T7", "S1", None, NINE, LATER),
    StripRead(
        test="t7",
        container="T7",
        strips="S1",
        cycle=None,
        outcome="pass",
        seen="pass",
        because="",
        age=timedelta(seconds=90),
        age_proved=True,
        day=date(2026, 3, 2),
        good_until=LATER,
    ),
]


@pytest.mark.parametrize("event", OF_WHAT_IS_GONE, ids=lambda event: type(event).__name__)
def test_an_event_of_what_is_gone_changes_nothing(event: Event) -> None:
    talk = clinic()
    before, heard = talk.clinic, dict(talk.heard)

    talk.let(event)

    assert talk.clinic == before
    assert talk.heard == heard


def test_a_choice_of_a_site_that_is_not_open_changes_nothing() -> None:
    talk = Talk()

    talk.let(SiteChoiceMade("opa_055", "rinse_count", "4", "digest"))

    assert talk.clinic == Clinic()


def test_a_choice_replaces_the_one_before_it_and_outlives_the_site_being_opened_again() -> None:
    talk = clinic()

    talk.let(
        SiteChoiceMade("opa_055", "rinse_count", "4", "one"),
        SiteChoiceMade("opa_055", "wipe_wet_time", "2 min", "two"),
        SiteChoiceMade("opa_055", "rinse_count", "5", "three"),
        SiteOpened("s1", "Etc/GMT-3", "18:00", "en", "mdy"),
    )

    site = talk.clinic.site
    assert site is not None
    assert (site.closes_at, site.day_order) == ("18:00", "mdy")
    assert [(each.key, each.value) for each in site.choices] == [
        ("wipe_wet_time", "2 min"),
        ("rinse_count", "5"),
    ]


def test_a_soak_in_a_bath_that_is_not_there_is_a_soak_all_the_same() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    cycle = cycle_of(talk).id

    talk.let(
        Immersed(
            cycle=cycle,
            device="V1",
            bath="T7",
            bath_discard_by=LATER,
            strip_test="t7",
            strip_good_until=LATER,
            celsius=Decimal(23),
            due=LATER,
            number=77,
        )
    )

    soak = cycle_of(talk).contact
    assert soak is not None
    assert soak.number == 77
    assert talk.clinic.containers["T1"].in_use_by is None


def test_a_bell_that_is_gone_is_not_rung() -> None:
    talk = clinic()
    entries = len(talk.entries)

    outcome = talk.exchange(BellIn("gone", timedelta(0)))

    assert (outcome.events, outcome.says) == ((), ())
    assert len(talk.entries) == entries


@pytest.mark.parametrize("kind", ["contact", "overdue"])
def test_a_bell_whose_soak_is_gone_says_nothing(kind: str) -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    heard = len(talk.heard["ph1"])
    talk.let(BellSet("bell7", kind, talk.now, cycle=cycle_of(talk).id))

    talk.wait(seconds=1)

    assert len(talk.heard["ph1"]) == heard
    assert "bell7" not in talk.clinic.bells


def test_a_bell_whose_conversation_is_gone_says_nothing() -> None:
    talk = clinic()
    talk.let(BellSet("bell7", "strip", talk.now, thread="thread7"))

    talk.wait(seconds=1)

    assert talk.heard == {}
    assert talk.happened(BellRang) == [BellRang("bell7", "strip", timedelta(0))]
    assert "bell7" not in talk.clinic.bells


def test_a_phone_that_is_gone_is_told_of_and_nothing_else() -> None:
    talk = clinic()
    phones = talk.clinic.phones

    talk.let(TextUndelivered("ph7", "o1", "off"))

    assert talk.clinic.phones == phones
    assert [event.cause for event in talk.happened(AlertRaised)] == ["unreachable"]


def test_a_cycle_voided_twice_ends_its_conversation_once() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    thread = thread_of(talk, "V1")
    assert thread is not None
    voided = CycleVoided(cycle_of(talk).id, "V1", "strip_failed")

    talk.let(voided, voided)

    assert talk.happened(ThreadEnded) == [ThreadEnded(thread.id, "done")]
    assert talk.clinic.threads == {}


def test_a_text_that_could_not_be_dealt_with_is_told_of() -> None:
    talk = clinic()

    talk.let(TextFailed("m1", "error"))

    assert [event.cause for event in talk.happened(AlertRaised)] == ["text_failed"]
    assert talk.heard["ph9"][0].startswith("I could not deal with a text from your site.")


def with_a_step_gone(talk: Talk) -> None:
    """The newest conversation, as after an upgrade that has lost its step."""
    thread = list(talk.clinic.threads.values())[-1]
    asked = next(
        each.event
        for each in reversed(talk.entries)
        if isinstance(each.event, QuestionAsked) and each.event.thread == thread.id
    )
    talk.let(replace(asked, frames=(Frame("cycle", "gone"),)))


def test_a_test_whose_step_is_gone_is_over_and_no_cycle_with_it() -> None:
    talk = clinic()
    talk.sends("TEST T1")
    with_a_step_gone(talk)

    (text,) = talk.sends("dip", after=5)

    assert text.startswith("I have lost the thread after an update.")
    assert talk.clinic.threads == {}
    assert talk.happened(AlertRaised) == []


def test_a_question_that_is_taken_up_again_after_an_upgrade_may_be_gone_too() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    with_a_step_gone(talk)
    talk.sends("TEST T1", after=5)
    dips(talk, "T1", after=5)

    heard = talk.sends("4", after=95)

    assert heard[-1].startswith("I have lost the thread after an update.")
    assert talk.clinic.cycles == {}
