"""What is said beside FILLED, POURED, FRESH and TOPPED, and what a letter behind a tag is.

Source: common practice, none published, for what people say. That chlorine of 0.1 % is made of
bleach of 5 % stands in the shipped files.
"""

import pytest

from flows.parts.events import ContainerCondemned, ContainerHeld, Poured
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic

NOTHING_NOTED = (
    "All right, nothing is noted. What was topped up and had no tag is not for use: throw it away."
)
CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")


def poured(talk: Talk, tag: str) -> list[str]:
    return [each.source for each in talk.happened(Poured) if each.tag == tag]


def mixing() -> Talk:
    """J1 is opened, and T1 about to be vouched for."""
    talk = clinic(selection=CHLORINE)
    play_cycle(talk, until="single_use_mixed")
    return talk


# -- filled and poured --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "body",
    [
        *("filled it", "filled J1", "filled B2", "bottle filled", "FILLED done", "yes filled"),
        *("filled and labelled", "filled to the line", "filled J1-J"),
    ],
)
def test_what_belongs_to_the_filling_is_let_be(body: str) -> None:
    talk = clinic()
    talk.sends("POUR J1")

    talk.sends(body, after=60)

    assert poured(talk, "B2") == ["J1"]


@pytest.mark.parametrize(
    "body",
    ["poured T2", "poured in T2", "poured B1", "poured B1 into T2", "tub poured", "yes poured"],
)
def test_so_it_is_of_a_tub(body: str) -> None:
    talk = clinic()
    talk.sends("POUR B1")

    talk.sends(body, after=60)

    assert poured(talk, "T2") == ["B1"]


@pytest.mark.parametrize(
    ("pour", "body"),
    [
        *(("POUR J1", body) for body in ("filled J2", "filled B1", "filled half", "not filled")),
        *(("POUR J1", body) for body in ("filled?", "filled bottle empty", "filled to the top")),
        *(("POUR J1", body) for body in ("filled not J1 empty", "filled topped", "poured it")),
        *(
            ("POUR B1", body)
            for body in ("poured T1", "poured on top", "filled tub", "almost poured")
        ),
    ],
)
def test_S6_what_may_turn_it_is_asked_back(pour: str, body: str) -> None:
    talk = clinic()
    talk.sends(pour)
    before = len(talk.happened(Poured))

    talk.sends(body, after=60)

    assert len(talk.happened(Poured)) == before


@pytest.mark.parametrize(
    "body", ["filled, J1 empty now", "filled J1 is empty", "filled\nJ1 empty"]
)
def test_S7_the_end_of_a_jug_is_told_with_its_last_bottle(body: str) -> None:
    """The bottle was lost, and who threw the jug away as told heard that nothing was poured."""
    talk = clinic()
    talk.sends("POUR J1")

    heard = talk.sends(body, after=60)
    gone = talk.sends("DISCARD J1", after=20)

    assert poured(talk, "B2") == ["J1"]
    assert heard[0].startswith("Write on it: B2")
    assert heard[1:] == ["Is J1 empty now? Once it is thrown away: DISCARD J1."]
    assert gone[0].startswith("J1 is noted as thrown away.")


# -- fresh --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "body",
    [
        *(
            "ALL SO: FRESH",
            "all so fresh",
            "mixed fresh",
            "fresh done",
            "T1 fresh",
            "fresh, labelled",
        ),
        *("FRESH 2 L", "fresh 2L"),
    ],
)
def test_S4_fresh_in_the_words_of_its_question(body: str) -> None:
    talk = mixing()

    talk.sends(body, after=45)

    assert poured(talk, "T1") == ["J1"]


@pytest.mark.parametrize(
    "body",
    [
        *("all so", "mixed", "not all so fresh", "is it fresh", "fresh?", "fresh 3 L", "fresh T9"),
        *("fresh unsure", "almost fresh", "5% 2 L fresh but cloudy"),
    ],
)
def test_S4_less_than_fresh_vouches_for_nothing(body: str) -> None:
    talk = mixing()

    talk.sends(body, after=45)

    assert poured(talk, "T1") == []


# -- topped, and asked which --------------------------------------------------------------------


def test_S6_NONE_is_answered_though_nothing_was_put_on_hold() -> None:
    """She was told to use none of them, and never heard that she may."""
    talk = clinic()
    talk.sends("topped up the water jug")

    heard = talk.sends("none", after=20)

    assert talk.happened(ContainerHeld) == []
    assert heard == [NOTHING_NOTED]


@pytest.mark.parametrize(
    ("body", "tag"), [("the bath", "T1"), ("tub", "T1"), ("the bottle was topped up", "B1")]
)
def test_S6_where_there_is_one_of_it_the_bath_is_enough(body: str, tag: str) -> None:
    talk = clinic()
    talk.sends("topped")

    talk.sends(body, after=20)

    assert [each.tag for each in talk.happened(ContainerCondemned)] == [tag]


@pytest.mark.parametrize("body", ["the bath and the bottle", "sorry, mistake", "the bath?"])
def test_S6_else_it_is_asked_again(body: str) -> None:
    talk = clinic()
    talk.sends("topped")

    (heard,) = talk.sends(body, after=20)

    assert talk.happened(ContainerCondemned) == []
    assert heard.startswith("Which tub or bottle was topped up")


# -- a letter behind a tag ----------------------------------------------------------------------


def test_a_small_word_behind_a_tag_is_no_letter_of_its_label() -> None:
    talk = clinic()

    (heard,) = talk.sends("POUR J1 a bit late")

    assert heard.startswith("Pour J1 into an empty, washed, dry working bottle.")


@pytest.mark.parametrize("body", ["POUR J1 A", "POUR J1 X now", "POUR J1-A"])
def test_a_letter_that_is_another_is_asked_back(body: str) -> None:
    talk = clinic()

    (heard,) = talk.sends(body)

    assert heard.startswith("The letter behind J1 is not the one on its label.")
