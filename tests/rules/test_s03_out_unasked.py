"""S3: OUT before the bell is a break, whichever question is open on the phone that says it."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import SoakBroken, TakenOut
from tests.kit.cycles import number_for, play_cycle, step_of, wait_for_bell
from tests.kit.talk import Talk, clinic

ASIDE = (
    ("TEST B1",),
    ("USED V2",),
    ("POUR",),
    ("OPEN",),
    ("OPEN S",),
)


def soaking(*commands: str) -> Talk:
    """V1 soaks, and something else has been asked on its phone since."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="soaking")
    talk.wait(minutes=3)
    for command in commands:
        talk.sends(command)
    return talk


def breaks(talk: Talk) -> list[tuple[str, str]]:
    return [(each.device, each.because) for each in talk.happened(SoakBroken)]


@pytest.mark.parametrize("body", ["OUT", "V1 OUT", "out 21.5", "OUT 99"])
@pytest.mark.parametrize("commands", ASIDE)
def test_S3_an_early_out_is_a_break_though_another_question_is_open(
    commands: tuple[str, ...], body: str
) -> None:
    talk = soaking(*commands)

    heard = talk.sends(body, after=20)

    assert breaks(talk) == [("V1", "early_out")]
    assert step_of(talk) == "back_in"
    assert heard[-1].startswith("V1 came out ")


def test_S3_so_is_one_where_a_code_was_asked_for_and_given() -> None:
    talk = soaking("USED V2", "0412")

    talk.sends("OUT", after=20)

    assert breaks(talk) == [("V1", "early_out")]


@pytest.mark.parametrize("step", ["take_cautions", "stayed"])
@pytest.mark.parametrize("body", ["OUT", "OUT 23", "V1 OUT"])
def test_S3_an_early_out_answers_whether_it_stayed_in(step: str, body: str) -> None:
    talk = soaking()
    talk.sends("TAKE V1", phone="ph2", after=20)
    if step == "stayed":
        talk.sends("ready", phone="ph2", after=20)

    (text,) = talk.sends(body, phone="ph2", after=20)
    if step == "take_cautions":
        (text,) = talk.sends("ready", phone="ph2", after=20)
    asked = step_of(talk)
    play_cycle(talk, phone="ph2")

    assert breaks(talk) == [("V1", "early_out")]
    assert text.startswith("V1 came out ")
    assert asked == "back_in"
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S2_after_the_bell_an_out_without_its_number_is_asked_for_it() -> None:
    talk = soaking("TEST B1")
    wait_for_bell(talk)

    heard = talk.sends("OUT", after=20)
    asked = step_of(talk)
    talk.sends(f"OUT {number_for(talk)}", after=20)

    assert heard[-1].startswith("V1: was it in until the bell? Then reply OUT and the number")
    assert asked == "soaking"
    assert breaks(talk) == []
    assert len(talk.happened(TakenOut)) == 1


@pytest.mark.parametrize("step", ["take_cautions", "stayed"])
def test_S2_after_the_bell_an_out_leaves_it_to_the_taker_whether_it_stayed(step: str) -> None:
    talk = soaking()
    wait_for_bell(talk)
    talk.sends("TAKE V1", phone="ph2", after=20)
    if step == "stayed":
        talk.sends("ready", phone="ph2", after=20)

    talk.sends("OUT", phone="ph2", after=20)

    assert breaks(talk) == []
    assert step_of(talk) == step


@pytest.mark.parametrize("body", ["OUT", "MOVED", "IN 23"])
def test_S10_with_two_cycles_beside_another_question_it_is_asked_which(body: str) -> None:
    talk = soaking()
    play_cycle(talk, "V2", until="wipe_water", named=True)
    talk.sends("TEST B1", after=20)

    heard = talk.sends(body, after=20)
    broken = breaks(talk)
    talk.sends("V1 OUT", after=20)

    assert heard == [
        "Two devices are in hand. Which one? Put its name first, like V2 ... / V1 ...."
    ]
    assert broken == []
    assert breaks(talk) == [("V1", "early_out")]


def test_S10_an_out_of_what_soaks_no_more_is_an_old_answer() -> None:
    talk = soaking()
    play_cycle(talk, until="final_rinse")
    talk.sends("TEST B1", after=20)

    (text,) = talk.sends("OUT", after=20)

    assert text.startswith("As the strip leaves the liquid, reply DIP")
    assert step_of(talk) == "final_rinse"


def test_what_tells_of_no_probe_is_for_the_question_that_is_open() -> None:
    talk = soaking()
    play_cycle(talk, "V2", until="wipe_water", named=True)
    talk.sends("TEST B1", after=20)

    *_, text = talk.sends("hm", after=20)

    assert text.startswith("As the strip leaves the liquid, reply DIP")
