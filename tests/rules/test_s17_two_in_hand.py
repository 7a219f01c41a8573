"""S17: with two in hand, who is at a loss is told what is asked of each, and gets a person."""

import pytest

from flows.parts.events import AlertRaised, NotUnderstood
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

THUMB = "\U0001f44d"
WHICH = "Two devices are in hand. Which one?"


def two_in_hand() -> Talk:
    """V1 soaks, V2 is being wiped."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="soaking")
    play_cycle(talk, "V2", until="under", named=True)
    return talk


def calls(talk: Talk) -> list[str]:
    return [each.cause for each in talk.happened(AlertRaised) if each.cause == "not_understood"]


@pytest.mark.parametrize("body", ["ok", "thanks", THUMB, "Namep1", "thank you sister"])
def test_S17_a_courtesy_is_no_miss(body: str) -> None:
    talk = two_in_hand()

    heard = [talk.sends(body, after=5) for _ in range(3)]

    assert all(not text.startswith(WHICH) for each in heard for text in each)
    assert talk.happened(NotUnderstood) == calls(talk) == []


@pytest.mark.parametrize(
    "body",
    ["help", "please help me", "what now?", "?", "how much time left?", "I dont understand"],
)
def test_S17_whoever_is_at_a_loss_hears_what_is_asked_of_each(body: str) -> None:
    talk = two_in_hand()

    soaks, asks = talk.sends(body, after=5)

    assert soaks.startswith("V1 stays in T1 until")
    assert asks.startswith("V2: is it in the detergent")
    assert len(talk.happened(NotUnderstood)) == 1


@pytest.mark.parametrize("body", ["help", "what now?", "hm", "blah blah"])
def test_S17_at_the_third_somebody_is_asked_to_call(body: str) -> None:
    talk = two_in_hand()

    heard = [text for _ in range(3) for text in talk.sends(body, after=5)]

    assert heard.count("I have asked your contact to call you.") == 1
    assert calls(talk) == ["not_understood"]
    assert (step_of(talk, "V1"), step_of(talk, "V2")) == ("soaking", "under")


@pytest.mark.parametrize("body", ["dry", "OUT", "23", "T9"])
def test_S17_what_lacks_but_its_name_is_no_miss(body: str) -> None:
    talk = two_in_hand()

    heard = talk.sends(body, after=5)

    assert heard[0].startswith(WHICH)
    assert talk.happened(NotUnderstood) == []


@pytest.mark.parametrize("body", ["it fell", "the cable is torn", "water in the plug"])
def test_S8_what_may_be_bad_news_is_asked_which_it_is_of(body: str) -> None:
    talk = two_in_hand()

    heard = talk.sends(body, after=5)

    assert heard[0].startswith(WHICH)
