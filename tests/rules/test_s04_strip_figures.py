"""S4: how a strip is judged, how long a pass lasts, and who is whose kin, at their limits."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from types import MappingProxyType
from zoneinfo import ZoneInfo

import pytest

from flows.parts.clinic import (
    Choice,
    Clinic,
    Container,
    Cycle,
    Device,
    Fitness,
    Kind,
    Pass,
    Release,
    Standing,
    StripBottle,
)
from flows.parts.events import (
    CaseOpened,
    ContainerCondemned,
    ContainerHeld,
    CycleVoided,
    ReleaseWithdrawn,
    StripRead,
)
from flows.rules.strip import (
    FAIL,
    KIN_FAILED,
    NO_RESULT,
    PASS,
    Age,
    Judged,
    age_is_proved,
    fallen,
    good_until,
    is_sound,
    is_usable,
    judge,
    kin,
    longest_age,
    may_be_tested,
    pass_of,
    same_liquid,
    second_no_result,
    strips_at_hand,
    trusts_own_watch,
)
from tests.kit.talk import NINE, shipped_protocol

PROTOCOL = shipped_protocol()
STRIP = PROTOCOL.strip
NAIROBI = ZoneInfo("Etc/GMT-3")
MICROSECOND = timedelta(microseconds=1)
WEEK = NINE + timedelta(days=7)
FROM, TO = timedelta(seconds=90), timedelta(seconds=121)
BATH = Container("T1", Kind.BATH, "opa_055", "L1", "B1", NINE, WEEK, "reuse_life")
BOTTLE = Container("B1", Kind.BOTTLE, "opa_055", "L1", "J1", NINE, WEEK, "reuse_life")
JUG = Container("J1", Kind.JUG, "opa_055", "L1", None, NINE, WEEK, "jug_open_life")
STRIPS = StripBottle("S1", STRIP.name, "L9", NINE, WEEK, checked=True)
PASSED = Pass("t1", NINE, NINE + timedelta(hours=1))


def holding(*containers: Container, **rooms: object) -> Clinic:
    by_tag = MappingProxyType({each.tag: each for each in containers})
    return Clinic(containers=by_tag, **rooms)  # type: ignore[arg-type]


TODAY = NINE.date()


def read_of(tag: str, day: date = TODAY) -> StripRead:
    return StripRead(
        test="t2",
        container=tag,
        strips="S1",
        cycle=None,
        outcome=FAIL,
        seen=FAIL,
        because="",
        age=FROM,
        age_proved=True,
        day=day,
        good_until=None,
    )


@pytest.mark.parametrize(
    ("seen", "age", "strips_good", "own_watch", "judged"),
    [
        (PASS, FROM, True, False, Judged(PASS)),
        (PASS, TO, True, False, Judged(PASS)),
        (PASS, FROM - MICROSECOND, True, False, Judged(NO_RESULT, "early")),
        (PASS, TO + MICROSECOND, True, False, Judged(NO_RESULT, "late")),
        (PASS, FROM - MICROSECOND, True, True, Judged(PASS)),
        (PASS, TO + MICROSECOND, True, True, Judged(PASS)),
        (FAIL, FROM, True, False, Judged(FAIL)),
        (FAIL, FROM - MICROSECOND, True, False, Judged(NO_RESULT, "early")),
        (FAIL, FROM - MICROSECOND, True, True, Judged(FAIL)),
        (FAIL, TO + MICROSECOND, True, False, Judged(FAIL)),
        ("unsure", FROM, True, False, Judged(FAIL, "unsure")),
        ("unsure", TO + MICROSECOND, True, True, Judged(FAIL, "unsure")),
        (PASS, FROM, False, True, Judged(NO_RESULT, "strips")),
        (FAIL, FROM, False, True, Judged(NO_RESULT, "strips")),
    ],
)
def test_S4_a_strip_is_judged_by_colour_age_and_bottle(
    seen: str, age: timedelta, judged: Judged, *, strips_good: bool, own_watch: bool
) -> None:
    exact = Age(age, age)

    assert judge(seen, exact, STRIP, strips_good=strips_good, own_watch=own_watch) == judged


def test_S4_the_window_is_the_products_own() -> None:
    slower = replace(STRIP, read_after=timedelta(minutes=5), dip_for=timedelta(seconds=3))

    assert longest_age(STRIP) == TO
    assert longest_age(slower) == timedelta(seconds=333)
    assert [
        age_is_proved(Age(age, age), STRIP)
        for age in (FROM - MICROSECOND, FROM, TO, TO + MICROSECOND)
    ] == [False, True, True, False]
    assert age_is_proved(Age(FROM, TO), STRIP)
    assert not age_is_proved(Age(FROM - MICROSECOND, TO), STRIP)
    assert not age_is_proved(Age(FROM, TO + MICROSECOND), STRIP)


def test_S4_only_a_choice_of_that_very_kind_trusts_the_workers_watch() -> None:
    yes = Choice("opa_055", "strip_timing", "own_watch", "why")

    assert trusts_own_watch((replace(yes, key="other"), yes))
    assert not trusts_own_watch(())
    assert not trusts_own_watch((replace(yes, key="other"),))
    assert not trusts_own_watch((replace(yes, value="texts"),))


@pytest.mark.parametrize(
    ("bottle", "now", "usable"),
    [
        (STRIPS, WEEK - MICROSECOND, True),
        (STRIPS, WEEK, False),
        (replace(STRIPS, checked=False), NINE, False),
        (replace(STRIPS, fitness=Fitness.DISCARDED), NINE, False),
        (replace(STRIPS, fitness=Fitness.HELD), NINE, False),
    ],
)
def test_S4_a_strip_bottle_is_usable_checked_and_in_date(
    bottle: StripBottle, now: datetime, *, usable: bool
) -> None:
    assert is_usable(bottle, now) is usable


def test_S4_of_two_bottles_the_first_to_run_out_is_used() -> None:
    later = replace(STRIPS, tag="S2", discard_by=WEEK + MICROSECOND)
    gone = replace(STRIPS, tag="S3", discard_by=NINE)
    other = replace(STRIPS, tag="S4", product="another", discard_by=NINE + MICROSECOND)
    shelf = Clinic(strips={each.tag: each for each in (later, gone, other, STRIPS)})

    assert strips_at_hand(shelf, STRIP, NINE) == STRIPS
    assert strips_at_hand(Clinic(), STRIP, NINE) is None


def test_S4_S5_a_pass_ends_with_the_sites_day_or_with_the_solution() -> None:
    midnight = datetime(2026, 3, 3, tzinfo=NAIROBI)
    sooner = replace(BATH, discard_by=midnight - MICROSECOND)

    assert good_until(BATH, NINE, NAIROBI) == midnight
    assert good_until(BATH, midnight, NAIROBI) == midnight + timedelta(days=1)
    assert good_until(sooner, NINE, NAIROBI) == sooner.discard_by


@pytest.mark.parametrize(
    ("passed", "now", "cycle", "may"),
    [
        (PASSED, PASSED.good_until - MICROSECOND, "c1", True),
        (PASSED, PASSED.good_until, "c1", False),
        (replace(PASSED, used_by="c1"), NINE, "c1", True),
        (replace(PASSED, used_by="c1"), NINE, "c2", False),
        (None, NINE, "c1", False),
    ],
)
def test_S4_a_pass_is_for_the_cycle_that_used_it_and_until_its_time(
    passed: Pass | None, now: datetime, cycle: str, *, may: bool
) -> None:
    bath = replace(BATH, passed=passed)

    assert pass_of(holding(bath), bath, cycle, PROTOCOL, now) == (passed if may else None)


def test_S4_where_the_bottle_is_tested_daily_its_pass_stands_for_the_bath() -> None:
    daily = replace(PROTOCOL, chemistry=replace(PROTOCOL.chemistry, strip_policy="bottle_daily"))
    used = replace(PASSED, used_by="c9")
    bottle = replace(BOTTLE, passed=used)
    own = replace(BATH, passed=PASSED)

    assert pass_of(holding(bottle, BATH), BATH, "c1", daily, NINE) == used
    assert pass_of(holding(BOTTLE, own), own, "c1", daily, NINE) == PASSED
    assert pass_of(holding(bottle, own), own, "c1", daily, NINE) == used
    assert pass_of(holding(own), own, "c1", daily, NINE) == PASSED
    assert pass_of(holding(BOTTLE, BATH), BATH, "c1", daily, NINE) is None
    assert pass_of(holding(bottle, BATH), BATH, "c1", daily, used.good_until) is None
    assert pass_of(holding(bottle, BATH), BATH, "c1", PROTOCOL, NINE) is None


@pytest.mark.parametrize(
    ("fitness", "why", "now", "sound", "testable"),
    [
        (Fitness.GOOD, "", WEEK - MICROSECOND, True, True),
        (Fitness.GOOD, "", WEEK, False, False),
        (Fitness.HELD, KIN_FAILED, WEEK - MICROSECOND, False, True),
        (Fitness.HELD, KIN_FAILED, WEEK, False, False),
        (Fitness.HELD, "no_result", NINE, False, False),
        (Fitness.CONDEMNED, KIN_FAILED, NINE, False, False),
        (Fitness.DISCARDED, KIN_FAILED, NINE, False, False),
    ],
)
def test_S4_what_may_be_used_and_what_may_be_tested(
    fitness: Fitness, why: str, now: datetime, *, sound: bool, testable: bool
) -> None:
    bath = replace(BATH, fitness=fitness, why=why)

    assert is_sound(bath, now) is sound
    assert may_be_tested(bath, now) is testable


def test_S4_the_second_no_result_is_of_the_same_day() -> None:
    today = NINE.date()

    assert second_no_result(replace(BATH, no_result_on=today), read_of("T1", today))
    assert not second_no_result(BATH, read_of("T1", today))
    assert not second_no_result(
        replace(BATH, no_result_on=today - timedelta(days=1)), read_of("T1", today)
    )


def test_S4_the_same_liquid_is_what_was_poured_from_it_and_from_that() -> None:
    second = replace(BOTTLE, tag="B2")
    stray = replace(BATH, tag="T9", source="B9")
    clinic = holding(JUG, BOTTLE, BATH, second, stray)

    assert [each.tag for each in same_liquid(clinic, "J1")] == ["J1", "B1", "B2", "T1"]
    assert [each.tag for each in same_liquid(clinic, "B1")] == ["B1", "T1"]
    assert same_liquid(clinic, "T8") == ()


def test_S4_kin_is_what_shares_the_jug_and_is_not_the_liquid_itself() -> None:
    second = replace(BOTTLE, tag="B2")
    other = replace(BATH, tag="T2", source="B2")
    clinic = holding(JUG, BOTTLE, BATH, second, other)

    assert [each.tag for each in kin(clinic, "T1")] == ["J1", "B1", "B2", "T2"]
    assert [each.tag for each in kin(clinic, "B2")] == ["J1", "B1", "T1"]
    assert kin(clinic, "J1") == ()
    assert kin(holding(BATH), "T1") == ()


def test_S4_what_came_from_another_jug_is_no_kin() -> None:
    another = replace(JUG, tag="J2")
    poured = replace(BOTTLE, tag="B2", source="J2")
    clinic = holding(JUG, BOTTLE, BATH, another, poured)

    assert [each.tag for each in kin(clinic, "T1")] == ["J1", "B1"]
    assert [each.tag for each in kin(clinic, "B2")] == ["J2"]


def test_S4_what_falls_with_a_failed_strip_in_one_go() -> None:
    cycle = Cycle("c2", "V2", "p1", "coach", "{}", for_repair=False)  # type: ignore[arg-type]
    rests = Release("V1-K7P4", "c1", NINE, WEEK)
    clinic = holding(
        replace(JUG, fitness=Fitness.CONDEMNED),
        replace(BOTTLE, fitness=Fitness.HELD),
        replace(BATH, cycles=("c1", "c2", "c3"), passed=PASSED),
        replace(BATH, tag="T2"),
        cycles={"c2": cycle},
        devices={
            "V1": Device("V1", "m", Standing.RELEASED, release=rests),
            "V2": Device("V2", "m", Standing.IN_CYCLE, cycle="c2"),
            "V3": Device("V3", "m", Standing.RELEASED, release=replace(rests, cycle="c9")),
        },
    )

    events = fallen(clinic, read_of("T1"), "case1")

    assert events == (
        ContainerCondemned("T1", "strip_failed"),
        ContainerHeld("T2", KIN_FAILED),
        CycleVoided("c1", "V1", "strip_failed"),
        ReleaseWithdrawn("V1", "c1", "strip_failed"),
        CycleVoided("c2", "V2", "strip_failed"),
        CycleVoided("c3", "", "strip_failed"),
        CaseOpened("case1", "strip_failed", "T1", NINE, ("c1", "c2", "c3")),
    )


def test_S4_S18_without_a_pass_on_record_nothing_earlier_is_known_good() -> None:
    clinic = holding(
        replace(BOTTLE, cycles=("c1",), fitness=Fitness.HELD),
        replace(BATH, cycles=("c1", "c2"), fitness=Fitness.DISCARDED),
    )

    events = fallen(clinic, read_of("B1"), "case1")

    assert events == (
        ContainerCondemned("B1", "strip_failed"),
        ContainerCondemned("T1", "strip_failed"),
        CycleVoided("c1", "", "strip_failed"),
        CycleVoided("c2", "", "strip_failed"),
        CaseOpened("case1", "strip_failed", "B1", None, ("c1", "c2")),
    )


def test_S4_the_outcomes_are_called_as_they_are_in_the_record_for_ever() -> None:
    assert (PASS, FAIL, NO_RESULT, KIN_FAILED) == ("pass", "fail", "no_result", "kin_failed")
