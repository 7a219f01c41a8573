"""Cycles listed, shown and exported; a broken chain and a wrong row are named, and fail."""

import csv
import json
from pathlib import Path

import pytest
from sqlalchemy import text

from bot.store.engine import open_store
from tests.kit.desk import Desk
from tests.kit.played import SITE, one_cycle, written
from tests.kit.record import guards_down


@pytest.fixture
def desk(database: str) -> Desk:
    store = open_store(database)
    talk = one_cycle()
    talk.sends("CLEAN V1", after=60)
    written(store, talk)
    store.close()
    return Desk(database)


def test_cycles_are_listed_by_device_and_by_the_sites_day(desk: Desk) -> None:
    first, second = desk.reads("record", "list").splitlines()

    assert first.split()[1:6] == ["V1", "2026-03-02", "12:01", "Ann", "released"]
    assert second.split()[1:] == ["V1", "2026-03-02", "12:41", "Ann", "open"]
    assert desk.reads("record", "list", "--device", "v1", "--day", "2026-03-02").count("\n") == 2
    assert desk.reads("record", "list", "--device", "V2") == ""
    assert desk.reads("record", "list", "--day", "2026-03-01") == ""


def test_a_cycle_is_shown_by_its_code(desk: Desk) -> None:
    code = desk.reads("record", "list").splitlines()[0].split()[-1]

    told = desk.reads("record", "show", code).splitlines()

    assert told[0].startswith("Cycle")
    assert [line for line in told if line.startswith("Release") and f" code {code}," in line] != []


def test_a_cycle_that_is_not_there_is_one_line(desk: Desk) -> None:
    (line,) = desk.fails("record", "show", "V1-0000")

    assert line.startswith(f"The record of {SITE} holds no cycle V1-0000.")


def test_everything_is_exported_into_a_directory(desk: Desk, tmp_path: Path) -> None:
    for form in ("text", "json", "csv"):
        desk.reads("record", "export", "--format", form, "--out", str(tmp_path / "out"))

    files = {each.name: each.read_bytes() for each in (tmp_path / "out").iterdir()}
    assert sorted(files) == [
        "s1-cycles.csv", "s1-dictionary.csv", "s1-entries.csv", "s1.jsonl", "s1.txt",
    ]  # fmt: skip
    assert files["s1.txt"].count(b"Fingerprint") == 2
    assert [json.loads(line)["seq"] for line in files["s1.jsonl"].splitlines()][:2] == [1, 2]
    assert files["s1-cycles.csv"].startswith(b"\xef\xbb\xbfsite,site_title,cycle,")
    assert files["s1-cycles.csv"].count(b"\r\n") == 3


def test_one_cycle_is_exported_to_standard_output(desk: Desk) -> None:
    cycle = desk.reads("record", "list").split()[0]

    told = desk.reads("record", "export", "--format", "csv", "--cycle", cycle)
    lines = desk.reads("record", "export", "--format", "json", "--cycle", cycle).splitlines()

    (row,) = csv.DictReader(told.removeprefix("\ufeff").splitlines())
    assert row["cycle"] == cycle
    assert {json.loads(line)["site"] for line in lines} == {SITE}


def test_a_whole_chain_is_told_with_its_head(desk: Desk) -> None:
    told = desk.reads("record", "verify")

    assert told.startswith(f"{SITE}: whole, ")
    assert len(told.split()[-1]) == 8


def test_S15_a_changed_entry_is_named_and_fails(desk: Desk) -> None:
    store = open_store(desk.url)
    with guards_down(store) as connection:
        connection.execute(
            text("UPDATE entry SET body = replace(body, :was, :now) WHERE seq = 20"),
            {"was": '"p1"', "now": '"p2"'},
        )
    store.close()

    first, *_ = desk.fails("record", "verify")

    assert first == f"{SITE}, entry 20: the chain breaks here: its hash is not that of its body"


def test_a_row_that_says_otherwise_is_named_by_check_and_put_right(desk: Desk) -> None:
    store = open_store(desk.url)
    with store.write() as connection:
        connection.execute(text("DELETE FROM live WHERE room = 'devices'"))
    store.close()

    named = desk.fails("record", "rebuild", "--check")
    put_right = desk.reads("record", "rebuild")

    assert named[:2] == [f"{SITE}, devices V1: the row says", "  nothing"]
    assert put_right.endswith(f"{SITE}: 1 rows put right.\n")
    assert desk.reads("record", "rebuild", "--check") == (
        f"{SITE}: every row says what the record says.\n"
    )


def test_S15_a_correction_stands_beside_its_entry_in_every_export(desk: Desk) -> None:
    lines = desk.reads("record", "export", "--format", "json").splitlines()
    bodies = [json.loads(json.loads(line)["body"]) for line in lines]
    jug, soak = (
        next(body["seq"] for body in bodies if body["kind"] == kind)
        for kind in ("JugOpened", "Immersed")
    )
    told = desk.reads("record", "correct", str(jug), "lot", "L8", "--reason", "Misread.")
    desk.reads("record", "correct", str(soak), "celsius", "22.5", "--reason", "Slip.")
    first = len(lines) + 1
    cycle = desk.reads("record", "list").split()[0]

    shown = desk.reads("record", "show", cycle)
    whole = [
        json.loads(line)
        for line in desk.reads("record", "export", "--format", "json").splitlines()
    ]
    of_cycle = [
        json.loads(line)
        for line in desk.reads(
            "record", "export", "--format", "json", "--cycle", cycle
        ).splitlines()
    ]
    (row,) = csv.DictReader(
        desk.reads("record", "export", "--format", "csv", "--cycle", cycle)
        .removeprefix("\ufeff")
        .splitlines()
    )

    assert told == f"Entry {first} says so of entry {jug}, which stays as it was written.\n"
    assert f"entry {jug}: lot corrected to L8 by entry {first}: Misread." in shown
    assert f"; celsius corrected to 22.5 by entry {first + 1}\n" in shown
    assert "lot L1, opened" in shown
    for export in (whole, of_cycle):
        beside = {line["seq"]: line.get("corrected") for line in export}
        assert beside[jug] == [{"entry": first, "field": "lot", "value": "L8"}]
        assert beside[soak] == [{"entry": first + 1, "field": "celsius", "value": "22.5"}]
        assert {first, first + 1} <= set(beside)
        assert [seq for seq, corrected in beside.items() if corrected] == [jug, soak]
    assert row["disinfectant_lot"] == "L1"
    assert row["corrected"] == (
        f"entry {jug}: lot corrected to L8 by entry {first}; "
        f"entry {soak}: celsius corrected to 22.5 by entry {first + 1}"
    )
    assert desk.reads("record", "verify").startswith(f"{SITE}: whole, ")


def test_what_cannot_be_corrected_is_one_line(desk: Desk) -> None:
    assert desk.fails(
        "record", "correct", "1", "zone", "next door to us all", "--reason", "x"
    ) == ["entry 1: zone is not written like that; words at most, and no sentence."]


def test_nor_is_an_entry_corrected_whose_number_no_record_reaches(desk: Desk) -> None:
    told = desk.fails(
        "record", "correct", "99999999999999999999999", "zone", "UTC", "--reason", "x", code=2
    )

    assert "is not in the range 1<=x<=999999999" in told[-1]
