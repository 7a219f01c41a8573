"""S9: a release lapses; every text of one says until when; what was not told is asked for."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from flows.parts.clinic import Choice, Device, Level, Person, Release, Role, Site, Standing
from flows.parts.events import (
    DeviceEnrolled,
    DeviceUsed,
    NoUseSaid,
    Quarantined,
    QuarantineLifted,
    Released,
    ReleaseWithdrawn,
    SiteOpened,
)
from flows.protocols import shipped
from flows.rules.release import (
    CAUTIONS_LAST,
    cautions_due,
    good_until,
    is_ready,
    may_release,
    why_not,
)
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import NINE, Talk, clinic

NAIROBI = ZoneInfo("Etc/GMT-3")
MICROSECOND = timedelta(microseconds=1)
TOWEL, DRAPE = shipped().covers["towel_cover"], shipped().covers["sterile_drape"]
CLOSING = datetime(2026, 3, 2, 17, 0, tzinfo=NAIROBI)


def site(closes_at: str, *, opens: str = "", zone: str = "Etc/GMT-3") -> Site:
    choices = (Choice("site", "opens_at", opens, ""),) if opens else ()
    return Site("s1", zone, closes_at, "en", None, choices)


def local(written: str) -> datetime:
    return datetime.fromisoformat(written).replace(tzinfo=NAIROBI)


def released(cover: str = "covered") -> Talk:
    talk = clinic()
    play_cycle(talk, until="cover")
    talk.sends(cover, after=20)
    return talk


def test_S9_a_towel_is_good_until_closing_and_the_text_says_so() -> None:
    talk = released()

    assert talk.happened(Released)[0].until == CLOSING
    assert talk.happened(Released)[0].cover == "towel_cover"
    assert talk.last().startswith("V1 READY until 17:00.")


def test_S9_a_drape_is_good_for_its_hang_time() -> None:
    talk = released("draped")

    assert talk.happened(Released)[0].until == talk.now + timedelta(days=1)
    assert talk.happened(Released)[0].cover == "sterile_drape"


@pytest.mark.parametrize(
    ("at", "until"),
    [
        (CLOSING - MICROSECOND, CLOSING),
        (CLOSING, datetime(2026, 3, 3, tzinfo=NAIROBI)),
        (datetime(2026, 3, 3, tzinfo=NAIROBI) - MICROSECOND, datetime(2026, 3, 3, tzinfo=NAIROBI)),
        (datetime(2026, 3, 2, 0, 0, tzinfo=NAIROBI), CLOSING),
    ],
)
def test_S9_without_a_hang_time_it_ends_at_closing_or_at_midnight_after_it(
    at: datetime, until: datetime
) -> None:
    assert good_until(TOWEL, at.astimezone(UTC), site("17:00")) == until


def test_S9_closing_has_minutes_and_is_the_sites_own() -> None:
    ends = good_until(TOWEL, NINE, site("17:45", zone="Asia/Kathmandu"))

    assert ends == datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


def test_S9_a_hang_time_does_not_look_at_closing() -> None:
    assert good_until(DRAPE, NINE, site("17:00")) == NINE + timedelta(days=1)


@pytest.mark.parametrize(
    ("opens", "closes", "released", "until"),
    [
        ("", "02:00", "2026-03-02T23:51", "2026-03-03T02:00"),
        ("", "02:00", "2026-03-02T08:00", "2026-03-03T02:00"),
        ("", "02:00", "2026-03-03T00:30", "2026-03-03T02:00"),
        ("", "00:00", "2026-03-02T23:51", "2026-03-03T00:00"),
        ("19:00", "07:00", "2026-03-02T20:00", "2026-03-03T07:00"),
        ("19:00", "07:00", "2026-03-03T06:59", "2026-03-03T07:00"),
    ],
)
def test_S9_a_day_that_goes_on_over_midnight_closes_tomorrow(
    opens: str, closes: str, released: str, until: str
) -> None:
    assert good_until(TOWEL, local(released), site(closes, opens=opens)) == local(until)


@pytest.mark.parametrize(
    ("opens", "closes", "released"),
    [
        ("", "02:00", "2026-03-02T03:00"),  # closed, and not open yet
        ("", "05:00", "2026-03-02T12:00"),  # closed for 3 hours: one of the two is a slip
        ("09:00", "09:00", "2026-03-02T12:00"),  # day and night, or a slip
    ],
)
def test_S9_where_no_such_day_is_meant_or_it_is_closed_it_is_midnight(
    opens: str, closes: str, released: str
) -> None:
    midnight = datetime(2026, 3, 3, tzinfo=NAIROBI)

    assert good_until(TOWEL, local(released), site(closes, opens=opens)) == midnight


def test_S9_a_probe_covered_late_in_the_evening_is_ready_until_that_closing() -> None:
    talk = clinic()
    talk.let(SiteOpened("s1", "Etc/GMT-3", "02:00", "en", "dmy"))
    talk.wait(minutes=10 * 60)
    play_cycle(talk)

    assert talk.last().startswith("V1 READY until Tue 02:00.")


def test_S9_ready_is_a_question_about_now() -> None:
    until = NINE + timedelta(hours=1)
    device = Device(
        "V1", "m", Standing.RELEASED, why="", release=Release("V1-K7P4", "c1", NINE, until)
    )

    assert is_ready(device, until - MICROSECOND)
    assert not is_ready(device, until)
    assert not is_ready(replace(device, release=None), NINE)
    assert not is_ready(replace(device, standing=Standing.QUARANTINED), NINE)
    assert why_not(device, until) == "lapsed"
    assert why_not(device, until - MICROSECOND) == ""
    assert why_not(replace(device, standing=Standing.NOT_READY, why="used"), until) == "used"


def test_S1_S9_nobody_is_no_person_who_may_release() -> None:
    person = Person("p1", 1, Role.WORKER, Level.COACH, may_release=True, language="en")

    assert may_release(person)
    assert not may_release(replace(person, may_release=False))
    assert not may_release(None)


def test_S20_cautions_are_due_once_in_ten_hours() -> None:
    person = Person("p1", 1, Role.WORKER, Level.COACH, may_release=True, language="en")

    assert timedelta(hours=10) == CAUTIONS_LAST
    assert cautions_due(person, NINE)
    assert cautions_due(replace(person, cautions_at=NINE), NINE + CAUTIONS_LAST)
    assert cautions_due(replace(person, cautions_at=NINE), NINE + CAUTIONS_LAST + MICROSECOND)
    assert not cautions_due(replace(person, cautions_at=NINE), NINE + CAUTIONS_LAST - MICROSECOND)


@pytest.mark.parametrize(
    ("event", "why"),
    [
        (DeviceUsed("V1", "0412", date(2026, 3, 2), ready=True, cycle=None), "used"),
        (Quarantined("V1", "fault"), "fault"),
        (ReleaseWithdrawn("V1", "c1", "strip_failed"), "strip_failed"),
        (DeviceEnrolled("V1", "handheld_probe"), "enrolled"),
    ],
)
def test_S9_what_ends_a_release_ends_it_at_once(event: object, why: str) -> None:
    talk = released()

    talk.let(event)  # type: ignore[arg-type]

    device = talk.clinic.devices["V1"]
    assert not is_ready(device, talk.now)
    assert device.release is None
    assert device.why == why


def test_S9_a_new_cleaning_ends_the_old_release() -> None:
    talk = released()

    play_cycle(talk, until="dry")

    assert talk.clinic.devices["V1"].release is None
    assert talk.clinic.devices["V1"].standing is Standing.IN_CYCLE


def test_S9_check_says_until_when_or_why_not() -> None:
    talk = released()
    code = talk.happened(Released)[0].code

    ready = [
        talk.sends("CHECK V1"),
        talk.sends(f"CHECK {code}"),
        talk.sends(f"check {code[:3]} {code[3:]}"),
    ]
    talk.now = CLOSING
    lapsed = talk.sends("CHECK V1")

    assert ready[0] == ready[1] == ready[2]
    assert ready[0][0].startswith(f"V1 READY UNTIL 17:00. Code {code}.")
    assert lapsed == ["V1 NOT READY: its time is up. Do not use it. Clean it: CLEAN V1."]


def test_S9_check_of_an_old_code_is_not_ready_though_the_device_is() -> None:
    talk = released()
    old = talk.happened(Released)[0].code
    play_cycle(talk)

    (text,) = talk.sends(f"CHECK {old}")

    assert text.startswith("NOT READY: that is not the code that V1 has now.")


@pytest.mark.parametrize("code", ["V1-AAAA", "V1-3333", "hello"])
def test_S9_check_of_a_slip_is_not_ready(code: str) -> None:
    talk = released()

    (text,) = talk.sends(f"CHECK {code}")

    assert text.startswith("That is not a code of mine; look again for a slip. NOT READY")


def test_S9_check_of_a_code_whose_device_is_not_here_asks_which() -> None:
    talk = released()
    code = talk.happened(Released)[0].code
    other = clinic(devices=("W7",))

    (text,) = other.sends(f"CHECK {code}")

    assert text == "Which device? Here: W7. Like CHECK W7."


def test_S9_check_of_a_code_that_was_never_given_says_how_the_device_stands() -> None:
    talk = released()
    code = talk.happened(Released)[0].code
    other = clinic()

    (text,) = other.sends(f"CHECK {code}")

    assert text.startswith("V1 NOT READY: not cleaned yet.")


def test_S9_check_alone_asks_which() -> None:
    talk = clinic(devices=("V1", "V2", "V3"))

    assert talk.sends("CHECK") == ["Which device? Here: V1, V2. Like CHECK V1."]


@pytest.mark.parametrize(
    ("event", "why"),
    [
        (None, "not cleaned yet"),
        (ReleaseWithdrawn("V1", "c1", "recalled"), "clean it again"),
        (ReleaseWithdrawn("V1", "c1", "strip_failed"), "its disinfectant failed"),
    ],
)
def test_S9_why_it_is_not_ready_in_a_few_words(event: object, why: str) -> None:
    talk = clinic()
    if event:
        talk.let(event)  # type: ignore[arg-type]

    (text,) = talk.sends("CHECK V1")

    assert text.startswith(f"V1 NOT READY: {why}. Do not use it.")


# -- unreported uses are the ones that hurt -----------------------------------------------------


def test_S9_clean_after_a_release_without_a_use_asks_for_the_codes() -> None:
    talk = released()
    cycle = talk.happened(Released)[0].cycle
    play_cycle(talk, until="codes")

    asked = talk.last()
    talk.sends("0412, 0413", after=20)

    assert asked.startswith("V1: I know of no use since its release. Which patient codes?")
    assert [(use.patient, use.late, use.cycle) for use in talk.happened(DeviceUsed)] == [
        ("0412", True, cycle),
        ("0413", True, cycle),
    ]
    assert step_of(talk) == "inspect"
    assert talk.clinic.devices["V1"].use_owed is False


def test_S9_none_is_an_answer_that_is_recorded() -> None:
    talk = released()
    cycle = talk.happened(Released)[0].cycle
    play_cycle(talk, until="codes")

    talk.sends("none", after=20)

    assert talk.happened(NoUseSaid) == [NoUseSaid("V1", cycle)]
    assert talk.happened(DeviceUsed) == []


def test_S9_a_name_is_no_answer_to_it() -> None:
    talk = released()
    play_cycle(talk, until="codes")

    (text,) = talk.sends("Amina", after=20)

    assert text.startswith("V1: patient codes since its last release, numbers only")
    assert step_of(talk) == "codes"


def test_S9_a_lapsed_release_owes_its_uses_too() -> None:
    talk = released()
    talk.now = CLOSING + timedelta(days=1)

    talk.sends("CLEAN V1")

    assert step_of(talk) == "codes"


def test_S9_a_use_that_was_told_is_not_asked_for_again() -> None:
    talk = released()
    talk.sends("USED V1 0412", after=60)

    play_cycle(talk, until="inspect")

    assert step_of(talk) == "inspect"
    assert not [text for text in talk.heard["ph1"] if "Which patient codes" in text]


@pytest.mark.parametrize("event", [DeviceEnrolled("V1", "handheld_probe"), None])
def test_S9_a_device_enrolled_again_still_owes_its_uses(event: DeviceEnrolled | None) -> None:
    talk = released()
    if event:
        talk.let(event)

    talk.sends("CLEAN V1", after=20)

    assert step_of(talk) == "codes"


def test_S9_out_of_quarantine_is_not_ready() -> None:
    talk = released()

    talk.let(Quarantined("V1", "fault"), QuarantineLifted("V1"))

    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert talk.sends("CHECK V1")[0].startswith("V1 NOT READY: not cleaned yet.")
