"""An entry reads back as what was written, whatever happened and however long ago."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.record.entry import Entry, EntryUnreadable, is_canonical, read_entry
from flows.parts.events import EVENTS, DeviceEnrolled, Event, Stamped, StepDone
from tests.kit.record import NINE, morning

MOST = 2**53 - 1

SINCE_2000 = st.datetimes(datetime(2000, 1, 1), timezones=st.just(UTC))  # noqa: DTZ001 - a bound
st.register_type_strategy(datetime, SINCE_2000)
st.register_type_strategy(int, st.integers(-MOST, MOST))
st.register_type_strategy(Decimal, st.decimals(-999, 999, places=2))
st.register_type_strategy(timedelta, st.timedeltas(timedelta(days=-9999), timedelta(days=9999)))
st.register_type_strategy(str, st.text(st.characters(exclude_categories=["Cs"]), max_size=20))


@pytest.mark.parametrize("kind", EVENTS.values(), ids=EVENTS)
def test_every_event_reads_back_as_it_was_written(kind: type[Event]) -> None:
    @settings(max_examples=20)
    @given(st.from_type(kind))
    def reads_back(event: Event) -> None:
        written = Entry("hill", 7, Stamped(event, NINE, "p1", None, "SM1"))

        assert read_entry(written.body) == written
        assert is_canonical(written.body)

    reads_back()


def test_a_body_is_canonical_text_with_its_place_and_its_stamp() -> None:
    entry = Entry("hill", 3, Stamped(DeviceEnrolled("V1", "endo"), NINE, "p1", "f1", "SM1"))

    assert entry.body == (
        '{"at":"2026-03-02T09:00:00.000000Z","cause":"SM1",'
        '"event":{"device":"V1","model":"endo"},"kind":"DeviceEnrolled",'
        '"person":"p1","phone":"f1","seq":3,"site":"hill","v":1}'
    )


def test_a_field_added_later_reads_as_its_default_from_an_older_entry() -> None:
    older = (
        '{"at":"2026-03-02T09:00:00.000000Z","cause":null,'
        '"event":{"cycle":"c1","device":"V1","what":"rinse"},"kind":"StepDone",'
        '"person":null,"phone":null,"seq":1,"site":"hill","v":1}'
    )

    entry = read_entry(older)

    assert entry.stamped.event == StepDone("c1", "V1", "rinse", stated_with="")
    assert is_canonical(older)


def test_columns_repeat_cycle_and_device_where_the_event_has_them() -> None:
    began = next(each for each in morning() if type(each.event).__name__ == "CycleBegan")

    columns = Entry("hill", 9, began).columns

    assert columns == {
        "at": began.at,
        "kind": "CycleBegan",
        "cycle": "c1",
        "device": "V1",
        "person": "p1",
        "phone": "f1",
        "cause": began.cause,
    }


@pytest.mark.parametrize(
    ("body", "why"),
    [
        ("{", "JSONDecodeError"),
        ("[]", "TypeError"),
        ('{"v":1}', "KeyError: 'kind'"),
        ('{"v":2,"kind":"StepDone"}', "shape 2, this release knows 1; upgrade first"),
        ('{"v":1,"kind":"Vanished"}', "no event Vanished; upgrade first"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_reason(body: str, why: str) -> None:
    with pytest.raises(EntryUnreadable, match=why):
        read_entry(body)


@pytest.mark.parametrize("body", ['{"b":1,"a":2}', '{"a": 1}', '{"a":"\\u0041"}'])
def test_a_body_written_another_way_is_not_canonical(body: str) -> None:
    assert not is_canonical(body)
