"""Sheets as a spreadsheet saves them: rows by their numbers, sites apart."""

import pytest

from bot.registers.add import NotSetUp, add
from bot.registers.spreadsheet import read_sheets
from flows.parts.events import SiteOpened
from tests.kit.sheets import MOMENT, district, hashed

OPEN = "site,title,zone,closes_at,language,day_order\nhill,Hill,UTC,17:00,en,\n"


def test_the_invented_district_is_whole() -> None:
    (wanted,) = read_sheets(district()).values()

    made = add("velmara", wanted, MOMENT, hashed=hashed)

    assert isinstance(made.events[0], SiteOpened)
    assert made.events[0].title == "Velmara Bend"
    assert len(made.names) == 5
    assert len(made.numbers) == 4


def test_a_bad_row_is_named_as_the_spreadsheet_numbers_it() -> None:
    devices = "site,label,model\nhill,V1,handheld_probe\n,,\nhill,J9,handheld_probe\n"
    wanted = read_sheets({"district.csv": OPEN, "devices.csv": devices})["hill"]

    with pytest.raises(NotSetUp, match=r"^devices.csv row 4: label is J9") as refused:
        add("hill", wanted, MOMENT)

    assert len(refused.value.problems) == 1


def test_rows_of_a_site_that_is_nowhere_opened_are_refused_and_not_lost() -> None:
    devices = "site,label,model\nvalley,V1,handheld_probe\n"
    sheets = read_sheets({"district.csv": OPEN, "devices.csv": devices})

    with pytest.raises(NotSetUp, match="valley: site is not open here"):
        add("valley", sheets["valley"], MOMENT)


def test_a_cell_too_many_is_named_and_not_dropped() -> None:
    devices = "site,label,model\nhill,V1,handheld_probe,second floor\n"
    wanted = read_sheets({"district.csv": OPEN, "devices.csv": devices})["hill"]

    with pytest.raises(NotSetUp, match=r"^devices.csv row 2: beyond the heading is no column"):
        add("hill", wanted, MOMENT)


def test_columns_come_in_any_order_with_spaces_and_a_byte_order_mark() -> None:
    devices = "\ufeffmodel,label,site\n handheld_probe , v1 ,hill\n"
    wanted = read_sheets({"district.csv": OPEN, "devices.csv": devices})["hill"]

    made = add("hill", wanted, MOMENT)

    assert [event for event in made.events if "V1" in repr(event)] != []
