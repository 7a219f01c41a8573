"""S16: codes told as a probe is cleaned again are of the day on which it was READY.

A patient's key is site, day and code: with the day of the telling another day's patient would be
called in. Source: reading of a day off two moments.
"""

from datetime import date, timedelta

import pytest

from flows.parts.events import DeviceUsed, NoUseSaid, Released
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic

MONDAY, TUESDAY = date(2026, 3, 2), date(2026, 3, 3)


@pytest.mark.parametrize(
    ("cover", "hours_after", "day"),
    [
        ("covered", 1, MONDAY),
        ("covered", 8, MONDAY),  # lapsed at closing, the same day
        ("covered", 20, MONDAY),
        ("covered", 68, MONDAY),
        ("draped", 20, TUESDAY),  # READY still
        ("draped", 68, TUESDAY),
    ],
)
def test_S16_the_day_is_the_last_on_which_it_was_ready(
    cover: str, hours_after: int, day: date
) -> None:
    talk = clinic()
    play_cycle(talk, until="cover")
    talk.sends(cover, after=200)
    talk.now += timedelta(hours=hours_after)

    talk.sends("CLEAN V1")
    talk.sends("0412 0413", after=20)

    assert [(use.patient, use.day) for use in talk.happened(DeviceUsed)] == [
        ("0412", day),
        ("0413", day),
    ]


def test_S16_until_midnight_is_of_the_day_before_it() -> None:
    talk = clinic()
    talk.wait(minutes=6 * 60)
    play_cycle(talk)
    talk.now += timedelta(hours=12)

    talk.sends("CLEAN V1")
    talk.sends("0412", after=20)

    (released,) = talk.happened(Released)
    assert released.until.hour == 21  # midnight by the site's clock
    assert [use.day for use in talk.happened(DeviceUsed)] == [MONDAY]


def asked_for_codes() -> Talk:
    talk = clinic()
    play_cycle(talk)
    talk.now += timedelta(hours=20)
    talk.sends("CLEAN V1")
    return talk


@pytest.mark.parametrize(
    "body", ["not used", "it was not used", "no patients", "nobody", "no one please", "0"]
)
def test_S16_no_use_may_be_said_in_other_words(body: str) -> None:
    talk = asked_for_codes()

    talk.sends(body, after=20)

    assert len(talk.happened(NoUseSaid)) == 1
    assert talk.happened(DeviceUsed) == []


@pytest.mark.parametrize(
    "body", ["none today", "not used today", "not used on 0412", "nobody?", "no codes"]
)
def test_S16_no_use_today_is_not_none_since_its_release(body: str) -> None:
    talk = asked_for_codes()

    talk.sends(body, after=20)

    assert talk.happened(NoUseSaid) == []
