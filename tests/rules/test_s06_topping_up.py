"""S6: no topping up, no pouring back; the bot never records an act that nobody stated."""

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import (
    ContainerCondemned,
    ContainerDiscarded,
    ContainerHeld,
    Poured,
    StripRead,
)
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import passes
from tests.kit.talk import clinic


@pytest.mark.parametrize(("command", "tag"), [("POUR", "T1"), ("POUR J1", "B2")])
def test_S6_poured_onto_a_rest_the_mixture_is_condemned(command: str, tag: str) -> None:
    talk = clinic(bath=False)
    talk.sends(command)

    heard = talk.sends("topped", after=60)

    assert talk.happened(Poured)[-1].topped_up is True
    assert [(each.tag, each.because) for each in talk.happened(ContainerCondemned)] == [
        (tag, "topped_up")
    ]
    assert heard[0].startswith(f"Then that mixture, {tag}, is not for use")


def test_S6_where_nothing_here_bears_a_tag_it_is_poured_anew_at_once() -> None:
    talk = clinic(bath=False)
    talk.sends("POUR")

    said, asked = talk.sends("topped", after=60)

    assert said == (
        "Then that mixture, T1, is not for use: label it, throw it away. Wash and dry what it was "
        "in before pouring again."
    )
    assert asked.startswith("Pour B1 into an empty, washed, dry tub")


@pytest.mark.parametrize(
    ("command", "asked_of", "made"), [("POUR", "T1", "T2"), ("POUR J1", "B1", "B2")]
)
def test_S6_what_was_topped_up_is_out_of_use_under_its_old_tag_too(
    command: str, asked_of: str, made: str
) -> None:
    """Its strip passed before: nothing that anybody has tested is in it now."""
    talk = clinic()
    passes(talk, asked_of)
    talk.sends(command)

    (asked,) = talk.sends("topped", after=60)
    said, again = talk.sends(f"{asked_of.lower()}", after=20)

    assert asked == (
        f"Then that mixture, {made}, is not for use: throw it away. Which tag was on it before, "
        f"like {asked_of}? NONE if it had none."
    )
    assert said.startswith(f"{asked_of} is not for use any more either.")
    assert again.startswith("Pour ")
    assert talk.clinic.containers[asked_of].fitness is Fitness.CONDEMNED


def test_S6_a_tub_that_had_no_tag_takes_no_other_with_it() -> None:
    talk = clinic()
    talk.sends("POUR")
    talk.sends("topped", after=60)

    *_, asked = talk.sends("none", after=20)

    assert asked.startswith("Pour B1 into")
    assert talk.clinic.containers["T1"].fitness is Fitness.HELD


@pytest.mark.parametrize("said", ["T9", "B1", "T1 or T2", "yes"])
def test_S6_a_tag_that_it_cannot_have_been_is_asked_back(said: str) -> None:
    talk = clinic()
    talk.sends("POUR")
    talk.sends("topped", after=60)

    assert talk.sends(said, after=20) == [
        "Which tag was on what you topped up? It may be T1; NONE if it had no tag."
    ]


def test_S6_once_it_is_thrown_away_nobody_is_asked_for_its_tag_any_more() -> None:
    talk = clinic()
    talk.sends("POUR")
    talk.sends("topped", after=60)
    talk.sends("DISCARD T1", after=20)

    said, asked = talk.sends("T1", after=20)

    assert said.startswith("Then that mixture, T2, is not for use")
    assert asked.startswith("Pour B1 into")


def test_S6_a_bath_with_a_probe_in_it_is_no_tub_that_was_topped_up() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.sends("POUR", phone="ph2", after=1)

    said, _ = talk.sends("topped", phone="ph2", after=60)

    assert said.startswith("Then that mixture, T2, is not for use: label it")


def test_S6_what_is_condemned_gets_no_strip_and_no_device() -> None:
    talk = clinic(bath=False)
    play_cycle(talk, until="fill")
    talk.sends("topped", after=60)

    strip = talk.sends("TEST T1")
    talk.sends("poured", after=60)

    assert strip[0].startswith("T1 is out of use")
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED
    assert talk.clinic.containers["T2"].fitness is Fitness.GOOD
    assert step_of(talk) == "dip"


def test_S6_its_source_is_let_be() -> None:
    talk = clinic(bath=False)
    talk.sends("POUR")

    talk.sends("topped", after=60)

    assert talk.clinic.containers["B1"].fitness is Fitness.GOOD


def test_S6_a_pour_asks_whether_it_was_empty_washed_and_dry() -> None:
    talk = clinic(bath=False)

    bath, bottle = talk.sends("POUR"), talk.sends("POUR J1")

    assert "into an empty, washed, dry tub" in bath[0]
    assert "into an empty, washed, dry working bottle" in bottle[0]


def test_S6_what_is_out_of_date_is_asked_to_be_discarded_never_noted_as_discarded() -> None:
    talk = clinic(stocked=False)
    talk.sends("OPEN")

    talk.sends("260301", after=20)

    assert talk.happened(ContainerDiscarded) == []


def test_S6_a_failed_bath_is_noted_as_thrown_away_only_when_somebody_says_so() -> None:
    talk = clinic()
    talk.let(ContainerCondemned("T1", "strip_failed"))

    before = talk.clinic.containers["T1"].fitness
    talk.sends("DISCARD T1")

    assert before is Fitness.CONDEMNED
    assert talk.clinic.containers["T1"].fitness is Fitness.DISCARDED


def test_S6_until_its_tag_is_told_no_bath_here_soaks_on_the_strip_from_before() -> None:
    """The question may never be answered: its own strip says whether it is what it was."""
    talk = clinic()
    passes(talk, "T1")
    talk.sends("POUR")
    talk.sends("topped", after=60)

    play_cycle(talk, phone="ph2")

    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD
    assert len([each for each in talk.happened(StripRead) if each.container == "T1"]) == 2
    assert talk.clinic.devices["V1"].standing == "released"


def test_S6_whoever_is_about_to_put_a_probe_in_is_led_to_a_strip_first() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    talk.sends("POUR", phone="ph2")

    talk.sends("topped", phone="ph2", after=60)

    assert step_of(talk) == "dip"
    assert talk.last().startswith("Dry hands. Dip a strip in T1")


def test_S6_a_strip_that_was_dipped_before_frees_no_bath_that_may_have_been_topped_up() -> None:
    talk = clinic()
    play_cycle(talk, until="read")
    talk.sends("POUR", phone="ph2")
    talk.sends("topped", phone="ph2", after=60)

    talk.sends("1", after=35)

    assert talk.clinic.containers["T1"].fitness is Fitness.HELD
    assert talk.clinic.containers["T1"].passed is None


@pytest.mark.parametrize(("command", "gone"), [("POUR", "T1"), ("POUR J1", "T1 B1")])
def test_S6_thrown_away_before_its_tag_is_told_a_cleaning_pours_anew(
    command: str, gone: str
) -> None:
    """The question aside is gone on with in the cleaning: nothing is left of it but its words."""
    talk = clinic()
    talk.sends(command)
    talk.sends("topped", after=60)
    talk.sends(f"DISCARD {gone}", after=20)

    played = play_cycle(talk, until="fill")
    play_cycle(talk)

    assert any(each.startswith("Then that mixture, ") for each in played.heard)
    assert talk.clinic.devices["V1"].standing == "released"


def test_S6_what_waits_for_a_strip_already_may_be_what_was_topped_up_too() -> None:
    """Dipped before it was topped up, as its kin had failed: that strip frees nothing."""
    talk = clinic()
    talk.let(ContainerHeld("T1", "kin_failed"))
    talk.sends("POUR T", phone="ph2")
    play_cycle(talk, until="read")
    talk.sends("topped", phone="ph2", after=60)

    talk.sends("1", after=35)

    assert talk.clinic.containers["T1"].fitness is Fitness.HELD
    assert talk.clinic.containers["T1"].passed is None


def test_S6_what_waits_for_the_supervisor_is_freed_by_no_strip_though_it_was_topped_up() -> None:
    talk = clinic()
    talk.let(ContainerHeld("T1", "no_result"))
    talk.sends("POUR")

    talk.sends("topped", after=60)

    assert talk.clinic.containers["T1"].why == "no_result"


@pytest.mark.parametrize("said", ["IN T1 23", "OUT T1", "DIP T1", "not T1", "T1?", "V1 T1"])
def test_S3_S6_what_says_more_than_a_tag_condemns_nothing(said: str) -> None:
    talk = clinic()
    talk.sends("POUR")
    talk.sends("topped", after=60)

    talk.sends(said, after=20)

    assert talk.clinic.containers["T1"].fitness is Fitness.HELD


def test_S3_S6_a_probe_put_in_again_is_heard_while_a_tag_is_asked_for() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")
    talk.sends("POUR")
    talk.sends("topped", after=60)

    heard = talk.sends("IN T1 23", after=20)

    assert heard[0].startswith("V1: its soak is over. Was it put in a bath again?")
    assert talk.clinic.containers["T1"].fitness is Fitness.HELD


@pytest.mark.parametrize("said", ["t1", "T1 please", "it was T1", "the tag was T1", "tub T1"])
def test_S6_a_tag_is_read_among_the_words_that_go_with_it(said: str) -> None:
    talk = clinic()
    talk.sends("POUR")
    talk.sends("topped", after=60)

    talk.sends(said, after=20)

    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED
