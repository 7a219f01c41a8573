"""Tables that a spreadsheet opens without harm, and whose every column is explained."""

import csv
import io
import re
from collections.abc import Mapping
from datetime import date, timedelta

import pytest

from bot.exports.as_csv import BOM, defused, files_of, table
from bot.exports.as_text import as_text
from bot.reports.timeline import timelines
from bot.store.people import erase, keep_person
from bot.store.transaction import Store
from flows.parts.clinic import Kind
from flows.parts.events import (
    FaultReported,
    JugOpened,
    Poured,
    ReleaseWithdrawn,
    SiteChoiceMade,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle
from tests.kit.played import (
    SITE,
    laxer,
    one_cycle,
    put_in,
    reasons_kept,
    wait_for_the_bell,
    written,
)
from tests.kit.record import write
from tests.kit.talk import Talk, clinic

FORMULAE = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "=HYPERLINK(1)"]
"""Source: OWASP, CSV Injection."""


def files(store: Store, talk: Talk) -> Mapping[str, str]:
    written(store, talk)
    with store.read() as connection:
        return files_of(list(timelines(connection, SITE)))


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.removeprefix(BOM), newline="")))


@pytest.mark.parametrize("cell", FORMULAE)
def test_no_cell_begins_as_a_formula_does(cell: str) -> None:
    (row,) = rows(table(["a", "b"], [["plain", cell]]))

    assert row["b"][0] == "'"
    assert row["b"][1:] == cell


@pytest.mark.parametrize("cell", ["", "0412", "a=b", "V1-K7P4", "2026-03-02T12:00:00+03:00"])
def test_other_cells_are_as_they_are(cell: str) -> None:
    assert defused(cell) == cell


def test_a_name_that_is_a_formula_is_defused_in_the_file(store: Store) -> None:
    talk = one_cycle()
    written(store, talk)
    with store.write() as connection:
        keep_person(connection, SITE, "p1", "=1+1", None)

    with store.read() as connection:
        told = files_of(list(timelines(connection, SITE)))

    assert rows(told["cycles.csv"])[0]["began_by"] == "'=1+1"
    assert {row["name"] for row in rows(told["entries.csv"])} == {"'=1+1", ""}


def test_the_reasons_of_deviations_stand_in_their_order_until_they_are_erased(
    store: Store,
) -> None:
    talk = laxer(contact_time="10 min", rinse_count="1")
    written(store, talk)
    reasons_kept(store, talk)
    with store.write() as connection:
        told = files_of(list(timelines(connection, SITE)))
        erase(connection, SITE, "p1", ())
        told_later = files_of(list(timelines(connection, SITE)))

    (cycle,), (later,) = (rows(each["cycles.csv"]) for each in (told, told_later))
    assert cycle["deviations_because"] == "Why 10 min.; Why 1."
    assert later["deviations_because"] == "(erased); (erased)"
    assert later["deviations"] == cycle["deviations"]
    assert len(cycle["deviations"].split("; ")) == 2


def test_an_activation_is_told_as_it_was_said(store: Store) -> None:
    selection = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")
    talk = clinic(selection=selection)
    play_cycle(talk, until="activate")
    talk.sends("260220", after=20)
    play_cycle(talk)
    write(store, talk.entries, SITE)

    with store.read() as connection:
        (cycle,) = timelines(connection, SITE)

    (row,) = rows(files_of([cycle])["cycles.csv"])
    assert (row["activation_needed"], row["activated_at"]) == ("yes", "2026-02-20T00:00:00+03:00")
    assert row["jug_discard_by"].startswith("2027-04-01")
    assert row["bath_discard_because"] == "activated_life"
    assert re.search(
        r"^activated +20 Feb 2026 00:00:00, discard by 20 Mar", as_text(cycle), re.MULTILINE
    )
    assert "jug J1 activated 20 Feb 2026 00:00:00, discard by 20 Mar" in as_text(cycle)


def test_where_nobody_said_when_it_was_activated_it_counts_from_the_opening(store: Store) -> None:
    """What came from a register with a bath that was there already."""
    selection = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")
    talk = clinic(selection=selection)
    week = talk.now + timedelta(days=7)
    expires = date(2027, 3, 31)
    talk.let(
        JugOpened("J1", "ga_30", "L1", expires, talk.now, week, "activated_life"),
        Poured(
            "T1", Kind.BATH, "J1", "ga_30", "L1", talk.now, week, "reuse_life", topped_up=False
        ),
    )
    play_cycle(talk)
    write(store, talk.entries, SITE)

    with store.read() as connection:
        text = files_of(list(timelines(connection, SITE)))

    (row,) = rows(text["cycles.csv"])
    assert row["activated_at"] == row["jug_opened_at"]


def test_commas_quotes_and_breaks_come_back_as_they_went() -> None:
    """Source: RFC 4180."""
    cells = ["a,b", 'he said "no"', "two\r\nlines", "\u00e9\u20ac"]

    (row,) = rows(table(["a", "b", "c", "d"], [cells]))

    assert list(row.values()) == cells


def test_a_row_a_cycle_and_a_row_an_entry(store: Store) -> None:
    talk = one_cycle()
    talk.sends("CLEAN V1", after=60)
    told = files(store, talk)

    cycles, entries = rows(told["cycles.csv"]), rows(told["entries.csv"])
    assert [row["outcome"] for row in cycles] == ["released", "open"]
    assert {row["cycle"] for row in entries} == {row["cycle"] for row in cycles}
    assert cycles[0]["entries"].split("-") == [entries[0]["seq"], _last(entries, cycles[0])]


def _last(entries: list[dict[str, str]], cycle: dict[str, str]) -> str:
    return [row["seq"] for row in entries if row["cycle"] == cycle["cycle"]][-1]


def test_every_column_is_in_the_dictionary_and_nothing_else_is(store: Store) -> None:
    told = files(store, one_cycle())
    explained = rows(told["dictionary.csv"])

    for file in ("cycles.csv", "entries.csv"):
        columns = list(rows(told[file])[0])
        assert [row["column"] for row in explained if row["file"] == file] == columns
    assert [row["column"] for row in explained if not row["meaning"]] == []


def test_the_use_before_and_the_uses_after_are_told_apart(store: Store) -> None:
    talk = one_cycle()
    play_cycle(talk)
    first, second = rows(files(store, talk)["cycles.csv"])

    assert (first["used_before_on"], first["patient_codes"]) == ("0411", "0412")
    assert (second["used_before_on"], second["patient_codes"]) == ("0412", "")


def test_codes_told_late_belong_to_the_release_they_were_used_on(store: Store) -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("CLEAN V1", after=600)
    talk.sends("0501 0502", after=20)

    first, second = rows(files(store, talk)["cycles.csv"])

    assert (first["patient_codes"], second["patient_codes"]) == ("0501 0502", "")


def test_a_use_in_the_middle_of_a_cycle_is_no_use_of_its_release(store: Store) -> None:
    talk = clinic()
    put_in(talk)
    talk.sends("USED V1 0412", after=60)

    (row,) = rows(files(store, talk)["cycles.csv"])

    assert (row["outcome"], row["patient_codes"]) == ("abandoned", "")


def test_codes_told_of_a_release_that_was_withdrawn_are_not_of_the_next_cycle(
    store: Store,
) -> None:
    talk = clinic()
    play_cycle(talk)
    release = talk.clinic.devices["V1"].release
    assert release is not None
    talk.let(ReleaseWithdrawn("V1", release.cycle, "returned"))
    talk.sends("CLEAN V1", after=600)
    talk.sends("0501", after=20)

    first, second = rows(files(store, talk)["cycles.csv"])

    assert (first["patient_codes"], second["patient_codes"]) == ("0501", "")


def test_a_use_whose_code_came_later_has_it(store: Store) -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("USED V1", after=60)
    pending = rows(files(store, talk)["cycles.csv"])[0]["patient_codes"]
    so_far = len(talk.entries)

    talk.sends("0413", after=60)
    write(store, talk.entries[so_far:], SITE)

    assert pending == "code pending"
    assert rows(files_again(store)["cycles.csv"])[0]["patient_codes"] == "0413"


def test_an_ended_cycle_says_why_and_shows_no_release(store: Store) -> None:
    talk = clinic()
    put_in(talk)
    talk.sends("FAULT V1 dropped it", after=60)

    (row,) = rows(files(store, talk)["cycles.csv"])

    assert (row["outcome"], row["because"]) == ("abandoned", "fault")
    assert sorted(row["trouble"].split("; ")) == [
        "fault reported",
        "quarantined: fault",
        "soak broken: fault",
    ]
    assert (row["release_code"], row["out_at"], row["contact_s"]) == ("", "", "")


def test_somebody_who_takes_over_stands_beside_what_they_did(store: Store) -> None:
    talk = clinic()
    put_in(talk)
    talk.sends("TAKE V1", phone="ph2", after=30)
    wait_for_the_bell(talk)

    (row,) = rows(files(store, talk)["cycles.csv"])

    assert (row["began_by"], row["disinfected_by"]) == ("Ann", "Ann")
    assert "(erased)" in {each["name"] for each in rows(files_again(store)["entries.csv"])}


def files_again(store: Store) -> Mapping[str, str]:
    with store.read() as connection:
        return files_of(list(timelines(connection, SITE)))


def test_a_fault_told_between_cycles_is_of_no_cycle(store: Store) -> None:
    talk = one_cycle()
    talk.let(FaultReported("V1", "said"))

    (row,) = rows(files(store, talk)["cycles.csv"])

    assert row["trouble"] == ""


def test_the_volumes_of_jug_bottle_and_bath_are_told(store: Store) -> None:
    """As the site has said; 150 ml of a bath, as the device file says."""
    talk = clinic(stocked=False)
    ways = (("jug_volume", "5 L"), ("bottle_volume", "0.5 L"))
    talk.let(*(SiteChoiceMade("site", key, value, "") for key, value in ways))
    play_cycle(talk)
    write(store, talk.entries, SITE)

    with store.read() as connection:
        (cycle,) = timelines(connection, SITE)

    (row,) = rows(files_of([cycle])["cycles.csv"])
    told = [row[f"{kind}_volume_ml"] for kind in ("jug", "bottle", "bath")]
    page = as_text(cycle)
    assert told == ["5000", "500", "150"]
    assert re.search(r"^Bath +T1 \(150 ml\), lot ", page, re.MULTILINE)
    for opened in ("jug J1 of opa_055 (5000 ml) opened", "B1 (500 ml) filled from J1"):
        assert opened in page


def test_a_volume_that_nobody_has_said_is_an_empty_cell(store: Store) -> None:
    talk = clinic()
    play_cycle(talk)
    write(store, talk.entries, SITE)

    with store.read() as connection:
        (cycle,) = timelines(connection, SITE)

    (row,) = rows(files_of([cycle])["cycles.csv"])
    assert row["jug_volume_ml"] == row["bottle_volume_ml"] == ""
    assert " ml)" not in as_text(cycle)


def test_what_is_mixed_for_one_soak_was_mixed_as_its_bath_was_filled(store: Store) -> None:
    """Its bleach may have been opened weeks before."""
    talk = clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"))
    play_cycle(talk)
    write(store, talk.entries, SITE)

    with store.read() as connection:
        (cycle,) = timelines(connection, SITE)

    (row,) = rows(files_of([cycle])["cycles.csv"])
    assert row["activated_at"] == row["bath_filled_at"] != row["jug_opened_at"]
