"""The morning text says what is there, and what must be opened or poured first."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from flows.parts.clinic import Kind
from flows.parts.events import (
    ContainerDiscarded,
    ContainerHeld,
    DeviceEnrolled,
    Event,
    JugActivated,
    JugOpened,
    Poured,
    Quarantined,
    StripBottleOpened,
)
from flows.protocols.model import Selection
from tests.conversation.test_morning import DAY, TOMORROW, mornings, until
from tests.kit.cycles import play_cycle
from tests.kit.talk import NINE, Talk, clinic
from tests.kit.two_products import two_products

FAR = NINE + 60 * DAY
EXPIRES = date(2027, 3, 31)
NO_JUG = "No OPA 0.55 % is in date: open some (OPEN) or get it today."
NO_STRIPS = "No OPA strip is in date: open some (OPEN S) or get some today."
STRIPS = StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, NINE, FAR, checked=True)


def jug(tag: str = "J1", product: str = "opa_055", ends: datetime = FAR) -> Event:
    return JugOpened(tag, product, "L1", EXPIRES, NINE, ends, "jug_open_life")


def pour(tag: str, kind: Kind, source: str, ends: datetime = FAR) -> Event:
    return Poured(tag, kind, source, "opa_055", "L1", NINE, ends, "reuse_life", topped_up=False)


def with_these(*events: Event) -> Talk:
    talk = clinic(stocked=False)
    talk.let(*events)
    until(talk, TOMORROW)
    return talk


def first(talk: Talk) -> list[str]:
    return [each for each in talk.heard["ph1"] if each.startswith("Before the first probe: ")]


def in_date(talk: Talk) -> str:
    return mornings(talk)[0].split("In date: ")[1].split(". ")[0]


def test_a_jug_is_in_date_though_bottle_and_bath_are_over() -> None:
    over = pour("B1", Kind.BOTTLE, "J1", TOMORROW), pour("T1", Kind.BATH, "B1", TOMORROW)

    talk = with_these(jug(), *over, STRIPS)

    assert in_date(talk) == "J1, S1"
    assert first(talk) == ["Before the first probe: Fill a bottle from J1, then a bath (POUR)."]


def test_where_a_bath_is_good_nothing_comes_first() -> None:
    talk = with_these(jug(), pour("B1", Kind.BOTTLE, "J1"), pour("T1", Kind.BATH, "B1"), STRIPS)

    assert in_date(talk) == "T1, B1, J1, S1"
    assert first(talk) == []


def bath(product: str = "opa_055") -> Event:
    return Poured("T1", Kind.BATH, "B1", product, "L1", NINE, FAR, "reuse_life", topped_up=False)


def test_S1_a_good_bath_is_not_enough_where_nothing_is_left_to_wipe_with() -> None:
    talk = with_these(bath(), STRIPS)

    assert in_date(talk) == "T1, S1"
    assert first(talk) == [
        "Before the first probe: No OPA 0.55 % to wipe with: open some (OPEN) or get it today."
    ]


@pytest.mark.parametrize("source", [jug(), pour("B1", Kind.BOTTLE, "J1")])
def test_S1_a_good_bath_is_enough_with_a_jug_or_a_bottle_to_wipe_with(source: Event) -> None:
    assert first(with_these(bath(), source, STRIPS)) == []


def test_S1_a_jug_that_needs_its_activator_is_not_wiped_with() -> None:
    talk = clinic(selection=Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic"))
    talk.let(jug(product="ga_30"), bath("ga_30"))

    until(talk, TOMORROW)

    assert first(talk)[0].startswith("Before the first probe: Activate J1, pour from it (POUR).")


def test_S1_a_bath_on_hold_frees_nothing_to_wipe_with() -> None:
    held = pour("T2", Kind.BATH, "B1"), ContainerHeld("T2", "kin_failed")
    bottle = pour("B2", Kind.BOTTLE, "J1"), ContainerHeld("B2", "kin_failed")

    none = with_these(bath(), *held, STRIPS)
    on_hold = with_these(bath(), *held, *bottle, STRIPS)

    assert "No OPA 0.55 % to wipe with" in first(none)[0]
    assert "B2 is on hold: TEST B2 may clear it." in first(on_hold)[0]


def test_a_bottle_is_poured_from_before_a_jug_and_the_one_first_that_runs_out_first() -> None:
    sooner = TOMORROW + 2 * DAY

    talk = with_these(
        jug(), pour("B1", Kind.BOTTLE, "J1"), pour("B2", Kind.BOTTLE, "J1", sooner), STRIPS
    )

    assert in_date(talk) == "B2, J1, S1, B1"
    assert first(talk) == ["Before the first probe: Pour a bath from B2 (POUR)."]


def test_nothing_left_is_said_to_be_needed_today() -> None:
    talk = with_these()

    assert in_date(talk) == "none"
    assert first(talk) == [f"Before the first probe: {NO_JUG} {NO_STRIPS}"]
    assert not any("in time" in each for each in talk.heard["ph1"])


@pytest.mark.parametrize(
    ("minutes", "due"),
    [(0, NO_JUG), (10, NO_JUG), (60, "Fill a bottle from J1, then a bath (POUR).")],
)
def test_S5_what_ends_before_a_soak_would_is_not_poured_from(minutes: int, due: str) -> None:
    talk = with_these(jug(ends=TOMORROW + timedelta(minutes=minutes)), STRIPS)

    assert first(talk) == [f"Before the first probe: {due}"]


def test_S4_a_bottle_on_hold_is_said_with_what_frees_it() -> None:
    held = ContainerHeld("B1", "kin_failed")

    talk = with_these(pour("B1", Kind.BOTTLE, "J1"), held, STRIPS)

    assert in_date(talk) == "S1"
    assert first(talk) == [
        "Before the first probe: B1 is on hold: TEST B1 may clear it. Or open another."
    ]


def test_S4_strips_that_only_lack_their_test_are_tested() -> None:
    talk = with_these(jug(), replace(STRIPS, checked=False))

    assert first(talk)[0].endswith("then a bath (POUR). Test the strips S1 (TEST S1).")


def test_S5_a_bath_without_a_soak_left_is_neither_in_date_nor_enough() -> None:
    talk = clinic()
    chemistry = replace(talk.protocol.chemistry, bath_uses_max=1)
    talk.protocol = replace(talk.protocol, chemistry=chemistry)
    play_cycle(talk)

    until(talk, TOMORROW)

    assert "In date: B1, J1, S1. Strip first: none." in mornings(talk)[0]
    assert first(talk) == ["Before the first probe: Pour a bath from B1 (POUR)."]


def test_what_two_models_need_is_said_once() -> None:
    talk = clinic(stocked=False)
    talk.let(DeviceEnrolled("V2", "plastic_probe"))

    until(talk, TOMORROW)

    assert first(talk) == [f"Before the first probe: {NO_JUG} {NO_STRIPS}"]


def test_S5_a_jug_is_activated_before_it_is_poured_from() -> None:
    talk = clinic(selection=Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic"))
    talk.let(jug(product="ga_30"))
    until(talk, TOMORROW)
    talk.let(JugActivated("J1", talk.now, FAR, "activated_life"))
    until(talk, TOMORROW + DAY)

    before, after = (each.split("probe: ")[1].split(" No GA strip")[0] for each in first(talk))

    assert before == "Activate J1, pour from it (POUR)."
    assert after == "Fill a bottle from J1, then a bath (POUR)."


def test_S4_where_no_strip_exists_none_is_missed_and_no_bath_is_poured_ahead() -> None:
    talk = clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"))
    until(talk, TOMORROW)
    talk.let(jug(product="chlorine_01"))
    until(talk, TOMORROW + DAY)

    assert first(talk) == [
        "Before the first probe: No chlorine 0.1 % is in date: open some (OPEN) or get it today."
    ]
    assert "In date: J1." in mornings(talk)[1]


def test_S4_what_was_mixed_for_one_soak_is_not_in_date_the_next_day() -> None:
    talk = clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"))
    talk.now = TOMORROW - timedelta(minutes=20)
    play_cycle(talk, until="immerse")

    until(talk, TOMORROW)

    assert in_date(talk) == "J1, M1"


def test_what_was_thrown_away_is_not_in_date() -> None:
    talk = clinic()
    talk.let(ContainerDiscarded("T1"), ContainerDiscarded("S1"))

    until(talk, TOMORROW)

    assert in_date(talk) == "B1, J1"
    assert first(talk) == [f"Before the first probe: Pour a bath from B1 (POUR). {NO_STRIPS}"]


def test_S4_strips_of_two_products_are_told_apart() -> None:
    talk = two_products(strips=False)
    talk.let(ContainerDiscarded("S1"))

    until(talk, TOMORROW)

    assert first(talk) == [
        (
            "Before the first probe: No OPA strip is in date: open some (OPEN S) or get some "
            "today. No GA strip 1.8 is in date: open some (OPEN S) or get some today."
        )
    ]


def test_what_is_in_date_is_named_product_by_product() -> None:
    """Four that a cycle needs together; the glutaral strips end sooner than the OPA ones."""
    talk = two_products()
    talk.let(
        ContainerDiscarded("S1"),
        replace(STRIPS, tag="S3"),
        Poured("T3", Kind.BATH, "B1", "opa_055", "L1", NINE, FAR, "", topped_up=False),
    )

    until(talk, TOMORROW)

    assert in_date(talk) == "T1, B1, J1, S3 +5"


@pytest.mark.parametrize(("quarantined", "said"), [(("V1",), 0), (("V1", "V2"), 1)])
def test_S13_where_no_probe_is_for_use_it_is_said_first(
    quarantined: tuple[str, ...], said: int
) -> None:
    talk = clinic(devices=("V1", "V2"))
    talk.let(*(Quarantined(label, "damaged") for label in quarantined))

    until(talk, TOMORROW)

    start = "Before the first probe: Every probe is in quarantine: ask a supervisor to look at it."
    assert sum(each.startswith(start) for each in first(talk)) == said
