"""S17: thanks, a sign, or the sender's own name is no miss: nobody is called for it."""

import pytest

from flows.parts.events import AlertRaised, NotUnderstood, Released, StripRead
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import clinic

THUMB = "\U0001f44d"


@pytest.mark.parametrize("step", ["await_detergent", "soaking", "dip", "cover", "read"])
@pytest.mark.parametrize("body", ["ok", "ok thanks", THUMB, "Namep1", "thank you sister", "ok V1"])
def test_S17_a_courtesy_is_no_miss_and_three_call_nobody(step: str, body: str) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    asked = step_of(talk)

    heard = [talk.sends(body, after=2) for _ in range(3)]

    assert all(len(each) == 1 for each in heard)
    assert talk.happened(NotUnderstood) == []
    assert talk.happened(AlertRaised) == []
    assert step_of(talk) == asked


@pytest.mark.parametrize("body", ["ok thanks", THUMB, "Namep1", "regards Namep1", "Sr Mary"])
def test_S17_where_nothing_is_asked_it_gets_a_kind_word(body: str) -> None:
    talk = clinic()

    (text,) = talk.sends(body)

    assert text == "Thank you. Nothing is asked of you now."


@pytest.mark.parametrize(
    "body",
    ["ok?", "how long", "sister forgot", "not Namep1", "sister interrupted", "sorry"],
)
def test_S17_what_says_or_asks_more_is_a_miss(body: str) -> None:
    talk = clinic()
    play_cycle(talk, until="cover")

    talk.sends(body, after=200)

    assert len(talk.happened(NotUnderstood)) == 1


@pytest.mark.parametrize(
    "signed",
    [
        *("\nsister Ann", "\nSr Ann", "\nregards Ann", "\nkind regards\nNamep1", " Namep1"),
        *("\nthank you sister", " regards Namep1", "\nNurse Mary", ", sister Namep1"),
    ],
)
def test_S10_a_name_with_a_title_or_a_greeting_is_a_signature(signed: str) -> None:
    talk = clinic()
    play_cycle(talk, until="cover")

    talk.sends(f"covered{signed}", after=200)

    assert len(talk.happened(Released)) == 1


@pytest.mark.parametrize(
    "below",
    [
        *("\nsister blue", "\nnurse unsure", "\nnot Namep1", " not Namep1", "\nAnn says patchy"),
        *("\nsister 2", "\nfrom outside", "\nsister, it is wet", "\nregards, blood"),
    ],
)
def test_S8_anything_else_below_an_answer_is_part_of_it(below: str) -> None:
    talk = clinic()
    play_cycle(talk, until="read")

    talk.sends(f"1{below}", after=95)

    assert talk.happened(StripRead) == []
