"""S4, S13: what FAULT tells of, in a few more words; a question tells of nothing."""

import pytest

from flows.parts.clinic import Fitness, Standing
from flows.parts.events import AlertRaised, FaultReported, FreeText
from tests.kit.cycles import play_cycle
from tests.kit.talk import clinic


@pytest.mark.parametrize(
    "body",
    [
        *(
            "fault in T1",
            "fault with T1",
            "fault on T1",
            "fault of the bath T1",
            "fault leak in T1",
        ),
        *("there is a fault with T1", "T1 fault", "fault in T1 not B1"),
    ],
)
def test_S4_it_is_of_the_container_that_is_named(body: str) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    talk.sends(body, after=60)

    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED
    assert talk.clinic.containers["B1"].fitness is not Fitness.CONDEMNED
    assert talk.clinic.devices["V1"].cycle is None


def test_S13_where_a_probe_is_named_it_is_of_that() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    talk.sends("FAULT V1 in T1", after=60)

    assert talk.clinic.devices["V1"].standing is Standing.QUARANTINED
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD


@pytest.mark.parametrize("named", ["V1", "T1", "S1"])
def test_S8_a_question_condemns_nothing_and_says_how_to_tell_it(named: str) -> None:
    talk = clinic()
    play_cycle(talk)

    (text,) = talk.sends(f"fault {named}?", after=60)

    assert text == (
        f"Nothing is noted. Is {named} damaged, not good, or in doubt? Then text FAULT {named}."
    )
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD
    assert (talk.happened(FaultReported), talk.happened(AlertRaised)) == ([], [])


def test_S8_a_question_without_a_name_alarms_nobody() -> None:
    talk = clinic()

    (text,) = talk.sends("fault?")

    assert text == "Which device? Here: V1. Like FAULT V1."
    assert (talk.happened(FreeText), talk.happened(AlertRaised)) == ([], [])
