"""S3, S8, S10: what is told from beside a probe, and what only sounds like it."""

import pytest

from flows.parts.events import CleaningRestarted, CycleVoided, Quarantined
from tests.kit.cycles import arrives, play_cycle
from tests.kit.talk import Talk, clinic
from tests.rules.test_s03_told_elsewhere import breaks, lapsed, released, soaking, was_in

UNCLEAR = (
    "About V1: nothing is noted yet. Out too early, moved, in doubt? Text V1 MOVED. In a wrong "
    "bath? V1 IN, its tag. Damaged? FAULT V1. Used? USED V1."
)


@pytest.mark.parametrize(
    "body",
    [
        *("V1 out of order", "V1 in use", "V1 in room 2", "V1 broken", "V1 fell down"),
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


@pytest.mark.parametrize("body", ["it is DAMAGED", "V1 is damaged", "it's damaged now"])
@pytest.mark.parametrize("step", ["wipe_water", "dip", "rinse", "soaking", "cover"])
def test_S13_that_it_is_damaged_is_heard_in_plain_words(step: str, body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until=step)

    talk.sends(body, after=60)

    assert [each.device for each in talk.happened(Quarantined)] == ["V1"]


def test_S13_so_it_is_from_beside_it_once_it_is_ready() -> None:
    talk = released()

    talk.sends("V1 is damaged", phone="ph9", after=20)

    assert [each.device for each in talk.happened(Quarantined)] == ["V1"]


@pytest.mark.parametrize("body", ["it is STAINED", "stained again", "still stained"])
def test_S8_that_it_is_stained_is_heard_in_plain_words(body: str) -> None:
    talk = clinic()
    play_cycle(talk, until="rinse")

    talk.sends(body, after=60)

    assert [each.because for each in talk.happened(CleaningRestarted)] == ["stained"]


@pytest.mark.parametrize("body", ["V1 IN", "V1 IN 23"])
def test_S4_in_after_its_cleaning_was_given_up_its_bath_needs_another_strip(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="immerse")
    play_cycle(talk, "V2", phone="ph2", until="wipe_water")
    talk.wait(minutes=70)

    talk.sends(body, after=20)

    passed = talk.clinic.containers["T1"].passed
    assert was_in(talk) == [("V1", "T1", "elsewhere")]
    assert passed is not None
    assert passed.used_by is not None


@pytest.mark.parametrize(
    "body",
    [
        *("TOPPED T1", "T1 was topped up", "topped up T1", "Ann topped up T1", "I topped T1 up"),
        *("T1 has been topped up", "topped T1 with more OPA", "TOPPED UP T1 YESTERDAY"),
        *("topped up T1 from B1", "T1 topped up a bit to the line"),
    ],
)
def test_S6_topped_up_is_heard_where_nobody_pours(body: str) -> None:
    talk = soaking()

    text, *_ = talk.sends(body, phone="ph2", after=20)

    assert text.startswith("T1 is not for use any more: throw it away, text DISCARD T1.")
    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]
    assert talk.clinic.containers["T1"].fitness == "condemned"


def test_S6_so_it_is_by_whoever_leads_the_probe_in_it() -> None:
    talk = soaking()

    talk.sends("TOPPED T1", after=20)

    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]
    assert talk.clinic.threads == {}


@pytest.mark.parametrize("body", ["topped t1", "sorry I topped up t1 with b1"])
def test_S6_what_was_released_from_it_falls_and_every_phone_hears_so(body: str) -> None:
    talk = released()

    talk.sends(body, phone="ph2", after=20)

    assert talk.clinic.devices["V1"].release is None
    assert any("T1" in text for text in talk.heard["ph9"])


def two_in_hand(first: str = "soaking", second: str = "wipe_water") -> Talk:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until=first)
    play_cycle(talk, "V2", until=second, named=True)
    return talk


def test_S6_with_two_in_hand_its_tag_says_what_it_is_of() -> None:
    talk = two_in_hand()

    text, *_ = talk.sends("topped t1", after=20)

    assert text.startswith("T1 is not for use any more: throw it away, text DISCARD T1.")
    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]
    assert talk.clinic.containers["T1"].fitness == "condemned"


@pytest.mark.parametrize("body", ["topped", "soaped", "T1"])
def test_S10_what_names_no_bath_is_asked_which_of_the_two_it_is_of(body: str) -> None:
    (text,) = two_in_hand().sends(body, after=20)

    assert text.startswith("Two devices are in hand. Which one?")


def test_S10_where_one_is_asked_for_the_tag_it_is_asked_which_too() -> None:
    talk = two_in_hand("immerse", "fill")
    talk.sends("V2 TOPPED", after=20)

    (text,) = talk.sends("topped t1", after=20)
    talk.sends("V2 T1", after=20)

    assert text.startswith("Two devices are in hand. Which one?")
    assert talk.clinic.containers["T1"].fitness == "condemned"


@pytest.mark.parametrize("body", ["V1 still in the bath", "V1 already in", "V1 is in"])
def test_S3_reassurance_breaks_no_soak(body: str) -> None:
    talk = soaking()

    talk.sends(body, phone="ph2", after=20)

    assert breaks(talk) == []


@pytest.mark.parametrize("body", ["out of towels", "out for lunch"])
def test_S3_what_is_lacking_breaks_no_soak_on_its_own_phone_either(body: str) -> None:
    talk = soaking()

    talk.sends(body, after=20)

    assert breaks(talk) == []


@pytest.mark.parametrize("step", ["cover", ""])
@pytest.mark.parametrize("body", ["V1 out early", "V1 came out too early", "V1 out by mistake"])
def test_S3_that_it_came_out_early_is_owned_up_to_late(step: str, body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until=step)

    talk.sends(body, phone="ph2", after=20)

    assert talk.clinic.devices["V1"].release is None
    assert [each.because for each in talk.happened(CleaningRestarted)] == ["early_out"] * bool(
        step
    )


def test_S4_in_another_bath_before_its_release_is_no_old_in() -> None:
    talk = soaking()
    sent = talk.now
    play_cycle(talk)

    arrives(talk, "V1 IN T2 23", sent, phone="ph2")

    assert lapsed(talk) == [("V1", "in_again")]


@pytest.mark.parametrize("body", ["in 10", "again", "moved"])
def test_S10_at_rest_the_only_probe_is_asked_for_its_name_too(body: str) -> None:
    talk = released("V1")

    (text,) = talk.sends(body, phone="ph9", after=20)

    assert text.startswith("Which probe is that?")
    assert lapsed(talk) == []


@pytest.mark.parametrize("body", ["v1 is cracked", "it has a stain", "there is blood on it"])
def test_S13_what_may_be_damage_is_asked_about_where_it_is_led(body: str) -> None:
    talk = clinic()
    play_cycle(talk, until="cover")

    text, again = talk.sends(body, after=20)

    assert text == UNCLEAR
    assert again.startswith("V1: cover it.")


def test_S4_from_another_phone_in_another_bath_before_its_soak_is_cleaned_from_the_start() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="dry")

    talk.sends("V1 IN T9 23", phone="ph2", after=20)

    assert was_in(talk)[-1][:2] == ("V1", "T9")
    assert len(talk.happened(CleaningRestarted)) == 1


@pytest.mark.parametrize("body", ["TOPPED T1 B1", "topped up T1 and B1", "B1, T1 were topped"])
def test_S6_each_that_is_named_is_not_for_use(body: str) -> None:
    talk = soaking()

    heard = talk.sends(body, phone="ph2", after=20)

    assert len([text for text in heard if "not for use any more" in text]) == 2
    assert {talk.clinic.containers[tag].fitness for tag in ("T1", "B1")} == {"condemned"}


def test_S6_what_it_was_topped_up_from_was_not_topped_up() -> None:
    talk = soaking()

    talk.sends("topped up T1 from B1", phone="ph2", after=20)

    assert talk.clinic.containers["B1"].fitness == "good"


@pytest.mark.parametrize(
    "body", ["T1 was not topped up", "nobody topped T1", "T1 topped?", "topped, in T1 now"]
)
def test_S6_what_is_denied_or_of_a_probe_condemns_nothing(body: str) -> None:
    talk = soaking()

    talk.sends(body, phone="ph2", after=20)

    assert talk.clinic.containers["T1"].fitness == "good"


def test_S6_without_a_tag_it_is_asked_whatever_stands_beside() -> None:
    (text,) = clinic().sends("Ann topped up the tub")

    assert text.startswith("Which tub or bottle was topped up: B1, T1?")
