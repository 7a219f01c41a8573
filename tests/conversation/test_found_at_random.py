"""What random hours at a clinic have found, one sequence each, named after its rule."""

import re
from datetime import timedelta

import pytest

from flows.parts.clinic import Fitness, Standing
from flows.parts.events import Immersed, Recalled, SoakBroken, StripDipped
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def test_S4_a_device_cleaned_anew_soaks_on_a_strip_of_its_own() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.sends("OUT", after=60)
    talk.sends("AGAIN", after=20)

    play_cycle(talk, until="soaking")

    assert len(talk.happened(Immersed)) == 2
    assert len(talk.happened(StripDipped)) == 2


def test_S4_straight_back_in_is_the_same_use_and_needs_no_second_strip() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.sends("OUT", after=60)

    talk.sends(f"IN {talk.number()} 23", after=20)

    assert step_of(talk) == "soaking"
    assert len(talk.happened(StripDipped)) == 1


@pytest.mark.parametrize("body", ["IN {number} 23", "IN{number} 23", "in {number} 23,0 c"])
def test_S3_a_second_in_that_bears_the_number_of_the_first_begins_the_soak_anew(
    body: str,
) -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    talk.sends("IN 18", after=20)
    said = body.format(number=talk.number())
    talk.sends(said, after=120)

    talk.sends(said, after=300)

    assert len(talk.happened(Immersed)) == 2
    assert [event.because for event in talk.happened(SoakBroken)] == ["second_in"]
    assert talk.happened(Immersed)[0].number != talk.happened(Immersed)[1].number


def test_S4_the_bell_of_a_strip_whose_bath_was_recalled_does_not_ring_for_the_next() -> None:
    talk = clinic()
    play_cycle(talk, until="read")
    talk.let(Recalled("r1", "lot", "opa_055", "L1", "", "digest", talk.now))
    play_cycle(talk, until="read")
    dipped = talk.now

    (bell,) = [each for each in talk.clinic.bells.values() if each.kind == "strip"]

    assert bell.due == dipped + timedelta(seconds=90)


@pytest.mark.parametrize("step", ["under", "dip", "dry", "soaking", "final_rinse", "cover"])
def test_S13_damage_that_is_told_late_or_unasked_is_never_passed_over(step: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)

    talk.sends("DAMAGED", after=20)

    assert talk.clinic.devices["V1"].standing is Standing.QUARANTINED
    assert talk.clinic.cycles == {}


@pytest.mark.parametrize("word", ["STAINED", "AGAIN", "MOVED"])
@pytest.mark.parametrize("step", ["soaking", "final_rinse", "final_dry", "cover"])
def test_S3_a_slip_owned_up_to_late_or_unasked_is_never_passed_over(step: str, word: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)

    talk.sends(word, after=20)

    assert step_of(talk) == "wipe_detergent"


def test_S13_a_cleaning_for_the_repairer_goes_on_though_the_damage_is_told_again() -> None:
    talk = clinic()
    talk.sends("FAULT V1")
    play_cycle(talk, until="final_rinse")

    talk.sends("DAMAGED", after=20)

    assert step_of(talk) == "final_rinse"


@pytest.mark.parametrize("step", ["soaking", "final_rinse", "cover"])
def test_S4_a_strip_of_its_own_that_fails_the_bath_of_a_cycle_on_the_same_phone_is_taken(
    step: str,
) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    talk.sends("TEST T1", after=20)
    talk.sends("DIP T1", after=20)

    heard = talk.sends(_digit(talk, "any blue"), after=95)

    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED
    assert (talk.clinic.cycles, talk.clinic.threads) == ({}, {})
    assert [text for text in heard if "This cleaning does not count" in text] != []


def test_S13_damage_told_while_a_strip_of_its_own_is_read_is_of_the_cycle_on_that_phone() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")
    talk.sends("TEST T1", after=20)

    talk.sends("DAMAGED", after=20)

    assert talk.clinic.devices["V1"].standing is Standing.QUARANTINED


def _digit(talk: Talk, colour: str) -> str:
    """The answer that means *colour*, in the last text that asked for one."""
    asked = next(text for text in reversed(talk.heard["ph1"]) if colour in text)
    found = re.search(rf"(\d) {colour}", asked)
    assert found is not None
    return found[1]
