"""What a site sets otherwise than published, and the reason it owes."""

import pytest

from bot.registers.add import NotSetUp
from flows.parts.events import SiteChoiceMade
from tests.kit.sheets import added, row


def test_a_figure_laxer_than_published_needs_a_reason() -> None:
    """12 min. Source: CDC/HICPAC 2008, Table 4."""
    with pytest.raises(
        NotSetUp, match="contact_time is 8 min, the published figure is 12 min; add a reason"
    ):
        added(choices=(row(product="opa_055", key="contact_time", value="8 min"),))


def test_a_stricter_figure_needs_none() -> None:
    made = added(choices=(row(product="opa_055", key="contact_time", value="15 min"),))

    assert made.events[-1] == SiteChoiceMade("opa_055", "contact_time", "15 min", "")
    assert made.texts == ()


@pytest.mark.parametrize(
    ("cells", "told"),
    [
        ({"product": "opa", "key": "contact_time", "value": "15 min"}, "no such product"),
        ({"product": "opa_055", "key": "mec", "value": "0.1 %"}, "not for a site to choose"),
        ({"product": "opa_055", "key": "contact_time", "value": "soon"}, "write it like 12 min"),
        ({"product": "opa_055", "key": "contact_time", "value": "10 h"}, "it must be from"),
        ({"product": "opa_055", "key": "contact_time"}, "value is missing"),
    ],
)
def test_a_choice_that_cannot_be_is_named(cells: dict[str, str], told: str) -> None:
    with pytest.raises(NotSetUp, match=told):
        added(choices=(row(**cells),))


def test_two_choices_that_contradict_each_other_are_refused_together() -> None:
    first = row(product="opa_055", key="contact_time", value="60 min")
    second = row(product="opa_055", key="maximum_soak", value="30 min")

    with pytest.raises(NotSetUp, match="maximum_soak is over before the bell"):
        added(choices=(first, second))


def test_S4_trusting_the_workers_watch_is_a_choice_with_a_reason() -> None:
    way = {"product": "site", "key": "strip_timing", "value": "own_watch"}

    with pytest.raises(NotSetUp, match="reason is missing; add one or say proved"):
        added(choices=(row(**way),))
    made = added(choices=(row(**way, reason="The network holds texts back at noon."),))
    assert isinstance(made.events[-1], SiteChoiceMade)


@pytest.mark.parametrize(("key", "value"), [("speed", "high"), ("strip_timing", "guessed")])
def test_a_way_of_working_that_is_none_is_refused(key: str, value: str) -> None:
    with pytest.raises(NotSetUp, match="one of"):
        added(choices=(row(product="site", key=key, value=value, reason="Why."),))


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("chlorine_source", "bleach 3.5 %"),
        ("chlorine_source", "bleach 12 degrees"),
        ("chlorine_source", "powder 70 %"),
        ("chlorine_measure", "spoon 15 g"),
        ("detergent_measure", "cap 5 ml"),
    ],
)
def test_what_a_site_mixes_and_measures_with_needs_no_reason(key: str, value: str) -> None:
    made = added(choices=(row(product="site", key=key, value=value),))

    assert made.events[-1] == SiteChoiceMade("site", key, value, "")


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("chlorine_source", "bleach 0 %"),
        ("chlorine_source", "bleach 120 %"),
        ("chlorine_source", "bleach 70 %"),
        ("chlorine_source", "strong"),
        ("detergent_measure", "cap 0 ml"),
        ("chlorine_measure", "tablespoonful 15 g"),
    ],
)
def test_an_amount_that_cannot_be_read_is_refused_with_an_example(key: str, value: str) -> None:
    with pytest.raises(NotSetUp, match=f"is {value}; write it like"):
        added(choices=(row(product="site", key=key, value=value),))


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("opens_at", "07:45"),
        ("morning_text", "off"),
        ("strips_in_bottle", "50"),
        ("jug_volume", "5 L"),
        ("bottle_volume", "0.5 L"),
    ],
)
def test_a_site_says_when_its_day_begins_and_what_a_new_bottle_holds(key: str, value: str) -> None:
    made = added(choices=(row(product="site", key=key, value=value),))

    assert SiteChoiceMade("site", key, value, "") in made.events


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("opens_at", "8 am", "value is 8 am; write it like 08:00"),
        ("morning_text", "no", "value is no; write it like on or off"),
        ("strips_in_bottle", "many", "value is many; write it like 50"),
        ("jug_volume", "5", "value is 5; write it like 5 L"),
        ("bottle_volume", "half", "value is half; write it like 0.5 L"),
    ],
)
def test_what_cannot_be_read_of_its_day_is_named(key: str, value: str, told: str) -> None:
    with pytest.raises(NotSetUp, match=told):
        added(choices=(row(product="site", key=key, value=value),))
