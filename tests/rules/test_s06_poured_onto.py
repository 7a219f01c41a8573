"""S6: POURED and FILLED with the tag of what stands there is no pour into an empty one."""

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import Poured
from tests.kit.talk import Talk, clinic
from tests.kit.two_products import two_products


def poured(talk: Talk) -> int:
    return len(talk.happened(Poured))


@pytest.mark.parametrize(
    ("command", "tag", "word", "body"),
    [
        *(
            ("POUR", "T1", "POURED", f"poured {how}")
            for how in ("into T1", "on top of T1", "in T1")
        ),
        ("POUR", "T1", "POURED", "poured it into the T1 tub"),
        ("POUR", "T1", "POURED", "poured, T1 was not empty"),
        *(("POUR J1", "B1", "FILLED", f"filled {how}") for how in ("into B1", "on top of B1")),
        ("POUR J1", "B1", "FILLED", "filled, B1 was not empty"),
        ("POUR J1", "T1", "FILLED", "poured into T1"),
    ],
)
def test_S6_what_was_poured_onto_what_stands_here_is_asked_about(
    command: str, tag: str, word: str, body: str
) -> None:
    talk = clinic()
    talk.sends(command)
    before = poured(talk)

    (heard,) = talk.sends(body, after=60)
    talk.sends(f"TOPPED {tag}", after=20)

    assert heard == (
        f"Nothing is noted: {tag} stands here. Poured onto what is in it? TOPPED {tag}, and "
        f"neither is for use. Into an empty one, washed and dry? Reply {word} alone."
    )
    assert poured(talk) == before
    assert talk.clinic.containers[tag].fitness is Fitness.CONDEMNED


def test_S6_so_it_is_of_a_bath_of_another_product() -> None:
    talk = two_products()
    talk.sends("POUR B2")

    (heard,) = talk.sends("poured into T1", after=60)

    assert heard.startswith("Nothing is noted: T1 stands here.")


@pytest.mark.parametrize("body", ["T1 is not empty", "not empty"])
def test_S6_that_something_is_not_empty_is_not_asked_back_as_empty(body: str) -> None:
    talk = clinic()
    talk.sends("POUR")

    heard = talk.sends(body, after=60)

    assert heard[0].startswith("Not understood: nothing is noted.")


@pytest.mark.parametrize("body", ["poured?", "poured into T1?", "T1 poured into?"])
def test_S6_a_question_is_no_pour_onto_anything(body: str) -> None:
    talk = clinic()
    talk.sends("POUR")

    heard = talk.sends(body, after=60)

    assert not heard[0].startswith("Nothing is noted: T1")
