"""S3, S6: what is put in a bath may be a liquid: then it was topped up, and no probe went in.

PUT WATER IN T1 was heard as an IN of the probe, and the diluted bath served on. Source: common
practice for what people say.
"""

import pytest

from flows.parts.clinic import Level
from flows.parts.events import ContainerCondemned, PutInBath, SoakBroken
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def at(step: str) -> Talk:
    talk = clinic(level=Level.COACH)
    play_cycle(talk, until=step)
    talk.wait(seconds=60)
    return talk


def condemned(talk: Talk) -> list[str]:
    return [each.tag for each in talk.happened(ContainerCondemned)]


@pytest.mark.parametrize("step", ["under", "dip", "immerse", "soaking", "final_rinse", "cover"])
@pytest.mark.parametrize(
    ("body", "tag"),
    [
        *(("put water in T1", "T1"), ("put some more in T1", "T1"), ("put B1 in T1", "T1")),
        *(("put fresh OPA in T1", "T1"), ("put rest of B1 in T1", "T1")),
        *(("put T1 back in J1", "J1"), ("i put some water in T1", "T1")),
        ("someone put water in T1", "T1"),
    ],
)
def test_S6_a_liquid_put_in_a_vessel_tops_that_up(body: str, tag: str, step: str) -> None:
    talk = at(step)

    heard = talk.sends(body, after=20)

    assert condemned(talk) == [tag]
    assert heard[0].startswith(f"{tag} is not for use any more")
    assert talk.happened(PutInBath) == []


@pytest.mark.parametrize(
    "body",
    [
        "put no water in T1",
        "put water in T1?",
        "put some strips in T1",
        "put water in",
        "water in T1",
    ],
)
def test_S6_what_may_be_something_else_is_asked_about(body: str) -> None:
    talk = at("soaking")

    heard = talk.sends(body, after=20)

    assert condemned(talk) == []
    assert talk.happened(SoakBroken) == []
    assert step_of(talk) == "soaking"
    assert heard


@pytest.mark.parametrize("body", ["put in T1", "put it in T1", "put it back in T1", "put back in"])
def test_S3_a_probe_that_was_put_in_again_breaks_its_soak(body: str) -> None:
    talk = at("soaking")

    talk.sends(body, after=20)

    assert condemned(talk) == []
    assert [each.because for each in talk.happened(SoakBroken)] == ["second_in"]
