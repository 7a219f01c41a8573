"""S6, S8, S10: the words for what runs out: none wrecks what was just done, none is a dead end."""

import pytest

from flows.parts.clinic import Fitness, Level
from flows.parts.events import ContainerCondemned, CycleAbandoned, JugActivated, StripsChecked
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")


# -- the last of a jug --------------------------------------------------------------------------


def test_S6_DISCARD_is_taught_beside_FILLED_only_where_the_bottle_is_not_full() -> None:
    """Whoever had filled it with the last of the jug threw that away as well."""
    talk = clinic()

    (asked,) = talk.sends("POUR J1")

    assert asked.endswith("Too little in J1 to fill it? DISCARD J1.")


# -- no activator -------------------------------------------------------------------------------


def asked_to_activate(*, cleaning: bool) -> Talk:
    talk = clinic(stocked=False, selection=GLUTARAL, level=Level.BRIEF)
    if cleaning:
        play_cycle(talk, until="activate")
    else:
        for body in ("OPEN", "270331", "L77", "POUR J1"):
            talk.sends(body, after=20)
    return talk


@pytest.mark.parametrize("cleaning", [False, True])
def test_S8_without_an_activator_the_jug_is_no_worse(*, cleaning: bool) -> None:
    """UNSURE was the only word left, and it condemned a sealed jug for ever."""
    talk = asked_to_activate(cleaning=cleaning)

    heard = talk.sends("LATER", after=20)

    assert heard[0] == (
        "All right: nothing is noted of J1, and until it is active nothing is poured from it. "
        "Later: POUR J1."
    )
    assert talk.happened(JugActivated) == talk.happened(ContainerCondemned) == []
    assert talk.clinic.containers["J1"].fitness is Fitness.GOOD


def test_S8_in_a_cleaning_another_jug_is_asked_for() -> None:
    talk = asked_to_activate(cleaning=True)

    heard = talk.sends("LATER", after=20)

    assert heard[-1].startswith("New jug of glutaral 3.0 %")


def test_S8_while_the_detergent_works_it_is_asked_for_when_that_is_over() -> None:
    talk = clinic(stocked=False, selection=GLUTARAL)
    play_cycle(talk, until="under")
    play_cycle(talk, until="fill")
    for body in ("DISCARD B1", "DISCARD J1", "280331", "L78"):
        talk.sends(body, after=20)
    asked = step_of(talk)

    talk.sends("LATER", after=20)

    assert (asked, step_of(talk)) == ("activate", "await_detergent")


def test_S5_of_two_jugs_the_one_that_is_active_already_is_poured_from() -> None:
    talk = asked_to_activate(cleaning=False)
    talk.sends("LATER", after=20)
    for body in ("OPEN", "280331", "L78", "POUR J2"):
        talk.sends(body, after=20)
    talk.sends("ACTIVE", after=60)
    talk.sends("LATER", after=20)

    (asked,) = talk.sends("POUR", after=20)

    assert asked.startswith("Pour J2 into an empty, washed, dry working bottle.")


# -- EMPTY, once more of the same ---------------------------------------------------------------


def test_S10_EMPTY_just_after_a_discard_is_asked_once_before_the_probe_is_given_up() -> None:
    talk = clinic(bath=False)
    talk.sends("DISCARD B1")
    play_cycle(talk, until="fill")
    *_, new = talk.sends("DISCARD J1", after=20)

    (asked,) = talk.sends("EMPTY", after=20)
    given_up = len(talk.happened(CycleAbandoned))
    talk.sends("EMPTY", after=20)

    assert "New jug of OPA 0.55 %" in new
    assert asked == (
        "What was thrown away is noted. Is there no new one at all? EMPTY once more gives V1 up: "
        "NOT READY. Else the expiry date of the new one, please."
    )
    assert (given_up, len(talk.happened(CycleAbandoned))) == (0, 1)


# -- strips that nobody can test now ------------------------------------------------------------


def test_S4_without_a_good_solution_no_strip_was_dipped_and_none_has_failed() -> None:
    talk = clinic(stocked=False)
    for body in ("OPEN S", "270331", "K2"):
        talk.sends(body, after=20)

    (asked,) = talk.sends("UNSURE", after=20)

    assert asked.startswith("To test the strips of S1 good OPA 0.55 % is needed")
    assert talk.happened(StripsChecked) == []


# -- no lot -------------------------------------------------------------------------------------


def test_S18_NONE_told_with_OPEN_is_said_back() -> None:
    (asked,) = clinic().sends("OPEN 270331 NONE")

    assert asked == (
        "I noted expiry 31 Mar 2027; DATE if that is wrong. No lot on it, or not readable? Then "
        "reply NONE. Else its lot: letters and figures only."
    )


def test_S18_a_lot_that_is_taken_back_behind_it_is_asked_back() -> None:
    talk = clinic()
    talk.sends("OPEN 270331")

    (asked,) = talk.sends("LOT D4417 no", after=20)

    assert asked.startswith("Is D4417 its lot, and all of it?")
