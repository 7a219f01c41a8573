"""What the morning text cannot count is said once a week to whoever can say what it holds."""

import re
from datetime import timedelta

import pytest

from flows.parts.events import JugOpened, SiteChoiceMade, StripBottleOpened
from tests.conversation.test_morning import DAY, EXPIRES, choose, mornings, until
from tests.kit.sheets import added, row
from tests.kit.talk import NINE, Talk, clinic

WEEK = NINE + 7 * DAY
"""NINE is a Monday."""
FAR = NINE + 60 * DAY


def stocked(*said: tuple[str, str], volume_ml: int | None = None) -> Talk:
    talk = clinic(stocked=False)
    talk.let(
        JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, FAR, "jug_open_life", volume_ml=volume_ml),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, NINE, FAR, checked=True),
    )
    for key, value in said:
        choose(talk, key, value)
    return talk


def heard(talk: Talk, phone: str) -> list[str]:
    return [each for each in talk.heard.get(phone, []) if each.startswith("I cannot warn")]


@pytest.mark.parametrize(
    ("said", "volume_ml", "lacks"),
    [
        ((), None, "before strips or jugs run out"),
        ((("jug_volume", "5 L"),), None, "before strips run out"),
        ((), 5000, "before strips run out"),
        ((("strips_in_bottle", "50"),), None, "before a jug runs out"),
    ],
)
def test_supervisors_hear_each_monday_what_nobody_can_be_warned_of(
    said: tuple[tuple[str, str], ...], volume_ml: int | None, lacks: str
) -> None:
    talk = stocked(*said, volume_ml=volume_ml)

    until(talk, WEEK)

    (text,) = heard(talk, "ph9")
    assert lacks in text
    assert len(mornings(talk)) == 7
    assert heard(talk, "ph1") == []


def test_where_both_are_known_nothing_is_lacking() -> None:
    talk = stocked(("strips_in_bottle", "50"), ("jug_volume", "5 L"))

    until(talk, WEEK + timedelta(hours=1))

    assert heard(talk, "ph9") == []


@pytest.mark.parametrize("said", [(), (("strips_in_bottle", "50"),)])
def test_what_it_says_to_type_is_one_word_for_each_of_product_key_and_value(
    said: tuple[tuple[str, str], ...],
) -> None:
    """A shell takes 5 L for two values, and the command refuses it."""
    talk = stocked(*said)

    until(talk, WEEK)

    typed = [each.split() for each in re.findall(r"choose ([^;.]+)", heard(talk, "ph9")[0])]
    assert {len(words) for words in typed} == {3}
    for product, key, value in typed:
        choice = row(product=product, key=key, value=value)
        assert SiteChoiceMade(product, key, value, "") in added(choices=(choice,)).events
