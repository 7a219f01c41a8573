"""S18: what went by a recalled figure falls, and what has its date by it is used no more."""

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import AlertRaised, CycleVoided, ReleaseWithdrawn
from tests.kit.cycles import play_cycle
from tests.kit.talk import clinic
from tests.rules.test_s18_recall import fitness, recall


@pytest.mark.parametrize(
    ("key", "value", "falls"),
    [
        ("contact_time", "12 min", True),
        ("contact_time", "15 min", True),
        ("contact_time", "10 min", False),
        ("maximum_soak", "60 min", True),
        ("maximum_soak", "90 min", False),
        ("rinse_water", "tap water", False),
    ],
)
def test_S18_a_cycle_under_a_recalled_figure_or_a_laxer_one_is_void(
    key: str, value: str, *, falls: bool
) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    recall(talk, "figure", "opa_055", key, value)

    assert bool(talk.happened(CycleVoided)) is falls


def test_S18_a_release_under_a_recalled_figure_is_withdrawn() -> None:
    talk = clinic()
    play_cycle(talk)

    recall(talk, "figure", "opa_055", "contact_time", "12 min")

    assert [event.because for event in talk.happened(ReleaseWithdrawn)] == ["figure_recalled"]
    assert talk.last("ph1").startswith("NO LONGER READY: V1. A figure for OPA 0.55 % was wrong.")
    assert set(fitness(talk).values()) == {Fitness.GOOD}


@pytest.mark.parametrize(
    ("key", "value", "tags"),
    [
        ("jug_open_life_days", "75 days", "J1, B1, T1"),
        ("reuse_life_days", "14 days", "B1, T1"),
        ("bath_life", "14 days", "T1"),
    ],
)
def test_S5_what_a_recalled_life_has_dated_is_not_used_any_more_and_nothing_else(
    key: str, value: str, tags: str
) -> None:
    """No jug's date rests on the days that its solution is used for, and no bottle's on a bath's.

    What is poured has no later date than its jug.
    """
    talk = clinic()

    recall(talk, "figure", "opa_055", key, value)

    fell = [tag for tag, each in fitness(talk).items() if each is Fitness.CONDEMNED]
    assert ", ".join(fell) == tags
    assert talk.last("ph2").startswith(f"DO NOT USE {tags}: a figure for OPA 0.55 % was wrong")


def test_S4_what_was_passed_by_a_recalled_figure_of_the_strips_is_held() -> None:
    talk = clinic()
    play_cycle(talk, until="container")

    recall(talk, "figure", "opa_strip_1s_90s", "read_within", "60 s")

    assert fitness(talk)["T1"] is Fitness.HELD


def test_S18_nor_where_a_figure_has_only_dated_what_stands() -> None:
    talk = clinic()

    recall(talk, "figure", "opa_055", "bath_life", "14 days")

    assert [event.cause for event in talk.happened(AlertRaised)] == ["figure_none_void"]
