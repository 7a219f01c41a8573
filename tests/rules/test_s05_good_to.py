"""S5: to when something is good is said by its last good day, with the year, or by a true time."""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from flows.parts.clinic import Kind
from flows.parts.events import JugOpened, Poured, StripBottleOpened
from flows.parts.text import Text
from flows.rules.good_to import good_to, good_to_in_row, good_to_on_label
from tests.kit.talk import NINE, Talk, clinic
from tests.texts.measure import TEXTS

DAY = timedelta(days=1)


def midnight(talk: Talk, days: int) -> Talk:
    """A clinic whose supplies end at 00:00, so many days from now."""
    ends = talk.now.replace(hour=21) + (days - 1) * DAY  # midnight there
    expires = date(2027, 3, 31)
    talk.let(
        JugOpened("J1", "opa_055", "L1", expires, talk.now, ends, "jug_open_life"),
        Poured("T1", Kind.BATH, "J1", "opa_055", "L1", talk.now, ends, "x", topped_up=False),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", expires, talk.now, ends, checked=True),
    )
    return talk


@pytest.mark.parametrize(
    ("days", "last"), [(1, "2 Mar 2026"), (5, "6 Mar 2026"), (14, "15 Mar 2026")]
)
def test_S5_what_ends_at_midnight_is_good_to_the_end_of_the_day_before(
    days: int, last: str
) -> None:
    talk = midnight(clinic(stocked=False), days)

    (rows,) = talk.sends("STATE")[1:]

    assert rows == f"T1 to end {last}; J1 to end {last}; S1 to end {last}."
    for text in ("STATE T1", "STATE J1", "STATE S1"):
        assert f" Good to the end of {last}: " in talk.sends(text)[0]
    assert talk.sends("OPEN J1") == [
        f"J1 is open already. It is good to the end of {last}: that date stays."
    ]
    assert talk.sends("TEST S1") == [f"S1 is tested: its strips are good to the end of {last}."]


@pytest.mark.parametrize(
    ("texts", "label"),
    [
        (
            ("OPEN", "270331", "L7"),
            "J1-Q OPA 0.55 %, lot L7, good to the end of 15 May 2026 (the jug's",
        ),
        (
            ("OPEN", "260309", "L7"),
            "J1-Q OPA 0.55 %, lot L7, good to the end of 9 Mar 2026 (the maker's",
        ),
        (
            ("OPEN S", "270331", "L7"),
            "S1-H strips for OPA 0.55 %, lot L7, good to the end of 30 May 2026 (",
        ),
    ],
)
def test_S5_a_label_bears_the_last_good_day_with_its_year(
    texts: tuple[str, ...], label: str
) -> None:
    talk = clinic(stocked=False)

    heard = [text for body in texts for text in talk.sends(body, after=600)]

    assert any(each.startswith(f"Write on it: {label}") for each in heard)


@pytest.mark.parametrize("hours", [5, 24, 7 * 24])
def test_S5_a_label_bears_the_time_and_its_day_where_something_ends_at_one(hours: int) -> None:
    talk = clinic(stocked=False)
    ends = talk.now + timedelta(hours=hours)
    talk.let(JugOpened("J1", "opa_055", "L1", date(2027, 3, 31), talk.now, ends, "jug_open_life"))
    talk.sends("POUR J1", after=20)

    heard = talk.sends("filled", after=20)

    there = ends + timedelta(hours=3)
    assert f"good to {there:%H:%M} on {there.day} Mar 2026 (the jug's open life)" in heard[0]


def test_S5_near_times_are_said_as_times_where_something_ends_at_one() -> None:
    talk = clinic(stocked=False)
    ends = talk.now + timedelta(hours=5)
    talk.let(JugOpened("J1", "opa_055", "L1", date(2027, 3, 31), talk.now, ends, "jug_open_life"))

    assert talk.sends("STATE")[1] == "J1 until 17:00."
    assert " Good to 17:00: the jug's open life." in talk.sends("STATE J1")[0]


@pytest.mark.parametrize("way", [good_to, good_to_in_row, good_to_on_label])
@pytest.mark.parametrize("ends", [NINE, NINE.replace(hour=0)])
def test_S5_every_way_of_saying_it_is_in_the_catalogue(
    way: Callable[[datetime, ZoneInfo], Text], ends: datetime
) -> None:
    text = way(ends, ZoneInfo("UTC"))

    assert text.english == TEXTS[text.slug].english
