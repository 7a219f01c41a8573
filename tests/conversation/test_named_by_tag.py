"""What is named by its tag: one, several, or one that nothing here bears (S5, S6)."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from flows.calculations.check_code import labelled_tag
from flows.parts.clinic import Fitness, Kind
from flows.parts.events import ContainerDiscarded, ContainerHeld, JugOpened, Poured
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import pour
from tests.kit.talk import Talk, clinic

FROM = "To pour from: jugs J1; bottles B1."


def gone(talk: Talk) -> list[str]:
    return [each.tag for each in talk.happened(ContainerDiscarded)]


def jug(talk: Talk, tag: str, product: str = "opa_055", ends: timedelta = timedelta(7)) -> None:
    expires = date(2027, 3, 31)
    talk.let(JugOpened(tag, product, "L7", expires, talk.now, talk.now + ends, "maker_expiry"))


# -- thrown away --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "body",
    [
        "DISCARD T1 B1",
        "discard t1, b1 please",
        "DISCARD T1,B1",
        "DISCARD T1/B1",
        "DISCARD T1 T1 B1",
    ],
)
def test_several_that_were_thrown_away_are_all_noted(body: str) -> None:
    talk = clinic()

    (said,) = talk.sends(body)

    assert gone(talk) == ["T1", "B1"]
    assert said == (
        "T1, B1 are noted as thrown away. Before they go down the drain glycine makes them "
        "harmless: MIX WASTE 2 L says how much."
    )


def test_what_is_harmless_as_it_is_is_told_apart_from_what_is_not() -> None:
    talk = clinic()
    talk.sends("MIX 2 L")
    talk.sends("mixed K208", after=60)

    said = talk.sends("DISCARD S1 T1 M1")

    assert said[0] == "S1, M1 are noted as thrown away."
    assert said[1].startswith("T1 is noted as thrown away. Before it goes down the drain")


def test_S6_of_several_the_one_in_use_stays_and_the_one_nobody_knows_is_told() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    said = talk.sends("DISCARD B1 T1 B7", after=20)

    assert gone(talk) == ["B1"]
    assert said[0].startswith("B1 is noted as thrown away.")
    assert said[1].startswith("V1 stays in T1 until ")
    assert said[2] == (
        "Not known here, so nothing is noted of it: B7. There are: J1, T1, S1. Which one was "
        "thrown away? Like DISCARD T1."
    )


def test_of_what_there_is_the_same_letter_comes_first() -> None:
    (said,) = clinic().sends("DISCARD S4")

    assert "nothing is noted of it: S4. There are: S1, J1, B1 +1." in said


def test_S4_whoever_was_to_use_any_of_them_is_led_to_another() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    *_, asked = talk.sends("DISCARD S1 T1", after=20)

    assert step_of(talk) == "fill"
    assert asked.startswith("No bath is ready. Pour B1 into")


@pytest.mark.parametrize("tag", [f"T1-{'A' if labelled_tag('T1')[-1] != 'A' else 'B'}"])
def test_a_wrong_letter_among_several_is_asked_back_and_nothing_is_noted(tag: str) -> None:
    talk = clinic()

    said = [talk.sends(f"DISCARD {tag},B1"), talk.sends(f"DISCARD B1 {tag}")]

    assert [each[0][:22] for each in said] == ["The letter behind T1 i"] * 2
    assert gone(talk) == []


# -- poured from --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pour", "said", "word"),
    [
        *(("POUR", "POURED 8:00", "POURED"), ("POUR", "poured on monday", "POURED")),
        *(("POUR J1", "FILLED YESTERDAY", "FILLED"), ("POUR J1", "filled this morning", "FILLED")),
    ],
)
def test_S5_what_was_poured_before_is_entered_with_its_day_and_not_noted_as_of_now(
    pour: str, said: str, word: str
) -> None:
    talk = clinic()
    talk.sends(pour)

    (answer,) = talk.sends(said, after=60)

    assert answer == (
        "By text only what is poured just now. Was it before? Then your contact enters it with "
        f"its day. Or throw it away, pour anew and reply {word}."
    )
    assert len(talk.happened(Poured)) == 2


@pytest.mark.parametrize(
    ("body", "tag", "source"), [("POUR B1 TO T1", "T1", "B1"), ("pour j1 into b1", "B1", "J1")]
)
def test_S6_nothing_is_poured_onto_what_stands_here(body: str, tag: str, source: str) -> None:
    talk = clinic()

    (said,) = talk.sends(body)

    assert said == (
        f"{tag} stands here: nothing is poured onto what is in it. Is {tag} empty and thrown "
        f"away? Text DISCARD {tag}, then POUR {source}: it gets a tag of its own."
    )
    assert talk.clinic.threads == {}


@pytest.mark.parametrize("body", ["POUR J9", "pour j9-k", "POUR J9 please"])
def test_a_jug_that_nobody_knows_is_not_replaced_by_another(body: str) -> None:
    talk = clinic()

    assert talk.sends(body) == [f"There is no J9 here. {FROM}"]
    assert talk.clinic.threads == {}


@pytest.mark.parametrize("tag", ["T1", "S1"])
def test_a_bath_and_strips_are_not_poured_from(tag: str) -> None:
    talk = clinic()

    assert talk.sends(f"POUR {tag}") == [
        f"{tag} is no jug and no bottle: nothing is poured from it. {FROM}"
    ]
    assert talk.clinic.threads == {}


def test_what_stands_behind_the_source_is_not_what_is_poured_from() -> None:
    (asked,) = clinic().sends("POUR B1 into T2")

    assert asked.startswith("Pour B1 into an empty, washed, dry tub")


def test_where_there_is_nothing_to_pour_from_it_says_none() -> None:
    (said,) = clinic(stocked=False).sends("POUR J1")

    assert said == "There is no J1 here. To pour from: jugs none; bottles none."


def test_S4_a_jug_on_hold_is_not_replaced_by_another_and_says_what_frees_it() -> None:
    talk = clinic()
    jug(talk, "J2")
    talk.let(ContainerHeld("J1", "kin_failed"))

    assert talk.sends("POUR J1") == [
        "J1: ON HOLD until a strip of its own passes: TEST J1. Until then not for use."
    ]


def test_S5_a_jug_that_ends_within_a_soak_is_not_replaced_by_another() -> None:
    talk = clinic()
    jug(talk, "J2", ends=timedelta(minutes=10))

    (said,) = talk.sends("POUR J2")

    assert said == (
        "J2 is good to 12:10 only: too short for a soak, so nothing is poured from it. POUR alone "
        "takes another."
    )


def test_a_jug_of_another_product_is_not_replaced_by_one_that_is_poured_here() -> None:
    talk = clinic()
    jug(talk, "J2", product="ga_30")

    (said,) = talk.sends("POUR J2")

    assert said == (
        "J2 holds glutaral 3.0 %, and no probe here is soaked in that. POUR alone takes what is "
        "poured here."
    )


def test_within_a_cleaning_its_own_product_is_poured_whatever_the_first_device_soaks_in() -> None:
    talk = clinic(bath=False)
    pour(talk, "B2", Kind.BOTTLE, "J1")
    play_cycle(talk, until="fill")
    other = replace(talk.protocol.chemistry, name="another")
    talk.protocol = replace(talk.protocol, chemistry=other)

    (asked,) = talk.sends("POUR B2", after=20)
    talk.sends("poured", after=20)

    assert "Pour B2 into" in asked
    assert talk.happened(Poured)[-1].source == "B2"


# -- how it stands ------------------------------------------------------------------------------


def test_state_of_two_tells_both_and_of_one_that_nobody_knows_that() -> None:
    talk = clinic()

    both, half = talk.sends("STATE T1 S1"), talk.sends("STATE T9 J1")

    assert [each.split(":")[0] for each in both] == ["T1", "T1", "S1", "S1"]
    assert half[0] == "I know no T9 here. Everything: STATE."
    assert half[1].startswith("J1: jug of OPA 0.55 %")


def test_a_device_whose_label_looks_like_a_tag_is_a_device() -> None:
    talk = clinic(devices=("M1",))

    assert talk.sends("STATE M1")[0].startswith("Ready: none.")
    assert talk.sends("DISCARD M1")[0].startswith("Which one was thrown away?")


def test_a_tag_is_known_whatever_has_become_of_it() -> None:
    talk = clinic()
    talk.sends("DISCARD B1")
    kept = talk.clinic.containers["B1"]

    assert kept.fitness is Fitness.DISCARDED
    assert talk.sends("POUR B1")[0].startswith("B1 is not for use: STATE B1 says why.")
