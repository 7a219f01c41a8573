"""What the morning text says runs out soon: by use, by date, and that a jug is the last."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from flows.answer import BellIn
from flows.parts.clinic import Kind
from flows.parts.events import (
    ContainerDiscarded,
    ContainerHeld,
    DeviceEnrolled,
    Event,
    JugOpened,
    Poured,
    StripBottleOpened,
    StripDipped,
)
from flows.protocols.model import Selection
from flows.walk import Setting
from tests.conversation.test_morning import DAY, EXPIRES, TOMORROW, choose, mornings, until
from tests.kit.cycles import play_cycle
from tests.kit.strips import passes
from tests.kit.talk import NINE, Talk, clinic, shipped_protocol
from tests.kit.two_products import GLUTARAL, two_products

HYDROGEN_PEROXIDE = Selection("hp_75", "hp_strip_6", "sealed_probe", "enzymatic")
FAR = NINE + 60 * DAY


def soon(talk: Talk, phone: str = "ph1") -> list[str]:
    return [each for each in talk.heard.get(phone, []) if each.startswith("Soon:")]


def test_nothing_is_said_of_what_lasts() -> None:
    talk = clinic(stocked=False)
    talk.let(
        JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, FAR, "jug_open_life"),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, NINE, FAR, checked=True),
    )
    choose(talk, "strips_in_bottle", "50")
    choose(talk, "jug_volume", "5 L")

    until(talk, TOMORROW)

    assert len(mornings(talk)) == 1
    assert soon(talk) == []


def test_a_jug_and_strips_that_end_within_a_week_are_said_with_their_time() -> None:
    talk = clinic()

    until(talk, TOMORROW)

    assert soon(talk) == ["Soon: J1 ends Mon 12:00; S1 ends Mon 12:00. Get more in time."]


def test_what_ends_with_a_day_is_said_with_the_last_good_one() -> None:
    talk = clinic(stocked=False)
    friday = datetime(2026, 3, 6, 21, tzinfo=UTC)  # midnight there
    talk.let(JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, friday, "jug_open_life"))

    until(talk, TOMORROW)

    assert "J1: last day 6 Mar 2026." in soon(talk)[0]


def test_one_of_them_with_a_later_one_open_is_no_news() -> None:
    talk = clinic()
    talk.let(
        JugOpened("J2", "opa_055", "L1", EXPIRES, NINE, FAR, "jug_open_life"),
        StripBottleOpened("S2", "opa_strip_1s_90s", "L9", EXPIRES, NINE, FAR, checked=True),
    )

    until(talk, TOMORROW)

    assert soon(talk) == []


def test_a_date_further_off_than_a_week_is_not_said_yet() -> None:
    talk = clinic(stocked=False)
    later = TOMORROW + timedelta(days=7, seconds=1)
    talk.let(
        JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, later, "jug_open_life"),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, NINE, later, checked=True),
    )

    until(talk, TOMORROW)

    assert soon(talk) == []


def test_strips_and_jugs_that_run_out_by_use_are_said_with_what_is_left() -> None:
    """Three cycles and one filling on each of four days: a day's strips are left."""
    talk = clinic(stocked=False)
    talk.let(
        JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, FAR, "jug_open_life"),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, NINE, FAR, checked=True),
    )
    choose(talk, "strips_in_bottle", "15")
    choose(talk, "jug_volume", "1 L")
    for day in range(4):
        talk.now = NINE + day * DAY
        talk.let(
            Poured("T1", Kind.BATH, "J1", "opa_055", "L1", talk.now, FAR, "", topped_up=False)
        )
        for _ in range(3):
            play_cycle(talk)
            talk.sends("USED V1 0412", after=1200)
        talk.let(ContainerDiscarded("T1"))

    until(talk, TOMORROW + 3 * DAY)

    ml = talk.protocol.device_model.bath_volume_ml
    left = (1000 - 4 * ml - 12 * 10) // ml
    assert soon(talk)[-1] == (
        f"Soon: S1: strips left 3, days by use 1; J1: baths left {left}, days by use {left}. "
        "Get more in time."
    )


@pytest.mark.parametrize(("held", "days"), [("10", "7"), ("11", None)])
def test_what_lasts_just_a_week_is_said_and_a_day_more_is_not(held: str, days: str | None) -> None:
    """A strip on each of three days: 7 or 8 are left."""
    talk = clinic(stocked=False)
    talk.let(
        JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, FAR, "jug_open_life"),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, NINE, FAR, checked=True),
    )
    choose(talk, "strips_in_bottle", held)
    for day in range(3):
        talk.now = NINE + day * DAY
        play_cycle(talk)
        talk.sends("USED V1 0412", after=1200)

    until(talk, TOMORROW + 2 * DAY)

    said = [each for each in soon(talk) if "strips left" in each]
    assert [f"S1: strips left {days}, days by use {days}" in each for each in said] == (
        [True] if days else []
    )


def test_what_two_models_use_together_is_said_once_and_by_the_larger_bath() -> None:
    """Half a litre does not fill the other model's bath of 600 ml."""
    talk = clinic()
    model = replace(talk.protocol.device_model, bath_volume_ml=600)
    talk.protocols["plastic_probe"] = replace(talk.protocol, device_model=model)
    choose(talk, "strips_in_bottle", "1")
    talk.let(
        DeviceEnrolled("V2", "plastic_probe"),
        DeviceEnrolled("V3", "handheld_probe"),
        StripDipped("a", "T1", "S1", None, NINE, NINE),
    )
    choose(talk, "jug_volume", "0.5 L")

    until(talk, TOMORROW)

    (said,) = soon(talk)
    assert said == (
        "Soon: S1: strips left 0; J1: baths left 0; J1 ends Mon 12:00. Get more today."
    )


@pytest.mark.parametrize(
    ("is_thrown_away", "left"),
    [
        (True, "baths left 0. Get more today"),
        (False, "baths left 2, days by use 2. Get more in time"),
    ],
)
def test_a_jug_is_emptied_by_the_bottles_filled_from_it(
    *, is_thrown_away: bool, left: str
) -> None:
    """Four bottles of 500 ml and a bath of 150 from each; 350 ml are in the last one."""
    talk = clinic(stocked=False)
    choose(talk, "jug_volume", "2 L")
    talk.let(JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, FAR, "jug_open_life"))
    for day in range(4):
        talk.now = NINE + day * DAY
        of_it, ml = ("opa_055", "L1", talk.now, FAR, ""), Decimal(500)
        bottle, bath = f"B{day + 1}", f"T{day + 1}"
        talk.let(
            Poured(bottle, Kind.BOTTLE, "J1", *of_it, topped_up=False, volume_ml=ml),
            Poured(bath, Kind.BATH, bottle, *of_it, topped_up=False),
            ContainerDiscarded(bath),
        )
        if day < 3 or is_thrown_away:
            talk.let(ContainerDiscarded(bottle))

    until(talk, TOMORROW + 3 * DAY)

    assert soon(talk)[-1] == f"Soon: J1: {left}."


def test_S4_of_what_is_mixed_for_each_soak_no_baths_are_counted_off_a_jug() -> None:
    """Eight baths of 150 ml take about 35 ml of bleach in all, out of a bottle of 1 L."""
    talk = clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"))
    talk.let(JugOpened("J1", "chlorine_01", "L1", EXPIRES, NINE, FAR, "jug_open_life"))
    choose(talk, "jug_volume", "1 L")
    for day in range(8):
        talk.now = NINE + day * DAY
        product = "chlorine_01", "L1", talk.now, FAR
        talk.let(Poured(f"T{day}", Kind.BATH, "J1", *product, "", topped_up=False))

    until(talk, TOMORROW + 8 * DAY)

    assert mornings(talk) != []
    assert soon(talk) == []


def test_strips_last_by_the_tests_of_their_own_product() -> None:
    """Eleven OPA strips and one for glutaral on each of four days: 6 and 48 of 50 are left."""
    talk = two_products(strips=False)
    glutaral = "ga_strip_18", "K2", EXPIRES, NINE, FAR
    talk.let(
        StripBottleOpened("S2", *glutaral, checked=True),
        StripBottleOpened("S3", *glutaral, checked=True),
    )
    choose(talk, "strips_in_bottle", "50")
    for day in range(4):
        talk.now = NINE + day * DAY
        dips = [("T1", "S1")] * 11 + [("T2", "S2" if day < 2 else "S3")]
        talk.let(*(StripDipped("a", *each, None, talk.now, talk.now) for each in dips))
        if day == 1:
            talk.let(ContainerDiscarded("S2"))

    until(talk, TOMORROW + 3 * DAY)

    assert soon(talk)[-1].startswith("Soon: S1: strips left 6, days by use 0; ")
    assert "S3: " not in soon(talk)[-1]


def test_at_most_three_things_are_said_and_the_most_pressing_first() -> None:
    talk = clinic()
    talk.protocols["other"] = shipped_protocol(GLUTARAL)
    talk.protocols["another"] = shipped_protocol(HYDROGEN_PEROXIDE)
    talk.let(ContainerDiscarded("T1"), ContainerDiscarded("B1"), ContainerHeld("J1", "no_result"))
    choose(talk, "strips_in_bottle", "1")
    talk.let(StripDipped("a", "T1", "S1", None, NINE, NINE))
    talk.let(
        DeviceEnrolled("V2", "other"),
        DeviceEnrolled("V3", "another"),
        JugOpened("J2", "ga_30", "L1", EXPIRES, NINE, NINE + 3 * DAY, "jug_open_life"),
        JugOpened("J3", "hp_75", "L1", EXPIRES, NINE, NINE + 2 * DAY, "jug_open_life"),
    )

    until(talk, TOMORROW)

    (said,) = soon(talk)
    assert said == (
        "Soon: S1: strips left 0; J3 ends Wed 12:00; J2 ends Thu 12:00. Get more today."
    )


def test_where_no_record_is_at_hand_nothing_is_estimated() -> None:
    """A walk has none: the text goes out, and says what is so without it."""
    room = Setting().opened()

    _, outcome = room.after(BellIn("morning", timedelta(0)))

    assert {each.text.slug for each in outcome.says} == {"morning", "soon.2", "uncounted.both"}


def test_an_empty_bottle_of_strips_is_said_whatever_the_use() -> None:
    talk = clinic()
    choose(talk, "strips_in_bottle", "1")
    passes(talk, "T1")

    until(talk, TOMORROW)

    assert soon(talk)[0].startswith("Soon: S1: strips left 0; ")


def test_a_jug_without_a_filling_left_is_said_whatever_the_use() -> None:
    talk = clinic(stocked=False)
    talk.let(
        JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, FAR, "jug_open_life"),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, NINE, FAR, checked=True),
    )
    choose(talk, "jug_volume", "0.1 L")

    until(talk, TOMORROW)

    assert soon(talk) == ["Soon: J1: baths left 0. Get more today."]


LAST = "OPA 0.55 %: no jug open, {tag} is last"


def without_a_jug() -> Talk:
    """A jug, a bottle and a bath that last; then the jug is thrown away."""
    talk = clinic(stocked=False)
    lasting = replace(talk.protocol.chemistry, reuse_life_days=90)
    talk.protocol = replace(talk.protocol, chemistry=lasting)
    talk.let(
        JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, FAR, "jug_open_life"),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, NINE, FAR, checked=True),
        Poured("B1", Kind.BOTTLE, "J1", "opa_055", "L1", NINE, FAR, "", topped_up=False),
        Poured("T1", Kind.BATH, "B1", "opa_055", "L1", NINE, FAR + DAY, "", topped_up=False),
    )
    talk.sends("DISCARD J1")
    return talk


def test_once_the_last_jug_is_gone_every_morning_says_what_the_last_of_the_product_is() -> None:
    talk = without_a_jug()

    until(talk, TOMORROW)
    first = soon(talk)
    until(talk, TOMORROW + DAY)

    assert first == [f"Soon: {LAST.format(tag='T1')}. Get more in time."]
    assert soon(talk) == first * 2


def test_S5_a_bath_without_a_soak_left_is_not_the_last_of_the_product() -> None:
    talk = without_a_jug()
    chemistry = replace(talk.protocol.chemistry, bath_uses_max=1)
    talk.protocol = replace(talk.protocol, chemistry=chemistry)
    play_cycle(talk)

    until(talk, TOMORROW)

    assert soon(talk) == [f"Soon: {LAST.format(tag='B1')}. Get more in time."]


@pytest.mark.parametrize(
    "events", [(), (ContainerHeld("J2", "no_result"),)], ids=["another one", "on hold"]
)
def test_a_jug_that_is_there_or_may_come_free_is_no_news(events: tuple[Event, ...]) -> None:
    talk = without_a_jug()
    talk.let(JugOpened("J2", "opa_055", "L1", EXPIRES, NINE, FAR, "jug_open_life"), *events)

    until(talk, TOMORROW)

    assert soon(talk) == []


def test_where_nothing_is_left_at_all_it_is_needed_today_and_not_soon() -> None:
    talk = without_a_jug()
    talk.let(ContainerDiscarded("T1"), ContainerDiscarded("B1"))

    until(talk, TOMORROW)

    assert soon(talk) == []
    assert any("No OPA 0.55 % is in date" in each for each in talk.heard["ph1"])


def test_S4_what_is_mixed_for_each_soak_has_no_last_bath() -> None:
    """Its source, the bottle of bleach, is missed by itself."""
    talk = without_a_jug()
    chemistry = replace(talk.protocol.chemistry, strip_policy="single_use_no_strip")
    talk.protocol = replace(talk.protocol, chemistry=chemistry)

    until(talk, TOMORROW)

    assert soon(talk) == []
