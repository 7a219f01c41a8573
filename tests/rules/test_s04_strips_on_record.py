"""S4, S5: a new bottle of strips is on the record before its control, and judges after it."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import (
    ContainerHeld,
    Recalled,
    StripBottleOpened,
    StripDipped,
    StripsChecked,
)
from tests.kit.cycles import play_cycle
from tests.kit.strips import dips
from tests.kit.talk import NINE, Talk, clinic

CONTROL = (
    "Test the strips of S1: 3 in good OPA 0.55 % from J1 must all pass, 3 in half water must all "
    "fail. Just so: GOOD. Else UNSURE; not now LATER."
)
NO_SAMPLE = (
    "To test the strips of S1 good OPA 0.55 % is needed, and none here is for use. New jug: OPEN; "
    "then I ask again. Not now: LATER."
)


def opens(talk: Talk, lot: str = "K3", expires: str = "270331") -> list[str]:
    """OPEN S up to the lot; what is heard then."""
    talk.sends("OPEN S", after=20)
    talk.sends(expires, after=20)
    return talk.sends(lot, after=20)


def without_strips() -> Talk:
    talk = clinic()
    talk.sends("DISCARD S1")
    return talk


def of_new_strips(text: str) -> str:
    return text.replace("S1", "S2")


def test_S5_a_new_bottle_is_on_the_record_and_labelled_at_its_lot() -> None:
    talk = without_strips()

    label, control = opens(talk)

    (bottle,) = talk.happened(StripBottleOpened)[1:]
    assert (bottle.tag, bottle.lot, bottle.checked) == ("S2", "K3", False)
    assert (bottle.qc_good, bottle.qc_diluted) == (0, 0)
    assert label.startswith("Write on it: S2-")
    assert control == of_new_strips(CONTROL)


def test_S5_a_control_that_nobody_answers_moves_no_date() -> None:
    """Said again days later it is another bottle of its lot: no later date than the first."""
    talk = without_strips()
    opens(talk)
    (first,) = talk.happened(StripBottleOpened)[1:]

    talk.wait(minutes=4 * 24 * 60)
    opens(talk)

    (_, second) = talk.happened(StripBottleOpened)[1:]
    assert second.discard_by == first.discard_by


def test_S4_until_its_control_it_judges_nothing_and_state_says_so() -> None:
    talk = without_strips()
    opens(talk)

    (_, use) = talk.sends("STATE S2")

    assert use.startswith("S2: NOT FOR USE: not tested yet")
    assert talk.sends("TEST T1")[-1] == of_new_strips(CONTROL)


def test_S4_its_control_is_an_entry_of_its_own() -> None:
    talk = without_strips()
    opens(talk)

    (said,) = talk.sends("GOOD", after=100)

    assert said.startswith("S2 is tested: its strips are good to ")
    assert talk.happened(StripsChecked) == [
        StripsChecked("S2", "K3", passed=True, qc_good=3, qc_diluted=3)
    ]
    assert talk.clinic.threads == {}


def test_S4_one_whose_control_fails_is_condemned_and_not_asked_about_again() -> None:
    talk = without_strips()
    opens(talk)

    (said,) = talk.sends("UNSURE", after=100)

    assert said.startswith("Then none of those strips, S2, may be used")
    assert talk.clinic.strips["S2"].fitness is Fitness.CONDEMNED
    assert talk.clinic.threads == {}


# -- later --------------------------------------------------------------------------------------


def test_S4_the_control_may_be_done_later_and_is_known_how() -> None:
    talk = without_strips()
    opens(talk)

    (said,) = talk.sends("LATER", after=20)
    (asked,) = talk.sends("TEST S2", after=20)

    assert said == (
        "All right. Until they are tested the strips of S2 judge nothing. Later: TEST S2."
    )
    assert asked == of_new_strips(CONTROL)
    assert talk.clinic.strips["S2"].fitness is Fitness.GOOD


def test_S4_later_ends_a_test_that_needs_the_strips() -> None:
    talk = without_strips()
    opens(talk)
    talk.sends("LATER", after=20)
    talk.sends("TEST T1", after=20)

    talk.sends("LATER", after=900)

    assert talk.clinic.threads == {}


def test_S4_in_a_cleaning_later_is_after_the_detergent() -> None:
    talk = without_strips()
    play_cycle(talk, until="strips_check")

    (said,) = talk.sends("LATER", after=20)
    play_cycle(talk)

    assert said.startswith("V1 is in the detergent until ")
    assert [each.tag for each in talk.happened(StripsChecked)] == ["S2"]
    assert talk.last().startswith("V1 READY until ")


def test_S4_once_the_detergent_is_over_it_is_asked_for_at_once() -> None:
    """The device is rinsed and waits for its bath: there is no later."""
    talk = clinic()
    play_cycle(talk, until="immerse")
    talk.sends("DISCARD T1", phone="ph2", after=20)
    talk.sends("DISCARD S1", phone="ph2", after=20)
    opens(talk)
    play_cycle(talk, until="strips_check")

    heard = talk.sends("LATER", after=20)

    assert heard[-1] == of_new_strips(CONTROL)


def test_S4_asked_in_a_cleaning_and_aside_it_is_asked_once() -> None:
    talk = without_strips()
    opens(talk)
    play_cycle(talk, until="strips_check")

    talk.sends("GOOD", after=100)
    play_cycle(talk)

    assert len(talk.happened(StripsChecked)) == 1
    assert talk.clinic.threads == {}


def test_S4_another_bottle_is_opened_while_the_first_waits_for_its_control() -> None:
    talk = without_strips()
    opens(talk)

    opens(talk, "K4", "270430")

    assert {"S2", "S3"} <= {*talk.clinic.strips}


# -- a good sample ------------------------------------------------------------------------------


def test_S4_where_nothing_is_fit_for_a_sample_no_control_is_taken() -> None:
    talk = clinic(stocked=False)

    (_, asked) = opens(talk)
    (again,) = talk.sends("GOOD", after=100)

    assert asked == again == NO_SAMPLE
    assert talk.happened(StripsChecked) == []


def test_S4_once_a_jug_is_open_it_is_named() -> None:
    talk = clinic(stocked=False)
    opens(talk)

    talk.sends("OPEN", after=20)
    talk.sends("270228", after=20)
    heard = talk.sends("L77", after=20)

    assert heard[-1] == CONTROL
    assert talk.sends("GOOD", after=100)[0].startswith("S1 is tested")


@pytest.mark.parametrize("why", ["held", "recalled", "over"])
def test_S4_what_is_not_for_use_is_no_good_sample(why: str) -> None:
    talk = without_strips()
    if why == "held":
        talk.let(*(ContainerHeld(tag, "kin_failed") for tag in ("J1", "B1", "T1")))
    elif why == "recalled":
        talk.let(Recalled("r1", "lot", "opa_055", "L1", "", "digest", NINE))
    else:
        talk.wait(minutes=8 * 24 * 60)

    (*_, asked) = opens(talk)

    assert asked == of_new_strips(NO_SAMPLE)


def test_S4_a_bath_is_a_sample_only_where_there_is_no_jug_and_no_bottle() -> None:
    talk = without_strips()
    talk.sends("DISCARD J1 B1", after=20)

    (*_, asked) = opens(talk)

    assert " from T1 must all pass" in asked


def test_S4_a_sample_thrown_away_before_it_is_asked_again_gives_way_to_another() -> None:
    talk = without_strips()
    opens(talk)
    talk.sends("DISCARD J1", phone="ph2", after=20)

    (asked,) = talk.sends("TEST S2", after=20)

    assert " from B1 must all pass" in asked


def test_S4_new_strips_are_dipped_once_their_control_is_done_within_a_test() -> None:
    talk = without_strips()
    talk.sends("TEST T1", after=20)
    talk.sends("270331", after=20)
    talk.sends("K3", after=20)

    (_, asked) = talk.sends("GOOD", after=100)
    dips(talk, "T1")

    assert asked.startswith("Dry hands. Dip a strip in T1")
    assert [each.strips for each in talk.happened(StripDipped)] == ["S2"]


def test_S5_its_date_counts_from_the_first_question_not_from_its_control() -> None:
    talk = without_strips()
    talk.sends("OPEN S", after=20)
    asked = talk.now

    talk.sends("270331", after=20)
    talk.sends("K3", after=20)
    talk.wait(minutes=40)
    talk.sends("GOOD")

    bottle = talk.clinic.strips["S2"]
    assert (bottle.opened, bottle.checked) == (asked, True)
    assert bottle.discard_by - asked <= timedelta(days=90)
