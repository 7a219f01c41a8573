"""S3, S4, S8: IN where nobody asked for it says that it was in a bath, whatever was open."""

import pytest

from flows.parts.clinic import Kind, Level, Standing
from flows.parts.events import (
    CleaningRestarted,
    ContainerCondemned,
    Immersed,
    Poured,
    PutInBath,
    SoakBroken,
    StripRead,
)
from tests.kit.cycles import cycle_of, number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic

BEFORE_THE_SOAK = (
    "wipe_detergent",
    "wipe_water",
    "wipe_disinfectant",
    "wipe_rinse",
    "mix",
    "under",
    "dip",
    "read",
    "await_detergent",
    "rinse",
    "dry",
    "container",
)
AFTER_THE_SOAK = ("final_rinse", "final_dry", "final_inspect", "cover")


TUB = (
    "T1: its tub never held detergent, or was washed, rinsed and dried before filling? Then "
    "reply TUB. If not, text DISCARD T1."
)


def at_step(step: str, level: Level = Level.COACH) -> Talk:
    """V1 is at *step*, its bath is T1; T2 is poured and not tested."""
    talk = clinic(devices=("V1", "V2"), level=level)
    play_cycle(talk, "V1", until=step)
    ends = talk.clinic.containers["T1"].discard_by
    talk.let(
        Poured("T2", Kind.BATH, "B1", "opa_055", "L1", talk.now, ends, "bath", topped_up=False)
    )
    assert step_of(talk) == step
    return talk


def passes(talk: Talk, tag: str = "T2", phone: str = "ph2") -> None:
    talk.sends(f"TEST {tag}", phone=phone)
    talk.sends(f"DIP {tag}", phone=phone, after=5)
    talk.sends("1", phone=phone, after=95)
    assert talk.clinic.containers[tag].passed


def was_in(talk: Talk) -> list[tuple[str, str, str]]:
    return [(each.device, each.bath, each.because) for each in talk.happened(PutInBath)]


def passes_read(talk: Talk, tag: str) -> int:
    read = [each.container for each in talk.happened(StripRead) if each.outcome == "pass"]
    return read.count(tag)


# -- another bath than its own ------------------------------------------------------------------


@pytest.mark.parametrize("body", ["IN T2 23", "in t2", "put in T2", "IN T2 5 MIN AGO"])
@pytest.mark.parametrize("step", [*BEFORE_THE_SOAK, *AFTER_THE_SOAK])
def test_S4_in_another_bath_it_is_cleaned_from_the_start_and_that_ones_strip_is_spent(
    step: str, body: str
) -> None:
    talk = at_step(step)
    passes(talk)
    read = passes_read(talk, "T2")

    heard = talk.sends(body, after=20)
    asked = step_of(talk)
    talk.sends("FAULT V1", after=20)
    talk.sends("DISCARD T1", after=20)
    play_cycle(talk, "V2", phone="ph2")

    assert heard[0] == (
        "T2: V1 does not go in there now. Take it out: it must be cleaned from the start."
    )
    assert was_in(talk) == [("V1", "T2", "elsewhere")]
    assert asked == "wipe_detergent"
    assert passes_read(talk, "T2") == read + 1
    assert talk.happened(Immersed)[-1].bath == "T2"
    assert talk.clinic.devices["V2"].standing is Standing.RELEASED


@pytest.mark.parametrize("step", ["codes", "cautions", "inspect", "wipe_detergent"])
def test_S9_S13_what_comes_before_the_cleaning_is_asked_all_the_same(step: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    if step == "codes":
        play_cycle(talk)
    play_cycle(talk, until=step)

    talk.sends("IN T1 23", after=20)
    asked = step_of(talk)
    play_cycle(talk)

    assert asked == step
    assert was_in(talk) == [("V1", "T1", "elsewhere")]
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


@pytest.mark.parametrize("step", ["under", "immerse", "cover"])
def test_S4_so_it_is_on_brief_texts(step: str) -> None:
    talk = at_step(step, Level.BRIEF)
    passes(talk)

    talk.sends("PUT IN T9" if step == "immerse" else "IN T2 23", after=20)
    asked = step_of(talk)
    play_cycle(talk)

    assert asked == "under"
    assert len(talk.happened(CleaningRestarted)) == 1
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S21_where_another_soaks_both_are_void() -> None:
    talk = at_step("container")
    play_cycle(talk, "V2", phone="ph2", until="soaking")

    talk.sends("IN T2", after=20)

    assert [each.device for each in talk.happened(SoakBroken)] == ["V2"]
    assert step_of(talk, "V1") == step_of(talk, "V2") == "wipe_detergent"


@pytest.mark.parametrize("asked_when", ["before", "after"])
def test_S21_so_they_are_where_it_is_told_after_its_own_soak(asked_when: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="final_rinse")
    play_cycle(talk, "V2", phone="ph2", until="immerse")
    if asked_when == "before":
        talk.sends("IN 23", after=20)
    talk.sends("IN 23", phone="ph2", after=20)
    if asked_when == "after":
        talk.sends("IN T1 23", after=20)

    (heard,) = talk.sends("AGAIN", after=20)[:1]

    assert heard.startswith("T1 is in use for V2: one probe a bath.")
    assert [each.because for each in talk.happened(SoakBroken)] == ["second_device"]
    assert {each.device for each in talk.happened(CleaningRestarted)} == {"V1", "V2"}
    assert talk.heard["ph2"][-2].startswith("V2: another probe was put in its bath.")


@pytest.mark.parametrize(("minutes", "then"), [(5, "wipe_detergent"), (65, "inspect")])
def test_S12_whoever_takes_over_finds_it_in_another_bath(minutes: int, then: str) -> None:
    talk = at_step("soaking")
    talk.wait(minutes=minutes)
    talk.sends("TAKE V1", phone="ph2")
    assert step_of(talk) == "take_cautions"

    talk.sends("IN T2", phone="ph2", after=20)

    assert was_in(talk) == [("V1", "T2", "elsewhere")]
    assert [each.because for each in talk.happened(SoakBroken)] == ["second_in"]
    assert talk.happened(CleaningRestarted)[-1].inspect_again == (then == "inspect")
    talk.sends("ready", phone="ph2", after=20)
    assert step_of(talk) == then


@pytest.mark.parametrize("step", ["take_cautions", "stayed"])
def test_S12_that_it_is_in_answers_nobody_who_is_asked_whether_it_stayed(step: str) -> None:
    talk = at_step("soaking")
    talk.sends("TAKE V1", phone="ph2", after=60)
    if step == "stayed":
        talk.sends("ready", phone="ph2", after=20)

    talk.sends("in", phone="ph2", after=20)

    assert was_in(talk) == []
    assert talk.happened(SoakBroken) == []
    assert step_of(talk) == step


# -- its own bath, too early --------------------------------------------------------------------


@pytest.mark.parametrize("body", ["IN 23", "IN T1 23", "in t1"])
@pytest.mark.parametrize("step", ["read", "await_detergent", "rinse", "dry"])
def test_S4_in_its_bath_before_it_is_dry_it_is_cleaned_and_the_strip_is_spent(
    step: str, body: str
) -> None:
    talk = at_step(step)
    read = passes_read(talk, "T1")
    talk.sends("DISCARD T2", after=20)

    heard = talk.sends(body, after=2)
    asked = step_of(talk)
    play_cycle(talk)

    assert heard[0] == (
        "T1: V1 does not go in there now. Take it out: it must be cleaned from the start."
    )
    assert [(tag, because) for _, tag, because in was_in(talk)] == [("T1", "elsewhere")]
    assert asked == "wipe_detergent"
    assert passes_read(talk, "T1") == read + 1
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


@pytest.mark.parametrize("body", ["in", "in detergent", "IN?"])
@pytest.mark.parametrize("step", ["wipe_water", "await_detergent", "rinse"])
def test_S3_in_alone_says_that_it_is_in_the_detergent(step: str, body: str) -> None:
    talk = at_step(step)

    talk.sends(body, after=2)

    assert was_in(talk) == []
    assert step_of(talk) == step


@pytest.mark.parametrize("body", ["in", "IN 23", "IN T1 23"])
def test_S4_dry_and_in_before_its_tub_is_looked_at_it_comes_out_again(body: str) -> None:
    talk = at_step("container")

    heard = talk.sends(body, after=20)
    asked = step_of(talk)
    play_cycle(talk)

    assert heard == [
        "Too early: take V1 out of T1 again. This comes first:",
        TUB,
    ]
    assert asked == "container"
    assert was_in(talk) == [("V1", "T1", "too_early")]
    assert talk.clinic.containers["T1"].uses == 1
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S4_nobody_else_soaks_on_the_strip_of_before_that() -> None:
    talk = at_step("container")
    talk.sends("IN T1 23", after=20)
    talk.sends("FAULT V1", after=20)
    talk.sends("DISCARD T2", after=20)

    play_cycle(talk, "V2", phone="ph2")

    assert passes_read(talk, "T1") == 2


def test_S4_its_own_that_is_not_for_use_is_as_another() -> None:
    talk = at_step("container")
    talk.let(ContainerCondemned("T1", "strip_failed"))

    heard = talk.sends("IN 23", after=20)

    assert heard[0].startswith("T1 is NOT FOR USE. Take V1 out")
    assert step_of(talk) == "wipe_detergent"


# -- after its soak -----------------------------------------------------------------------------


@pytest.mark.parametrize("body", ["IN", "IN 23", "in t1 23", "back in"])
@pytest.mark.parametrize("step", AFTER_THE_SOAK)
def test_S8_after_the_soak_it_is_asked_whether_it_was_in_again(step: str, body: str) -> None:
    talk = at_step(step)

    (text,) = talk.sends(body, after=16 * 60)
    asked = step_of(talk)
    talk.sends("none", after=20)
    went_on = step_of(talk)
    play_cycle(talk)

    assert text == (
        "V1: its soak is over. Was it put in a bath again? If it was, or you are not sure: "
        "AGAIN. If not: NONE."
    )
    assert (asked, went_on) == ("in_again", step)
    assert was_in(talk) == []
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


@pytest.mark.parametrize("body", ["AGAIN", "IN T1", "moved"])
@pytest.mark.parametrize("level", list(Level))
def test_S8_unclear_is_cleaned_again(level: Level, body: str) -> None:
    talk = at_step("cover", level)
    talk.sends("IN 22", after=16 * 60)

    talk.sends("covered", after=20)
    unclear = step_of(talk)
    talk.sends(body, after=20)

    assert unclear == "in_again"
    assert [each.because for each in talk.happened(CleaningRestarted)] == (
        ["moved"] if body == "moved" else ["in_again"]
    )
    assert was_in(talk) == ([] if body == "moved" else [("V1", "T1", "in_again")])
    assert step_of(talk) in {"wipe_detergent", "under"}


# -- beside another question, and doubled -------------------------------------------------------


def test_S3_a_question_of_its_own_does_not_hide_that_it_was_in_once_more() -> None:
    talk = at_step("soaking")
    talk.sends("TEST T2", after=60)

    talk.sends("IN 23", after=60)

    assert [each.because for each in talk.happened(SoakBroken)] == ["second_in"]
    assert len(talk.happened(Immersed)) == 2


def test_S4_nor_that_it_went_in_too_early() -> None:
    talk = at_step("container")
    talk.sends("TEST T2", after=60)

    talk.sends("IN T1 23", after=60)

    assert was_in(talk) == [("V1", "T1", "too_early")]


@pytest.mark.parametrize(
    ("step", "body", "asked"),
    [
        ("dry", "IN T2 23", "I have just had that text."),
        ("dry", "IN 23", "I have just had that text."),
        ("container", "IN T2 23", "I have just had that text."),
        ("container", "IN 23", "I have just had that text."),
    ],
)
def test_S10_a_carriers_double_does_nothing(step: str, body: str, asked: str) -> None:
    talk = at_step(step)
    talk.sends(body, after=20)
    done = (len(talk.happened(PutInBath)), len(talk.happened(CleaningRestarted)), step_of(talk))

    heard = talk.sends(body, after=60)

    assert done == (
        len(talk.happened(PutInBath)),
        len(talk.happened(CleaningRestarted)),
        step_of(talk),
    )
    assert done[0] == 1
    assert heard[0].startswith(asked)


def test_S10_the_in_that_was_taken_is_no_second_one_after_the_soak() -> None:
    talk = at_step("immerse")
    talk.sends("IN 23", after=20)
    talk.wait(minutes=13.1)
    talk.sends(f"OUT {number_for(talk)}", after=1)

    heard = talk.sends("IN 23", after=5)

    assert heard[0].startswith("I have just had that text.")
    assert step_of(talk) == "final_rinse"
    assert cycle_of(talk).been_in == ""


@pytest.mark.parametrize("level", [Level.COACH, Level.BRIEF])
@pytest.mark.parametrize(
    ("said", "phone"), [("V1 STAINED", "ph2"), ("V1 IN J1 23", "ph2"), ("AGAIN", "ph1")]
)
def test_S4_an_in_that_crosses_a_new_beginning_has_used_the_strip_of_before(
    said: str, phone: str, level: Level
) -> None:
    talk = at_step("immerse", level)
    number = f"{number_for(talk)} " if level is Level.BRIEF else ""
    talk.sends(said, phone=phone, after=20)

    talk.sends(f"IN {number}23", after=5)
    tested = len(talk.happened(StripRead))
    play_cycle(talk)

    assert "T1" in [each.bath for each in talk.happened(PutInBath)]
    assert len(talk.happened(StripRead)) == tested + 1


def test_S4_before_any_bath_was_chosen_an_in_is_of_none() -> None:
    talk = at_step("wipe_water")

    talk.sends("IN 23", after=20)

    assert talk.happened(PutInBath) == []
