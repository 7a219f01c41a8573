"""What a command word does wherever it is texted, and what it says where it can do nothing."""

from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest

from flows.parts.clinic import Fitness, Kind, Standing
from flows.parts.events import (
    ContainerDiscarded,
    CycleTaken,
    DeviceEnrolled,
    Poured,
    SoakBroken,
)
from flows.rules.soak import clock_time
from flows.words import COMMANDS
from tests.kit.cycles import cycle_of, play_cycle, step_of, thread_of, wait_for_bell
from tests.kit.talk import NINE, Talk, clinic


def pour(talk: Talk, *tags: str) -> None:
    until = talk.clinic.containers["B1"].discard_by
    talk.let(
        *(
            Poured(tag, Kind.BATH, "B1", "opa_055", "L1", NINE, until, "x", topped_up=False)
            for tag in tags
        )
    )


@pytest.mark.parametrize("slug", sorted(COMMANDS))
def test_every_command_alone_answers_with_something(slug: str) -> None:
    talk = clinic()

    heard = talk.sends(COMMANDS[slug].english)

    assert heard
    assert not [text for text in heard if text.startswith("I did not understand")]


@pytest.mark.parametrize("slug", sorted(COMMANDS))
def test_no_command_makes_a_soak_forget_its_question(slug: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="soaking")

    talk.sends(COMMANDS[slug].english, after=5)

    assert step_of(talk) == "soaking"
    assert cycle_of(talk).contact is not None


# -- MENU, ABOUT -------------------------------------------------------------------------


def test_menu_names_every_command_a_worker_has() -> None:
    talk = clinic()

    (text,) = talk.sends("menu")

    unnamed = {word.english for word in COMMANDS.values() if word.english not in text}
    assert unnamed == {"SPLASH", "LIFT", "MENU"}


# -- TAKE ---------------------------------------------------------------------------------------


def test_take_carries_a_cycle_over_to_another_phone_and_tells_the_first() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    talk.sends("TAKE V1", phone="ph2", after=20)
    play_cycle(talk, phone="ph2", until="dry")

    assert talk.happened(CycleTaken) == [CycleTaken(cycle_of(talk).id, "V1", "p2", "ph2")]
    assert talk.last("ph1") == (
        "V1 has been taken over by Namep2. You need not answer for it any more."
    )
    assert cycle_of(talk).person == "p2"
    assert [thread.phone for thread in talk.clinic.threads.values()] == ["ph2"]


def test_after_a_take_the_first_phone_answers_for_nothing() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    talk.sends("TAKE V1", phone="ph2", after=20)

    (text,) = talk.sends("dry", after=20)

    assert text.startswith("I did not understand that.")
    assert "dry" not in cycle_of(talk).done


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ("TAKE V1", "Nobody is cleaning V1 now. To begin: CLEAN V1."),
        ("TAKE", "Which device? Here: V1. Like TAKE V1."),
        ("TAKE V9", "Which device? Here: V1. Like TAKE V1."),
    ],
)
def test_there_is_nothing_to_take_where_nothing_is_cleaned(body: str, says: str) -> None:
    talk = clinic()

    assert talk.sends(body) == [says]


def test_a_strip_in_hand_goes_over_with_the_cycle() -> None:
    talk = clinic()
    play_cycle(talk, until="read")
    talk.sends("TAKE V1", phone="ph2", after=5)
    play_cycle(talk, phone="ph2", until="read")

    talk.sends("1", phone="ph2", after=60)

    assert step_of(talk) in {"await_detergent", "rinse"}


# -- DISCARD ------------------------------------------------------------------------------------


def test_discard_notes_what_was_thrown_away() -> None:
    talk = clinic()

    (text,) = talk.sends("DISCARD T1")

    assert text == (
        "T1 is noted as thrown away. Before it goes down the drain glycine makes it harmless: "
        "MIX WASTE 2 L says how much."
    )
    assert talk.happened(ContainerDiscarded) == [ContainerDiscarded("T1")]
    assert talk.clinic.containers["T1"].fitness is Fitness.DISCARDED


def test_discard_points_to_neutralising_only_where_the_product_asks_for_it() -> None:
    talk = clinic()
    chemistry = replace(talk.protocol.chemistry, neutraliser=None)
    talk.protocol = replace(talk.protocol, chemistry=chemistry)

    assert talk.sends("DISCARD T1") == ["T1 is noted as thrown away."]


def test_discard_of_strips_leaves_none_to_test_with() -> None:
    talk = clinic()

    heard = talk.sends("DISCARD S1")
    (asked,) = talk.sends("TEST T1")

    assert heard == ["S1 is noted as thrown away."]
    assert talk.clinic.strips["S1"].fitness is Fitness.DISCARDED
    assert asked.startswith("No strips in date.")


@pytest.mark.parametrize("body", ["DISCARD", "DISCARD the old bath"])
def test_discard_of_nothing_named_asks_which(body: str) -> None:
    talk = clinic()

    assert talk.sends(body) == ["Which one was thrown away? Its tag, like DISCARD T1."]


def test_S3_who_throws_a_bath_away_is_not_told_to_break_its_soak() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    soak = cycle_of(talk).contact
    assert soak is not None

    (text,) = talk.sends("DISCARD T1", after=20)

    bell = clock_time(soak.due).astimezone(ZoneInfo("Etc/GMT-3"))
    assert text == (
        f"V1 stays in T1 until {bell:%H:%M}, so nothing is noted of it. Out or moved already? "
        "Text OUT. Else leave it; DISCARD T1 once V1 is out."
    )
    assert talk.happened(ContainerDiscarded) == []
    assert talk.happened(SoakBroken) == []


def test_S3_after_the_bell_it_comes_out_by_its_number_before_its_bath_is_thrown_away() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    wait_for_bell(talk)

    (text,) = talk.sends("DISCARD T1", after=20)

    assert text == (
        "V1 is still in T1, so nothing is noted of it. Take it out first: text OUT and the number "
        "in the bell's text, then DISCARD T1."
    )
    assert talk.happened(ContainerDiscarded) == []


@pytest.mark.parametrize("step", ["container", "immerse"])
def test_a_bath_thrown_away_before_its_device_goes_in_leads_to_another(step: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)

    heard = talk.sends("DISCARD T1", phone="ph2", after=20)

    assert heard[0].startswith("T1 is noted as thrown away.")
    assert step_of(talk) == "fill"
    assert talk.last("ph1").startswith("No bath is ready. Pour B1")


def test_a_bath_thrown_away_after_its_device_came_out_disturbs_nobody() -> None:
    talk = clinic()
    play_cycle(talk, until="final_dry")

    talk.sends("DISCARD T1", after=20)

    assert step_of(talk) == "final_dry"
    assert play_cycle(talk).heard[-1].startswith("V1 READY until ")


def test_another_bath_thrown_away_disturbs_nobody() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    pour(talk, "T2")

    talk.sends("DISCARD T2", after=20)

    assert step_of(talk) == "immerse"


def test_a_test_of_what_is_thrown_away_is_over() -> None:
    talk = clinic()
    talk.sends("TEST T1")

    talk.sends("DISCARD T1", after=20)

    assert talk.clinic.threads == {}


# -- setting up again ---------------------------------------------------------------------------


def test_a_device_enrolled_again_in_the_middle_of_its_cleaning_stays_in_it() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    talk.let(DeviceEnrolled("V1", "handheld_probe"))

    assert thread_of(talk, "V1") is not None
    assert talk.clinic.devices["V1"].standing is Standing.IN_CYCLE
