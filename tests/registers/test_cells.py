"""What may stand in a cell; what may not is named, with its value and what to write instead."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from bot.registers.add import NotSetUp
from bot.registers.rows import closing, label, lot, moment, name, number, pin, site_id, tag, zone
from bot.texts.segments import segments, to_gsm7
from tests.kit.sheets import ANN, added, row


@pytest.mark.parametrize(("typed", "read"), [("V1", "V1"), ("vv99", "VV99"), ("a0", "A0")])
def test_a_device_label_is_one_or_two_letters_and_one_or_two_figures(
    typed: str, read: str
) -> None:
    assert label(typed) == read


@pytest.mark.parametrize("typed", ["", "V", "V100", "VVV1", "1V", "V-1", "\u01121"])
def test_other_labels_are_refused(typed: str) -> None:
    assert label(typed) is None


@pytest.mark.parametrize("typed", ["J1", "b2", "T3", "S4", "IN20"])
def test_a_device_takes_no_containers_letter_and_nothing_that_reads_as_an_answer(
    typed: str,
) -> None:
    assert label(typed) is None


@pytest.mark.parametrize("typed", ["V1", "J", "J100", "JJ1", "J0", "J01"])
def test_a_container_bears_its_own_letter_and_a_figure_or_two(typed: str) -> None:
    assert tag(typed) is None
    assert tag("j12") == "J12"


@pytest.mark.parametrize(("typed", "read"), [("D4417", "D4417"), ("7", "7"), ("None", "")])
def test_S18_a_lot_has_a_figure_and_NONE_says_that_there_is_none(typed: str, read: str) -> None:
    """How lots look: common practice, no source."""
    assert lot(typed) == read


@pytest.mark.parametrize("typed", ["UNKNOWN", "ABC", "N/A", "", "D" * 12 + "1", "D\u0661"])
def test_S18_a_word_in_its_place_is_no_lot(typed: str) -> None:
    assert lot(typed) is None


@pytest.mark.parametrize(
    "typed", ["W" * 12, "Ann", " Ann  Bo ", "Zo\u00eb", "O'Hara-N.", "[Annalise]"]
)
def test_a_name_of_twelve_septets_is_taken_and_leaves_a_text_no_longer(typed: str) -> None:
    read = name(typed)

    assert read == " ".join(typed.split())
    assert segments(to_gsm7(read or "")).septets <= 12


@pytest.mark.parametrize(
    "typed",
    ["W" * 13, "[" * 7, "", " ", "\u0410\u043d\u043d\u0430", "\u2063"],
    ids=["too long", "two septets each", "empty", "blank", "another alphabet", "invisible"],
)
def test_a_name_that_an_sms_cannot_carry_is_refused(typed: str) -> None:
    """Two septets for each of ^{}[]~\\|. Source: 3GPP TS 23.038, extension table."""
    assert name(typed) is None


@pytest.mark.parametrize("typed", ["+12025550101", "0012025550101", "+1 (202) 555-0101"])
def test_a_number_is_kept_in_one_form(typed: str) -> None:
    """Source: ITU-T E.164."""
    assert number(typed) == "+12025550101"


@pytest.mark.parametrize("typed", ["12025550101", "+0123456789", "+1202555010112345", "Ann"])
def test_a_number_that_is_not_international_is_refused(typed: str) -> None:
    assert number(typed) is None


@pytest.mark.parametrize("typed", ["314", "3141592", "31a4", "31 41", "\u0663\u0661\u0664\u0661"])
def test_S14_a_pin_is_four_to_six_figures(typed: str) -> None:
    assert pin(typed) is None
    assert (pin("3141"), pin("314159")) == ("3141", "314159")


@pytest.mark.parametrize("typed", ["Nairobi", "../etc/passwd", "/etc/localtime", "GMT+25"])
def test_a_zone_is_one_of_the_database(typed: str) -> None:
    """Source: IANA time zone database."""
    known = zone("Etc/GMT-3")

    assert zone(typed) is None
    assert known is not None
    assert known.key == "Etc/GMT-3"


@pytest.mark.parametrize(
    "typed", ["9999-12-31", "0001-01-01", "9999-12-31 23:59", "2026-03-29 02:30"]
)
def test_S5_no_day_is_at_the_end_of_the_calendar_and_no_time_in_the_hour_left_out(
    typed: str,
) -> None:
    """On 29 March 2026 clocks in Berlin go from 02:00 to 03:00. Source: IANA database."""
    berlin = ZoneInfo("Europe/Berlin")

    assert moment(typed, berlin) is None
    assert moment("2026-03-29 03:30", berlin) == datetime(2026, 3, 29, 1, 30, tzinfo=UTC)


def test_S5_of_an_hour_that_comes_twice_the_first_counts() -> None:
    """The earliest that it can have been. Source: IANA database, 25 October 2026; PEP 495."""
    read = moment("2026-10-25 02:30", ZoneInfo("Europe/Berlin"))

    assert isinstance(read, datetime)
    assert read.astimezone(UTC) == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)


@pytest.mark.parametrize("typed", ["24:00", "7:00", "17.00", "17:60", "1700"])
def test_a_closing_time_has_hours_and_minutes(typed: str) -> None:
    assert closing(typed) is None
    assert closing("07:30") == "07:30"


@pytest.mark.parametrize("typed", ["Hill", "2hill", "hill/north", "h" * 17])
def test_a_site_has_a_short_plain_name(typed: str) -> None:
    assert site_id(typed) is None
    assert site_id("hill-2") == "hill-2"


def test_every_problem_of_every_row_is_named_at_once() -> None:
    with pytest.raises(NotSetUp) as refused:
        added(
            people=(row(**(ANN | {"number": "100", "role": "boss", "phone": "12"})),),
            devices=(row(label="J1", model="endoscope"), row(label="V1", colour="red")),
        )

    assert [(each.key, each.reason.split(";")[0]) for each in refused.value.problems] == [
        ("label", "is J1"),
        ("model", "is endoscope"),
        ("colour", "is no column here"),
        ("model", "is missing"),
        ("phone", "is 12"),
        ("number", "is 100"),
        ("role", "is boss"),
    ]


def test_S14_a_wrong_pin_is_not_shown() -> None:
    with pytest.raises(NotSetUp, match="row: pin is not one; 4 to 6 figures") as refused:
        added(people=(row(**(ANN | {"pin": "31415926"})),))

    assert "31415926" not in str(refused.value)
