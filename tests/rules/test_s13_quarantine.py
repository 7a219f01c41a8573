"""S13: damage or doubt is quarantine, until a contact has gone through the check."""

import pytest

from flows.answer import TextIn
from flows.parts.clinic import Level, Standing
from flows.parts.events import (
    AlertRaised,
    CaseOpened,
    CleanedForRepair,
    CycleAbandoned,
    CycleBegan,
    FaultReported,
    Quarantined,
    QuarantineLifted,
    Released,
    StepDone,
)
from flows.replies.typed import tidy
from tests.kit.cycles import play_cycle, step_of, thread_of
from tests.kit.talk import Talk, clinic


def standing(talk: Talk) -> Standing:
    return talk.clinic.devices["V1"].standing


def quarantined() -> Talk:
    talk = clinic()
    talk.sends("FAULT V1")
    return talk


@pytest.mark.parametrize(
    ("level", "step", "said", "because"),
    [
        (Level.COACH, "inspect", "damaged", "damaged"),
        (Level.COACH, "inspect", "unsure", "unsure"),
        (Level.COACH, "under", "damaged", "damaged"),
        (Level.COACH, "final_inspect", "damaged", "damaged_after"),
        (Level.BRIEF, "under", "damaged", "damaged"),
        (Level.BRIEF, "cover", "damaged", "damaged_after"),
    ],
)
def test_S13_damage_seen_at_any_look_is_quarantine(
    level: Level, step: str, said: str, because: str
) -> None:
    talk = clinic(level=level)
    play_cycle(talk, until=step)

    heard = talk.sends(said, after=60)

    assert standing(talk) is Standing.QUARANTINED
    assert talk.clinic.devices["V1"].why == because
    assert [event.because for event in talk.happened(CycleAbandoned)] == [because]
    assert thread_of(talk, "V1") is None
    assert heard[-1].endswith("Your contact is told. Well seen.")


def test_S13_the_supervisor_is_told_once_and_a_look_back_opened() -> None:
    talk = clinic()
    play_cycle(talk, until="inspect")

    talk.sends("damaged", after=60)

    (case,) = talk.happened(CaseOpened)
    assert [event.cause for event in talk.happened(AlertRaised)] == ["quarantined"]
    assert talk.heard["ph9"][0].startswith("V1 is in quarantine: damage, doubt or liquid")
    assert (case.cause, case.subject, case.since) == ("device_failed", "V1", None)


def test_S13_patients_are_looked_back_for_since_the_last_passed_inspection() -> None:
    talk = clinic()
    play_cycle(talk, until="final_inspect")
    talk.sends("good", after=20)
    passed = talk.now
    play_cycle(talk)

    talk.sends("FAULT V1", after=3_600)

    assert talk.happened(CaseOpened)[0].since == passed


def test_S13_stained_or_not_sure_at_the_end_is_cleaned_again() -> None:
    talk = clinic()
    play_cycle(talk, until="final_inspect")

    talk.sends("stained", after=20)

    assert step_of(talk) == "wipe_detergent"
    assert standing(talk) is Standing.IN_CYCLE


def test_S13_on_brief_texts_too() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="cover")

    talk.sends("stained", after=190)

    assert step_of(talk) == "under"


@pytest.mark.parametrize("body", ["FAULT V1", "fault v1 liquid above the line"])
def test_S13_a_fault_is_thanked_for_and_never_shown_as_ones_own(body: str) -> None:
    talk = clinic()

    (text,) = talk.sends(body)

    assert talk.happened(FaultReported) == [FaultReported("V1", "said")]
    assert standing(talk) is Standing.QUARANTINED
    assert text.endswith("Your contact is told. Thank you for saying it.")
    assert not [text for text in talk.heard["ph9"] if "p1" in text]


@pytest.mark.parametrize("event", [None, "released"])
def test_S13_check_says_quarantine(event: str | None) -> None:
    talk = clinic()
    if event:
        play_cycle(talk)
    talk.sends("FAULT V1")

    (text,) = talk.sends("CHECK V1")

    assert text.startswith("V1 NOT READY: in quarantine.")
    assert "CLEAN" not in text


# -- cleaned for repair -------------------------------------------------------------------------


@pytest.mark.parametrize("level", list(Level))
def test_S13_a_cleaning_for_repair_goes_the_whole_way_and_cannot_release(level: Level) -> None:
    talk = clinic(level=level)
    talk.sends("FAULT V1")

    heard = play_cycle(talk).heard

    assert heard[0].startswith("V1 is in quarantine. This cleaning is for the repairer only")
    assert heard[-1].startswith("V1 is cleaned for repair. It stays in quarantine")
    assert talk.happened(CycleBegan)[0].for_repair is True
    assert len(talk.happened(CleanedForRepair)) == 1
    assert talk.happened(Released) == []
    assert standing(talk) is Standing.QUARANTINED
    assert talk.clinic.devices["V1"].cycle is None


def test_S13_its_damage_is_known_and_not_asked_for_again() -> None:
    talk = quarantined()

    play_cycle(talk, until="wipe_detergent")

    assert not [text for text in talk.heard["ph1"] if "look it over" in text]


@pytest.mark.parametrize("level", list(Level))
def test_S13_a_cleaning_for_repair_is_no_passed_inspection(level: Level) -> None:
    talk = clinic(level=level)
    talk.sends("FAULT V1")

    play_cycle(talk, until="soaking")

    assert "inspect" not in [event.what for event in talk.happened(StepDone)]
    assert talk.clinic.devices["V1"].inspected_at is None


def test_S13_lifted_meanwhile_a_cleaning_for_repair_still_releases_nothing() -> None:
    talk = quarantined()
    play_cycle(talk, until="cover")
    talk.let(QuarantineLifted("V1"))
    meanwhile = standing(talk)

    play_cycle(talk)

    assert meanwhile is Standing.IN_CYCLE
    assert talk.happened(Released) == []
    assert standing(talk) is Standing.NOT_READY


def test_S13_a_quarantine_from_outside_stops_the_release_of_a_cycle_under_way() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")
    talk.let(Quarantined("V1", "recalled"))

    heard = play_cycle(talk).heard

    assert talk.happened(Released) == []
    assert heard[-1].startswith("V1 is cleaned for repair. It stays in quarantine")
    assert standing(talk) is Standing.QUARANTINED


@pytest.mark.parametrize("step", ["inspect", "cover"])
def test_S13_a_fault_during_a_cleaning_for_repair_ends_that_cleaning(step: str) -> None:
    talk = quarantined()
    if step == "cover":
        play_cycle(talk, until=step)
    else:
        talk.sends("CLEAN V1")

    talk.sends("FAULT V1", phone="ph2", after=20)

    assert thread_of(talk, "V1") is None
    assert standing(talk) is Standing.QUARANTINED


# -- LIFT ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("body", ["V1 IN T1 23", "FAULT V1", "V1 IN"])
def test_S13_nobody_is_told_to_clean_what_is_in_quarantine(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    talk.let(Quarantined("V1", "fault"))

    (text,) = talk.sends(body, after=20)

    assert "CLEAN V1" not in text
    assert "quarantine" in text
    if "T1" in body:
        assert text == (
            "Noted: V1 was put in T1, and that is no soak. Take it out, put it aside: "
            "quarantine. Look at it with your contact, who then texts LIFT V1."
        )


def test_S13_a_supervisor_goes_through_the_check_and_lifts_it() -> None:
    talk = quarantined()

    (asked,) = talk.sends("LIFT V1", phone="ph9")
    (text,) = talk.sends("lifted", phone="ph9", after=60)

    assert asked.startswith("V1: with the worker: no crack, peeling or swelling; plug dry")
    assert text.startswith("V1 is out of quarantine and NOT READY")
    assert standing(talk) is Standing.NOT_READY
    assert talk.clinic.threads == {}


def test_S13_where_all_is_not_in_order_it_stays() -> None:
    talk = quarantined()
    talk.sends("LIFT V1", phone="ph9")

    (text,) = talk.sends("away", phone="ph9", after=60)

    assert text == "V1 stays in quarantine."
    assert standing(talk) is Standing.QUARANTINED


def test_S13_a_worker_lifts_nothing() -> None:
    talk = quarantined()

    (text,) = talk.sends("LIFT V1")

    assert text.startswith("Only a supervisor ends a quarantine.")
    assert standing(talk) is Standing.QUARANTINED
    assert talk.clinic.threads == {}


@pytest.mark.parametrize("body", ["LIFT V1", "LIFT V9", "LIFT"])
def test_S13_there_is_nothing_to_lift_where_nothing_is_quarantined(body: str) -> None:
    talk = clinic()

    assert talk.sends(body, phone="ph9") == ["No such device is in quarantine."]


def test_S13_a_lift_that_comes_late_takes_no_release_away() -> None:
    talk = quarantined()
    talk.sends("LIFT V1", phone="ph9")
    talk.let(QuarantineLifted("V1"))
    play_cycle(talk)

    (text,) = talk.sends("lifted", phone="ph9")

    assert text == "No such device is in quarantine."
    assert standing(talk) is Standing.RELEASED


@pytest.mark.parametrize("body", ["FAULT V1", "V1 DAMAGED"])
def test_S13_what_was_reported_since_it_was_asked_is_looked_at_first(body: str) -> None:
    talk = quarantined()
    talk.sends("LIFT V1", phone="ph9", after=20)
    talk.sends(body, after=20)

    first = talk.sends("LIFTED", phone="ph9", after=20)
    stood = standing(talk)
    doubled = talk.sends("LIFTED", phone="ph9", after=10)
    (text,) = talk.sends("LIFTED", phone="ph9", after=60)

    assert doubled[0].startswith("I have just had that text.")
    assert first[0].startswith("V1 has been reported again since I asked.")
    assert first[1].startswith("V1: with the worker: no crack")
    assert stood is Standing.QUARANTINED
    assert text.startswith("V1 is out of quarantine")


def test_S13_a_LIFTED_of_before_that_report_lifts_nothing_when_it_is_brought() -> None:
    talk = quarantined()
    talk.sends("LIFT V1", phone="ph9", after=20)
    sent_at = talk.now
    talk.sends("FAULT V1", after=20)
    talk.sends("LIFTED", phone="ph9", after=20)

    talk.exchange(TextIn("ph9", tidy("LIFTED"), sent_at), phone="ph9", person="p9")

    assert standing(talk) is Standing.QUARANTINED


def test_S13_another_device_reported_meanwhile_is_no_matter() -> None:
    talk = clinic(devices=("V1", "V2"))
    talk.let(Quarantined("V1", "fault"))
    talk.sends("LIFT V1", phone="ph9", after=20)
    talk.sends("FAULT V2", after=20)

    talk.sends("LIFTED", phone="ph9", after=20)

    assert standing(talk) is Standing.NOT_READY


def test_S13_damage_seen_at_that_check_is_of_what_is_looked_at() -> None:
    """A supervisor may be cleaning another probe meanwhile."""
    talk = clinic(devices=("V1", "V2"))
    talk.let(Quarantined("V2", "fault"))
    play_cycle(talk, until="soaking", phone="ph9")
    talk.sends("LIFT V2", phone="ph9", after=20)

    heard = talk.sends("DAMAGED", phone="ph9", after=20)

    assert heard[0] == "V2 stays in quarantine."
    assert standing(talk) is Standing.IN_CYCLE
    assert talk.clinic.devices["V2"].standing is Standing.QUARANTINED


def test_S13_lifted_in_the_cleaning_for_repair_it_is_not_told_to_begin_another() -> None:
    talk = quarantined()
    talk.sends("CLEAN V1", after=20)
    talk.sends("LIFT V1", phone="ph9", after=20)

    (text,) = talk.sends("LIFTED", phone="ph9", after=60)

    assert text == (
        "V1 is out of quarantine and NOT READY. The cleaning that goes on is for repair and ends "
        "without a release; then: CLEAN V1."
    )


def test_S13_out_of_quarantine_it_is_cleaned_and_inspected_like_any_other() -> None:
    talk = quarantined()
    talk.let(QuarantineLifted("V1"))

    heard = play_cycle(talk).heard

    assert heard[-1].startswith("V1 READY until ")
    assert talk.happened(CycleBegan)[0].for_repair is False
    assert any("look it over: cracks" in text for text in talk.heard["ph1"])
