"""S7, S14: bad news from a shared phone that is locked, not held, or was held by another then."""

from datetime import timedelta

import pytest

from flows.answer import PinCheck, TextIn
from flows.parts.events import (
    AlertRaised,
    CleaningRestarted,
    HolderSignedIn,
    HolderSignedOut,
    PhoneEnrolled,
    Released,
    SoakBroken,
    SpillReported,
    StripRead,
    TakenOut,
    UnverifiedFact,
    WrongPin,
)
from flows.replies.typed import tidy
from tests.kit.cycles import number_for, play_cycle, step_of, wait_for_bell
from tests.kit.talk import Talk, clinic

SHARED = "ph3"
LOCKED, NOT_HELD = "locked", "not held"


def led(step: str, *labels: str) -> Talk:
    """V1 is at that step, led on the shared phone by p1."""
    talk = clinic(devices=labels or ("V1", "V2"))
    talk.let(PhoneEnrolled(SHARED, ("p1", "p2"), shared=True), HolderSignedIn(SHARED, "p1"))
    if step:
        play_cycle(talk, phone=SHARED, until=step)
    return talk


def left(talk: Talk, how: str) -> Talk:
    if how == LOCKED:
        talk.let(WrongPin(SHARED, talk.now + timedelta(minutes=15)))
    else:
        talk.let(HolderSignedOut(SHARED))
    return talk


def texts(talk: Talk, body: str, *, sent: float = 0, pin: PinCheck | None = None) -> list[str]:
    """Brought 20 s from now; *sent* so many seconds before that."""
    talk.wait(seconds=20)
    before = len(talk.heard.get(SHARED, []))
    sent_at = talk.now - timedelta(seconds=sent)
    talk.exchange(TextIn(SHARED, tidy(body), sent_at, pin), phone=SHARED)
    return talk.heard.get(SHARED, [])[before:]


def facts(talk: Talk) -> list[str]:
    return [each.about for each in talk.happened(UnverifiedFact)]


@pytest.mark.parametrize("how", [LOCKED, NOT_HELD])
@pytest.mark.parametrize(
    ("body", "about", "because"),
    [
        *(("OUT", "out", "early_out"), ("V1 OUT", "out", "early_out")),
        *(("MOVED", "moved", "moved"), ("IN T2 23", "in", "second_in")),
        ("I took it out too early, V1", "out", "early_out"),
    ],
)
def test_S3_what_disturbs_a_soak_that_this_phone_leads_breaks_it(
    how: str, body: str, about: str, because: str
) -> None:
    talk = left(led("soaking"), how)

    why, *then = texts(talk, body)

    assert f"{about.upper()} was texted for V1 here while nobody was signed in" in why
    assert any(text.startswith("V1: wipe handle and cable") for text in then)
    assert facts(talk) == [about]
    assert [each.because for each in talk.happened(SoakBroken)] == [because]
    assert [each.because for each in talk.happened(CleaningRestarted)] == [because]
    assert talk.happened(AlertRaised)[-1].cause == "unverified"


def test_S3_only_the_probe_that_is_named() -> None:
    talk = left(led("soaking"), LOCKED)

    texts(talk, "V2 OUT")

    assert facts(talk) == ["out"]
    assert talk.happened(SoakBroken) == []


@pytest.mark.parametrize("body", ["V1 OUT", "OUT", "OUT {number}"])
def test_S2_once_its_bell_has_rung_OUT_is_an_answer_and_asked_for_again(body: str) -> None:
    talk = led("soaking")
    wait_for_bell(talk)
    left(talk, NOT_HELD)

    (asked,) = texts(talk, body.format(number=number_for(talk, phone=SHARED)))

    assert asked.startswith("This phone is shared. Who is holding it?")
    assert (facts(talk), talk.happened(TakenOut)) == ([], [])


def test_S3_an_IN_that_is_asked_for_is_an_answer_too() -> None:
    talk = left(led("immerse"), NOT_HELD)

    texts(talk, "V1 IN 23")
    texts(talk, "IN 23")

    assert facts(talk) == []
    assert step_of(talk) == "immerse"


@pytest.mark.parametrize("how", [LOCKED, NOT_HELD])
@pytest.mark.parametrize(
    ("body", "about"),
    [
        *(("TOPPED T1", "topped"), ("we have topped up T1", "topped"), ("DISCARD T1", "discard")),
        *(("V1 DAMAGED", "damaged"), ("STAINED", "stained"), ("V1 FAULT", "fault")),
        *(("V2 IN T1", "in"), ("V1 moved", "moved"), ("0412 USED V1", "used")),
    ],
)
def test_S7_bad_news_is_kept_and_alerts(how: str, body: str, about: str) -> None:
    talk = left(led(""), how)

    heard = texts(talk, body)

    assert facts(talk) == [about]
    assert len(heard) == (how == NOT_HELD)
    assert talk.heard["ph9"][-1].endswith(f"signed in on: {about}. Please ask who.")


@pytest.mark.parametrize("how", [LOCKED, NOT_HELD])
@pytest.mark.parametrize(
    ("body", "about"),
    [
        *(("T1 FAILED", "T1"), ("blood in T1", "T1"), ("V1 cover torn", "V1")),
        *(("V1 not clean", "V1"), ("V1 not ready", "V1"), ("done with V1, it sparked", "V1")),
    ],
)
def test_S7_what_may_be_bad_news_is_kept_and_alerts_by_its_name(
    how: str, body: str, about: str
) -> None:
    talk = left(led(""), how)

    texts(talk, body)

    assert facts(talk) == [about]
    assert talk.heard["ph9"][-1].startswith(f"Somebody texted about {about}, maybe bad news")


@pytest.mark.parametrize(
    "body",
    [
        *("V1 ok", "hello V1", "V1 next", "V1 done", "V1 CLEAN", "is V1 ready", "who has V1"),
        *("T1 ok", "good morning, V1 first"),
    ],
)
def test_S7_words_of_no_harm_alert_nobody(body: str) -> None:
    talk = left(led(""), NOT_HELD)

    (asked,) = texts(talk, body)

    assert asked.startswith("This phone is shared. Who is holding it?")
    assert facts(talk) == []


@pytest.mark.parametrize(
    "body",
    [
        *("STATE T1", "CLEAN V1", "V1", "COVERED V1", "is T1 good?", "hello", "", "1", "OUT"),
        *("T9 is cloudy", "DIP T1", "V1 covered soon"),
    ],
)
def test_S7_answers_questions_and_other_commands_are_no_news(body: str) -> None:
    talk = left(led(""), NOT_HELD)

    texts(talk, body)

    assert facts(talk) == []


@pytest.mark.parametrize(
    ("body", "kept"), [("2", ["strip"]), ("3", ["strip"]), ("1", []), ("x", [])]
)
def test_S4_a_strip_that_may_have_failed_is_kept_and_alerts(body: str, kept: list[str]) -> None:
    talk = left(led("read"), LOCKED)

    texts(talk, body)

    assert facts(talk) == kept
    assert talk.happened(StripRead) == []


def test_S7_of_two_facts_both_are_kept() -> None:
    talk = left(led(""), LOCKED)

    texts(talk, "USED V1 0412\nFAULT V2")

    assert facts(talk) == ["used", "fault"]


# -- sent while another held it -----------------------------------------------------------------


def test_S14_a_text_of_before_is_no_answer_of_whoever_holds_it_now() -> None:
    talk = led("cover")
    talk.wait(seconds=200)
    talk.let(HolderSignedIn(SHARED, "p2"))
    texts(talk, "TAKE V1")
    asked = step_of(talk)

    (text,) = texts(talk, "COVERED", sent=60)

    assert text.startswith("That was sent before you signed in here")
    assert step_of(talk) == asked
    assert talk.happened(Released) == []


@pytest.mark.parametrize(("sent", "taken"), [(0, True), (20, True), (21, True), (22, False)])
def test_S14_the_gateway_dates_a_text_to_the_second(sent: float, *, taken: bool) -> None:
    talk = led("")
    talk.let(HolderSignedIn(SHARED, "p2"))

    (text,) = texts(talk, "STATE", sent=sent)[:1]

    assert text.startswith("That was sent before") is not taken


@pytest.mark.parametrize(("sent", "taken"), [(60, False), (30, True)])
def test_S14_number_and_PIN_may_have_been_kept_by_a_carrier_too(
    sent: float, *, taken: bool
) -> None:
    """They were sent 40 s before they came; all that is brought then is sorted by when it was."""
    talk = led("")
    talk.wait(seconds=100)
    texts(talk, "1 ****", sent=40, pin=PinCheck("p2"))

    (text,) = texts(talk, "STATE", sent=sent + 20)[:1]

    assert text.startswith("That was sent before") is not taken
    assert talk.clinic.phones[SHARED].holder == "p2"


def test_S3_bad_news_of_before_is_kept_and_breaks_what_soaks_here() -> None:
    talk = led("soaking")
    talk.let(HolderSignedIn(SHARED, "p2"))

    texts(talk, "OUT", sent=60)

    assert facts(talk) == ["out"]
    assert len(talk.happened(SoakBroken)) == 1


@pytest.mark.parametrize("body", ["SPLASH", "it got in my eye"])
def test_S20_first_aid_is_given_in_any_words_to_whoever_it_is(body: str) -> None:
    talk = left(led(""), LOCKED)

    assert texts(talk, body)[0].startswith("Eyes: rinse with clean water 15 min")


def test_S20_first_aid_is_given_whenever_it_was_asked_for() -> None:
    talk = led("")
    talk.let(HolderSignedIn(SHARED, "p2"))

    heard = texts(talk, "SPLASH", sent=60)

    assert heard[0].startswith("Eyes: rinse with clean water 15 min")
    assert len(talk.happened(SpillReported)) == 1


def test_S14_a_sign_in_of_before_takes_nobody_else_s_place() -> None:
    talk = led("")
    talk.let(HolderSignedIn(SHARED, "p2"))

    (late,) = texts(talk, "1 ****", sent=60, pin=PinCheck("p1"))
    texts(talk, "1 ****", sent=60, pin=PinCheck(None))

    assert late.startswith("That was sent before")
    assert talk.clinic.phones[SHARED].holder == "p2"
    assert len(talk.happened(WrongPin)) == 1


def test_S7_what_follows_number_and_pin_is_heard_of_who_has_signed_in() -> None:
    talk = left(led(""), NOT_HELD)

    heard = texts(talk, "2 ****\nCHECK V1", pin=PinCheck("p2"))

    assert heard[0] == "Hello Namep2."
    assert heard[1].startswith("V1 NOT READY")


@pytest.mark.parametrize("behind", ["ok", "thanks", "Namep2", ""])
def test_S14_a_small_word_behind_them_is_no_answer(behind: str) -> None:
    talk = left(led(""), NOT_HELD)

    (heard,) = texts(talk, f"2 ****\n{behind}", pin=PinCheck("p2"))

    assert heard.startswith("Hello Namep2. Now send your text again")
