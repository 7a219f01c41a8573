"""S3, S8, S10: what is told from beside a probe, and what only sounds like it."""

import pytest

from flows.parts.events import CleaningRestarted
from tests.kit.cycles import arrives, play_cycle
from tests.kit.talk import clinic
from tests.rules.test_s03_told_elsewhere import breaks, lapsed, released, soaking, was_in

UNCLEAR = (
    "About V1: nothing is noted yet. Taken out or moved? Text V1 OUT. Put in a bath? V1 IN T1. "
    "Damaged? FAULT V1. Used? USED V1."
)


@pytest.mark.parametrize(
    "body",
    [
        *("V1 out of order", "V1 in use", "V1 in room 2", "V1 is damaged", "V1 broken"),
        *("V1 out at 12:22", "V1 in T1 until 12:22", "V1 V2 OUT", "V1 poured in T2"),
    ],
)
@pytest.mark.parametrize("state", ["soaking", "ready"])
def test_S8_what_may_be_bad_news_or_none_is_asked_and_changes_nothing(
    state: str, body: str
) -> None:
    talk = soaking() if state == "soaking" else released()

    (text,) = talk.sends(body, phone="ph2", after=20)

    assert text == UNCLEAR
    assert (breaks(talk), lapsed(talk), was_in(talk)) == ([], [], [])


@pytest.mark.parametrize(
    ("body", "because"),
    [
        *(("V1 is out", "early_out"), ("V1 came out", "early_out"), ("V1 was moved", "moved")),
        *(("V1 fell out of the bath", "early_out"), ("V1 out of T1", "early_out")),
    ],
)
def test_S3_it_is_taken_in_plain_words_too(body: str, because: str) -> None:
    talk = soaking()

    talk.sends(body, phone="ph2", after=20)

    assert breaks(talk) == [("V1", because)]


@pytest.mark.parametrize("body", ["V1 is in T1", "V1 still in T1"])
def test_S3_that_it_is_where_it_soaks_breaks_nothing(body: str) -> None:
    talk = soaking()

    talk.sends(body, phone="ph2", after=20)

    assert breaks(talk) == []


def test_S10_again_without_a_name_is_asked_which_it_is_of() -> None:
    talk = soaking()

    (text,) = talk.sends("again please", phone="ph2", after=20)

    assert text.startswith("Which probe is that?")
    assert breaks(talk) == []


@pytest.mark.parametrize("body", ["OUT", "MOVED", "IN 23"])
def test_S10_with_another_in_hand_it_may_be_of_what_this_phone_led_before(body: str) -> None:
    talk = soaking()
    talk.sends("TAKE V1", phone="ph2", after=20)
    play_cycle(talk, phone="ph2", until="soaking")
    play_cycle(talk, "V2", until="wipe_detergent")

    (text,) = talk.sends(body, after=20)

    assert text.startswith("Which probe is that?")


@pytest.mark.parametrize("disturbs", [True, False])
def test_S21_in_its_bath_again_by_its_tag_is_not_for_whoever_leads_it_to_deny(
    *, disturbs: bool
) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="final_rinse")
    if disturbs:
        play_cycle(talk, "V2", phone="ph2", until="soaking")

    talk.sends("V1 IN T1 23", phone="ph9", after=20)

    assert breaks(talk) == [("V2", "second_device")] * disturbs
    assert [each.device for each in talk.happened(CleaningRestarted)][-1] == "V1"
    assert was_in(talk)[-1][:2] == ("V1", "T1")


def test_S10_an_in_of_before_its_release_is_the_old_one() -> None:
    talk = soaking()
    sent = talk.now
    play_cycle(talk)

    arrives(talk, "V1 IN 23", sent, phone="ph2")

    assert lapsed(talk) == []


def test_S2_an_out_sent_before_the_bell_breaks_it_from_any_phone() -> None:
    talk = soaking()
    sent = talk.now
    talk.wait(minutes=11)

    arrives(talk, "V1 OUT", sent, phone="ph2")

    assert breaks(talk) == [("V1", "early_out")]


@pytest.mark.parametrize("body", ["damaged", "again"])
def test_S10_where_something_is_asked_here_it_may_be_said_of_that(body: str) -> None:
    talk = released("V1")
    talk.sends("OPEN S", phone="ph2", after=20)

    (text,) = talk.sends(body, phone="ph2", after=20)

    assert text.startswith("Which probe is that?")
    assert lapsed(talk) == []
