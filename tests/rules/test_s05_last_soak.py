"""S5: a bath whose soaks or whose time run out is not used, and that is said ahead of time."""

from dataclasses import replace
from datetime import timedelta

import pytest

from flows.parts.clinic import Level
from flows.parts.events import Immersed
from tests.kit.cycles import cycle_of, play_cycle, step_of
from tests.kit.talk import Talk, clinic

SOAK = timedelta(minutes=13)
"""OPA 0.55 %: 12 min at 20 C, CDC/HICPAC 2008, Table 4; and a minute until the bell."""

LAST = "T1: this is its last soak, 2 of 2. After it throw T1 away: DISCARD T1."


def counted(uses: int, soaked: int) -> Talk:
    talk = clinic()
    chemistry = replace(talk.protocol.chemistry, bath_uses_max=uses)
    talk.protocol = replace(talk.protocol, chemistry=chemistry)
    return with_bath(talk, uses=soaked)


def with_bath(talk: Talk, **changes: object) -> Talk:
    bath = replace(talk.clinic.containers["T1"], **changes)  # type: ignore[arg-type]
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "T1": bath})
    return talk


@pytest.mark.parametrize("level", Level)
@pytest.mark.parametrize(("soaked", "said"), [(0, 0), (1, 1)])
def test_S5_the_last_soak_of_a_bath_is_said_before_the_device_goes_in(
    level: Level, soaked: int, said: int
) -> None:
    talk = counted(2, soaked)

    heard = play_cycle(talk, level=level, until="immerse").heard

    assert [text for text in heard if "last soak" in text] == [LAST] * said


def test_S5_after_its_last_soak_another_bath_is_made() -> None:
    talk = counted(2, 1)
    play_cycle(talk)

    play_cycle(talk, until="fill")

    assert step_of(talk) == "fill"


def test_S5_no_limit_is_no_warning() -> None:
    heard = play_cycle(with_bath(clinic(), uses=400)).heard

    assert not [text for text in heard if "last soak" in text]


def test_S5_nor_is_it_soaked_in_where_time_has_gone_by_meanwhile() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    with_bath(talk, discard_by=talk.now + SOAK)

    heard = talk.sends("in 23", after=20)

    assert heard[0] == "T1 may not be used for V1: its time runs out. Take V1 out."
    assert talk.happened(Immersed) == []
    assert cycle_of(talk).contact is None


@pytest.mark.parametrize(("hours", "said"), [(1, True), (3, False)])
def test_S5_a_bath_that_ends_within_two_hours_says_so(hours: int, *, said: bool) -> None:
    talk = with_bath(clinic(), discard_by=clinic().now + timedelta(hours=hours))

    heard = play_cycle(talk, until="immerse").heard

    expected = "T1 is good to 13:00 only: no soak after 12:47. Please make the next one in time."
    assert [text for text in heard if "only: no soak" in text] == [expected] * said


def test_S5_what_does_not_last_a_soak_is_not_poured_from_again_and_again() -> None:
    talk = clinic(bath=False)
    play_cycle(talk, until="under")
    bottle = replace(talk.clinic.containers["B1"], discard_by=talk.now + SOAK)
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "B1": bottle})

    heard = talk.sends("UNDER", after=100)

    assert heard[-1].startswith("Pour J1 into an empty, washed, dry working bottle.")
