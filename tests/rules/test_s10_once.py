"""S10: one text is handled once; an answer answers only the question that is open now."""

from datetime import timedelta
from itertools import pairwise

import pytest

from flows.catalogue import FLOWS
from flows.parts.clinic import Level
from flows.parts.events import (
    AnsweredTooSoon,
    DetergentSoakEnded,
    Immersed,
    NotUnderstood,
    Released,
    SoakBroken,
    StepDone,
    TakenOut,
)
from flows.words import ANSWERS
from tests.kit.cycles import (
    ANSWERS as GOOD_ANSWERS,
)
from tests.kit.cycles import (
    arrives,
    cycle_of,
    number_for,
    play_cycle,
    step_of,
    thread_of,
    wait_for_bell,
)
from tests.kit.strips import dips
from tests.kit.talk import Talk, clinic

ONE_WORD = (
    "inspect",
    "wipe_detergent",
    "wipe_water",
    "wipe_disinfectant",
    "wipe_rinse",
    "mix",
    "under",
    "dry",
    "container",
    "final_rinse",
    "final_dry",
    "final_inspect",
    "cover",
)


def test_S10_no_answer_word_of_a_step_answers_the_next_or_the_one_after() -> None:
    steps = FLOWS["cycle"].steps
    asked = [steps[name] for name in ONE_WORD]

    for one, next_one in pairwise(asked):
        assert not set(one.answers) & set(next_one.answers) - {"damaged", "unsure"}
    assert len({step.answers[0] for step in asked}) == len(asked)


def test_S10_every_answer_word_is_a_word_of_its_own() -> None:
    words = [text.english for text in ANSWERS.values()]

    assert len(set(words)) == len(words)


@pytest.mark.parametrize("step", ONE_WORD[:-1])
def test_S10_an_answer_doubled_by_a_carrier_neither_answers_nor_counts_as_a_miss(
    step: str,
) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    said = GOOD_ANSWERS[step]
    talk.sends(said, after=190)
    done, asked = step_of(talk), cycle_of(talk).done

    doubled = talk.sends(said, after=30)

    assert (step_of(talk), cycle_of(talk).done) == (done, asked)
    assert talk.happened(NotUnderstood) == []
    assert len(doubled) == 1


def test_S10_a_doubled_numbered_answer_is_asked_about_and_answers_nothing() -> None:
    talk = clinic()
    play_cycle(talk, until="rinse")
    body = f"rinsed {number_for(talk)}"
    talk.sends(body, after=20)

    talk.sends(body, after=20)

    assert step_of(talk) == "dry"
    assert len(talk.happened(DetergentSoakEnded)) == 1


def test_S10_a_doubled_out_ends_one_soak() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.wait(minutes=13)
    body = f"OUT {number_for(talk)}"
    talk.sends(body, after=20)

    talk.sends(body, after=20)

    assert len(talk.happened(TakenOut)) == 1
    assert step_of(talk) == "final_rinse"


# -- quicker than hands can move ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("step", "least_s"),
    [
        ("wipe_detergent", 5),
        ("wipe_water", 5),
        ("wipe_disinfectant", 5),
        ("wipe_rinse", 60),
        ("mix", 3),
        ("under", 10),
        ("dry", 5),
        ("container", 3),
        ("final_rinse", 180),
        ("final_dry", 5),
        ("cover", 3),
    ],
)
@pytest.mark.parametrize("short_by", [timedelta(0), timedelta(microseconds=1)])
def test_S10_an_answer_quicker_than_hands_can_move_is_asked_about(
    step: str, least_s: int, short_by: timedelta
) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    talk.now = thread_of(talk, "V1").asked_at  # type: ignore[union-attr]

    talk.sends(GOOD_ANSWERS[step], after=least_s - short_by.total_seconds())

    too_soon = [event.step for event in talk.happened(AnsweredTooSoon)]
    assert too_soon == ([step] if short_by else [])
    assert (step_of(talk) == step) is bool(short_by)


@pytest.mark.parametrize(("step", "least_s"), [("under", 80), ("immerse", 15), ("cover", 180)])
@pytest.mark.parametrize("short_by", [timedelta(0), timedelta(microseconds=1)])
def test_S10_on_brief_texts_one_answer_takes_the_time_of_all_it_states(
    step: str, least_s: int, short_by: timedelta
) -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until=step)
    said = f"in {number_for(talk)} 23" if step == "immerse" else GOOD_ANSWERS[step]

    talk.sends(said, after=least_s - short_by.total_seconds())

    assert (step_of(talk) == step) is bool(short_by)


@pytest.mark.parametrize("short_by", [timedelta(0), timedelta(microseconds=1)])
def test_S10_in_and_rinsed_take_a_moment_too(short_by: timedelta) -> None:
    talk = clinic()
    play_cycle(talk, until="rinse")
    talk.sends(f"rinsed {number_for(talk)}", after=5 - short_by.total_seconds())
    rinsed = step_of(talk)
    play_cycle(talk, until="immerse")

    talk.sends("in 23", after=3 - short_by.total_seconds())

    assert (rinsed == "rinse") is bool(short_by)
    assert (step_of(talk) == "immerse") is bool(short_by)


def test_S10_the_question_about_it_names_the_word_and_the_time_it_took() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")

    (text,) = talk.sends("Dry.", after=2)

    assert text.startswith("That was quick.")
    assert text.endswith("When it is really done, reply DRY again.")
    assert talk.happened(AnsweredTooSoon)[0].after == timedelta(seconds=2)


def test_S10_an_answer_sent_before_it_was_asked_is_too_quick_and_took_no_time() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    before = talk.now - timedelta(minutes=1)
    talk.wait(minutes=2)

    arrives(talk, "dry", before)

    assert step_of(talk) == "dry"
    assert talk.happened(AnsweredTooSoon)[0].after == timedelta(0)


def test_S10_said_again_in_time_it_is_taken() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    talk.sends("dry", after=2)

    talk.sends("dry", after=4)

    assert step_of(talk) == "container"


@pytest.mark.parametrize(
    ("step", "said"),
    [("inspect", "damaged"), ("under", "damaged"), ("final_inspect", "stained")],
)
def test_S10_bad_news_is_never_too_quick(step: str, said: str) -> None:
    talk = clinic(level=Level.BRIEF if step == "under" else Level.COACH)
    play_cycle(talk, until=step)

    talk.sends(said)

    assert talk.happened(AnsweredTooSoon) == []
    assert step_of(talk) != step


# -- two cycles on one phone --------------------------------------------------------------------


def two(until: str) -> Talk:
    """V1 and V2 on one phone, both at the same question."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until=until)
    play_cycle(talk, "V2", until=until, named=True)
    return talk


@pytest.mark.parametrize("body", ["dry", "in 23", "hm", "97"])
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


def test_S10_both_named_in_one_text_is_asked_back() -> None:
    talk = two("dry")

    (text,) = talk.sends("V1 and V2 dry", after=20)

    assert text.startswith("Two devices are in hand.")


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
