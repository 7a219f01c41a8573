"""S21: a second device that a carrier tells of only when the soak it has disturbed is over."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import CaseOpened, CycleVoided, PutInBath
from tests.kit.cycles import arrives, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def soaked(until: str, *, led: bool = False) -> tuple[Talk, timedelta]:
    """V1 has soaked in T1 and is at that step; how long ago it was in the middle of its soak.

    V2 is *led* on ph2, or at rest.
    """
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="soaking")
    if led:
        play_cycle(talk, "V2", phone="ph2", until="under")
    talk.wait(minutes=2)
    middle = talk.now
    play_cycle(talk, until=until)
    return talk, talk.now - middle


@pytest.mark.parametrize("led", [True, False])
@pytest.mark.parametrize("until", ["cover", ""])
def test_S21_the_soak_falls_though_it_is_heard_of_late(until: str, *, led: bool) -> None:
    talk, ago = soaked(until, led=led)

    arrives(talk, "V2 IN T1 23", talk.now - ago, "ph2")

    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]
    assert talk.clinic.devices["V1"].standing is not Standing.RELEASED
    assert step_of(talk, "V1") == ""
    assert [(each.subject, len(each.cycles)) for each in talk.happened(CaseOpened)] == [("T1", 1)]
    assert any(text.startswith("T1 was no good when it was used") for text in talk.heard["ph9"])


def test_S21_what_has_been_begun_again_since_has_fallen_already() -> None:
    talk, ago = soaked("final_inspect")
    talk.sends("STAINED", after=20)

    arrives(talk, "V2 IN T1 23", talk.now - ago - timedelta(seconds=20), "ph2")

    assert talk.happened(CycleVoided) == []


@pytest.mark.parametrize("when", ["before", "after"])
def test_S21_what_was_put_in_before_or_after_it_has_disturbed_nothing(when: str) -> None:
    talk, ago = soaked("")
    sent = talk.now if when == "after" else talk.now - ago - timedelta(minutes=5)

    arrives(talk, "V2 IN T1 23", sent, "ph2")

    assert [each.device for each in talk.happened(PutInBath)] == ["V2"]
    assert talk.happened(CycleVoided) == []


def test_S21_its_own_in_of_then_is_no_second_device() -> None:
    talk, ago = soaked("")

    arrives(talk, "V1 IN T1 23", talk.now - ago, "ph2")

    assert talk.happened(CycleVoided) == []
