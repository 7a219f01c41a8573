"""S4, S8: UNSURE a moment after GOOD, ACTIVE or FRESH is heard: of two words the worse counts."""

import pytest

from flows.parts.clinic import Fitness, Level, Standing
from flows.parts.events import (
    CleaningRestarted,
    ContainerCondemned,
    CycleVoided,
    StripsChecked,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")
CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")


def condemned(talk: Talk) -> list[tuple[str, str]]:
    return [(each.tag, each.because) for each in talk.happened(ContainerCondemned)]


# -- strips -------------------------------------------------------------------------------------


def with_new_strips() -> Talk:
    talk = clinic()
    for body in ("OPEN S", "270331", "K2"):
        talk.sends(body, after=20)
    talk.sends("GOOD", after=900)
    return talk


def each_of(texts: str) -> list[str]:
    return [each.strip() for line in texts.split("\n") for each in line.split(";") if each]


@pytest.mark.parametrize(
    "body", each_of("UNSURE; S2 FAILED; S2 NOT GOOD; one failed; BAD; sorry, not sure; S2 unsure")
)
def test_S4_strips_that_were_told_good_a_moment_ago_judge_nothing(body: str) -> None:
    talk = with_new_strips()

    heard = talk.sends(body, after=30)

    assert heard[0].startswith("Then none of those strips, S2, may be used")
    assert [each.passed for each in talk.happened(StripsChecked)] == [True, False]
    assert talk.clinic.strips["S2"].fitness is Fitness.CONDEMNED


@pytest.mark.parametrize(
    ("body", "after", "phone"),
    [
        ("UNSURE", 121, "ph1"),
        ("UNSURE", 30, "ph2"),
        ("S1 FAILED", 30, "ph1"),
        ("not sure?", 30, "ph1"),
        ("not sure about lunch", 30, "ph1"),
        ("not yet", 30, "ph1"),
        ("good", 30, "ph1"),
        ("5% 4 L", 30, "ph1"),
    ],
)
def test_S4_what_may_be_about_something_else_fails_none(body: str, after: int, phone: str) -> None:
    talk = with_new_strips()

    talk.sends(body, after=after, phone=phone)

    assert talk.clinic.strips["S2"].fitness is Fitness.GOOD


def test_S4_whoever_is_asked_for_a_strip_of_them_is_led_to_others() -> None:
    talk = clinic(stocked=False)
    play_cycle(talk, until="dip")

    heard = talk.sends("UNSURE", after=30)

    assert heard[0].startswith("Then none of those strips, S1, may be used")
    assert heard[-1].startswith("No strips in date. New strip bottle")


def test_S4_thrown_away_there_is_nothing_to_take_back() -> None:
    talk = with_new_strips()
    talk.sends("DISCARD S2", after=10)

    talk.sends("UNSURE", after=10)

    assert len(talk.happened(StripsChecked)) == 1


# -- the activator ------------------------------------------------------------------------------


@pytest.mark.parametrize("body", ["UNSURE", "not activated", "J1 not active", "sorry unsure"])
def test_S8_a_jug_that_was_told_active_a_moment_ago_is_not_for_use(body: str) -> None:
    talk = clinic(stocked=False, selection=GLUTARAL)
    play_cycle(talk, until="fill")

    heard = talk.sends(body, after=30)

    assert condemned(talk) == [("J1", "activation_unknown")]
    assert heard[0].startswith("Then J1 is not for use: no strip shows whether it is active.")
    assert step_of(talk) == "jug"


def test_S8_what_was_filled_from_it_meanwhile_falls_with_it() -> None:
    talk = clinic(stocked=False, selection=GLUTARAL)
    play_cycle(talk, until="fill")
    talk.sends("FILLED", after=20)

    talk.sends("UNSURE", after=30)

    assert [tag for tag, _ in condemned(talk)] == ["J1", "B1"]


# -- the bath for one soak ----------------------------------------------------------------------


def mixed(until: str = "immerse") -> Talk:
    talk = clinic(level=Level.BRIEF, stocked=False, selection=CHLORINE)
    play_cycle(talk, until=until)
    return talk


@pytest.mark.parametrize(
    "body", ["UNSURE", "V1 UNSURE", "not dry", "5% 4 L", "70% POWDER 2 L", "old bleach"]
)
def test_S4_a_bath_that_was_told_fresh_a_moment_ago_is_not_for_use(body: str) -> None:
    """Half as strong, and no strip will ever show it."""
    talk = mixed()

    heard = talk.sends(body, after=20)

    assert condemned(talk)[0] == ("T1", "not_vouched_for")
    assert any(each.startswith("Then T1 is not for use") for each in heard)
    assert talk.sends("STATE T1", after=5)[-1].startswith(
        "T1: NOT FOR USE: nobody can vouch for it."
    )


@pytest.mark.parametrize("body", ["5% 2 L", "2 L 5%", "2 L", "5%"])
def test_S10_the_same_amount_once_more_is_a_double_and_takes_nothing_back(body: str) -> None:
    talk = mixed()

    talk.sends(body, after=20)

    assert condemned(talk) == []


def test_S8_a_soak_that_has_begun_in_it_counts_for_nothing() -> None:
    talk = mixed("soaking")

    talk.sends("UNSURE", after=20)

    assert talk.happened(CycleVoided) or talk.happened(CleaningRestarted)
    assert talk.clinic.devices["V1"].standing is not Standing.RELEASED


def test_S1_what_is_wiped_with_is_taken_back_the_same() -> None:
    talk = clinic(level=Level.BRIEF, stocked=False, selection=CHLORINE)
    play_cycle(talk, until="under")

    talk.sends("5% 2 L", after=20)

    assert condemned(talk)[0] == ("M1", "not_vouched_for")
    assert step_of(talk) == "to_wipe"


def test_S1_of_that_the_same_volume_once_more_takes_nothing_back() -> None:
    talk = clinic(level=Level.BRIEF, stocked=False, selection=CHLORINE)
    play_cycle(talk, until="under")

    talk.sends("5% 1 L", after=20)

    assert condemned(talk) == []
