"""S17: a reading is a number with a unit and limits; no rounding up to the limit."""

from dataclasses import replace
from decimal import Decimal

import pytest

from flows.parts.clinic import Level
from flows.parts.events import AlertRaised, BathTooCold, Immersed, NotUnderstood, TakenOut
from tests.kit.cycles import number_for, play_cycle, step_of, wait_for_bell
from tests.kit.talk import Talk, clinic


def at_the_bath(level: Level = Level.COACH) -> Talk:
    talk = clinic(level=level)
    play_cycle(talk, until="immerse")
    talk.wait(seconds=30)
    return talk


def celsius(talk: Talk) -> list[Decimal]:
    return [event.celsius for event in talk.happened(Immersed)]


@pytest.mark.parametrize(
    ("body", "read"),
    [
        ("IN 20", "20"),
        ("IN 20.0", "20.0"),
        ("In 20,0 c", "20.0"),
        ("in 21.5C.", "21.5"),
        ("IN21.5", "21.5"),
        ("IN 68 F", "20.0"),
        ("IN 68.0F", "20.0"),
        ("IN 70F", "21.1"),
    ],
)
def test_S17_at_the_minimum_it_is_warm_enough_to_the_tenth(body: str, read: str) -> None:
    talk = at_the_bath()

    talk.sends(body)

    assert celsius(talk) == [Decimal(read)]
    assert step_of(talk) == "soaking"


@pytest.mark.parametrize(
    ("body", "read"),
    [
        ("IN 19.9", "19.9"),
        ("IN 19.99", "19.99"),
        ("IN 19", "19"),
        ("IN 67.9 F", "19.9"),
        ("IN 67.99F", "19.9"),
    ],
)
def test_S17_a_tenth_below_it_is_not_and_nothing_is_rounded_up(body: str, read: str) -> None:
    talk = at_the_bath()

    (text,) = talk.sends(body)

    assert celsius(talk) == []
    assert [(event.celsius, event.limit) for event in talk.happened(BathTooCold)] == [
        (Decimal(read), Decimal(20))
    ]
    assert step_of(talk) == "warm"
    assert "the limit is 20" in text
    assert "Take V1 out" in text


def test_S17_warmed_it_begins_again_and_bears_a_number() -> None:
    talk = at_the_bath()
    talk.sends("IN 19")

    talk.sends("IN 21.5", after=60)
    bare = step_of(talk)
    talk.sends(f"IN {number_for(talk)} 21.5", after=5)

    assert bare == "warm"
    assert celsius(talk) == [Decimal("21.5")]


def test_S17_still_too_cold_it_is_warmed_once_more_under_another_number() -> None:
    talk = at_the_bath()
    talk.sends("IN 19")
    first = number_for(talk)

    talk.sends(f"IN {first} 19.5", after=60)

    assert step_of(talk) == "warm"
    assert number_for(talk) != first
    assert len(talk.happened(BathTooCold)) == 2


@pytest.mark.parametrize(
    ("body", "answer"),
    [
        ("IN 68", "C or F? If it was F, that is 20.0 C."),
        ("IN 99", "C or F? If it was F, that is 37.2 C."),
        ("IN 215", "That cannot be. Please look again"),
        ("IN -3", "That cannot be. Please look again"),
        ("IN 45.1", "C or F? If it was F, that is 7.2 C."),
        ("IN", "V1: put it in T1, set your own timer, then reply"),
        ("21.5", "V1: put it in T1, set your own timer, then reply"),
    ],
)
def test_S17_what_is_no_clear_reading_is_a_question_and_never_a_guess(
    body: str, answer: str
) -> None:
    talk = at_the_bath()

    (text,) = talk.sends(body)

    assert text.startswith(answer)
    assert celsius(talk) == []
    assert step_of(talk) == "immerse"


@pytest.mark.parametrize("body", ["IN 68", "IN 215"])
def test_S17_the_third_miss_offers_a_person(body: str) -> None:
    talk = at_the_bath()

    first, second, third = (talk.sends(body, after=5) for _ in range(3))

    assert first == second
    assert third[0] == "I have asked your contact to call you."
    assert third[1:] == first
    assert [event.cause for event in talk.happened(AlertRaised)] == ["not_understood"]
    assert talk.heard["ph9"][0].startswith("Somebody cleaning V1 needs a hand with my questions.")
    assert len(talk.happened(NotUnderstood)) == 3


def test_S17_a_maximum_is_a_limit_too_where_there_is_one() -> None:
    talk = clinic()
    warmest = replace(talk.protocol.chemistry, maximum_temperature_c=Decimal(25))
    talk.protocol = replace(talk.protocol, chemistry=warmest)
    play_cycle(talk, until="immerse")

    talk.sends("IN 25.1", after=20)
    hot = step_of(talk)
    talk.sends(f"IN {number_for(talk)} 25.0", after=20)

    assert hot == "warm"
    assert talk.happened(BathTooCold)[0].limit == Decimal(25)
    assert celsius(talk) == [Decimal("25.0")]


def test_S17_on_brief_texts_in_bears_the_bells_number_and_the_temperature() -> None:
    talk = at_the_bath(Level.BRIEF)
    number = number_for(talk)

    missing = talk.sends("IN 21.5")
    wrong = talk.sends(f"IN {60 + (int(number) - 59) % 40} 21.5")
    talk.sends(f"IN 21.5 {number}")

    assert "number in my last text is missing or another" in missing[0]
    assert wrong == missing
    assert celsius(talk) == [Decimal("21.5")]


def test_S17_cleaned_from_the_start_may_be_asked_for_at_the_bath() -> None:
    talk = at_the_bath()

    talk.sends("again")

    assert step_of(talk) == "wipe_detergent"


def test_S17_a_bath_found_cold_at_out_is_on_the_record_with_its_limit() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking", celsius="22.0")
    talk.wait(minutes=13)

    talk.sends(f"OUT {number_for(talk)} 19.9", after=5)

    (cold,) = talk.happened(BathTooCold)
    assert (cold.celsius, cold.limit) == (Decimal("19.9"), Decimal(20))


@pytest.mark.parametrize(
    ("body", "step"),
    [
        ("OUT {number} 20.0", "final_rinse"),
        ("OUT {number} 68 F", "final_rinse"),
        ("OUT {number} 19.9", "back_in"),
        ("OUT {number} 67.9F", "back_in"),
        ("OUT {number} 215", "soaking"),
        ("OUT {number}", "soaking"),
    ],
)
def test_S17_at_out_the_limit_is_as_exact(body: str, step: str) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking", celsius="22.0")
    talk.wait(minutes=13)

    talk.sends(body.format(number=number_for(talk)), after=5)

    assert step_of(talk) == step


@pytest.mark.parametrize("body", ["IN <20", "IN < 20 C", "IN ~20", "IN 20-", "IN about 20"])
def test_S17_what_no_thermometer_shows_is_held_to_no_limit(body: str) -> None:
    """Below 20 was taken as 20: a cold soak was released."""
    talk = at_the_bath()

    (heard,) = talk.sends(body)

    assert heard.startswith("One number, please, as the thermometer shows it: not about, under")
    assert celsius(talk) == []
    talk.sends("IN 21.5", after=20)
    assert celsius(talk) == [Decimal("21.5")]


@pytest.mark.parametrize("body", ["OUT {n} <20", "OUT {n} about 20", "OUT {n} 20-"])
def test_S17_at_out_it_came_out_and_the_reading_is_asked_for(body: str) -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    talk.sends("IN 20.5", after=30)
    wait_for_bell(talk)
    number = number_for(talk)

    talk.sends(body.format(n=number), after=10)

    assert talk.happened(TakenOut) == []
    assert step_of(talk) == "soaking"
    talk.sends("21", after=20)
    assert [each.celsius for each in talk.happened(TakenOut)] == [Decimal(21)]


def test_S17_what_lacked_is_asked_for_with_the_whole_text() -> None:
    """The number by itself, as it was asked for, was a miss, and the contact was called."""
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="immerse")
    number = number_for(talk)

    (lacking,) = talk.sends("in 23", after=60)
    (in_doubt,) = talk.sends(f"in {number} 70", after=20)

    assert lacking.endswith(f"Please send all of it once more, like IN {number} 21.5")
    assert in_doubt.endswith(f"send all of it once more: IN {number} 70 C, or IN {number} 70 F.")
