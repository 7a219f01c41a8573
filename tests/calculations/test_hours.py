"""When the morning text is due: half an hour before opening, by the site's own clock."""

from datetime import UTC, datetime, timedelta

import pytest

from flows.calculations.hours import (
    SPREAD,
    next_morning,
    opens_at,
    spread_of,
    wants_morning_text,
)
from flows.parts.clinic import Choice, Site


def site(zone: str = "Etc/GMT-3", **ways: str) -> Site:
    choices = tuple(Choice("site", key, value, "") for key, value in ways.items())
    return Site("s1", zone, "17:00", "en", None, choices)


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


LATER = spread_of("s1")
"""So much later than the first of all sites this one hears."""


@pytest.mark.parametrize(
    ("now", "due"),
    [
        ("2026-03-02T07:29:59+03:00", "2026-03-02T07:30+03:00"),
        ("2026-03-02T07:30:00+03:00", "2026-03-03T07:30+03:00"),
        ("2026-03-02T23:30:00+03:00", "2026-03-03T07:30+03:00"),
        ("2026-12-31T09:00:00+03:00", "2027-01-01T07:30+03:00"),
        ("2028-02-28T09:00:00+03:00", "2028-02-29T07:30+03:00"),
    ],
)
def test_the_usual_morning_is_at_half_past_seven_of_the_sites_own_day(now: str, due: str) -> None:
    assert next_morning(site(), at(now) + LATER) == at(due) + LATER


def test_a_site_says_when_it_opens() -> None:
    early = site(opens_at="06:15")

    assert opens_at(early) == "06:15"
    due = at("2026-03-02T05:45+03:00") + LATER
    assert next_morning(early, at("2026-03-02T04:00+03:00")) == due


def test_a_site_that_opens_at_midnight_hears_of_its_day_on_the_evening_before() -> None:
    night = site(opens_at="00:00")

    first = at("2026-03-02T23:30+03:00") + LATER
    assert next_morning(night, at("2026-03-02T23:00+03:00")) == first
    assert next_morning(night, first) == first + timedelta(days=1)


@pytest.mark.parametrize(
    ("opens", "now", "due"),
    [
        ("08:00", "2027-03-27T12:00+01:00", "2027-03-28T07:30+02:00"),
        ("08:00", "2027-10-30T12:00+02:00", "2027-10-31T07:30+01:00"),
        # 02:30 is left out on that night, and comes twice on this one.
        ("03:00", "2027-03-27T12:00+01:00", "2027-03-28T03:30+02:00"),
        ("03:00", "2027-10-30T12:00+02:00", "2027-10-31T02:30+02:00"),
        ("03:00", "2027-10-31T02:30+02:00", "2027-11-01T02:30+01:00"),
    ],
)
def test_a_change_of_the_clock_moves_the_morning_with_it_and_doubles_none(
    opens: str, now: str, due: str
) -> None:
    """The last Sundays of March and October. Source: Directive 2000/84/EC; IANA database."""
    berlin = site("Europe/Berlin", opens_at=opens)

    assert next_morning(berlin, at(now) + LATER) == at(due) + LATER


def test_every_morning_comes_once_in_a_year_of_mornings() -> None:
    berlin, now, days = site("Europe/Berlin"), datetime(2027, 1, 1, tzinfo=UTC), set()
    for _ in range(365):
        now = next_morning(berlin, now)
        days.add(now.date())

    assert len(days) == 365
    assert now - datetime(2027, 1, 1, tzinfo=UTC) < timedelta(days=365)


@pytest.mark.parametrize(("ways", "wants"), [({}, True), ({"morning_text": "on"}, True)])
def test_a_site_hears_of_its_day_unless_it_has_said_no(
    ways: dict[str, str], *, wants: bool
) -> None:
    assert wants_morning_text(site(**ways)) is wants
    assert wants_morning_text(site(morning_text="off")) is False


def test_sites_that_open_together_hear_one_after_another_each_at_its_own_time() -> None:
    spreads = [spread_of(f"site-{number}") for number in range(500)]

    assert min(spreads) < SPREAD / 10
    assert SPREAD * 9 / 10 < max(spreads) < SPREAD
    assert len(set(spreads)) > 250
    assert spread_of("site-1") == spread_of("site-1")
