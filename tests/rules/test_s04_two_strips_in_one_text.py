"""S4: of two strips that are told in one text each has the digit behind its own tag."""

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import StripRead
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def both_soak() -> Talk:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="soaking", named=True)
    play_cycle(talk, "V2", until="soaking", named=True)
    return talk


def failed(talk: Talk) -> list[str]:
    reads = talk.happened(StripRead)
    return sorted({each.container for each in reads if each.outcome == "fail"})


@pytest.mark.parametrize(
    ("body", "fails"),
    [
        ("T1 2, T2 1", ["T1"]),
        ("T1 1, T2 2", ["T2"]),
        ("T1 2 and T2 5", ["T1", "T2"]),
        ("T1 2\nT2 2", ["T1", "T2"]),
    ],
)
def test_S4_each_fails_by_its_own(body: str, fails: list[str]) -> None:
    talk = both_soak()

    talk.sends(body, after=10)

    assert failed(talk) == fails
    here = talk.clinic.containers
    assert [tag for tag in ("T1", "T2") if here[tag].fitness is Fitness.CONDEMNED] == fails


@pytest.mark.parametrize("body", ["T1 1, T2 4", "T1 1 and T2 4 thanks", "T2 4\nT1 1"])
def test_S4_two_that_are_asked_for_are_read_together(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    talk.sends("POUR", after=20)
    talk.sends("POURED", after=20)
    for tag in ("T1", "T2"):
        talk.sends(f"TEST {tag}", after=5)
        talk.sends(f"DIP {tag}", after=5)

    talk.sends(body, after=91)

    reads = talk.happened(StripRead)
    assert sorted((each.container, each.outcome) for each in reads) == [
        ("T1", "pass"),
        ("T2", "pass"),
    ]


@pytest.mark.parametrize("body", ["T1 2", "T1 T2 2", "T1 2 T2", "2 T1 2 T2", "T1 wet T2 2"])
def test_S4_what_is_no_row_of_tag_and_digit_is_one_text(body: str) -> None:
    talk = both_soak()

    talk.sends(body, after=10)

    assert len(failed(talk)) <= 1
