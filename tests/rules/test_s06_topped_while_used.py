"""S6: what was soaked in, wiped with or poured from what was topped up meanwhile."""

from dataclasses import replace
from datetime import timedelta

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import AlertRaised, CaseOpened, CycleVoided, Immersed, Released
from tests.kit.cycles import cycle_of, number_for, play_cycle, step_of, wait_for_bell
from tests.kit.strips import passes
from tests.kit.talk import Talk, clinic


def daily() -> Talk:
    """A site that tests its bottles, once a day."""
    talk = clinic(devices=("V1", "V2"))
    chemistry = replace(talk.protocol.chemistry, strip_policy="bottle_daily")
    talk.protocol = replace(talk.protocol, chemistry=chemistry)
    return talk


def is_void(talk: Talk, device: str = "V1") -> bool:
    """Nothing of it counts, everybody has heard so, and a look-back is open."""
    known = talk.clinic.devices[device]
    voided = [each.cycle for each in talk.happened(CycleVoided) if each.device == device]
    looked_back = {cycle for each in talk.happened(CaseOpened) for cycle in each.cycles}
    told = [
        phone
        for phone, texts in talk.heard.items()
        if any("NOT READY" in x or "LONGER READY" in x for x in texts)
    ]
    return (
        len(told) == len(talk.clinic.phones)
        and known.standing == "not_ready"
        and len(voided) == 1
        and set(voided) <= looked_back
        and "found_unfit" in {each.cause for each in talk.happened(AlertRaised)}
    )


def test_S6_S8_a_soak_begun_since_counts_for_nothing_in_what_may_have_been_topped_up() -> None:
    """Asked for before the probe went in, it may have been topped up before that too."""
    talk = clinic()
    talk.sends("POUR", phone="ph2")
    play_cycle(talk, until="soaking")

    talk.sends("topped", phone="ph2", after=60)

    told, asked = talk.heard["ph1"][-2:]
    assert told.startswith("V1: its bath may have been topped up, so this soak does not count.")
    assert "wipe handle and cable" in asked
    assert cycle_of(talk).contact is None
    assert talk.clinic.containers["T1"].fitness is Fitness.HELD
    assert talk.clinic.containers["T1"].passed is None


def test_S6_S12_it_is_inspected_where_it_was_in_past_the_maximum() -> None:
    talk = clinic()
    chemistry = replace(talk.protocol.chemistry, maximum_soak=timedelta(minutes=15))
    talk.protocol = replace(talk.protocol, chemistry=chemistry)
    talk.sends("POUR", phone="ph2")
    play_cycle(talk, until="soaking")

    talk.sends("topped", phone="ph2", after=16 * 60)

    assert step_of(talk) == "inspect"
    assert "over_soaked" in {each.cause for each in talk.happened(AlertRaised)}


def test_S6_told_which_it_was_nothing_more_falls_of_a_soak_that_counts_no_more() -> None:
    talk = clinic()
    talk.sends("POUR", phone="ph2")
    play_cycle(talk, until="soaking")
    talk.sends("topped", phone="ph2", after=60)

    talk.sends("T1", phone="ph2", after=20)
    play_cycle(talk)

    assert talk.happened(CaseOpened) == []
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED
    assert [each.bath for each in talk.happened(Immersed)] == ["T1", "T3"]
    assert talk.clinic.devices["V1"].standing == "released"


@pytest.mark.parametrize("until", ["cover", ""])
def test_S6_so_does_one_that_is_over_and_its_release(until: str) -> None:
    talk = clinic()
    talk.sends("POUR", phone="ph2")
    play_cycle(talk, until=until)
    talk.sends("topped", phone="ph2", after=60)

    talk.sends("T1", phone="ph2", after=20)

    assert is_void(talk)


@pytest.mark.parametrize("until", ["soaking", "cover", ""])
def test_S6_so_does_one_on_a_strip_that_passed_in_the_mixture(until: str) -> None:
    """Its tag is told late: a strip that passes makes no mixture what it was."""
    talk = clinic()
    talk.sends("POUR", phone="ph2")
    talk.sends("topped", phone="ph2", after=60)
    play_cycle(talk, until=until)

    talk.sends("T1", phone="ph2")

    assert is_void(talk)
    assert step_of(talk) == ""
    assert until == "" or any("Take it out, do not use it." in each for each in talk.heard["ph1"])


def test_S6_whoever_is_about_to_put_a_probe_in_is_led_to_another_bath() -> None:
    talk = clinic()
    talk.sends("POUR", phone="ph2")
    talk.sends("topped", phone="ph2", after=60)
    play_cycle(talk, until="immerse")

    talk.sends("T1", phone="ph2")

    assert step_of(talk) == "fill"
    assert talk.last().startswith("No bath is ready.")


def test_S6_whoever_has_a_strip_in_it_is_led_to_another_bath() -> None:
    talk = clinic()
    talk.sends("POUR", phone="ph2")
    talk.sends("topped", phone="ph2", after=60)
    play_cycle(talk, until="dip")

    talk.sends("T1", phone="ph2")

    assert step_of(talk) == "fill"


@pytest.mark.parametrize("gone", ["T1", "T1 B1"])
def test_S6_what_has_been_soaked_in_is_asked_for_though_it_is_thrown_away(gone: str) -> None:
    talk = clinic()
    talk.sends("POUR", phone="ph2")
    talk.sends("topped", phone="ph2", after=60)
    play_cycle(talk)
    talk.sends(f"DISCARD {gone}", phone="ph2")

    talk.sends("T1", phone="ph2", after=20)

    assert is_void(talk)
    assert talk.clinic.containers["T1"].fitness is Fitness.DISCARDED


def test_S6_a_probe_that_has_come_out_leaves_its_bath_open_to_it() -> None:
    """Its temperature is still owed: it is out all the same."""
    talk = clinic()
    play_cycle(talk, until="soaking", celsius="21")
    wait_for_bell(talk)
    talk.sends("POUR", phone="ph2")
    talk.sends(f"OUT {number_for(talk)}", after=20)

    (asked,) = talk.sends("topped", phone="ph2", after=60)

    assert asked.endswith("Which tag was on it before, like T1? NONE if it had none.")


def test_S6_what_was_over_before_anybody_was_asked_to_pour_stands() -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("POUR", phone="ph2", after=1)
    talk.sends("topped", phone="ph2", after=60)

    talk.sends("T1", phone="ph2", after=20)

    assert talk.clinic.devices["V1"].standing == "released"
    assert talk.happened(CaseOpened) == []


def test_S6_a_probe_that_was_in_before_and_comes_out_leaves_no_tag_to_ask_for() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.sends("POUR", phone="ph2", after=1)
    talk.sends("topped", phone="ph2", after=60)

    play_cycle(talk)

    assert talk.clinic.devices["V1"].standing == "released"
    assert len(talk.happened(Released)) == 1


# -- a working bottle ---------------------------------------------------------------------------


def test_S6_a_bottle_that_may_have_been_topped_up_waits_for_its_own_strip() -> None:
    talk = clinic()
    passes(talk, "B1")
    talk.sends("POUR J1", phone="ph2")

    talk.sends("topped", phone="ph2", after=60)

    assert talk.clinic.containers["B1"].fitness is Fitness.HELD
    assert talk.clinic.containers["B1"].passed is None
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD
    assert "ON HOLD" in " ".join(talk.sends("STATE B1"))


def test_S4_S6_on_its_pass_nobody_soaks_any_more() -> None:
    talk = daily()
    passes(talk, "B1")
    play_cycle(talk, until="immerse")
    talk.sends("POUR J1", phone="ph2")

    talk.sends("topped", phone="ph2", after=60)

    assert step_of(talk) == "dip"
    assert talk.last().startswith("Dry hands. Dip a strip in B1")


def test_S4_S6_what_soaked_on_its_pass_since_falls() -> None:
    talk = daily()
    passes(talk, "B1")
    talk.sends("POUR J1", phone="ph2")
    play_cycle(talk, until="soaking")
    talk.sends("topped", phone="ph2", after=60)

    talk.sends("B1", phone="ph2", after=20)

    assert is_void(talk)
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD


def test_S6_what_was_wiped_with_it_since_falls() -> None:
    talk = clinic()
    talk.sends("POUR J1", phone="ph2")
    play_cycle(talk, until="wipe_rinse")
    talk.sends("topped", phone="ph2", after=60)

    talk.sends("B1", phone="ph2", after=20)

    assert is_void(talk)


def test_S6_what_was_poured_from_it_since_is_not_for_use_either() -> None:
    talk = clinic(bath=False)
    talk.sends("POUR J1", phone="ph2")
    talk.sends("POUR")
    talk.sends("poured", after=60)
    play_cycle(talk)
    talk.sends("topped", phone="ph2", after=60)

    talk.sends("B1", phone="ph2", after=20)

    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED
    assert is_void(talk)
    assert any(text.startswith("DO NOT USE B1, T1:") for text in talk.heard["ph1"])


def test_S6_what_was_poured_from_it_before_is_let_be() -> None:
    talk = clinic()
    talk.sends("POUR J1", phone="ph2", after=60)
    talk.sends("topped", phone="ph2", after=60)

    talk.sends("B1", phone="ph2", after=20)

    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD


def test_S6_whoever_pours_from_it_meanwhile_hears_so() -> None:
    talk = clinic(bath=False)
    talk.sends("POUR")
    talk.sends("POUR J1", phone="ph2")
    talk.sends("topped", phone="ph2", after=60)

    talk.sends("B1", phone="ph2", after=20)

    assert any(
        text.startswith("Nothing is noted as poured from B1.") for text in talk.heard["ph1"]
    )


def test_S6_that_it_is_on_hold_is_heard_on_every_phone() -> None:
    talk = clinic()
    talk.sends("POUR", phone="ph2")
    talk.sends("TOPPED", phone="ph2", after=60)
    elsewhere = {phone: talk.heard[phone][-1:] for phone in ("ph1", "ph9")}

    (here, _) = talk.sends("NONE", phone="ph2", after=20)

    held = "T1: ON HOLD until a strip of its own passes: TEST T1. Until then not for use."
    assert elsewhere == {"ph1": [held], "ph9": [held]}
    assert here == held
