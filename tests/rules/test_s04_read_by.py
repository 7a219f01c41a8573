"""S4: a pass counts for as long as strips are read as that one was."""

from dataclasses import replace
from datetime import timedelta

import pytest

from flows.parts.clinic import Level
from flows.parts.events import CycleAbandoned, Released, SiteChoiceMade, StripRead
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic

CHOSEN = [
    ("read_after", timedelta(seconds=120), "120 s"),
    ("dip_for", timedelta(seconds=2), "2 s"),
    ("strips_per_test", 3, "3"),
    ("read_within", timedelta(seconds=20), "20 s"),
    ("qc_positive", 5, "5"),
]


def passed(tag: str = "T1") -> Talk:
    """A clinic where that was tested just now, and no cleaning has begun."""
    talk = clinic()
    talk.sends(f"TEST {tag}", after=20)
    talk.sends("DIP", after=20)
    talk.sends("1", after=95)
    return talk


def choose(talk: Talk, key: str, value: object, typed: str) -> None:
    talk.protocol = replace(talk.protocol, strip=replace(talk.protocol.strip, **{key: value}))
    talk.wait(seconds=20)
    talk.let(SiteChoiceMade(talk.protocol.strip.name, key, typed, ""))


@pytest.mark.parametrize(("key", "value", "typed"), CHOSEN)
def test_S4_what_was_passed_by_another_figure_has_a_new_strip_before_the_next_soak(
    key: str, value: object, typed: str
) -> None:
    talk = passed()
    choose(talk, key, value, typed)

    play_cycle(talk)

    assert [each.outcome for each in talk.happened(StripRead)] == ["pass", "pass"]
    assert talk.happened(Released)


def test_S4_the_pass_of_a_bottle_that_is_tested_daily_ends_with_it_too() -> None:
    talk = clinic(level=Level.BRIEF)
    daily = replace(talk.protocol.chemistry, strip_policy="bottle_daily")
    talk.protocol = replace(talk.protocol, chemistry=daily)
    play_cycle(talk)
    choose(talk, "strips_per_test", 3, "3")

    talk.sends("USED V1 0412", after=20)
    play_cycle(talk)

    assert [each.container for each in talk.happened(StripRead)] == ["B1", "B1"]


def test_S4_chosen_between_its_pass_and_its_soak_the_bath_is_tested_again_in_that_cleaning() -> (
    None
):
    talk = clinic()
    play_cycle(talk, until="rinse")
    choose(talk, "strips_per_test", 3, "3")

    play_cycle(talk)

    assert len(talk.happened(StripRead)) == 2
    assert talk.happened(Released)
    assert not talk.happened(CycleAbandoned)


@pytest.mark.parametrize("again", ["50 s", "20 s"])
def test_S4_the_same_figure_chosen_again_ends_no_pass(again: str) -> None:
    talk = clinic()
    choose(talk, "read_within", timedelta(seconds=20), "20 s")
    talk.sends("TEST T1", after=20)
    talk.sends("DIP", after=20)
    talk.sends("1", after=95)
    choose(talk, "read_within", timedelta(seconds=int(again[:2])), again)

    play_cycle(talk)

    assert len(talk.happened(StripRead)) == (1 if again == "20 s" else 2)


@pytest.mark.parametrize(("product", "key"), [("another", "read_after"), ("opa_055", "bath_life")])
def test_S4_a_figure_that_it_was_not_read_by_ends_no_pass(product: str, key: str) -> None:
    talk = passed()
    talk.let(SiteChoiceMade(product, key, "120 s", ""))

    play_cycle(talk)

    assert len(talk.happened(StripRead)) == 1
