"""S9, S18: WRONG PROBE, told after a release, ends it: nobody has cleaned what stands as ready."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import (
    CycleAbandoned,
    CycleVoided,
    DeviceUsed,
    ReleaseWithdrawn,
    SoakBroken,
)
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def released() -> Talk:
    talk = clinic(devices=("V1", "V2", "V3"))
    play_cycle(talk)
    return talk


@pytest.mark.parametrize(
    "body",
    ["sorry that was V2 not V1", "I cleaned V2, not V1", "oops, V2 was cleaned instead of V1"],
)
def test_S9_the_probe_that_nobody_cleaned_is_not_ready(body: str) -> None:
    talk = released()

    heard = talk.sends(body, after=60)

    assert heard[0].startswith("V1 is NOT READY any more: another was cleaned.")
    assert heard[1].startswith("What was cleaned is on no record as V2: it counts for nothing.")
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert [each.device for each in talk.happened(ReleaseWithdrawn)] == ["V1"]
    assert [each.because for each in talk.happened(CycleVoided)] == ["another_cleaned"]
    assert talk.heard["ph2"][-1] == heard[0]


@pytest.mark.parametrize("body", ["wrong probe", "sorry, wrong probe", "not V1"])
def test_S9_nor_where_the_other_is_not_named(body: str) -> None:
    talk = released()

    (text,) = talk.sends(body, after=60)

    assert text.startswith("V1 is NOT READY any more: another was cleaned.")


@pytest.mark.parametrize(
    ("body", "after", "phone"),
    [
        ("wrong probe", 3601, "ph1"),
        ("wrong probe", 60, "ph2"),
        ("wrong probe?", 60, "ph1"),
        ("not V2", 60, "ph1"),
        ("sorry V1", 60, "ph1"),
        ("wrong bath", 60, "ph1"),
        ("V1 not used", 60, "ph1"),
    ],
)
def test_S9_other_texts_end_no_release(body: str, after: int, phone: str) -> None:
    talk = released()

    talk.sends(body, after=after, phone=phone)

    assert talk.happened(ReleaseWithdrawn) == []


@pytest.mark.parametrize("step", ["under", "soaking", "cover"])
@pytest.mark.parametrize("body", ["V2 not V1", "sorry its V2 not V1", "not V1, V2"])
def test_S9_while_it_is_cleaned_its_cleaning_ends(step: str, body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until=step)

    heard = talk.sends(body, after=30)

    assert heard[0] == (
        "Then V1 is not being cleaned, and nothing done counts for V2 yet. Begin with it from the "
        "start: CLEAN V2."
    )
    assert [each.because for each in talk.happened(CycleAbandoned)] == ["another_cleaned"]
    assert len(talk.happened(SoakBroken)) == (step == "soaking")
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY


@pytest.mark.parametrize("body", ["wrong probe", "oops wrong probe", "not V1"])
def test_S9_which_one_is_in_hand_is_asked(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="under")

    (text,) = talk.sends(body, after=30)

    assert text == (
        "Is another probe in hand than V1? Then nothing of this counts for V1. Text which, like "
        "V2 NOT V1."
    )
    assert talk.happened(CycleAbandoned) == []


@pytest.mark.parametrize("body", ["V1 not used", "wrong bath", "V1 not yet", "no, V1", "not V2"])
def test_S9_other_texts_end_no_cleaning(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="under")

    talk.sends(body, after=30)

    assert talk.happened(CycleAbandoned) == []


def test_S10_of_two_in_hand_it_may_say_which_is_answered_for() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="cover")
    talk.sends("CLEAN V2", after=60)

    talk.sends("V2 not V1", after=60)

    assert talk.happened(CycleAbandoned) == []


def test_S10_what_is_asked_meanwhile_may_be_what_it_is_said_of() -> None:
    talk = released()
    talk.sends("CLEAN V3", after=60)

    talk.sends("wrong probe", after=60)

    assert talk.happened(ReleaseWithdrawn) == []


def test_S7_a_use_of_before_is_not_what_it_puts_right() -> None:
    talk = clinic(devices=("V1", "V2", "V3"))
    play_cycle(talk, until="cover")
    talk.sends("USED V3 0412", after=60)
    talk.sends("COVERED", after=200)
    assert talk.clinic.devices["V1"].release

    talk.sends("sorry that was V2 not V1", after=20)

    assert [each.device for each in talk.happened(DeviceUsed)] == ["V3"]
    assert [each.device for each in talk.happened(ReleaseWithdrawn)] == ["V1"]
