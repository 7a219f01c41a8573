"""S3, S21: what only states where a probe soaks, beside another's answer, breaks no soak.

Source: common practice for what people say.
"""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import Immersed, PutInBath, SoakBroken
from tests.kit.cycles import cycle_of, number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def two_in_hand(first: str, *, level: Level = Level.COACH) -> Talk:
    """V2 soaks in T1; V1, on the same phone, stands at *first*."""
    talk = clinic(level=level, devices=("V1", "V2", "V3"))
    play_cycle(talk, "V2", until="soaking", named=True)
    play_cycle(talk, "V1", until=first, named=True)
    assert step_of(talk, "V2") == "soaking"
    assert cycle_of(talk, "V2").bath == "T1"
    return talk


@pytest.mark.parametrize(
    "body",
    [
        *("V1 covered, V2 in T1", "V1 covered, V2 in the bath"),
        *("CHECK V3, V2 in T1", "V1 covered\nV2 is in T1", "V2 in T1, V1 covered"),
    ],
)
@pytest.mark.parametrize("level", [Level.COACH, Level.BRIEF])
def test_S3_where_it_soaks_beside_another_answer_is_how_it_stands(body: str, level: Level) -> None:
    talk = two_in_hand("cover", level=level)
    talk.wait(minutes=3)

    heard = talk.sends(body, after=20)

    assert talk.happened(SoakBroken) == []
    assert step_of(talk, "V2") == "soaking"
    assert any(each.startswith(("V1 READY until", "V3")) for each in heard)


@pytest.mark.parametrize(
    ("body", "because"),
    [
        *(("V1 covered, V2 in T1 23", "second_in"), ("V2 in T1", "second_in")),
        *(("V1 covered, V2 back in T1", "second_in"), ("V1 covered, V2 in T2", "second_in")),
    ],
)
def test_S3_what_tells_of_more_than_how_it_stands_breaks_it(body: str, because: str) -> None:
    talk = two_in_hand("cover")

    talk.sends(body, after=20)

    assert [each.because for each in talk.happened(SoakBroken)] == [because]


def test_S3_where_both_soak_nothing_is_told_of_either() -> None:
    talk = two_in_hand("soaking")

    talk.sends("V1 in T2, V2 in T1", after=20)

    assert talk.happened(SoakBroken) == []
    assert {step_of(talk, each) for each in ("V1", "V2")} == {"soaking"}


@pytest.mark.parametrize("level", [Level.COACH, Level.BRIEF])
@pytest.mark.parametrize(
    "body", ["both in {n}23", "in {n}23 both", "V1 and V2 in {n}23", "V1 in {n}23, V2 too"]
)
def test_S21_both_in_is_no_news_of_what_soaks_in_its_own_bath(body: str, level: Level) -> None:
    talk = two_in_hand("immerse", level=level)
    number = f"{number_for(talk, 'V1')} " if level is Level.BRIEF else ""

    talk.sends(body.format(n=number), after=20)

    assert talk.happened(SoakBroken) == []
    assert [each.device for each in talk.happened(Immersed)] == ["V2", "V1"]
    assert talk.happened(PutInBath) == []


def test_S21_both_in_one_that_is_named_voids_both() -> None:
    talk = two_in_hand("immerse")

    talk.sends("both in T2 23", after=20)

    assert [each.device for each in talk.happened(SoakBroken)]
    assert step_of(talk, "V2") != "soaking"


def test_S3_what_was_said_to_be_out_is_not_where_it_was() -> None:
    talk = two_in_hand("cover")
    talk.sends("V2 out", after=20)

    heard = talk.sends("V1 covered, V2 in T1", after=20)

    assert any("V2" in each for each in heard)
