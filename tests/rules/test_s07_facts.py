"""S7: the bot never refuses a fact; what it refuses is to release."""

from datetime import timedelta

import pytest

from flows.answer import PinCheck, TextIn
from flows.parts.clinic import Standing
from flows.parts.events import (
    AlertRaised,
    CaseOpened,
    CycleAbandoned,
    DeviceUsed,
    FreeText,
    HolderSignedIn,
    PhoneEnrolled,
    Released,
    ReleaseWithdrawn,
    SoakBroken,
    SpillReported,
    UnverifiedFact,
    UseCodeGiven,
    UseWithoutCode,
    WrongPin,
)
from flows.replies.typed import tidy
from tests.kit.cycles import cycle_of, play_cycle, step_of, thread_of
from tests.kit.talk import Talk, clinic


def released() -> Talk:
    talk = clinic()
    play_cycle(talk)
    return talk


def uses(talk: Talk) -> list[tuple[str, bool, bool]]:
    return [(each.patient, each.ready, each.late) for each in talk.happened(DeviceUsed)]


def causes(talk: Talk) -> list[str]:
    return [event.cause for event in talk.happened(AlertRaised)]


def test_S7_a_use_of_a_ready_device_is_noted_and_ends_its_release() -> None:
    talk = released()
    cycle = talk.happened(Released)[0].cycle

    (text,) = talk.sends("USED V1 0412", after=60)

    assert uses(talk) == [("0412", True, False)]
    assert talk.happened(DeviceUsed)[0].cycle == cycle
    assert text.startswith("Noted: V1 on patient 0412. It is not ready now.")
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert talk.clinic.devices["V1"].why == "used"
    assert talk.clinic.devices["V1"].uses == ("0412",)
    assert causes(talk) == []


def test_S7_a_use_while_not_ready_is_recorded_as_said_and_is_a_critical_alert() -> None:
    talk = clinic()

    (text,) = talk.sends("used v1 0412")

    (case,) = talk.happened(CaseOpened)
    assert uses(talk) == [("0412", False, False)]
    assert text.startswith("Noted: V1 on patient 0412. It was NOT READY then.")
    assert "thank you for saying it" in text
    assert causes(talk) == ["used_not_ready"]
    assert talk.heard["ph9"][0].startswith("V1 was used on a patient while it was NOT READY.")
    assert (case.cause, case.subject, case.since) == ("used_not_ready", "V1", talk.now)


def test_S7_a_second_use_of_one_release_is_not_ready_but_rests_on_the_same_cycle() -> None:
    talk = released()

    talk.sends("USED V1 0412", after=60)
    talk.sends("USED V1 0413", after=60)

    assert uses(talk) == [("0412", True, False), ("0413", False, False)]
    assert len({event.cycle for event in talk.happened(DeviceUsed)} - {None}) == 1
    assert causes(talk) == ["used_not_ready"]


def test_S7_a_use_after_a_withdrawn_release_still_names_the_cycle_it_rested_on() -> None:
    talk = released()
    cycle = talk.happened(Released)[0].cycle
    talk.let(ReleaseWithdrawn("V1", cycle, "strip_failed"))

    talk.sends("USED V1 0412", after=60)

    assert talk.happened(DeviceUsed)[0].cycle == cycle
    assert uses(talk) == [("0412", False, False)]


def test_S7_two_codes_are_two_uses() -> None:
    talk = released()

    heard = talk.sends("USED V1 0412 0413", after=60)

    assert [patient for patient, *_ in uses(talk)] == ["0412", "0413"]
    assert len(heard) == 2


@pytest.mark.parametrize("step", ["dry", "soaking", "final_dry", "cover"])
def test_S7_S8_a_use_told_while_it_is_being_cleaned_ends_that_cleaning(step: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    soaks = cycle_of(talk).contact is not None

    talk.sends("USED V1 0412", phone="ph2", after=60)

    assert [event.because for event in talk.happened(CycleAbandoned)] == ["used"]
    assert [event.because for event in talk.happened(SoakBroken)] == ["used"] * soaks
    assert thread_of(talk, "V1") is None
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert causes(talk) == ["used_not_ready", "abandoned"]
    assert not [bell for bell in talk.clinic.bells.values() if bell.cycle]


def test_S7_whoever_gives_the_code_afterwards_is_told_that_it_was_not_ready() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.sends("USED V1 maria lopez", after=60)

    (text,) = talk.sends("0412", after=20)

    assert text.startswith("Noted: V1 on patient 0412. It was NOT READY then.")
    assert text.endswith("Next: CLEAN V1.")


def test_S7_whoever_gives_the_code_afterwards_of_a_ready_device_is_told_to_clean_it() -> None:
    talk = released()
    talk.sends("USED V1", after=60)

    (text,) = talk.sends("0412", after=20)

    assert text == (
        "Noted: V1 on patient 0412. It is not ready now. Keep it moist and begin soon: CLEAN V1."
    )


def test_S7_a_use_told_in_answer_to_the_question_for_codes_is_that_answer() -> None:
    talk = released()
    play_cycle(talk, until="codes")

    heard = talk.sends("USED V1 0412", after=20)

    assert uses(talk) == [("0412", True, True)]
    assert heard[0] == "Noted: V1 on patient 0412."
    assert causes(talk) == []
    assert step_of(talk) == "inspect"


def test_S7_a_name_told_in_answer_to_it_is_chased_and_the_cleaning_goes_on() -> None:
    talk = released()
    play_cycle(talk, until="codes")

    talk.sends("USED V1 Amina", after=20)

    assert [event.ready for event in talk.happened(UseWithoutCode)] == [True]
    assert causes(talk) == []
    assert step_of(talk) == "inspect"
    assert "V1 noted as used. Which patient code" in talk.last()


@pytest.mark.parametrize("body", ["USED V1 Amina W", "USED V1"])
def test_S7_a_use_without_a_code_is_recorded_at_once_and_its_code_asked_for(body: str) -> None:
    talk = released()
    cycle = talk.happened(Released)[0].cycle

    (text,) = talk.sends(body, after=60)

    (use,) = talk.happened(UseWithoutCode)
    assert (use.device, use.ready, use.cycle) == ("V1", True, cycle)
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert text.startswith("V1 noted as used. Which patient code")


def test_S7_S15_the_name_itself_is_not_in_the_record() -> None:
    talk = released()

    talk.sends("USED V1 Amina W", after=60)

    (free,) = talk.happened(FreeText)
    (use,) = talk.happened(UseWithoutCode)
    assert free.about == f"use/{use.use}"
    assert "AMINA" not in repr(talk.entries).upper()


def test_S7_the_code_that_comes_later_belongs_to_that_use() -> None:
    talk = released()
    talk.sends("USED V1", after=60)

    missed = talk.sends("Amina", after=60)
    (text,) = talk.sends("0412", after=60)

    (given,) = talk.happened(UseCodeGiven)
    assert missed[0].startswith("V1 noted as used. Which patient code")
    assert (given.use, given.patient) == (talk.happened(UseWithoutCode)[0].use, "0412")
    assert text.startswith("Noted: V1 on patient 0412.")
    assert talk.clinic.devices["V1"].uses == ("0412",)
    assert talk.clinic.threads == {}


def test_S7_a_code_that_comes_when_the_device_is_being_cleaned_again_sends_nobody_to_it() -> None:
    talk = released()
    talk.sends("USED V1", after=60)
    talk.sends("CLEAN V1", phone="ph2", after=60)

    (text,) = talk.sends("0412", after=60)

    assert text == "Noted: V1 on patient 0412."


def test_S7_a_code_that_does_not_come_is_chased() -> None:
    talk = released()
    talk.sends("USED V1", after=60)
    heard = len(talk.heard["ph1"])

    talk.wait(minutes=20)

    assert len(talk.heard["ph1"]) == heard + 2
    assert causes(talk) == ["code_owed"]
    assert talk.heard["ph9"][-1].startswith("V1 was used and its patient code is still missing")


def test_S7_a_use_without_a_code_of_what_was_not_ready_alerts_as_well() -> None:
    talk = clinic()

    talk.sends("USED V1")

    assert [event.ready for event in talk.happened(UseWithoutCode)] == [False]
    assert causes(talk) == ["used_not_ready"]


@pytest.mark.parametrize("body", ["USED V9 0412", "USED", "FAULT V9 cracked", "FAULT"])
def test_S7_a_fact_of_an_unknown_device_is_kept_and_somebody_told(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))

    (text,) = talk.sends(body)

    word = body.split(maxsplit=1)[0]
    assert [event.about for event in talk.happened(FreeText)] == ["unknown_device"]
    assert text == f"Which device? Here: V1, V2. Like {word} V1."
    assert causes(talk) == ["unknown_device"]
    assert talk.heard["ph9"][0].startswith("A use or fault was told of a device")


def test_S7_the_words_of_free_text_go_where_they_can_be_erased() -> None:
    talk = clinic()
    kept = []
    talk.watching = lambda _, outcome: kept.extend(outcome.kept)

    talk.sends("FAULT V1 cracked near the lens")
    talk.sends("USED V9 Amina")

    assert [each.words for each in kept] == ["CRACKED NEAR THE LENS", "USED V9 Amina"]
    assert [each.digest for each in kept] == [each.digest for each in talk.happened(FreeText)]


def test_S7_the_supervisor_who_says_it_is_not_told_of_it() -> None:
    talk = clinic()

    heard = talk.sends("USED V1 0412", phone="ph9")

    assert len(heard) == 1
    assert causes(talk) == ["used_not_ready"]


# -- from a phone that nobody has signed in on, or that is locked -------------------------------


def shared(*, locked: bool = False) -> Talk:
    talk = clinic()
    talk.let(PhoneEnrolled("ph3", ("p1", "p2"), shared=True))
    if locked:
        talk.let(WrongPin("ph3", talk.now + timedelta(minutes=15)))
    talk.heard.clear()
    return talk


def texts(talk: Talk, body: str, pin: PinCheck | None = None) -> list[str]:
    before = len(talk.heard.get("ph3", []))
    talk.exchange(TextIn("ph3", tidy(body), talk.now, pin), phone="ph3")
    return talk.heard.get("ph3", [])[before:]


@pytest.mark.parametrize("body", ["USED V1 0412", "FAULT V1 cracked"])
def test_S7_S14_a_fact_from_a_locked_phone_is_kept_alerts_and_reveals_nothing(
    body: str,
) -> None:
    talk = shared(locked=True)

    heard = texts(talk, body)

    (fact,) = talk.happened(UnverifiedFact)
    assert (fact.phone, fact.about) == ("ph3", body.split(maxsplit=1)[0].lower())
    assert heard == []
    assert causes(talk)[-1] == "unverified"
    (told,) = talk.heard["ph9"]
    assert told.endswith(f"nobody has signed in on: {fact.about}. Please ask who.")
    assert talk.happened(DeviceUsed) == []


def test_S7_S14_what_is_no_fact_gets_nothing_from_a_locked_phone() -> None:
    talk = shared(locked=True)

    heard = [*texts(talk, "CLEAN V1"), *texts(talk, "hm"), *texts(talk, "")]

    assert heard == []
    assert talk.happened(UnverifiedFact) == []


def test_S7_S14_not_even_the_right_pin_opens_a_locked_phone() -> None:
    talk = shared(locked=True)

    heard = texts(talk, "1 4711", PinCheck("p1"))

    assert heard == []
    assert talk.happened(HolderSignedIn) == []


def test_S7_S14_a_fact_from_nobody_is_kept_and_asked_again_of_somebody() -> None:
    talk = shared()

    heard = texts(talk, "USED V1 0412")

    assert len(talk.happened(UnverifiedFact)) == 1
    assert heard[0].startswith("This phone is shared. Who is holding it?")


@pytest.mark.parametrize("locked", [True, False])
@pytest.mark.parametrize("body", ["SPILL", "splash!"])
def test_S20_a_splash_is_answered_with_first_aid_whoever_it_is(body: str, *, locked: bool) -> None:
    talk = shared(locked=locked)

    heard = texts(talk, body)

    assert heard[0].startswith("Eyes: rinse with clean water 15 min")
    assert len(talk.happened(SpillReported)) == 1
    assert causes(talk)[-1] == "spill"


@pytest.mark.parametrize("locked", [True, False])
def test_S20_first_aid_beside_a_fact_loses_nothing_of_it(*, locked: bool) -> None:
    talk = shared(locked=locked)

    heard = texts(talk, "USED V1 0412, opa on my hand")

    assert heard[0].startswith("Eyes: rinse with clean water 15 min")
    assert [each.about for each in talk.happened(UnverifiedFact)] == ["used"]
