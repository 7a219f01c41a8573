"""S5, S6: only what somebody says was thrown away is noted: by it the next has a later date."""

from datetime import timedelta

import pytest

from flows.parts.events import ContainerDiscarded, JugOpened, StripBottleOpened
from tests.kit.talk import Talk, clinic


def gone(talk: Talk) -> list[str]:
    return [each.tag for each in talk.happened(ContainerDiscarded)]


@pytest.mark.parametrize(
    ("said", "tag"),
    [
        ("DISCARD J1?", "J1"),
        ("DISCARD NOT B1", "B1"),
        ("DISCARD T1 TOMORROW", "T1"),
        ("DISCARD B1 NO T1", "B1"),
        ("discard T1 later please", "T1"),
        ("DISCARD T1 V1", "T1"),
        ("DISCARD S1 when empty", "S1"),
        ("DISCARD T9?", "T9"),
        ("DISCARD IS J1 GONE", "J1"),
        ("DISCARD ARE T1 and B1 gone", "T1"),
        ("DISCARD J1 is it gone", "J1"),
        ("DISCARD T1 is the bath gone", "T1"),
    ],
)
def test_S6_a_question_a_plan_or_a_denial_is_no_discard(said: str, tag: str) -> None:
    talk = clinic()

    assert talk.sends(said) == [
        (
            "Nothing is noted yet: I did not read all of that. Once it is thrown away, text "
            f"DISCARD and the tag alone, like DISCARD {tag}."
        )
    ]
    assert gone(talk) == []


@pytest.mark.parametrize(
    "said",
    [
        "discard T1 please",
        "DISCARD the bath T1",
        "DISCARD T1 now, thanks",
        "DISCARD T1 it is gone",
        "DISCARD T1 thrown away",
        "DISCARD T1 is gone",
        "DISCARD the bath T1 is thrown away",
    ],
)
def test_S6_a_kind_word_beside_the_tag_leaves_it_a_discard(said: str) -> None:
    talk = clinic()

    talk.sends(said)

    assert gone(talk) == ["T1"]


def test_S6_and_between_two_tags_is_no_doubt() -> None:
    talk = clinic()

    talk.sends("DISCARD T1 and B1")

    assert gone(talk) == ["T1", "B1"]


@pytest.mark.parametrize("said", ["OPEN J9", "open s7", "OPEN J9-K"])
def test_S5_a_tag_that_nothing_here_bears_is_no_new_one(said: str) -> None:
    talk = clinic()
    tag = said.split()[1][:2].upper()

    assert talk.sends(said) == [
        (
            f"There is no {tag} here, so nothing is opened. The tag comes from me: for a new jug "
            "text OPEN, for new strips OPEN S."
        )
    ]
    assert talk.clinic.threads == {}


def test_S5_strips_that_are_open_keep_their_date() -> None:
    (said,) = clinic().sends("OPEN S1")

    assert said.startswith("S1 is open already. It is good to ")


def test_S4_strips_that_are_over_are_not_opened_again() -> None:
    talk = clinic()
    talk.now += timedelta(days=400)

    assert talk.sends("OPEN S1") == [
        "S1 is not for use: STATE S1 says why. For new strips text OPEN S."
    ]


@pytest.mark.parametrize(
    ("said", "kind"),
    [
        ("OPEN", JugOpened),
        ("OPEN SOLUTION", JugOpened),
        ("OPEN OPA", JugOpened),
        ("OPEN NEW JUG", JugOpened),
        ("OPEN S", StripBottleOpened),
        ("OPEN STRIP", StripBottleOpened),
        ("OPEN STR", StripBottleOpened),
        ("OPEN STIRPS", StripBottleOpened),
        ("OPEN STRIPS", StripBottleOpened),
        ("OPEN OPA STRIPS", StripBottleOpened),
        ("OPEN NEW STRIPS", StripBottleOpened),
        ("OPEN THE STRIPS", StripBottleOpened),
        ("OPEN TEST STRIPS", StripBottleOpened),
    ],
)
def test_S4_strips_are_opened_as_strips_wherever_the_word_stands(said: str, kind: type) -> None:
    talk = clinic(stocked=False)

    for each in (said, "270331", "L77", "good"):
        talk.sends(each, after=600)

    opened = [*talk.happened(JugOpened), *talk.happened(StripBottleOpened)]
    assert [type(each) for each in opened] == [kind]
