"""S14: only enrolled phones do anything; a shared one asks who is holding it."""

from datetime import timedelta

import pytest

from flows.answer import PinCheck, TextIn
from flows.parts.events import (
    AlertRaised,
    CycleBegan,
    CycleTaken,
    HolderSignedIn,
    HolderSignedOut,
    PhoneEnrolled,
    WrongPin,
)
from flows.replies.typed import tidy
from tests.kit.cycles import play_cycle, thread_of
from tests.kit.talk import Talk, clinic

SHARED = "ph3"
MICROSECOND = timedelta(microseconds=1)


def shared() -> Talk:
    talk = clinic()
    talk.let(PhoneEnrolled(SHARED, ("p1", "p2"), shared=True))
    return talk


def says(talk: Talk, body: str, pin: PinCheck | None = None, after: float = 5) -> list[str]:
    """Text from the shared phone; the PIN has been compared outside."""
    talk.wait(seconds=after)
    before = len(talk.heard.get(SHARED, []))
    person = talk.clinic.phones[SHARED].holder or ""
    incoming = TextIn(SHARED, tidy("" if pin else body), talk.now, pin)
    talk.exchange(incoming, phone=SHARED, person=pin.person or "" if pin else person)
    return talk.heard.get(SHARED, [])[before:]


def signs_in(talk: Talk, person: str | None = "p1") -> list[str]:
    return says(talk, "1 4711", PinCheck(person))


def test_S14_a_shared_phone_asks_who_is_holding_it_and_does_nothing_before() -> None:
    talk = shared()

    heard = says(talk, "CLEAN V1")

    assert heard[0].startswith("This phone is shared. Who is holding it?")
    assert talk.happened(CycleBegan) == []


def test_S14_with_number_and_pin_everything_is_theirs() -> None:
    talk = shared()

    (text,) = signs_in(talk, "p2")
    says(talk, "CLEAN V1")

    assert text.startswith("Hello Namep2.")
    assert talk.clinic.phones[SHARED].holder == "p2"
    assert thread_of(talk, "V1").person == "p2"  # type: ignore[union-attr]


def test_S14_a_wrong_pin_says_nothing_of_whose_it_might_be() -> None:
    talk = shared()

    (text,) = signs_in(talk, None)

    assert text == "Number or PIN is not right. Reply both once more, like 2 4711."
    assert talk.happened(WrongPin) == [WrongPin(SHARED, None)]
    assert talk.clinic.phones[SHARED].wrong_pins == 1


def test_S14_the_fifth_miss_locks_it_and_somebody_is_told() -> None:
    talk = shared()
    for _ in range(4):
        signs_in(talk, None)
    open_still = talk.happened(AlertRaised) == []

    (text,) = signs_in(talk, None)

    assert open_still
    assert text.startswith("Number or PIN was wrong too often: this phone is locked for 15 min.")
    assert talk.happened(WrongPin)[-1].locked_until == talk.now + timedelta(minutes=15)
    assert [event.cause for event in talk.happened(AlertRaised)] == ["locked"]
    assert talk.heard["ph9"] == ["A shared phone of your site is locked: wrong PINs."]


@pytest.mark.parametrize(("short_by", "opens"), [(MICROSECOND, False), (timedelta(0), True)])
def test_S14_locked_it_stays_for_a_quarter_of_an_hour(short_by: timedelta, *, opens: bool) -> None:
    talk = shared()
    for _ in range(5):
        signs_in(talk, None)
    talk.now += timedelta(minutes=15) - short_by

    heard = says(talk, "1 4711", PinCheck("p1"), after=0)

    assert (talk.happened(HolderSignedIn) != []) is opens
    assert (heard != []) is opens


def test_S14_signing_in_as_oneself_between_wipes_out_no_guess_at_a_colleague_s_pin() -> None:
    talk = shared()
    for _ in range(4):
        signs_in(talk, None)

    signs_in(talk)
    signs_in(talk, None)

    assert talk.happened(WrongPin)[-1].locked_until == talk.now + timedelta(minutes=15)
    assert [event.cause for event in talk.happened(AlertRaised)] == ["locked"]


@pytest.mark.parametrize(("short_by", "counted"), [(MICROSECOND, 5), (timedelta(0), 1)])
def test_S14_misses_are_forgotten_after_a_shift_without_one(
    short_by: timedelta, *, counted: int
) -> None:
    talk = shared()
    for _ in range(4):
        signs_in(talk, None)
    talk.now += timedelta(hours=10) - short_by

    says(talk, "1 4711", PinCheck(None), after=0)

    assert (talk.happened(WrongPin)[-1].locked_until is not None) is (counted == 5)
    assert talk.clinic.phones[SHARED].wrong_pins == counted % 5


def test_S14_after_a_lock_the_misses_count_from_nothing() -> None:
    talk = shared()
    for _ in range(5):
        signs_in(talk, None)
    talk.now += timedelta(minutes=15)

    signs_in(talk, None)

    assert talk.happened(WrongPin)[-1].locked_until is None


@pytest.mark.parametrize(("short_by", "known"), [(MICROSECOND, True), (timedelta(0), False)])
def test_S14_a_sign_in_lasts_a_shift(short_by: timedelta, *, known: bool) -> None:
    talk = shared()
    signs_in(talk)
    talk.now += timedelta(hours=10) - short_by

    text, *_ = says(talk, "STATE", after=0)

    assert text.startswith("Ready: none." if known else "This phone is shared.")


def test_S14_signed_out_nobody_holds_it() -> None:
    talk = shared()
    signs_in(talk)

    talk.let(HolderSignedOut(SHARED))

    assert says(talk, "STATE")[0].startswith("This phone is shared.")


def test_S14_the_next_holder_answers_for_nobody_elses_cycle_but_may_take_it() -> None:
    talk = shared()
    signs_in(talk, "p1")
    says(talk, "CLEAN V1")
    signs_in(talk, "p2")

    bare = says(talk, "ready")
    says(talk, "TAKE V1")

    assert bare == ["V1 is being cleaned by Namep1. To carry on with it yourself: TAKE V1."]
    assert talk.happened(CycleTaken)[0].person == "p2"
    assert thread_of(talk, "V1").person == "p2"  # type: ignore[union-attr]


def test_S14_another_persons_question_is_not_put_to_whoever_holds_it_now() -> None:
    talk = shared()
    signs_in(talk, "p1")
    says(talk, "CLEAN V1")
    signs_in(talk, "p2")
    says(talk, "USED V1")
    heard = says(talk, "0412")

    assert [text.partition(". ")[0] for text in heard] == ["Noted: V1 on patient 0412"]


def test_S14_taking_a_cycle_from_ones_own_phone_tells_nobody() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    heard = len(talk.heard["ph1"])

    talk.sends("TAKE V1", after=20)

    assert [text[:4] for text in talk.heard["ph1"][heard:]] == ["V1: "]


def test_S14_a_phone_without_a_person_does_nothing() -> None:
    talk = clinic()
    talk.let(PhoneEnrolled(SHARED, (), shared=False))

    (text,) = says(talk, "CLEAN V1")

    assert text.startswith("This phone is shared. Who is holding it?")
    assert talk.happened(CycleBegan) == []
