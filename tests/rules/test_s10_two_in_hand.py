"""S10: with two cleanings on one phone an answer names its device, by what is of that alone."""

import pytest

from flows.parts.events import (
    Immersed,
    NotUnderstood,
    Released,
    SoakBroken,
    StepDone,
    StripDipped,
    StripRead,
    TakenOut,
)
from tests.kit.cycles import (
    cycle_of,
    number_for,
    play_cycle,
    step_of,
    thread_of,
    wait_for_bell,
)
from tests.kit.strips import dips
from tests.kit.talk import Talk, clinic


def two(until: str) -> Talk:
    """V1 and V2 on one phone, both at the same question."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until=until)
    play_cycle(talk, "V2", until=until, named=True)
    return talk


@pytest.mark.parametrize("body", ["dry", "in 23", "97"])
def test_S10_with_two_cycles_a_bare_answer_is_asked_back(body: str) -> None:
    talk = two("dry")

    heard = talk.sends(body, after=20)

    assert heard == [
        "Two devices are in hand. Which one? Put its name first, like V2 ... / V1 ...."
    ]
    assert step_of(talk, "V1") == step_of(talk, "V2") == "dry"
    assert talk.happened(NotUnderstood) == []


@pytest.mark.parametrize("body", ["V1 dry", "v1: dry.", "dry V1"])
def test_S10_named_it_answers_for_that_device_alone(body: str) -> None:
    talk = two("dry")

    talk.sends(body, after=20)

    assert step_of(talk, "V1") == "container"
    assert step_of(talk, "V2") == "dry"


@pytest.mark.parametrize("body", ["V1 and V2 dry", "both dry", "dry both"])
def test_S10_of_both_in_one_text_nothing_is_noted_and_that_is_said(body: str) -> None:
    talk = two("dry")

    (text,) = talk.sends(body, after=20)

    assert text == (
        "Two devices are in hand. Nothing is noted yet: one text for each, its name first, like "
        "V2 ... / V1 ...."
    )
    assert step_of(talk, "V1") == step_of(talk, "V2") == "dry"


def test_S10_a_name_by_itself_completes_none_of_what_was_said_of_both() -> None:
    talk = two("dry")
    talk.sends("both dry", after=20)

    talk.sends("V1", after=20)

    assert step_of(talk, "V1") == step_of(talk, "V2") == "dry"


def test_S10_a_number_names_its_device_as_well() -> None:
    talk = two("rinse")
    number = number_for(talk, "V1")

    talk.sends(f"rinsed {number}", after=20)

    assert step_of(talk, "V1") == "dry"
    assert step_of(talk, "V2") == "rinse"


def test_S10_so_does_the_number_of_a_bell() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="soaking")
    play_cycle(talk, "V2", until="wipe_water", named=True)
    wait_for_bell(talk, "V1")

    talk.sends(f"OUT {number_for(talk, 'V1')}", after=20)

    assert step_of(talk, "V1") == "final_rinse"
    assert step_of(talk, "V2") == "wipe_water"


@pytest.mark.parametrize("body", ["IN {number}", "IN {number} F", "in {number} 23"])
def test_S10_the_number_of_a_bell_is_none_of_an_in(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="soaking")
    play_cycle(talk, "V2", until="immerse", named=True)

    talk.wait(seconds=20)
    soak = cycle_of(talk, "V1").contact
    assert soak
    (text,) = talk.sends(body.format(number=soak.number))
    talk.sends("V2 IN 23", after=20)

    assert text.startswith("Two devices are in hand.")
    assert talk.happened(SoakBroken) == []
    assert [each.device for each in talk.happened(Immersed)] == ["V1", "V2"]


def test_S4_so_does_the_tag_that_one_strip_is_asked_for_of() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="dip")
    play_cycle(talk, "V2", until="wipe_water", named=True)

    dipped = talk.sends("DIP T1", after=20)
    talk.sends("T1 1", after=95)

    assert dipped[0].startswith("T1: read the strip")
    assert [each.outcome for each in talk.happened(StripRead)] == ["pass"]
    assert step_of(talk, "V2") == "wipe_water"


def test_S10_a_dip_alone_is_asked_back_where_two_are_asked_for_one() -> None:
    talk = two("dip")

    (text,) = talk.sends("DIP", after=20)

    assert text.startswith("Two devices are in hand.")
    assert talk.happened(StripDipped) == []


def test_S10_the_number_that_an_in_is_asked_for_is() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="soaking")
    play_cycle(talk, "V2", until="immerse", named=True)
    talk.sends("V1 OUT", after=20)

    talk.sends(f"IN {number_for(talk, 'V1')} 23", after=20)

    assert (step_of(talk, "V1"), step_of(talk, "V2")) == ("soaking", "immerse")


def test_S10_a_wrong_number_is_asked_back_and_ends_nothing() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="soaking")
    play_cycle(talk, "V2", until="wipe_water", named=True)
    wait_for_bell(talk, "V1")
    wrong = 60 + (int(number_for(talk, "V1")) - 60 + 1) % 40

    (text,) = talk.sends(f"OUT {wrong}", after=20)

    assert text.startswith("Two devices are in hand.")
    assert talk.happened(TakenOut) == []


def test_S10_two_cycles_on_one_phone_both_end_in_a_release() -> None:
    talk = two("dry")

    play_cycle(talk, "V1", named=True)
    play_cycle(talk, "V2", named=True)

    assert [event.device for event in talk.happened(Released)] == ["V1", "V2"]
    assert [event.bath for event in talk.happened(Immersed)] == ["T1", "T2"]
    assert len({event.strip_test for event in talk.happened(Immersed)}) == 2


def test_S10_with_one_cycle_its_name_may_be_given_too() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    talk.sends("V1 dry", after=20)

    assert step_of(talk) == "container"


def test_S10_a_label_alone_is_no_answer() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    talk.sends("V1", after=20)

    assert step_of(talk) == "dry"
    assert len(talk.happened(NotUnderstood)) == 1


def test_S10_another_question_on_the_same_phone_does_not_take_a_named_answer() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    talk.sends("TEST T1", after=20)

    talk.sends("V1 dry", after=20)

    assert step_of(talk) == "container"


def test_S10_the_newest_question_takes_the_bare_answer_and_then_the_older_is_put_again() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    talk.sends("USED V2", after=20)
    talk.sends("TEST T1", after=20)
    dips(talk, "T1")

    heard = talk.sends("4", after=95)

    assert heard[-1] == "V1: dried all over? Reply DRY."
    assert "T1 passed" in heard[0]


def test_S10_the_acts_of_two_devices_are_never_mixed() -> None:
    talk = two("cover")

    talk.sends("V2 covered", after=20)

    of_v1 = [event.what for event in talk.happened(StepDone) if event.device == "V1"]
    assert "cover" not in of_v1
    assert step_of(talk, "V1") == "cover"
    assert thread_of(talk, "V2") is None
