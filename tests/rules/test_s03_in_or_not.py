"""S3, S8: IN said of a person or a room breaks no soak; what leaves it open is asked about."""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import CleaningRestarted, PutInBath, SoakBroken, TakenOut
from tests.kit.cycles import number_for, play_cycle, step_of, wait_for_bell
from tests.kit.talk import Talk, clinic
from tests.rules.test_s03_second_in import LEAVE_IT, breaks, soaking
from tests.rules.test_s04_in_unasked import AFTER_THE_SOAK, at_step, was_in

SIX = 6 * 60

OF_SOMETHING_ELSE = (
    *("in room 2", "In the toilet", "in a meeting", "in the office now", "in order", "in stock"),
    *("back in a minute", "in a moment", "in an hour", "in half an hour", "back in a few minutes"),
)
MAYBE = (
    "in use",
    "in something",
    "put in room 2",
    "back in 5 min",
    "back in 10",
    "in tubb",
    "back in the box",
)


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize("body", OF_SOMETHING_ELSE)
def test_S3_what_is_said_of_a_person_or_a_room_breaks_no_soak(level: Level, body: str) -> None:
    talk = soaking(level)

    (text,) = talk.sends(body, after=SIX)

    assert text.startswith(LEAVE_IT)
    assert text.endswith("Taken out or moved? Text OUT.")
    assert breaks(talk) == []
    assert step_of(talk) == "soaking"


@pytest.mark.parametrize("body", MAYBE)
def test_S8_what_leaves_it_open_is_asked_and_no_soak_counts_before_that(body: str) -> None:
    talk = soaking()

    (text,) = talk.sends(body, after=SIX)
    wait_for_bell(talk)
    (instead,) = talk.sends(f"OUT {number_for(talk)}", after=20)

    assert text == instead
    assert text == (
        "V1 is soaking. Did it stay in, untouched, the whole time? Reply STAYED, or MOVED if it "
        "moved or nobody is sure."
    )
    assert (breaks(talk), talk.happened(TakenOut)) == ([], [])


@pytest.mark.parametrize("body", MAYBE)
def test_S8_where_it_stayed_in_the_soak_goes_on(body: str) -> None:
    talk = soaking()

    talk.sends(body, after=SIX)
    talk.sends("STAYED", after=20)
    asked = step_of(talk)
    play_cycle(talk)

    assert asked == "soaking"
    assert breaks(talk) == []
    assert len(talk.happened(TakenOut)) == 1


@pytest.mark.parametrize("body", ["MOVED", "OUT", "IN T2 23"])
def test_S3_where_it_did_not_the_soak_is_broken(body: str) -> None:
    talk = soaking()

    talk.sends("in use", after=SIX)
    talk.sends(body, after=20)

    assert len(talk.happened(SoakBroken)) == 1


def test_S17_where_only_its_warmth_is_owed_that_is_asked_again() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking", celsius="21")
    wait_for_bell(talk)
    talk.sends(f"OUT {number_for(talk)}", after=20)

    *_, text = talk.sends("in something", after=20)

    assert text.startswith("V1: measure the bath once more")
    assert step_of(talk) == "soaking"


# -- where no soak is on ------------------------------------------------------------------------


def asked_whether(body: str, step: str) -> tuple[Talk, list[str]]:
    talk = at_step(step)
    return talk, talk.sends(body, after=20)


@pytest.mark.parametrize(
    ("body", "step"),
    [
        *(("put it in the tub", "container"), ("in the tub", "container")),
        *(("in something", "container"), ("in something", "dry")),
    ],
)
def test_S8_before_the_soak_it_is_asked_whether_it_is_in_and_nothing_is_noted(
    body: str, step: str
) -> None:
    talk, (asked, again) = asked_whether(body, step)

    assert asked == "Is V1 in T1 already? If it is, text IN T1. If not, nothing is noted:"
    assert again.startswith("T1: a clean tub" if step == "container" else "V1")
    assert (was_in(talk), talk.happened(CleaningRestarted)) == ([], [])
    assert step_of(talk) == step


def test_S4_that_it_is_told_by_the_tag_is_taken() -> None:
    talk, _ = asked_whether("put it in the tub", "container")

    talk.sends("IN T1", after=20)

    assert was_in(talk) == [("V1", "T1", "too_early")]


@pytest.mark.parametrize("step", ["container", "dry", "rinse", *AFTER_THE_SOAK])
@pytest.mark.parametrize("body", ["in order", "in room 2", "back in a minute"])
def test_S3_what_is_said_of_something_else_is_no_answer(step: str, body: str) -> None:
    talk, (text,) = asked_whether(body, step)

    assert "already?" not in text
    assert "put in a bath again?" not in text
    assert talk.happened(PutInBath) == []
    assert step_of(talk) == step


def test_S8_after_the_soak_it_is_asked_once_and_put_again_until_it_is_answered() -> None:
    talk, (text,) = asked_whether("in something", "cover")

    (again,) = talk.sends("in something else", after=20)
    talk.sends("none", after=20)

    assert text == again
    assert text.startswith("V1: its soak is over. Was it put in a bath again?")
    assert step_of(talk) == "cover"


def test_S3_in_the_detergent_nothing_is_asked() -> None:
    talk, (*_, text) = asked_whether("in something", "wipe_water")
    talk2, heard = asked_whether("in something", "await_detergent")

    assert "already?" not in text + "".join(heard)
    assert was_in(talk) == was_in(talk2) == []
