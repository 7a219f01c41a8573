"""S5, S6: a date is only ever cut short, and the record says by what."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.parts.clinic import Container, Kind
from flows.protocols import shipped
from flows.protocols.model import Chemistry
from flows.rules.container_life import (
    Decided,
    Limit,
    Refused,
    counts_from,
    discard_by,
    has_uses_left,
    is_active,
    is_good,
    life_after_uses,
    life_of_bath,
    life_of_jug,
    life_of_pour,
    life_of_strips,
    life_until_activated,
    life_when_activated,
    life_when_topped_up,
)

ZONE = ZoneInfo("Etc/GMT-3")
"""Three hours before UTC, all year."""
OPA = shipped().chemistries["opa_055"]
STRIP = shipped().strips["opa_strip_1s_90s"]
MONDAY = datetime(2026, 3, 2, 9, 30, tzinfo=ZONE)
FAR_OFF = Limit(datetime(2028, 1, 1, tzinfo=UTC), "maker_expiry")

MOMENTS = st.datetimes(
    datetime(2026, 1, 1),  # noqa: DTZ001  the zone is drawn beside it
    datetime(2027, 12, 31),  # noqa: DTZ001
    timezones=st.sampled_from(
        [UTC, ZONE, ZoneInfo("America/Santiago"), ZoneInfo("Asia/Kathmandu")]
    ),
)
LIMITS = st.builds(Limit, MOMENTS, st.sampled_from(["maker_expiry", "jug_open_life", "uses"]))
CHEMISTRIES = st.builds(
    lambda reuse, bath, uses: replace(
        OPA, reuse_life_days=reuse, bath_life=bath, bath_uses_max=uses
    ),
    st.integers(1, 90),
    st.none() | st.timedeltas(timedelta(minutes=1), timedelta(days=30)),
    st.none() | st.integers(1, 5),
)


def local(day: int, hour: int = 0, minute: int = 0) -> datetime:
    """A moment of March 2026 on the site's wall clock."""
    return datetime(2026, 3, day, hour, minute, tzinfo=ZONE)


def test_S5_the_earliest_limit_decides_and_is_named() -> None:
    limits = [
        Limit(local(9), "maker_expiry"),
        Limit(local(7), "reuse_life"),
        Limit(local(8), "jug_open_life"),
    ]

    assert discard_by(limits) == Decided(local(7), "reuse_life")


def test_S5_of_two_limits_at_one_moment_the_first_is_named() -> None:
    limits = [Limit(local(7), "maker_expiry"), Limit(local(7), "reuse_life")]

    assert discard_by(limits).because == "maker_expiry"


def test_S5_a_sealed_jug_is_good_through_the_makers_last_day() -> None:
    life = life_of_jug(date(2026, 3, 31), None, OPA, ZONE)

    assert life == Decided(datetime(2026, 4, 1, tzinfo=ZONE), "maker_expiry")
    assert is_good(life, datetime(2026, 3, 31, 23, 59, 59, tzinfo=ZONE))
    assert not is_good(life, datetime(2026, 4, 1, tzinfo=ZONE))


def test_S5_an_opened_jug_ends_after_its_open_life_with_the_opening_day_as_day_one() -> None:
    life = life_of_jug(date(2027, 3, 31), MONDAY, OPA, ZONE)

    assert life == Decided(datetime(2026, 5, 16, tzinfo=ZONE), "jug_open_life")


def test_S5_opening_does_not_outlast_the_makers_date() -> None:
    life = life_of_jug(date(2026, 3, 31), MONDAY, OPA, ZONE)

    assert life.because == "maker_expiry"


def test_S5_a_jug_without_an_open_life_ends_at_the_makers_date() -> None:
    chemistry = replace(OPA, jug_open_life_days=None)

    assert life_of_jug(date(2027, 3, 31), MONDAY, chemistry, ZONE).because == "maker_expiry"


ACTIVATED = replace(OPA, activation_needed=True, activated_life_days=14)


def test_S5_an_activated_jug_ends_with_its_activated_life() -> None:
    life = life_of_jug(date(2027, 3, 31), MONDAY, ACTIVATED, ZONE, activated_at=local(4, 8))

    assert life == Decided(local(18), "activated_life")


def test_S5_an_activation_nobody_dated_counts_from_the_opening() -> None:
    life = life_of_jug(date(2027, 3, 31), MONDAY, ACTIVATED, ZONE)

    assert life == Decided(local(16), "activated_life")


def test_S5_activation_before_opening_ends_a_jug_too() -> None:
    life = life_of_jug(date(2027, 3, 31), None, ACTIVATED, ZONE, activated_at=local(2))

    assert life == Decided(local(16), "activated_life")


def test_S5_sealed_and_not_activated_no_life_of_a_jug_has_begun() -> None:
    life = life_of_jug(date(2026, 3, 31), None, ACTIVATED, ZONE)

    assert life == Decided(datetime(2026, 4, 1, tzinfo=ZONE), "maker_expiry")


def test_S5_opened_and_not_yet_activated_its_life_in_use_has_not_begun() -> None:
    chemistry = replace(ACTIVATED, jug_open_life_days=None)

    life = life_until_activated(date(2027, 3, 31), MONDAY, chemistry, ZONE)

    assert life.because == "maker_expiry"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (local(30), Decided(local(18), "activated_life")),
        (local(17), Decided(local(17), "maker_expiry")),
    ],
)
def test_S5_activation_ends_a_life_sooner_and_never_later(
    before: datetime, after: Decided
) -> None:
    life = Decided(before, "maker_expiry")

    assert life_when_activated(life, local(4, 8), ACTIVATED, ZONE) == after
    assert life_when_activated(life, local(4, 8), OPA, ZONE) == life


@pytest.mark.parametrize(
    ("kind", "chemistry", "said", "active"),
    [
        (Kind.JUG, ACTIVATED, None, False),
        (Kind.JUG, ACTIVATED, MONDAY, True),
        (Kind.JUG, OPA, None, True),
        (Kind.BOTTLE, ACTIVATED, None, True),
    ],
)
def test_S5_a_jug_that_needs_its_activator_is_poured_from_once_it_had_it(
    kind: Kind, chemistry: Chemistry, said: datetime | None, *, active: bool
) -> None:
    jug = Container("J1", kind, "x", "L1", None, MONDAY, MONDAY, "", activated_at=said)

    assert is_active(jug, chemistry) is active


def test_S5_what_is_mixed_for_each_soak_is_not_activated_in_its_jug() -> None:
    chlorine = shipped().chemistries["chlorine_01"]
    jug = Container("J1", Kind.JUG, "x", "L1", None, MONDAY, MONDAY, "")

    life = life_of_jug(date(2027, 3, 31), MONDAY, chlorine, ZONE)

    assert life.because == "maker_expiry"
    assert is_active(jug, chlorine)


def test_S5_a_jug_said_to_be_opened_again_keeps_its_first_date() -> None:
    first = life_of_jug(date(2027, 3, 31), MONDAY, OPA, ZONE)
    again = life_of_jug(date(2027, 3, 31), MONDAY + timedelta(days=20), OPA, ZONE)

    assert discard_by((first, again)) == first


@pytest.mark.parametrize("poured_at", [local(2), local(2, 9, 30), local(2, 23, 59)])
def test_S5_the_pour_day_is_day_one_of_fourteen(poured_at: datetime) -> None:
    life = life_of_pour(FAR_OFF, poured_at, OPA, ZONE)

    assert life == Decided(local(16), "reuse_life")


def test_S5_the_day_is_the_sites_own() -> None:
    late_on_the_first_in_utc = datetime(2026, 3, 1, 22, 0, tzinfo=UTC)

    life = life_of_pour(FAR_OFF, late_on_the_first_in_utc, OPA, ZONE)

    assert life.moment == local(16)


def test_S5_a_bottle_is_good_a_moment_before_and_not_at_its_date() -> None:
    life = life_of_pour(FAR_OFF, MONDAY, OPA, ZONE)

    assert is_good(life, local(16) - timedelta.resolution)
    assert not is_good(life, local(16))


def test_S5_pouring_never_outlasts_the_jug() -> None:
    jug = Decided(local(5), "jug_open_life")

    assert life_of_pour(jug, MONDAY, OPA, ZONE) == jug


def test_S5_pouring_into_a_fresh_bottle_keeps_the_first_pours_clock() -> None:
    first = life_of_pour(FAR_OFF, MONDAY, OPA, ZONE)

    second = life_of_pour(first, MONDAY + timedelta(days=10), OPA, ZONE)

    assert second == first


def test_S5_a_bath_without_a_life_of_its_own_has_the_reuse_life_of_its_filling() -> None:
    assert life_of_bath(FAR_OFF, MONDAY, OPA, ZONE) == Decided(local(16), "reuse_life")


@pytest.mark.parametrize(
    ("bath_life", "ends"),
    [
        (timedelta(days=1), local(3)),
        (timedelta(days=5), local(7)),
        (timedelta(hours=4), local(2, 13, 30)),
        (timedelta(hours=36), local(3, 21, 30)),
    ],
)
def test_S5_a_bath_in_days_ends_at_midnight_and_one_in_hours_at_the_hour(
    bath_life: timedelta, ends: datetime
) -> None:
    life = life_of_bath(FAR_OFF, MONDAY, replace(OPA, bath_life=bath_life), ZONE)

    assert life == Decided(ends, "bath_life")


def test_S5_a_long_bath_life_renews_nothing() -> None:
    bottle = life_of_pour(FAR_OFF, MONDAY, OPA, ZONE)
    chemistry = replace(OPA, bath_life=timedelta(days=30))

    assert life_of_bath(bottle, local(12), chemistry, ZONE) == bottle


def test_S5_a_bath_is_spent_at_the_last_use_it_allows() -> None:
    life = life_of_bath(FAR_OFF, MONDAY, OPA, ZONE)
    twice = replace(OPA, bath_uses_max=2)
    uses = [local(4, 10), local(3, 10)]

    assert life_after_uses(life, uses[:1], twice) == life
    assert life_after_uses(life, uses, twice) == Decided(local(4, 10), "uses")
    assert life_after_uses(life, [*uses, local(5)], twice) == Decided(local(4, 10), "uses")


def test_S5_without_a_limit_of_uses_the_date_stands() -> None:
    life = life_of_bath(FAR_OFF, MONDAY, OPA, ZONE)

    assert life_after_uses(life, [MONDAY] * 100, OPA) == life


def test_S6_what_is_poured_onto_a_rest_ends_there_and_then() -> None:
    life = life_of_pour(FAR_OFF, MONDAY, OPA, ZONE)

    topped_up = life_when_topped_up(life, local(3, 8))

    assert topped_up == Decided(local(3, 8), "topped_up")
    assert not is_good(topped_up, local(3, 8))


def test_S6_topping_up_what_is_out_of_date_renews_nothing() -> None:
    life = life_of_pour(FAR_OFF, MONDAY, OPA, ZONE)

    assert life_when_topped_up(life, local(20)) == life


def test_S5_an_opened_strip_bottle_ends_after_its_open_life() -> None:
    strip = replace(STRIP, open_life_days=14)

    life = life_of_strips(date(2026, 12, 31), MONDAY, strip, ZONE)

    assert life == Decided(local(16), "open_life")


def test_S5_opening_a_strip_bottle_does_not_outlast_the_makers_date() -> None:
    life = life_of_strips(date(2026, 3, 8), MONDAY, STRIP, ZONE)

    assert life == Decided(local(9), "maker_expiry")


@given(LIMITS, st.lists(st.tuples(st.booleans(), MOMENTS, CHEMISTRIES), max_size=8))
def test_S5_no_chain_of_pours_ever_yields_a_later_date(
    source: Limit, chain: list[tuple[bool, datetime, Chemistry]]
) -> None:
    life = source

    for is_bath, at, chemistry in chain:
        before = life
        pour = life_of_bath if is_bath else life_of_pour
        life = pour(before, at, chemistry, ZONE)
        assert life.moment <= before.moment
        assert life.moment <= at + timedelta(days=chemistry.reuse_life_days)


@given(st.dates(date(2026, 1, 1), date(2028, 1, 1)), st.lists(MOMENTS, min_size=1, max_size=5))
def test_S5_no_number_of_openings_ever_yields_a_later_date(
    expires: date, openings: list[datetime]
) -> None:
    lives = [life_of_jug(expires, opened_at, OPA, ZONE) for opened_at in openings]

    for told in range(1, len(lives)):
        assert discard_by(lives[: told + 1]).moment <= discard_by(lives[:told]).moment


@given(LIMITS, st.lists(MOMENTS, max_size=6), CHEMISTRIES)
def test_S5_no_use_ever_yields_a_later_date(
    life: Limit, uses: list[datetime], chemistry: Chemistry
) -> None:
    assert life_after_uses(life, uses, chemistry).moment <= life.moment


NOON = local(4, 12)
OPENED = local(2, 9, 30)


@pytest.mark.parametrize(
    ("said", "counts"),
    [
        (date(2026, 3, 4), local(4)),
        (date(2026, 3, 3), local(3)),
        (date(2026, 3, 2), OPENED),
        (local(4, 11, 59), local(4, 11, 59)),
        (NOON, NOON),
        (OPENED, OPENED),
    ],
)
def test_S5_a_pour_reported_late_counts_from_the_earliest_possible_time(
    said: date, counts: datetime
) -> None:
    assert counts_from(said, OPENED, ZONE, NOON) == counts


@pytest.mark.parametrize("said", [date(2026, 3, 5), NOON + timedelta.resolution])
def test_S5_a_future_date_is_refused_as_a_value(said: date) -> None:
    assert counts_from(said, OPENED, ZONE, NOON) == Refused("future")


@pytest.mark.parametrize("said", [date(2026, 3, 1), OPENED - timedelta.resolution])
def test_S5_a_pour_from_before_its_jug_was_opened_is_refused_as_a_value(said: date) -> None:
    assert counts_from(said, OPENED, ZONE, NOON) == Refused("before_source")


def test_S5_a_day_that_ended_just_as_the_jug_was_opened_is_refused() -> None:
    opened_at_midnight = local(3)

    assert counts_from(date(2026, 3, 2), opened_at_midnight, ZONE, NOON) == Refused(
        "before_source"
    )


@given(
    st.dates(date(2026, 1, 1), date(2026, 12, 31)) | MOMENTS,
    MOMENTS,
    st.timedeltas(timedelta(0), timedelta(days=60)),
)
def test_S5_what_counts_lies_between_the_source_and_now(
    said: date, opened: datetime, since: timedelta
) -> None:
    now = opened + since

    counts = counts_from(said, opened, ZONE, now)

    assert isinstance(counts, Refused) or opened <= counts <= now


def test_S5_a_bath_has_a_use_left_until_the_last_is_taken() -> None:
    twice = replace(OPA, bath_uses_max=2)

    assert [has_uses_left(uses, twice) for uses in (0, 1, 2, 3)] == [True, True, False, False]
    assert has_uses_left(500, replace(OPA, bath_uses_max=None))
