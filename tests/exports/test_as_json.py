"""Anybody can check a chain with SHA-256 alone, as the page on top of the export says."""

import json
import shutil
import subprocess
from hashlib import sha256

import pytest

from bot.exports.as_json import cycle_lines, lines
from bot.record.written import all_written, heads
from bot.reports.cycles import find_cycle
from bot.reports.timeline import timeline
from bot.store.transaction import Store
from tests.kit.played import SITE, one_cycle, written


def exported(store: Store) -> list[dict[str, str]]:
    written(store, one_cycle())
    with store.read() as connection:
        return [json.loads(line) for line in lines(all_written(connection, SITE))]


def test_each_line_hashes_to_its_own_hash_and_follows_the_one_before(store: Store) -> None:
    told = exported(store)

    before = "0" * 64
    for number, line in enumerate(told, start=1):
        body = json.loads(line["body"])
        assert line["prev"] == before
        assert sha256((line["prev"] + line["body"]).encode()).hexdigest() == line["hash"]
        assert (body["site"], body["seq"]) == (SITE, number) == (line["site"], line["seq"])
        before = line["hash"]
    with store.read() as connection:
        assert heads(connection) == [(SITE, len(told), before)]


def test_sha256sum_itself_says_the_same(store: Store) -> None:
    """Source: GNU coreutils, sha256sum."""
    command = shutil.which("sha256sum")
    if command is None:
        pytest.skip("No sha256sum on this machine.")
    line = exported(store)[-1]

    done = subprocess.run(
        [command], input=(line["prev"] + line["body"]).encode(), capture_output=True, check=True
    )

    assert done.stdout.split()[0].decode() == line["hash"]


def test_one_changed_character_is_found(store: Store) -> None:
    line = exported(store)[20]
    forged = line["body"].replace('"p1"', '"p2"', 1)

    assert forged != line["body"]
    assert sha256((line["prev"] + forged).encode()).hexdigest() != line["hash"]


def test_a_cycle_comes_with_the_entries_it_rests_on_each_whole(store: Store) -> None:
    written(store, one_cycle())
    with store.read() as connection:
        found = timeline(connection, SITE, find_cycle(connection, SITE, "V1"))
    told = [json.loads(line) for line in cycle_lines(found)]

    kinds = [json.loads(line["body"])["kind"] for line in told]
    outside = [kind for kind in kinds if kind in {"JugOpened", "Poured", "StripBottleOpened"}]
    assert outside == ["JugOpened", "Poured", "Poured", "StripBottleOpened"]
    assert [line["seq"] for line in told] == sorted({line["seq"] for line in told})
    assert [
        line["seq"]
        for line in told
        if sha256((line["prev"] + line["body"]).encode()).hexdigest() != line["hash"]
    ] == []


def test_S15_no_line_holds_a_name(store: Store) -> None:
    assert [line["seq"] for line in exported(store) if "Ann" in line["body"]] == []
