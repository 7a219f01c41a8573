"""S3, S6, S8: what may be bad news and was not understood is asked back; answers are not."""

import pytest

from flows.parts.clinic import Kind, Level
from flows.parts.events import (
    CleaningRestarted,
    NotUnderstood,
    PutInBath,
    ReleaseWithdrawn,
    SoakBroken,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import pour
from tests.kit.talk import Talk, clinic

OF_A_PROBE = (
    "About V1: nothing is noted yet. Out too early, moved, in doubt? Text V1 MOVED. In a wrong "
    "bath? V1 IN, its tag. Damaged? FAULT V1. Used? USED V1."
)
BEFORE_ITS_SOAK = OF_A_PROBE.replace("MOVED", "AGAIN")
OF_T2 = (
    "About T2: nothing is noted yet. Its strip or the bath not good, or in doubt? FAULT T2. "
    "Topped up? TOPPED T2. Was V1 in it? V1 IN T2."
)
OF_J1 = (
    "About J1: nothing is noted yet. Out of date, not good, in doubt? FAULT J1. Was V1 in it? V1 "
    "IN J1."
)
OF_ITS_BATH = (
    "About T1: nothing is noted yet. Its strip or the bath not good, or in doubt? FAULT T1. "
    "Topped up? TOPPED T1. V1 moved? V1 MOVED."
)
CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")


def at(step: str, level: Level = Level.COACH) -> Talk:
    """V1 is at that step; T2 is poured and not tested."""
    talk = clinic(devices=("V1", "V2"), level=level)
    play_cycle(talk, until=step)
    pour(talk, "T2", Kind.BATH, "B1")
    return talk


@pytest.mark.parametrize(
    "step", ["inspect", "under", "await_detergent", "dry", "immerse", "final_rinse", "cover"]
)
@pytest.mark.parametrize(
    "body",
    [
        *("oops in T2", "accidentally in T2", "I accidentally put it in T2", "it went into T2"),
        *("dipped it in T2", "it slipped in T2", "it is soaking in T2", "it touched T2"),
    ],
)
def test_S3_in_another_bath_in_words_that_nobody_foresaw_is_asked_about(
    step: str, body: str
) -> None:
    assert at(step).sends(body, after=20)[0] == OF_T2


@pytest.mark.parametrize("body", ["oops in T2", "I mixed T1 and T2"])
def test_S3_so_it_is_while_it_soaks_and_breaks_nothing_yet(body: str) -> None:
    talk = at("soaking")

    text, _ = talk.sends(body, after=20)

    assert text in {OF_T2, OF_ITS_BATH}
    assert (talk.happened(SoakBroken), talk.happened(PutInBath)) == ([], [])


def test_S3_what_is_asked_for_then_is_taken() -> None:
    talk = at("cover")
    talk.sends("oops in T2", after=20)

    talk.sends("V1 IN T2", after=20)

    assert [each.bath for each in talk.happened(PutInBath)] == ["T2"]


@pytest.mark.parametrize(
    "body", ["T2 is cloudy", "added water to T2", "wrong liquid in T2", "T2 not washed"]
)
@pytest.mark.parametrize("step", ["", "dry", "cover"])
def test_S6_what_may_be_wrong_with_a_container_is_asked_about(step: str, body: str) -> None:
    """With none in hand as well: a device at hand is the example."""
    assert at(step).sends(body, after=20)[0] == OF_T2


def test_S5_what_is_no_bath_is_not_asked_whether_it_was_topped_up() -> None:
    assert at("cover").sends("J1 expired", after=20)[0] == OF_J1


def test_S3_what_soaks_in_its_own_bath_is_there_by_right() -> None:
    assert at("soaking").sends("tap water got in T1", after=20)[0] == OF_ITS_BATH


def test_S10_the_probe_that_is_named_is_the_one_that_is_asked_about() -> None:
    text, _ = at("cover").sends("V2 touched T2", after=20)

    assert "Was V2 in it? V2 IN T2." in text


@pytest.mark.parametrize("body", ["I had to lift it out", "wrong tub", "somebody touched it"])
def test_S3_that_it_was_elsewhere_is_asked_about(body: str) -> None:
    assert at("cover").sends(body, after=20)[0] == OF_A_PROBE


@pytest.mark.parametrize("step", ["await_detergent", "dry", "cover", ""])
def test_S8_the_word_that_is_asked_for_counts_wherever_it_is_asked_for(step: str) -> None:
    """Released, too; OUT at another step than the soak is an old answer, and was dropped."""
    talk, word = at(step), "MOVED"
    if step:
        word = "MOVED" if step == "cover" else "AGAIN"
        asked = talk.sends("I took it out 2 min early", after=200)[0]
        assert asked == OF_A_PROBE.replace("MOVED", word)

    talk.sends(f"V1 {word}", after=20)

    assert talk.clinic.devices["V1"].release is None
    assert [each.device for each in talk.happened(CleaningRestarted)] == ["V1"] * bool(step)
    assert [each.device for each in talk.happened(ReleaseWithdrawn)] == ["V1"] * (not step)


# -- what is no news ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("step", "body"),
    [
        *(
            ("immerse", "T1 23 C now ok it is"),
            ("container", "T1 was washed"),
            ("dip", "T1 it is"),
        ),
        *(("read", "T1 purple"), ("wipe_disinfectant", "wet with B1 now"), ("soaking", "T1 ok?")),
        *(("rinse", "rinsed out 3 times"), ("dry", "not yet"), ("cover", "what now")),
        *(
            ("soaking", "lifted the lid"),
            ("dry", "it is dry in T2?"),
            ("inspect", "no cracks seen"),
        ),
        *(("soaking", "it is in T1"), ("dip", "dip in T1 just now")),
    ],
)
def test_S17_what_belongs_to_the_answer_gets_the_question_again(step: str, body: str) -> None:
    heard = at(step).sends(body, after=20)

    assert not any(text.startswith("About") for text in heard)


def test_S3_an_answer_beside_another_bath_is_asked_about_all_the_same() -> None:
    assert at("cover").sends("covered, it fell in T2 before", after=20)[0].startswith("About")


@pytest.mark.parametrize("body", ["5 2 L from J1", "wrong"])
def test_S4_what_it_is_mixed_from_belongs_to_the_answer(body: str) -> None:
    talk = clinic(selection=CHLORINE)
    play_cycle(talk, until="single_use")

    (text,) = talk.sends(body, after=20)

    assert text.startswith("No strip for chlorine")


def test_S18_a_lot_is_no_tag() -> None:
    talk = at("")
    talk.sends("OPEN", after=20)
    talk.sends("270331", after=20)

    heard = talk.sends("lot is T2 now", after=20)

    assert not any(text.startswith("About") for text in heard)


def test_S6_a_tag_that_nobody_knows_is_asked_about_beside_a_probe_only() -> None:
    asked = at("cover").sends("it touched T9", after=20)
    at_rest = at("").sends("it touched T9", after=20)

    assert asked[0].startswith("About T9: nothing is noted yet.")
    assert at_rest[0].startswith("I did not understand that.")


def test_S17_it_is_a_miss_like_any_other() -> None:
    talk = at("cover")

    talk.sends("it touched T2", after=20)

    assert len(talk.happened(NotUnderstood)) == 1
    assert step_of(talk) == "cover"


def test_S17_a_slip_beside_another_bath_is_asked_about_first() -> None:
    """IT is one slip from IN."""
    assert at("immerse").sends("it fell into T2 just now", after=20)[0] == BEFORE_ITS_SOAK


def test_S10_where_no_probe_is_known_nobody_is_asked_about_one() -> None:
    talk = clinic(devices=())

    (text,) = talk.sends("T1 is cloudy", after=20)

    assert text.startswith("I did not understand that.")


@pytest.mark.parametrize(
    "body",
    [
        *("V1 cover torn", "V1 contaminated", "V1 not flushed", "cable of V1 cut", "V1 peeling"),
        *("V1 leaking", "V1 strip failed", "V1 touched by patient", "V1 on patient 0412"),
    ],
)
def test_S7_any_words_beside_the_name_of_a_probe_are_asked_about(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk)

    assert talk.sends(body, after=60)[0] == OF_A_PROBE


@pytest.mark.parametrize("body", ["V1 cover torn", "V1 peeling", "V1 too short"])
@pytest.mark.parametrize("step", ["inspect", "soaking", "final_rinse", "cover"])
def test_S7_so_are_they_in_its_cleaning(step: str, body: str) -> None:
    assert at(step).sends(body, after=20)[0] in {OF_A_PROBE, BEFORE_ITS_SOAK}


@pytest.mark.parametrize(
    ("step", "body"),
    [("immerse", "V1 23"), ("cover", "V1"), ("cover", "V1 covered soon"), ("", "V1?")],
)
def test_S17_an_answer_with_the_name_is_not(step: str, body: str) -> None:
    heard = at(step).sends(body, after=20)

    assert not any(text.startswith("About") for text in heard)
