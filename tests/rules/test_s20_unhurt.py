"""S20: staying unhurt: cautions in full once a shift, each hazard where it bites, first aid."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Level
from flows.parts.events import AlertRaised, CautionsAcknowledged, SoakBroken, SpillReported
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

MICROSECOND = timedelta(microseconds=1)


def cautions_heard(talk: Talk, phone: str = "ph1") -> int:
    return sum(text.startswith("Gloves, goggles, gown") for text in talk.heard.get(phone, []))


@pytest.mark.parametrize("level", list(Level))
def test_S20_cautions_come_first_and_are_acknowledged(level: Level) -> None:
    talk = clinic(level=level)

    (text,) = talk.sends("CLEAN V1")
    talk.sends("ready", after=5)

    assert text.startswith("Gloves, goggles, gown, fresh air. Plug and cable end stay dry.")
    assert "overrule me" in text
    assert talk.happened(CautionsAcknowledged) == [CautionsAcknowledged("p1")]
    assert talk.clinic.people["p1"].cautions_at == talk.now


def test_S20_nothing_goes_on_before_they_are_acknowledged() -> None:
    talk = clinic()
    talk.sends("CLEAN V1")

    why, text = talk.sends("sound", after=5)

    assert why == "Your SOUND is not noted yet. This comes first:"
    assert text == "Gloves, goggles and gown on, air moving? Reply READY."
    assert step_of(talk) == "cautions"


@pytest.mark.parametrize(("short_by", "again"), [(MICROSECOND, False), (timedelta(0), True)])
def test_S20_once_in_a_shift(short_by: timedelta, *, again: bool) -> None:
    talk = clinic()
    play_cycle(talk, until="inspect")
    acknowledged = talk.clinic.people["p1"].cautions_at
    play_cycle(talk)
    talk.sends("USED V1 0412", after=5)
    assert acknowledged is not None
    talk.now = acknowledged + timedelta(hours=10) - short_by

    talk.sends("CLEAN V1")

    assert cautions_heard(talk) == 1 + again
    assert step_of(talk) == ("cautions" if again else "inspect")


def test_S20_each_person_has_their_own() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="inspect")

    play_cycle(talk, "V2", phone="ph2", until="inspect")

    assert cautions_heard(talk, "ph1") == cautions_heard(talk, "ph2") == 1


def test_S20_whoever_takes_over_has_them_before_anything_else() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    (text,) = talk.sends("TAKE V1", phone="ph2", after=5)
    before = step_of(talk)
    talk.sends("ready", phone="ph2", after=5)

    assert text.startswith("Gloves, goggles, gown")
    assert before == "take_cautions"
    assert step_of(talk) == "stayed"
    assert talk.happened(CautionsAcknowledged)[-1] == CautionsAcknowledged("p2")


@pytest.mark.parametrize(
    ("body", "step"),
    [
        *(("V1 OUT", "back_in"), ("V1 MOVED", "wipe_detergent"), ("V1 IN 23", "back_in")),
        *(("V1 IN T9 23", "wipe_detergent"), ("V1 STAINED", "wipe_detergent")),
    ],
)
@pytest.mark.parametrize("phone", ["ph1", "ph2"])
def test_S20_whatever_is_told_of_the_probe_meanwhile_comes_after_them(
    phone: str, body: str, step: str
) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.sends("TAKE V1", phone="ph2", after=60)
    if phone == "ph2" and body == "V1 IN 23":
        body = "V1 OUT"  # of a probe that one has just taken IN tells nothing

    talk.sends(body, phone=phone, after=20)
    before, text = step_of(talk), talk.last("ph2")
    talk.sends("ready", phone="ph2", after=20)
    after = step_of(talk)
    play_cycle(talk, phone="ph2")

    assert before == "take_cautions"
    assert text.startswith("Gloves, goggles, gown")
    assert after == step
    assert talk.clinic.devices["V1"].standing == "released"


def test_S20_whoever_has_had_them_is_not_asked_again_at_a_hand_over() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V2", phone="ph2", until="inspect")
    play_cycle(talk, "V1", until="soaking")

    talk.sends("TAKE V1", phone="ph2", after=5)

    assert cautions_heard(talk, "ph2") == 1
    assert step_of(talk, "V1") == "stayed"


@pytest.mark.parametrize("level", list(Level))
def test_S20_the_hazards_are_said_where_they_bite(level: Level) -> None:
    talk = clinic(level=level)

    heard = play_cycle(talk).heard

    at_the_bath = [text for text in heard if "IN " in text and "T1" in text]
    at_the_bell = [text for text in heard if "soak complete" in text]
    assert all("loves, goggles" in text for text in at_the_bath)
    assert all("Clean gloves" in text for text in at_the_bell)
    assert len(at_the_bath) == len(at_the_bell) == 1


@pytest.mark.parametrize("body", ["SPILL", "splash", "SPILL on my hand", "Splash!!"])
def test_S20_a_spill_is_answered_with_first_aid_at_once(body: str) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    heard = talk.sends(body, after=5)

    assert len(heard) == 1
    assert heard[0].startswith("Eyes: rinse with clean water 15 min, then a doctor.")
    assert talk.happened(SpillReported) == [SpillReported("said")]
    assert [event.cause for event in talk.happened(AlertRaised)] == ["spill"]
    assert step_of(talk) == "soaking"


def test_S20_about_says_what_overrules_this_bot() -> None:
    talk = clinic()

    (text,) = talk.sends("ABOUT")

    assert text.endswith("local rules and trained judgement overrule it.")


FIRST_AID = "Eyes: rinse with clean water 15 min"


@pytest.mark.parametrize(
    "body", ["it got in my eye", "splashed", "spilt", "my hand burns", "opa on my hand"]
)
@pytest.mark.parametrize("step", ["", "immerse", "soaking", "cover"])
def test_S20_first_aid_comes_for_other_words_too_and_the_question_again(
    step: str, body: str
) -> None:
    talk = clinic()
    if step:
        play_cycle(talk, until=step)

    heard = talk.sends(body, after=200)

    assert heard[0].startswith(FIRST_AID)
    assert len(heard) == (2 if step else 1)
    assert talk.happened(SpillReported) == [SpillReported("said")]
    assert step == "" or step_of(talk) == step
    assert talk.happened(SoakBroken) == []


def test_S3_what_else_is_told_beside_a_splash_is_heard() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    heard = talk.sends("V1 out, splashed", after=60)

    assert heard[0].startswith(FIRST_AID)
    assert len(talk.happened(SoakBroken)) == 1


def test_S3_what_may_be_bad_news_beside_a_splash_is_asked_about() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")

    heard = talk.sends("it splashed when I lifted it out again", after=60)

    assert heard[0].startswith(FIRST_AID)
    assert heard[1].startswith("About V1: nothing is noted yet.")


def test_S20_an_answer_beside_a_splash_is_asked_for_again() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")

    talk.sends("covered, splashed my eye", after=200)

    assert step_of(talk) == "cover"


@pytest.mark.parametrize(
    "body", ["eye shield on, ready", "skin ok", "burner off", "nothing spilled"]
)
def test_S20_what_tells_of_protection_or_of_no_hurt_alarms_nobody(body: str) -> None:
    talk = clinic()
    talk.sends("CLEAN V1")

    (asked,) = talk.sends(body, after=20)

    assert asked == "Gloves, goggles and gown on, air moving? Reply READY."
    assert talk.happened(SpillReported) == []
    assert talk.happened(AlertRaised) == []


@pytest.mark.parametrize("step", ["immerse", "soaking"])
def test_S5_a_bath_that_tipped_over_is_a_spill_and_asked_about(step: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)

    heard = talk.sends("T1 tipped over", after=60)

    assert heard[0].startswith(FIRST_AID)
    assert heard[1].startswith("About T1: nothing is noted yet.")


@pytest.mark.parametrize(
    "beside", ["opa on my hand", "splashed", "my eye burns", "T1 tipped over", "opa on the floor"]
)
def test_S20_first_aid_comes_beside_a_command_too_which_is_obeyed(beside: str) -> None:
    talk = clinic()
    play_cycle(talk)

    heard = talk.sends(f"USED V1 0412, {beside}", after=60)

    assert heard[0].startswith(FIRST_AID)
    assert any(text.startswith("Noted: V1 on patient 0412.") for text in heard)
    assert talk.happened(SpillReported) == [SpillReported("said")]


@pytest.mark.parametrize("beside", ["eye", "on her arm", "headache", "skin rash", "hand"])
def test_S20_what_was_examined_is_nobody_hurt(beside: str) -> None:
    talk = clinic()
    play_cycle(talk)

    talk.sends(f"USED V1 0412 {beside}", after=60)

    assert talk.happened(SpillReported) == []
