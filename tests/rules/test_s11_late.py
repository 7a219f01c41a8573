"""S11: a bell that rings late says so, and the true time; what is overtaken is not sent."""

from datetime import timedelta

import pytest

from flows.parts.decision import Saying
from flows.parts.events import BellSet
from tests.kit.cycles import cycle_of, number_for, play_cycle, rings_late, thread_of
from tests.kit.talk import Talk, clinic

MICROSECOND = timedelta(microseconds=1)


def soaking(celsius: str = "23") -> Talk:
    talk = clinic()
    play_cycle(talk, until="soaking", celsius=celsius)
    return talk


def bell_of(talk: Talk, kind: str) -> str:
    (bell,) = [each.id for each in talk.clinic.bells.values() if each.kind == kind]
    return bell


def last_saying(talk: Talk) -> Saying:
    return talk.said[-1]


def is_overtaken(talk: Talk, saying: Saying) -> bool:
    thread = talk.clinic.threads.get(saying.thread or "")
    return saying.thread is not None and (thread is None or thread.question != saying.question)


@pytest.mark.parametrize(
    ("late", "says_so"),
    [(timedelta(0), False), (timedelta(seconds=30), False), (timedelta(seconds=31), True)],
)
def test_S11_a_bell_of_the_bath_that_rings_late_says_so(late: timedelta, *, says_so: bool) -> None:
    talk = soaking()

    rings_late(talk, bell_of(talk, "contact"), late)

    assert ("late: it has been in" in talk.last()) is says_so
    assert talk.last().endswith(f"OUT {number_for(talk)}")


def test_S11_and_says_how_long_it_has_truly_been_in() -> None:
    talk = soaking()

    rings_late(talk, bell_of(talk, "contact"), timedelta(minutes=4))

    assert talk.last().startswith("V1: this bell is 4 min late: it has been in 17 min.")


def test_S11_so_does_the_second_bell() -> None:
    talk = soaking()
    talk.wait(minutes=13)

    rings_late(talk, bell_of(talk, "overdue"), timedelta(minutes=1))

    assert talk.last().startswith("V1: this bell is 1 min late: it has been in 16 min.")


@pytest.mark.parametrize("step", ["await_detergent", "read"])
@pytest.mark.parametrize(
    ("late", "says_so"), [(timedelta(seconds=30), False), (timedelta(seconds=105), True)]
)
def test_S11_a_bell_of_the_detergent_that_rings_late_says_so_too(
    step: str, late: timedelta, *, says_so: bool
) -> None:
    talk = clinic()
    play_cycle(talk, until=step)
    heard = len(talk.heard["ph1"])

    rings_late(talk, bell_of(talk, "detergent"), late)

    said = talk.heard["ph1"][heard:]
    told = "V1: this bell is 105 s late; it has been in the detergent 4 min."
    assert said[:-1] == [told] * says_so
    assert "detergent time is up" in said[-1]


@pytest.mark.parametrize(
    ("late", "rung"), [(timedelta(seconds=30), True), (timedelta(seconds=30.1), False)]
)
def test_S11_a_strips_bell_too_late_to_help_is_not_rung(late: timedelta, *, rung: bool) -> None:
    talk = clinic()
    play_cycle(talk, until="read")
    heard = len(talk.heard["ph1"])

    rings_late(talk, bell_of(talk, "strip"), late)

    assert (len(talk.heard["ph1"]) > heard) is rung


def test_S11_a_strips_bell_that_rings_into_another_question_says_nothing() -> None:
    talk = clinic()
    play_cycle(talk, until="dip")
    thread = thread_of(talk, "V1")
    assert thread is not None
    talk.let(BellSet("b1.strip", "strip", talk.now, thread=thread.id))
    heard = len(talk.heard["ph1"])

    rings_late(talk, "b1.strip", timedelta(0))

    assert len(talk.heard["ph1"]) == heard


# -- overtaken ----------------------------------------------------------------------------------


def test_S11_every_question_bears_its_number_and_its_time() -> None:
    talk = clinic()

    play_cycle(talk, until="soaking")

    # A bell repeats the question it rings for, so each is counted once.
    numbers = list(dict.fromkeys(saying.question for saying in talk.said))
    questions = [saying for saying in talk.said if saying.bell is None]
    assert numbers == list(range(1, len(numbers) + 1))
    assert {each.thread for each in talk.said} == {thread_of(talk, "V1").id}  # type: ignore[union-attr]
    assert {each.good_for for each in questions} == {timedelta(hours=1)}


def test_S11_a_question_is_overtaken_once_it_is_answered() -> None:
    talk = clinic()
    play_cycle(talk, until="dry")
    asked = last_saying(talk)

    before = is_overtaken(talk, asked)
    talk.sends("dry", after=20)

    assert not before
    assert is_overtaken(talk, asked)


def test_S11_a_bell_is_overtaken_by_the_out_and_by_a_new_soak() -> None:
    talk = soaking()
    talk.wait(minutes=13)
    rung = last_saying(talk)

    before = is_overtaken(talk, rung)
    talk.sends("IN 23", after=20)

    assert rung.bell == f"{cycle_of(talk).id}.contact"
    assert rung.good_for == timedelta(minutes=60)
    assert not before
    assert is_overtaken(talk, rung)


def test_S11_a_bell_is_not_overtaken_by_texts_that_answer_nothing() -> None:
    talk = soaking()
    talk.wait(minutes=13)
    rung = last_saying(talk)

    for body in ("OUT", "hm", "LEFT", "STATE"):
        talk.sends(body, after=20)

    assert not is_overtaken(talk, rung)


def test_S11_a_bell_that_rings_into_a_hand_over_is_never_overtaken() -> None:
    talk = soaking()
    talk.sends("TAKE V1", phone="ph2", after=20)
    play_cycle(talk, phone="ph2", until="stayed")
    talk.wait(minutes=13)
    (rung,) = [saying for saying in talk.said if "soak complete" in saying.text.english]

    talk.sends("stayed", phone="ph2")

    assert not is_overtaken(talk, rung)
    assert rung.to == "ph2"


def test_S11_a_strips_bell_is_good_for_as_long_as_it_helps() -> None:
    talk = clinic()
    play_cycle(talk, until="read")

    talk.wait(seconds=90)

    assert last_saying(talk).good_for == timedelta(seconds=30)
    assert last_saying(talk).question == thread_of(talk, "V1").question  # type: ignore[union-attr]
