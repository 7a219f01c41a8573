"""S1: what a release is held to: the version that a cycle began with, and today's."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from flows.parts.clinic import Level, Standing
from flows.parts.events import CycleAbandoned, Immersed, Released, StripRead, TakenOut
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def changed(talk: Talk, part: str, **values: object) -> None:
    """Today's protocol differs from what the cycle began with."""
    talk.protocol = replace(
        talk.protocol, **{part: replace(getattr(talk.protocol, part), **values)}
    )


@pytest.mark.parametrize(
    ("part", "values", "key"),
    [
        ("strip", {"read_after": timedelta(seconds=120)}, "opa_strip_1s_90s.read_after"),
        ("strip", {"pass_colour": "all green"}, "opa_strip_1s_90s.pass_colour"),
        ("detergent", {"ml_per_litre": Decimal(16)}, "enzymatic.ml_per_litre"),
        ("chemistry", {"mec": "0.4 %"}, "opa_055.mec"),
        ("device_model", {"chemistries": ("hp_75",)}, "handheld_probe.chemistries"),
    ],
)
def test_S1_what_no_work_of_today_can_make_up_for_is_not_released(
    part: str, values: dict[str, object], key: str
) -> None:
    talk = clinic()
    play_cycle(talk, until="cover")
    changed(talk, part, **values)

    heard = play_cycle(talk).heard[-1]

    assert talk.happened(CycleAbandoned)[0].because == f"not_todays:{key}"
    assert heard == (
        "V1 is NOT READY: its protocol has changed since it was begun "
        f"({key.partition('.')[2]}). Clean it again: CLEAN V1. Your contact is told."
    )
    assert not talk.happened(Released)


def test_S1_where_the_maker_allows_it_no_more_no_other_product_of_today_makes_it_good() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")
    changed(talk, "device_model", chemistries=("another",))
    changed(talk, "chemistry", name="another")

    play_cycle(talk)

    assert talk.happened(CycleAbandoned)[0].because == "not_todays:handheld_probe.chemistries"


def test_S1_a_longer_contact_time_of_today_counts_from_the_next_step_on() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    changed(talk, "chemistry", contact_time=timedelta(minutes=20))

    play_cycle(talk)

    (out,) = talk.happened(TakenOut)
    assert out.lasted >= timedelta(minutes=20)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S1_a_warmer_limit_of_today_refuses_a_bath_that_was_warm_enough_at_the_beginning() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    changed(talk, "chemistry", minimum_temperature_c=Decimal(23))

    heard = talk.sends("IN 21.5", after=30)

    assert "limit is 23 C" in " ".join(heard)


def test_S1_more_rinses_of_today_are_asked_for() -> None:
    talk = clinic(level=Level.COACH)
    play_cycle(talk, until="soaking")
    changed(talk, "chemistry", rinse_count=5)

    heard = play_cycle(talk, until="final_rinse").heard

    assert "rinse 5 times" in heard[-1]


def test_S4_a_strip_of_the_bottle_counts_no_more_once_each_bath_is_tested_again() -> None:
    """A site takes its written exception back while a probe soaks on the strip of the bottle."""
    talk = clinic(level=Level.BRIEF)
    changed(talk, "chemistry", strip_policy="bottle_daily")
    play_cycle(talk, until="soaking")
    changed(talk, "chemistry", strip_policy="bath_before_each_use")

    play_cycle(talk)

    assert [each.container for each in talk.happened(StripRead)] == ["B1"]
    assert talk.happened(Immersed)[0].strip_in == "B1"
    assert talk.happened(CycleAbandoned)[0].because == "not_todays:opa_055.strip_policy"
    assert not talk.happened(Released)


@pytest.mark.parametrize(
    ("before", "since"),
    [("bath_before_each_use", "bottle_daily"), ("bottle_daily", "bottle_daily")],
)
def test_S4_where_the_bottle_is_tested_its_strip_counts_and_so_does_one_of_the_bath(
    before: str, since: str
) -> None:
    talk = clinic(level=Level.BRIEF)
    changed(talk, "chemistry", strip_policy=before)
    play_cycle(talk, until="soaking")
    changed(talk, "chemistry", strip_policy=since)

    play_cycle(talk)

    assert talk.happened(Released)
