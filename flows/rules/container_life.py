"""S5, S6: the earliest of all dates, and which one decided.

A life is only ever cut short: what is poured carries the date of what it was poured from, so
neither a fresh bottle nor a passing strip nor the same word texted twice can move a date.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from flows.calculations.calendar import end_of_day, last_good_moment
from flows.parts.clinic import Container, Kind
from flows.protocols.model import Chemistry, StripProduct

_DAY = timedelta(days=1)

EXPIRY = "maker_expiry"
ACTIVATED_LIFE = "activated_life"
TOPPED_UP, NOT_CHECKED = "topped_up", "not_checked"
NOT_VOUCHED_FOR = "not_vouched_for"
LONGEST_SHELF = timedelta(days=10 * 365)
"""S5: a date so late is a slip: a 3 for a 2, or another century.

Unopened they keep for 2 years. Source: CDC/HICPAC, Guideline for Disinfection and Sterilization,
2008, Table 4; so much longer for whatever keeps longer: common practice, none published.
"""


@dataclass(frozen=True, slots=True)
class Decided:
    """A liquid is good until *moment*, not at it; *because* names the limit that came first.

    One of: maker_expiry, jug_open_life, activated_life, reuse_life, bath_life, mixed_life, uses,
    topped_up, of_topped_up, at_fault; of strips open_life, or not_checked where they turn out to
    have passed no control.
    """

    moment: datetime
    because: str


Limit = Decided
"""What one limit alone would decide."""


@dataclass(frozen=True, slots=True)
class Refused:
    """A date that cannot be: 'future', or 'before_source' (poured before its jug was opened)."""

    because: str


def discard_by(limits: Iterable[Limit]) -> Decided:
    """S5: the earliest limit; of two at the same moment the first. Raises ValueError for none."""
    return min(limits, key=lambda limit: limit.moment)


def life_of_jug(
    expires: date,
    opened_at: datetime | None,
    chemistry: Chemistry,
    zone: ZoneInfo,
    activated_at: datetime | None = None,
) -> Decided:
    """S5: a jug, *expires* being its last good day; sealed while `opened_at` is None.

    Where activation is needed and its moment is not known, it counts from the opening; what is
    mixed for each soak is not activated in its jug. A second OPEN of the same jug is decided
    together with the first: `discard_by` of both.
    """
    life = life_until_activated(expires, opened_at, chemistry, zone)
    if chemistry.is_single_use:
        return life
    active_since = activated_at or opened_at
    return life_when_activated(life, active_since, chemistry, zone) if active_since else life


def life_until_activated(
    expires: date, opened_at: datetime | None, chemistry: Chemistry, zone: ZoneInfo
) -> Decided:
    """S5: a jug of which nobody has said yet that it was activated: it cannot be poured either."""
    limits = [Limit(end_of_day(expires, zone), EXPIRY)]
    if opened_at and chemistry.jug_open_life_days:
        ends = last_good_moment(opened_at, chemistry.jug_open_life_days, zone)
        limits.append(Limit(ends, "jug_open_life"))
    return discard_by(limits)


def life_when_activated(
    life: Decided, activated_at: datetime, chemistry: Chemistry, zone: ZoneInfo
) -> Decided:
    """S5: from its activation on, or from when it was mixed; never later than *life* was."""
    days = chemistry.activated_life_days
    if days is None:
        return life
    ends = last_good_moment(activated_at, days, zone)
    return discard_by((life, Limit(ends, ACTIVATED_LIFE)))


def is_active(container: Container, chemistry: Chemistry) -> bool:
    """S5: a jug that needs its activator is poured from once somebody has said that it had it."""
    if chemistry.is_single_use or container.kind is not Kind.JUG:
        return True
    return not chemistry.activation_needed or container.activated_at is not None


def life_of_strips(
    expires: date, opened_at: datetime, strip: StripProduct, zone: ZoneInfo
) -> Decided:
    """S4, S5: a bottle of strips: its printed date, or its life once open if that is sooner."""
    open_life = last_good_moment(opened_at, strip.open_life_days, zone)
    return discard_by((Limit(end_of_day(expires, zone), EXPIRY), Limit(open_life, "open_life")))


def life_of_pour(
    source: Decided, poured_at: datetime, chemistry: Chemistry, zone: ZoneInfo
) -> Decided:
    """S5: a working bottle; it inherits the date of what it was poured from, never renews it."""
    ends = last_good_moment(poured_at, chemistry.reuse_life_days, zone)
    return discard_by((source, Limit(ends, "reuse_life")))


def life_of_bath(
    source: Decided, filled_at: datetime, chemistry: Chemistry, zone: ZoneInfo
) -> Decided:
    """S5: a bath; filling is a pour, and the bath may have a shorter life of its own.

    A bath life of whole days counts the day of filling as day 1; one in hours ends at the hour.
    """
    poured = life_of_pour(source, filled_at, chemistry, zone)
    life = chemistry.bath_life
    if life is None:
        return poured
    ends = last_good_moment(filled_at, life if life % _DAY else life // _DAY, zone)
    return discard_by((poured, Limit(ends, "bath_life")))


def life_of_mix(mixed_at: datetime, days: int, zone: ZoneInfo) -> Decided:
    """S5: what was mixed here, detergent or chlorine; the day it was mixed is day 1."""
    return Decided(last_good_moment(mixed_at, days, zone), "mixed_life")


def life_after_uses(life: Decided, uses: Sequence[datetime], chemistry: Chemistry) -> Decided:
    """S5: spent at the moment of the last use that the product allows, when *uses* reach it."""
    most = chemistry.bath_uses_max
    if most is None or len(uses) < most:
        return life
    return discard_by((life, Limit(sorted(uses)[most - 1], "uses")))


def has_uses_left(uses: int, chemistry: Chemistry) -> bool:
    """S5: whether a bath that *uses* devices have gone into may take another."""
    return chemistry.bath_uses_max is None or uses < chemistry.bath_uses_max


def lasts_a_soak(ends: datetime, soak: timedelta, now: datetime) -> bool:
    """S1, S5: whether a soak that begins *now* is over before what *ends* does."""
    return now + soak < ends


def life_when_topped_up(life: Decided, at: datetime) -> Decided:
    """S6: poured onto a rest, or into a vessel not washed and dry, it ends there and then."""
    return discard_by((life, Limit(at, TOPPED_UP)))


def is_good(life: Decided, now: datetime) -> bool:
    """S5: until the moment, not at it; whatever a strip says."""
    return now < life.moment


def counts_from(
    said: date | datetime, not_before: datetime, zone: ZoneInfo, now: datetime
) -> datetime | Refused:
    """S5: from when a pour or an opening counts that is reported as *said*, a day or a moment.

    A day counts from its first minute, the earliest possible time, but not from before
    *not_before*, when its source was opened or received. What cannot be is refused as a value.
    """
    if isinstance(said, datetime):
        earliest = latest = said
    else:
        earliest = end_of_day(said - _DAY, zone)
        latest = end_of_day(said, zone) - timedelta.resolution
    if earliest > now:
        return Refused("future")
    if latest < not_before:
        return Refused("before_source")
    return max(earliest, not_before)
