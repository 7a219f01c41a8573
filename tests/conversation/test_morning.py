"""The morning text: when it comes, to whom, and what it says of the day."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from flows.calculations.hours import spread_of
from flows.parts.clinic import Kind, Level, Role
from flows.parts.events import (
    BellRang,
    BellSet,
    ContainerHeld,
    DeviceEnrolled,
    JugOpened,
    PersonEnrolled,
    PhoneEnrolled,
    PhoneOptedOut,
    Poured,
    SiteChoiceMade,
    SiteOpened,
    StripBottleOpened,
    TextUndelivered,
)
from tests.kit.cycles import play_cycle
from tests.kit.strips import passes
from tests.kit.talk import NINE, Talk, clinic

TOMORROW = datetime(2026, 3, 3, 4, 30, tzinfo=UTC) + spread_of("s1")
"""Half past seven of the site's own Tuesday, or a little later."""

DAY = timedelta(days=1)
EXPIRES = date(2027, 3, 31)


def until(talk: Talk, moment: datetime) -> None:
    talk.wait(seconds=(moment - talk.now).total_seconds())


def mornings(talk: Talk, phone: str = "ph1") -> list[str]:
    return [each for each in talk.heard.get(phone, []) if each.startswith("Good morning")]


def choose(talk: Talk, key: str, value: str) -> None:
    talk.let(SiteChoiceMade("site", key, value, ""))


def due(talk: Talk) -> datetime | None:
    bell = talk.clinic.bells.get("morning")
    return bell.due if bell else None


# -- when ---------------------------------------------------------------------------------------


def test_the_morning_text_comes_once_a_day_at_the_sites_own_time() -> None:
    talk = clinic()

    until(talk, TOMORROW - timedelta(seconds=1))
    before = len(mornings(talk))
    until(talk, TOMORROW + 2 * DAY)

    assert before == 0
    assert len(mornings(talk)) == 3
    assert due(talk) == TOMORROW + 3 * DAY


def test_without_a_device_no_bell_hangs_and_with_the_first_one_it_does() -> None:
    talk = clinic(devices=(), stocked=False)
    before = due(talk)

    talk.let(DeviceEnrolled("V1", "handheld_probe"))

    assert before is None
    assert due(talk) == TOMORROW
    assert len(talk.happened(BellSet)) == 1


def test_another_device_moves_nothing() -> None:
    talk = clinic(devices=("V1", "V2"))

    talk.let(DeviceEnrolled("V3", "handheld_probe"))

    assert len(talk.happened(BellSet)) == 1


def test_a_site_that_opens_at_another_time_or_in_another_zone_hears_then() -> None:
    talk = clinic()

    choose(talk, "opens_at", "06:00")
    early = due(talk)
    talk.let(SiteOpened("s1", "Etc/GMT+5", "17:00", "en", "dmy"))

    assert early == TOMORROW - timedelta(hours=2)
    assert due(talk) == datetime(2026, 3, 2, 10, 30, tzinfo=UTC) + spread_of("s1")


def test_a_choice_about_something_else_moves_nothing() -> None:
    talk = clinic()

    talk.let(SiteChoiceMade("opa_055", "contact_time", "15 min", ""))

    assert len(talk.happened(BellSet)) == 1


def test_switched_off_it_hangs_no_more_and_switched_on_again_it_does() -> None:
    talk = clinic()

    choose(talk, "morning_text", "off")
    off = due(talk)
    until(talk, TOMORROW + DAY / 2)
    choose(talk, "morning_text", "on")

    assert off is None
    assert mornings(talk) == []
    assert due(talk) == TOMORROW + DAY


def test_one_that_is_due_is_not_lost_by_a_choice_made_before_it_has_rung() -> None:
    talk = clinic()
    talk.now = TOMORROW + timedelta(minutes=5)

    choose(talk, "opens_at", "09:00")
    waiting = due(talk)
    talk.wait(seconds=1)

    assert waiting == TOMORROW
    assert len(mornings(talk)) == 1


def test_switched_off_while_it_is_due_it_says_nothing_and_hangs_no_more() -> None:
    talk = clinic()
    talk.now = TOMORROW + timedelta(minutes=5)

    choose(talk, "morning_text", "off")
    talk.wait(seconds=1)

    assert mornings(talk) == []
    assert due(talk) is None


@pytest.mark.parametrize(("late", "heard"), [(timedelta(hours=4), 1), (timedelta(hours=5), 0)])
def test_S11_a_morning_that_is_looked_at_after_noon_is_none(late: timedelta, heard: int) -> None:
    talk = clinic()
    talk.now = TOMORROW + late

    talk.wait(seconds=0)

    assert len(mornings(talk)) == heard
    assert [event.late for event in talk.happened(BellRang)] == [late]
    assert due(talk) == TOMORROW + DAY


def test_days_that_went_by_unheard_are_not_made_up_for() -> None:
    talk = clinic()
    talk.now = TOMORROW + 3 * DAY

    talk.wait(minutes=1)

    assert mornings(talk) == []
    assert due(talk) == TOMORROW + 4 * DAY


def test_a_conversation_goes_on_as_if_nothing_had_been_said() -> None:
    talk = clinic()
    talk.now = TOMORROW - timedelta(minutes=5)
    play_cycle(talk, until="soaking")
    before = talk.clinic.threads

    until(talk, TOMORROW + timedelta(minutes=1))

    assert len(mornings(talk)) == 1
    assert {each.question for each in before.values()} <= {
        each.question for each in talk.clinic.threads.values()
    }
    assert talk.clinic.cycles != {}


# -- to whom ------------------------------------------------------------------------------------


def test_workers_and_supervisors_hear_it_and_trainees_do_not() -> None:
    talk = clinic()
    talk.let(
        PersonEnrolled("p5", 5, Role.TRAINEE, Level.COACH, may_release=False, language="en"),
        PhoneEnrolled("ph5", ("p5",), shared=False),
        PhoneEnrolled("ph6", (), shared=True),
        PhoneEnrolled("ph7", ("p1", "p5"), shared=True),
    )

    until(talk, TOMORROW)

    heard = [phone for phone in talk.clinic.phones if mornings(talk, phone)]
    assert heard == ["ph1", "ph2", "ph9", "ph7"]


def test_a_phone_that_cannot_be_reached_or_has_opted_out_is_not_texted() -> None:
    talk = clinic()
    talk.let(TextUndelivered("ph1", "1", "gone"), PhoneOptedOut("ph2"))

    until(talk, TOMORROW)

    assert [phone for phone in talk.clinic.phones if mornings(talk, phone)] == ["ph9"]


# -- what is good today -------------------------------------------------------------------------


def test_it_says_what_is_in_date_what_a_strip_must_judge_what_ends_and_what_is_ready() -> None:
    talk = clinic(devices=("V1", "V2"))
    talk.let(SiteOpened("s1", "Etc/GMT-3", "17:00", "en", "dmy"))

    until(talk, TOMORROW)

    assert mornings(talk)[0] == (
        "Good morning. In date: T1, B1, J1, S1. Strip first: T1. Ends today: none. Ready: none. "
        "More: STATE."
    )


def test_what_ends_with_the_day_is_named_and_what_is_over_is_not_good() -> None:
    talk = clinic(stocked=False)
    tonight = datetime(2026, 3, 3, 21, tzinfo=UTC)  # midnight there
    talk.let(
        JugOpened("J1", "opa_055", "L1", EXPIRES, NINE, tonight, "jug_open_life"),
        Poured("T1", Kind.BATH, "J1", "opa_055", "L1", NINE, tonight, "", topped_up=False),
        Poured("T2", Kind.BATH, "J1", "opa_055", "L1", NINE, TOMORROW, "", topped_up=False),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", EXPIRES, NINE, tonight, checked=True),
    )

    until(talk, TOMORROW)

    assert "In date: T1, J1, S1. Strip first: T1. Ends today: T1, J1, S1." in mornings(talk)[0]


def test_what_is_on_hold_for_its_kin_wants_a_strip_and_is_not_in_date() -> None:
    talk = clinic()
    talk.let(ContainerHeld("B1", "kin_failed"), ContainerHeld("T1", "no_result"))

    until(talk, TOMORROW)

    assert "In date: J1, S1. Strip first: B1." in mornings(talk)[0]


def test_S4_a_site_that_tests_the_bottle_daily_is_told_to_test_the_bottle() -> None:
    talk = clinic()
    chemistry = replace(talk.protocol.chemistry, strip_policy="bottle_daily")
    talk.protocol = replace(talk.protocol, chemistry=chemistry)

    until(talk, TOMORROW)
    passes(talk, "B1")
    talk.now = TOMORROW + DAY - timedelta(minutes=5)
    choose(talk, "opens_at", "12:00")
    passes(talk, "B1")
    until(talk, TOMORROW + DAY + timedelta(hours=4))

    first, second = mornings(talk)
    assert "Strip first: B1." in first
    assert "Strip first: none." in second


def test_a_probe_that_is_ready_still_is_named() -> None:
    talk = clinic()
    talk.let(SiteOpened("s1", "Etc/GMT-3", "23:59", "en", "dmy"))
    choose(talk, "opens_at", "20:00")
    play_cycle(talk)

    until(talk, NINE + timedelta(hours=8))

    assert "Ready: V1." in mornings(talk)[0]
