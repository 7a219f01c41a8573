"""S3, S10: what one text tells of two devices in hand, each by its name, is told of each."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import (
    CleaningRestarted,
    Immersed,
    NotUnderstood,
    Quarantined,
    Released,
    SoakBroken,
    StepDone,
)
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

ONE_EACH = "Two devices are in hand. Nothing is noted yet: one text for each"


def two(first: str, second: str) -> Talk:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until=first, named=True)
    play_cycle(talk, "V2", until=second, named=True)
    return talk


def broken(talk: Talk) -> list[str]:
    return sorted(each.device for each in talk.happened(SoakBroken))


@pytest.mark.parametrize(
    "body",
    ["V1 covered, V2 covered", "V1 covered\nV2 covered", "V2 COVERED and V1 COVERED thanks"],
)
def test_S10_two_answers_are_both_taken(body: str) -> None:
    talk = two("cover", "cover")

    talk.sends(body, after=200)

    assert sorted(each.device for each in talk.happened(Released)) == ["V1", "V2"]


def test_S10_each_answers_its_own_question() -> None:
    talk = two("dry", "wipe_water")

    talk.sends("V1 dry, V2 water", after=20)

    assert (step_of(talk, "V1"), step_of(talk, "V2")) == ("container", "wipe_disinfectant")


def test_S10_each_with_its_own_reading() -> None:
    talk = two("immerse", "immerse")

    talk.sends("V1 in 23, V2 in 24", after=60)

    assert [(each.device, each.celsius) for each in talk.happened(Immersed)] == [
        ("V1", 23),
        ("V2", 24),
    ]


@pytest.mark.parametrize(
    "body",
    [
        *("V1 covered, V2 not yet", "V1 covered not V2", "V1 and V2 covered", "covered V1 and V2"),
        *("V2 not covered, V1 covered", "both covered", "V1 covered V1 covered V2 covered"),
    ],
)
def test_S10_where_a_part_is_no_answer_nothing_is_taken_and_that_is_said(body: str) -> None:
    talk = two("cover", "cover")

    heard = talk.sends(body, after=200)

    assert heard[0].startswith(ONE_EACH)
    assert talk.happened(Released) == []


def test_S3_beside_bad_news_of_the_other_an_answer_by_name_is_taken_too() -> None:
    talk = two("cover", "cover")

    talk.sends("V1 covered V2 stained", after=200)

    assert [each.device for each in talk.happened(CleaningRestarted)] == ["V2"]
    assert [each.device for each in talk.happened(Released)] == ["V1"]


@pytest.mark.parametrize("body", ["V1 covered, V1 damaged", "V1 damaged, V1 covered"])
def test_S13_beside_bad_news_of_its_own_none_is(body: str) -> None:
    talk = two("cover", "cover")

    talk.sends(body, after=200)

    assert [each.device for each in talk.happened(Quarantined)] == ["V1"]
    assert talk.happened(Released) == []


@pytest.mark.parametrize(
    "body",
    ["V1 and V2 out", "V1 V2 out", "both out", "V1 and V2 moved", "V2, V1 OUT"],
)
def test_S3_bad_news_of_both_is_taken_of_each(body: str) -> None:
    talk = two("soaking", "soaking")

    talk.sends(body, after=20)

    assert broken(talk) == ["V1", "V2"]


@pytest.mark.parametrize(
    "body", ["V1 moved, V2 not", "V1 moved but V2 not", "V1 moved not V2", "V1 out, V2 not"]
)
def test_S3_bad_news_of_one_and_not_of_the_other_is_of_the_one(body: str) -> None:
    talk = two("soaking", "soaking")

    talk.sends(body, after=20)

    assert broken(talk) == ["V1"]


@pytest.mark.parametrize(
    "body", ["V1 and V2 not moved", "both still in", "V1 and V2 ok", "V1 not, V2 not", "both not"]
)
def test_S10_what_tells_of_no_harm_breaks_nothing(body: str) -> None:
    talk = two("soaking", "soaking")

    talk.sends(body, after=20)

    assert broken(talk) == []
    assert talk.clinic.devices["V1"].standing is Standing.IN_CYCLE


def test_S3_both_of_one_in_hand_is_of_no_two() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="soaking")

    talk.sends("both moved", after=20)

    assert len(talk.happened(SoakBroken)) + len(talk.happened(NotUnderstood)) == 1


def test_S13_both_damaged_is_of_both() -> None:
    talk = two("dry", "dry")

    talk.sends("both damaged", after=20)

    assert sorted(each.device for each in talk.happened(Quarantined)) == ["V1", "V2"]


@pytest.mark.parametrize("body", ["V1 covered, V2 is cracked", "V1 covered but V2 fell"])
def test_S8_damage_of_the_one_is_asked_about_as_of_that(body: str) -> None:
    talk = two("cover", "cover")

    heard = talk.sends(body, after=200)

    assert heard[0].startswith("About V2: nothing is noted yet.")
    assert talk.happened(Released) == []


@pytest.mark.parametrize("body", ["T1 topped up, T2 not", "T1 topped up not T2", "T1 cloudy"])
def test_S8_what_is_told_of_a_bath_is_asked_about_as_of_that(body: str) -> None:
    talk = two("soaking", "soaking")

    heard = talk.sends(body, after=20)

    assert heard[0].startswith("About T1: nothing is noted yet.")
    assert [each.what for each in talk.happened(StepDone) if each.what == "stayed_in"] == []
