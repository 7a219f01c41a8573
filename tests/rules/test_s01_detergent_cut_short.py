"""S1: out of the detergent before its bell it has not been in it for long enough.

Wait for the bell was all that was said to OUT, and the bell stood for a soak that had been cut
short. Source: the detergent's own time, in the protocol; common practice for what people say.
"""

from datetime import timedelta

import pytest

from flows.parts.events import CleaningRestarted
from tests.kit.cycles import arrives, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def in_the_detergent(step: str = "await_detergent") -> Talk:
    talk = clinic()
    play_cycle(talk, until=step)
    return talk


@pytest.mark.parametrize("step", ["dip", "read", "await_detergent"])
@pytest.mark.parametrize("phone", ["ph1", "ph2"])
@pytest.mark.parametrize("body", ["V1 OUT", "V1 MOVED", "V1 came out"])
def test_S1_out_before_the_bell_is_cleaned_from_the_start(
    body: str, phone: str, step: str
) -> None:
    talk = in_the_detergent(step)

    talk.sends(body, phone=phone, after=5)

    assert step_of(talk) == "wipe_detergent"
    why = "V1: out of the detergent before its bell, that is too short."
    assert any(each.startswith(why) for each in talk.heard["ph1"])


@pytest.mark.parametrize("body", ["OUT?", "V1 IN", "OUT OF STRIPS", "ok"])
def test_S17_what_says_no_such_thing_waits_for_the_bell(body: str) -> None:
    talk = in_the_detergent()

    talk.sends(body, after=5)

    assert talk.happened(CleaningRestarted) == []


def test_S10_once_the_bell_has_rung_out_is_what_it_should_be() -> None:
    talk = in_the_detergent("rinse")

    talk.sends("V1 OUT", after=5)

    assert talk.happened(CleaningRestarted) == []


def test_S10_what_was_sent_before_it_went_in_is_of_another_soak() -> None:
    talk = in_the_detergent()
    began = talk.clinic.cycles[talk.clinic.devices["V1"].cycle or ""].detergent

    assert began
    arrives(talk, "V1 OUT", began.began - timedelta(seconds=20))

    assert talk.happened(CleaningRestarted) == []
