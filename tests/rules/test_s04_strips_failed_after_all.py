"""S4: strips that somebody has passed fail their control after all: the worse of two counts."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from flows.parts.clinic import Clinic, Fitness, Kind, Standing
from flows.parts.events import (
    CaseOpened,
    ContainerHeld,
    CycleVoided,
    Immersed,
    StripBottleOpened,
    StripsChecked,
)
from flows.parts.state import fold_all
from tests.kit.cycles import play_cycle
from tests.kit.strips import WEEK, dips, fails, outcomes, passes, pour
from tests.kit.talk import NINE, Talk, clinic

STRIPS = "opa_strip_1s_90s"


def opened(talk: Talk, tag: str, lot: str, *, checked: bool, hours: int = 0) -> None:
    until = WEEK - timedelta(hours=hours)
    talk.let(StripBottleOpened(tag, STRIPS, lot, date(2027, 3, 31), NINE, until, checked=checked))


def asked_twice(talk: Talk | None = None) -> Talk:
    """Two phones have the control of S2 in hand; ph9 says GOOD, and ph2 is not done yet."""
    talk = talk or clinic()
    opened(talk, "S2", "K2", checked=False, hours=5)
    for phone in ("ph9", "ph2"):
        talk.sends("TEST S2", phone=phone, after=20)
    talk.sends("GOOD", phone="ph9", after=200)
    return talk


def after_a_release() -> Talk:
    """V1 is ready from T1; a strip of S2 has passed in T1 since, and so cleared V1."""
    talk = clinic()
    play_cycle(talk)
    asked_twice(talk)
    passes(talk, "T1")
    return talk


def unsure(talk: Talk) -> list[str]:
    return talk.sends("UNSURE", phone="ph2", after=20)


def test_S4_of_two_who_test_a_bottle_whoever_is_not_sure_condemns_it() -> None:
    talk = asked_twice()
    assert talk.clinic.strips["S2"].checked

    said = unsure(talk)

    assert said[0].startswith("Then none of those strips, S2, may be used")
    assert [each.passed for each in talk.happened(StripsChecked)] == [True, False]
    assert talk.clinic.strips["S2"].fitness is Fitness.CONDEMNED
    assert not talk.clinic.strips["S2"].checked
    assert talk.happened(ContainerHeld) == []  # they had judged nothing so far
    assert talk.clinic.threads == {}


def test_S4_what_its_strips_had_passed_is_held_for_a_strip_of_another_bottle() -> None:
    talk = asked_twice()
    passes(talk, "T1")
    pour(talk, "T2", Kind.BATH, "B1")
    opened(talk, "S3", "K3", checked=True, hours=9)
    passes(talk, "T2")

    said = unsure(talk)

    hold = (
        "ON HOLD, as the strips of S2 are not good: T1. Not for use until a strip of another "
        "bottle passes, like TEST T1."
    )
    assert said[1] == hold
    assert hold in talk.heard["ph1"]
    assert hold in talk.heard["ph9"]
    assert talk.happened(ContainerHeld) == [ContainerHeld("T1", "strips_failed")]
    assert talk.clinic.containers["T2"].fitness is Fitness.GOOD
    passes(talk, "T1")
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD


def test_S4_nothing_soaks_on_their_pass_any_more() -> None:
    talk = asked_twice()
    play_cycle(talk, until="immerse")
    unsure(talk)

    said = talk.sends("IN 23", after=20)

    assert said[0].startswith("T1 is NOT FOR USE. Take V1 out")
    assert talk.happened(Immersed) == []
    play_cycle(talk)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S4_what_they_had_cleared_is_in_doubt_again_and_falls_with_the_next_strip() -> None:
    talk = after_a_release()
    cycle = talk.clinic.devices["V1"].last_cycle
    assert cycle not in talk.clinic.containers["T1"].cycles

    unsure(talk)

    assert talk.clinic.containers["T1"].cycles == (cycle,)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    fails(talk, "T1")
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert fold_all(Clinic(), talk.entries) == talk.clinic


def test_S4_it_falls_at_once_where_what_it_soaked_in_has_failed_since() -> None:
    talk = after_a_release()
    cycle = talk.clinic.devices["V1"].last_cycle
    opened(talk, "S3", "K3", checked=True, hours=9)
    fails(talk, "T1")
    assert talk.happened(CycleVoided) == []

    said = unsure(talk)

    assert [each.cycle for each in talk.happened(CycleVoided)] == [cycle]
    case = talk.happened(CaseOpened)[-1]
    assert (case.cause, case.subject, case.cycles) == ("strips_failed", "S2", (cycle,))
    ready = (
        "NO LONGER READY: V1. Its disinfectant failed; the strips of S2 that had cleared it are "
        "not good. Clean again: CLEAN V1."
    )
    assert said[1:] == [ready]
    assert ready in talk.heard["ph1"]
    assert talk.clinic.devices["V1"].why == "strip_failed"


@pytest.mark.parametrize("colour", [0, 1])
def test_S4_one_that_is_dipped_and_not_read_yet_shows_nothing(colour: int) -> None:
    talk = asked_twice()
    talk.sends("TEST T1", after=20)
    dips(talk, "T1")
    unsure(talk)
    (thread,) = talk.clinic.threads.values()

    talk.sends(str(int(thread.top.memo["first"]) + colour), after=75)

    assert outcomes(talk) == [("no_result", "strips")]


def test_S4_its_bottle_may_have_been_thrown_away_meanwhile() -> None:
    talk = asked_twice()
    passes(talk, "T1")
    talk.sends("DISCARD S2", after=20)

    unsure(talk)

    assert talk.clinic.strips["S2"].fitness is Fitness.DISCARDED
    assert talk.happened(ContainerHeld) == [ContainerHeld("T1", "strips_failed")]


def test_S4_good_after_all_changes_nothing_nor_does_unsure_of_what_is_condemned() -> None:
    talk = asked_twice()
    said = talk.sends("GOOD", phone="ph2", after=20)
    assert said == ["S2 is tested: its strips are good to 9 Mar 07:00."]

    talk = asked_twice()
    bottle = replace(talk.clinic.strips["S2"], fitness=Fitness.CONDEMNED)
    talk.clinic = replace(talk.clinic, strips={**talk.clinic.strips, "S2": bottle})
    (said,) = unsure(talk)
    assert said.startswith("S2 is out of use")
    assert len(talk.happened(StripsChecked)) == 1


def test_S4_S9_a_release_on_their_pass_is_none_any_more() -> None:
    """As with strips that are recalled: nothing else has judged that bath."""
    talk = asked_twice()
    passes(talk, "T1")
    play_cycle(talk)
    before = talk.clinic.devices["V1"].standing

    unsure(talk)

    assert before is Standing.RELEASED
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]
    assert any("S2 was no good when it was used" in each for each in talk.heard["ph1"])
