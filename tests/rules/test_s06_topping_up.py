"""S6: no topping up, no pouring back; the bot never records an act that nobody stated."""

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import ContainerCondemned, ContainerDiscarded, Poured
from tests.kit.cycles import play_cycle, step_of
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
    assert "Pour " in heard[1]


def test_S6_a_tub_that_was_on_the_record_already_is_asked_about() -> None:
    """T1 with its rest may be what was poured onto: only who stands there knows."""
    talk = clinic()
    talk.sends("POUR")

    heard = talk.sends("topped", after=60)

    assert "Had it a tag already? Text DISCARD and that tag." in heard[0]


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
