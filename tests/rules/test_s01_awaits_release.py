"""S1: what is covered and waits for who may release it is said so, and is not ready."""

import pytest

from flows.parts.clinic import Level, Role
from flows.parts.events import PersonEnrolled, Released
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

TOLD = "V1 is covered and waits for TAKE V1. Nothing else is noted. Damaged? FAULT V1."


def covered() -> Talk:
    talk = clinic(level=Level.COACH)
    talk.let(PersonEnrolled("p1", 1, Role.TRAINEE, Level.COACH, may_release=False, language="en"))
    play_cycle(talk, until="cover")
    talk.sends("covered", after=190)
    return talk


@pytest.mark.parametrize("phone", ["ph1", "ph9"])
def test_S1_CHECK_says_that_it_waits_for_release(phone: str) -> None:
    (text,) = covered().sends("CHECK V1", phone=phone, after=30)[:1]

    assert text == (
        "V1 NOT READY yet: it is covered and waits for release. Do not use it. Whoever may "
        "release it texts TAKE V1."
    )


@pytest.mark.parametrize("body", ["V1 is covered", "V1 covered and waiting"])
def test_S1_that_it_is_covered_is_on_the_record_already(body: str) -> None:
    talk = covered()

    heard = talk.sends(body, after=30)

    assert heard[0].startswith(TOLD)
    assert step_of(talk) == "sign_off"


@pytest.mark.parametrize("body", ["release V1", "V1 whole", "checked V1, whole"])
def test_S1_who_may_release_is_told_to_take_it_first(body: str) -> None:
    talk = covered()

    heard = talk.sends(body, phone="ph9", after=30)

    assert heard[0].startswith(TOLD)
    assert talk.happened(Released) == []


def test_S1_once_it_is_taken_it_waits_for_nobody_else() -> None:
    talk = covered()
    talk.sends("TAKE V1", phone="ph9", after=30)

    heard = talk.sends("CHECK V1", phone="ph9", after=30)

    assert heard[0].startswith("V1 NOT READY: being cleaned now.")


@pytest.mark.parametrize("body", ["FAULT V1", "USED V1"])
def test_S9_what_is_no_more_as_it_was_covered_does_not_wait(body: str) -> None:
    talk = covered()
    talk.sends(body, after=30)

    heard = talk.sends("CHECK V1", phone="ph9", after=30)

    assert not heard[0].startswith("V1 NOT READY yet")


@pytest.mark.parametrize("phone", ["ph1", "ph9"])
@pytest.mark.parametrize("body", ["V1 AGAIN", "V1 MOVED"])
def test_S3_doubt_of_what_waits_is_taken_from_either_phone(body: str, phone: str) -> None:
    talk = covered()

    talk.sends(body, phone=phone, after=30)

    assert step_of(talk) != "sign_off"
