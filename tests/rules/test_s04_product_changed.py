"""A site chooses another product: a question that is open stays about what it was asked of."""

from dataclasses import replace

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import (
    JugActivated,
    Poured,
    SiteOpened,
    StripBottleOpened,
    StripRead,
    StripsChecked,
)
from flows.protocols.model import Selection
from tests.conversation.test_morning import TOMORROW, mornings, until
from tests.kit.talk import SELECTION, Talk, clinic, shipped_protocol
from tests.kit.two_products import GLUTARAL

HYDROGEN_PEROXIDE = Selection("hp_75", "hp_strip_6", "sealed_probe", "enzymatic")
OPA = replace(SELECTION, device_model="sealed_probe")
CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")


def open_question(*texts: str, of: Selection = SELECTION, then: Selection) -> Talk:
    """A clinic whose worker has sent *texts*; then it chooses another product."""
    talk = clinic(selection=of)
    for text in texts:
        talk.sends(text, after=60)
    talk.protocol = shipped_protocol(then)
    return talk


def glutaral(*texts: str, then: Selection) -> Talk:
    return open_question("OPEN", "270331", "L5", *texts, of=GLUTARAL, then=then)


def test_S5_what_was_poured_bears_the_name_of_what_is_in_it() -> None:
    talk = glutaral("POUR J1", "ACTIVE", then=OPA)

    label, why = talk.sends("FILLED", after=60)

    assert label.startswith("Write on it: B1-V glutaral 3.0 %, lot L5, good to the end of 29 Mar")
    assert why.startswith("No probe here is soaked in glutaral 3.0 % any more: B1 is not for use")
    assert [each.product for each in talk.happened(Poured)] == ["ga_30"]


def test_S5_a_bath_has_the_life_of_what_is_in_it() -> None:
    """OPA: 14 days of use, by its file; of chlorine it would be the day."""
    talk = open_question("POUR", then=CHLORINE)
    bottle = talk.clinic.containers["B1"]

    label = talk.sends("POURED", after=60)[0]

    assert label.startswith("Write on it: T2-B OPA 0.55 %")
    assert talk.happened(Poured)[-1].discard_by == bottle.discard_by


def test_S6_what_may_have_been_topped_up_is_of_what_was_poured() -> None:
    talk = open_question("POUR", then=HYDROGEN_PEROXIDE)

    talk.sends("TOPPED", after=60)

    assert talk.clinic.containers["T1"].fitness is Fitness.HELD


def test_S5_a_jug_that_is_activated_has_the_life_of_what_is_in_it() -> None:
    """Glutaral: 28 days once activated, by its file."""
    talk = glutaral("POUR J1", then=HYDROGEN_PEROXIDE)

    label = talk.sends("ACTIVE", after=60)[0]

    assert label.startswith("Write on it: J1-Q glutaral 3.0 %, activated 2 Mar 2026")
    assert "good to the end of 29 Mar 2026" in label
    assert [each.because for each in talk.happened(JugActivated)] == ["activated_life"]


@pytest.mark.parametrize("then", [HYDROGEN_PEROXIDE, CHLORINE])
def test_S4_a_strip_is_read_as_it_was_made_to_be(then: Selection) -> None:
    talk = open_question("TEST T1", "DIP T1", then=then)

    talk.wait(seconds=95)
    asked = talk.last()
    talk.sends("2", after=10)

    assert "all purple" in asked
    assert [each.outcome for each in talk.happened(StripRead)] == ["fail"]
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED


def test_S4_nobody_is_asked_on_for_a_strip_of_what_is_used_no_more() -> None:
    talk = open_question("TEST T1", then=HYDROGEN_PEROXIDE)

    said = talk.sends("DIP T1", after=60)

    assert said[0].startswith("T1 is of OPA 0.55 %, and no probe here is soaked with that: no")
    assert not talk.clinic.threads


def test_S4_no_strips_are_opened_for_what_has_none() -> None:
    talk = open_question("OPEN S", then=CHLORINE)

    said = talk.sends("270331", after=60)

    assert said == [
        "No strip exists for chlorine 0.1 %: each soak has a new bath, mixed in its cleaning."
    ]
    assert len(talk.happened(StripBottleOpened)) == 1  # that of before


def test_S5_a_date_that_was_asked_for_of_another_product_is_asked_for_anew() -> None:
    talk = open_question("OPEN", then=HYDROGEN_PEROXIDE)

    said = talk.sends("270331", after=60)
    talk.sends("260930", after=60)
    talk.sends("L7", after=60)

    assert said[-1].startswith("New jug of HP 7.5 %, opened now: its expiry date?")
    assert talk.last().startswith("Write on it: J2-O HP 7.5 %, lot L7, good to the end of 30 Sep")


def test_S4_strips_are_checked_as_they_were_asked_to_be() -> None:
    """OPA strips: 3 that pass and 3 that fail, by their file."""
    talk = open_question("OPEN S", "270331", "K5", then=CHLORINE)

    talk.sends("GOOD", after=300)

    checked = talk.happened(StripsChecked)[-1]
    assert (checked.qc_good, checked.qc_diluted) == (3, 3)


def test_what_no_file_has_any_more_is_called_by_its_stable_name() -> None:
    talk = clinic()
    talk.let(replace(talk.happened(Poured)[-1], tag="T7", product="own_opa"))

    assert talk.sends("TEST T7", after=60)[0].startswith("T7 is of own_opa, and no probe here")


# -- what is used no more -----------------------------------------------------------------------


def test_S4_what_no_probe_is_soaked_in_any_more_is_in_no_morning_text() -> None:
    talk = clinic()
    talk.let(SiteOpened("s1", "Etc/GMT-3", "17:00", "en", "dmy"))
    talk.protocol = shipped_protocol(HYDROGEN_PEROXIDE)

    until(talk, TOMORROW)

    assert mornings(talk)[0].startswith("Good morning. In date: none. Strip first: none.")
    assert not [each for each in talk.heard["ph1"] if each.startswith("Soon:")]


def test_S4_its_strips_are_not_for_use_here_in_state_either() -> None:
    talk = clinic()
    talk.protocol = shipped_protocol(HYDROGEN_PEROXIDE)

    of_all, of_one = talk.sends("STATE"), talk.sends("STATE S1", after=60)

    assert "S1 NOT FOR USE" in of_all[-1]
    assert of_one[-1] == (
        "S1: NOT FOR USE here: no probe of this site is soaked in what these strips are for."
    )
