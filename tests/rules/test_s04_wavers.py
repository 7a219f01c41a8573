"""S4: between a pass and a fail is not sure; a strip of another bottle says nothing."""

import pytest

from flows.parts.clinic import Fitness
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import outcomes
from tests.kit.talk import Talk, clinic
from tests.kit.two_products import two_products


def dipped() -> Talk:
    talk = clinic()
    play_cycle(talk, until="read")
    return talk


@pytest.mark.parametrize(
    "body",
    [
        *("1 or 2", "between 1 and 2", "first 1 then 2", "2 no 1", "1/2", "T1 1 or 2"),
        *("maybe 1 maybe 2", "1 no wait 2"),
    ],
)
def test_S4_who_wavers_between_pass_and_fail_is_not_sure(body: str) -> None:
    talk = dipped()

    talk.sends(body, after=95)

    assert outcomes(talk) == [("fail", "unsure")]


@pytest.mark.parametrize(
    "body", ["1 or 2?", "1 not 2", "1 2", "1 or 3", "or 1", "no 1 or 2 is blue"]
)
def test_S4_what_may_be_no_reading_is_asked_back(body: str) -> None:
    talk = dipped()

    talk.sends(body, after=95)

    assert outcomes(talk) == []
    assert step_of(talk) == "read"


def with_two_bottles() -> Talk:
    """V2 soaks in glutaral, and a strip of S2 was dipped; those of S1 are for OPA."""
    talk = two_products()
    play_cycle(talk, "V2", until="read")
    return talk


@pytest.mark.parametrize(
    "body", ["the strip was from S1", "strip of S1", "sorry it was S1", "from S1 1", "1 from S1"]
)
def test_S4_a_strip_of_another_bottle_is_no_result_and_another_is_dipped(body: str) -> None:
    talk = with_two_bottles()

    heard = talk.sends(body, after=95)

    assert outcomes(talk) == [("no_result", "other_bottle")]
    assert heard[0].startswith("No result: it was of another bottle. One new strip")
    assert step_of(talk, "V2") == "dip"
    assert talk.clinic.strips["S1"].fitness is Fitness.GOOD


@pytest.mark.parametrize(
    "body", ["S1", "S1 expired", "was it S1?", "it was S2 not S1", "S9 strip"]
)
def test_S4_what_may_be_about_that_bottle_itself_is_asked_back(body: str) -> None:
    talk = with_two_bottles()

    talk.sends(body, after=95)

    assert outcomes(talk) == []
