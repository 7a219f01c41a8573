"""S5: a passing strip, a fresh bottle, the same word again: none of them moves a date."""

from dataclasses import replace
from datetime import timedelta

import pytest

from flows.parts.clinic import Container, Kind
from flows.parts.events import ContainerDiscarded, JugOpened, Poured, StripBottleOpened
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

DAY = timedelta(days=1)


def container(talk: Talk, tag: str) -> Container:
    return talk.clinic.containers[tag]


def opened(talk: Talk, lot: str = "L77", expires: str = "270331") -> JugOpened:
    """OPEN, whole."""
    talk.sends("OPEN", after=20 * 60)
    talk.sends(expires, after=20)
    talk.sends(lot, after=20)
    jug = talk.happened(JugOpened)[-1]
    assert isinstance(jug, JugOpened)
    return jug


def test_S5_a_pass_does_not_move_the_date_of_its_bath() -> None:
    talk = clinic()
    before = container(talk, "T1").discard_by

    play_cycle(talk, until="immerse")

    assert container(talk, "T1").passed is not None
    assert container(talk, "T1").discard_by == before


def test_S5_pouring_inherits_the_date_of_what_was_poured() -> None:
    talk = clinic(bath=False)
    ends = container(talk, "B1").discard_by

    talk.sends("POUR", after=60)
    talk.sends("poured", after=60)

    assert container(talk, "T1").source == "B1"
    assert container(talk, "T1").discard_by == ends
    assert container(talk, "T1").because == "reuse_life"


def test_S5_a_fresh_pour_from_a_long_lived_jug_has_the_reuse_life_from_the_asking() -> None:
    talk = clinic(bath=False)
    jug = replace(container(talk, "J1"), discard_by=talk.now + 60 * DAY)
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "J1": jug})
    talk.sends("POUR J1")
    asked = talk.now

    talk.sends("filled", after=600)

    assert container(talk, "B2").since == asked
    assert asked + 13 * DAY < container(talk, "B2").discard_by <= asked + 14 * DAY


def test_S5_the_jug_counts_as_open_from_when_it_was_asked_about() -> None:
    talk = clinic(stocked=False)

    jug = opened(talk)

    assert jug.opened == talk.now - timedelta(seconds=40)
    assert (jug.tag, jug.lot, jug.because) == ("J1", "L77", "jug_open_life")
    assert talk.last().startswith("Write on it: J1-Q OPA 0.55 %, lot L77, good to the end of ")


def test_S5_the_makers_date_decides_where_it_comes_first() -> None:
    talk = clinic(stocked=False)

    jug = opened(talk, expires="260309")

    assert jug.because == "maker_expiry"


@pytest.mark.parametrize(("expires", "taken"), [("260302", True), ("260301", False)])
def test_S5_a_jug_is_taken_into_use_on_its_last_day_and_not_after(
    expires: str, *, taken: bool
) -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")

    (text,) = talk.sends(expires)

    assert text.startswith("Its lot number" if taken else "Expired ")


@pytest.mark.parametrize(("expires", "taken"), [("260302", True), ("260301", False)])
def test_S5_so_it_is_with_strips(expires: str, *, taken: bool) -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN S")

    (text,) = talk.sends(expires)

    assert text.startswith("Its lot number" if taken else "Expired ")


def test_S5_open_said_again_of_a_lot_never_gives_a_later_date() -> None:
    talk = clinic(stocked=False)
    first = opened(talk)
    talk.now += 3 * DAY

    again = opened(talk)

    assert again.tag == "J2"
    assert again.discard_by == first.discard_by


@pytest.mark.parametrize("said", ["lot no D4410", "LOTD4410", "D44I0", "d441o"])
def test_S5_the_same_lot_written_otherwise_gives_no_later_date(said: str) -> None:
    talk = clinic(stocked=False)
    first = opened(talk, lot="D4410")
    talk.now += 3 * DAY

    again = opened(talk, lot=said)

    assert again.tag == "J2"
    assert again.discard_by == first.discard_by


def test_S5_an_earlier_date_of_its_own_stays_earlier() -> None:
    talk = clinic(stocked=False)
    opened(talk)

    again = opened(talk, expires="260309")

    assert again.because == "maker_expiry"


def test_S5_another_lot_has_a_date_of_its_own() -> None:
    talk = clinic(stocked=False)
    first = opened(talk)
    talk.now += 3 * DAY

    second = opened(talk, lot="L78")

    assert second.discard_by > first.discard_by


@pytest.mark.parametrize("discarded", [False, True])
def test_S5_a_jug_without_a_lot_may_be_the_one_before_it_until_that_is_thrown_away(
    *, discarded: bool
) -> None:
    talk = clinic(stocked=False)
    first = opened(talk, lot="none")
    if discarded:
        talk.sends("DISCARD J1", after=20)
    talk.now += 3 * DAY

    second = opened(talk, lot="none")

    assert (second.discard_by > first.discard_by) is discarded


def test_S5_a_lot_whose_jug_is_thrown_away_begins_anew() -> None:
    talk = clinic(stocked=False)
    first = opened(talk)
    talk.let(
        Poured(
            "B1",
            Kind.BOTTLE,
            "J1",
            "opa_055",
            "L77",
            talk.now,
            talk.now + DAY,
            "x",
            topped_up=False,
        ),
        ContainerDiscarded("J1"),
    )
    talk.now += 3 * DAY

    second = opened(talk)

    assert second.discard_by > first.discard_by


def test_S5_open_of_a_known_jug_says_its_date_and_changes_nothing() -> None:
    talk = clinic()
    before = talk.clinic.containers

    (text,) = talk.sends("OPEN J1")

    assert text.startswith("J1 is open already. It is good to ")
    assert talk.clinic.containers == before


def test_S5_open_strips_asks_for_their_own_date_lot_and_check() -> None:
    talk = clinic(stocked=False)

    talk.sends("OPEN STRIPS")
    talk.sends("270331", after=100)
    label, check = talk.sends("none", after=100)

    (strips,) = talk.happened(StripBottleOpened)
    assert (strips.tag, strips.lot, strips.checked) == ("S1", "", False)
    assert label.startswith("Write on it: S1-H ")
    assert check.startswith("To test the strips of S1 ")


@pytest.mark.parametrize("kind", ["jug", "bottle", "bath"])
def test_S5_what_is_out_of_date_is_not_poured_from_or_soaked_in(kind: str) -> None:
    talk = clinic()
    tag = {"jug": "J1", "bottle": "B1", "bath": "T1"}[kind]
    ended = replace(container(talk, tag), discard_by=talk.now)
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, tag: ended})
    step = {"jug": "dip", "bottle": "dip", "bath": "fill"}[kind]

    play_cycle(talk, until=step)
    talk.sends("POUR", after=20)

    assert step_of(talk) == step
    assert tag not in talk.last()


def test_S5_of_two_bottles_the_one_that_runs_out_first_is_poured_from() -> None:
    talk = clinic(bath=False)
    sooner = replace(container(talk, "B1"), tag="B2", discard_by=talk.now + timedelta(days=1))
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "B2": sooner})

    (text,) = talk.sends("POUR")

    assert text.startswith("Pour B2 into an empty, washed, dry tub")


def test_S5_a_bottle_that_is_named_is_poured_from() -> None:
    talk = clinic(bath=False)
    sooner = replace(container(talk, "B1"), tag="B2", discard_by=talk.now + timedelta(days=1))
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "B2": sooner})

    (text,) = talk.sends("POUR B1")

    assert text.startswith("Pour B1 into an empty, washed, dry tub")


def test_S5_a_source_gone_while_it_was_asked_about_is_looked_for_again() -> None:
    talk = clinic(bath=False)
    talk.sends("POUR")
    talk.let(ContainerDiscarded("B1"))

    _, text = talk.sends("poured", after=60)

    assert text.startswith("Pour J1 into an empty, washed, dry working bottle.")
    assert talk.happened(Poured)[-1].tag == "B1"  # the one that was stocked


def test_S5_nothing_poured_says_so_later() -> None:
    talk = clinic(bath=False)
    talk.sends("POUR")

    talk.sends("later", after=60)

    assert talk.clinic.threads == {}
    assert "T1" not in talk.clinic.containers


def test_S5_one_tub_for_both_is_filled_after_the_wash() -> None:
    talk = clinic(bath=False)
    play_cycle(talk, until="fill")

    heard = talk.sends("later", after=20)
    waiting = step_of(talk)
    play_cycle(talk, until="fill")

    assert heard[-1].startswith("V1 is in the detergent until ")
    assert waiting == "await_detergent"
    assert "dry" in talk.clinic.cycles[talk.clinic.devices["V1"].cycle or ""].done
    assert play_cycle(talk).heard[-1].startswith("V1 READY until ")


def test_S5_a_bath_with_no_uses_left_is_not_soaked_in() -> None:
    talk = clinic(devices=("V1", "V2"))
    once = replace(talk.protocol.chemistry, bath_uses_max=1)
    talk.protocol = replace(talk.protocol, chemistry=once)
    play_cycle(talk, "V1")

    play_cycle(talk, "V2", until="fill")

    assert container(talk, "T1").uses == 1
    assert step_of(talk, "V2") == "fill"


def test_S5_a_use_left_is_a_use() -> None:
    talk = clinic(devices=("V1", "V2"))
    twice = replace(talk.protocol.chemistry, bath_uses_max=2)
    talk.protocol = replace(talk.protocol, chemistry=twice)
    play_cycle(talk, "V1")

    play_cycle(talk, "V2")

    assert container(talk, "T1").uses == 2
