"""The bench runs, its copies are whole, and what it demands can be missed."""

from datetime import timedelta

import pytest

from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.store.transaction import Store
from tests.bench.speed.__main__ import main
from tests.bench.speed.clinics import IN_THE_BATH, Workshop
from tests.bench.speed.copies import copied, due_of, fill
from tests.bench.speed.table import at_least, at_most, drawn


def test_it_measures_and_draws_a_table(capsys: pytest.CaptureFixture[str]) -> None:
    ended = main(["--tiny", "statements"])

    lines = capsys.readouterr().out.splitlines()
    assert ended == 0
    assert any(line.startswith("| statements an exchange | SQLite |") for line in lines)


def test_a_copy_is_a_whole_clinic_at_another_time(store: Store) -> None:
    template = Workshop(store).at(IN_THE_BATH)
    by = timedelta(hours=7, seconds=3)

    rows, texters = copied(template, 5, by)
    with store.write() as connection:
        fill(connection, [rows])

    name = rows["site"][0]["id"]
    with store.read() as connection:
        assert verify(connection, name) == []
    assert rebuild(store, name) == []
    assert due_of(rows) == due_of(template.rows) + by
    assert name != template.site
    assert texters == ()


@pytest.mark.parametrize(
    ("row", "is_met"),
    [
        (at_least("pace", "SQLite", 0.4, 0.4), True),
        (at_least("pace", "SQLite", 0.39, 0.4), False),
        (at_most("lateness", "SQLite", 1.0, 1), True),
        (at_most("lateness", "SQLite", 1.01, 1), False),
    ],
)
def test_what_is_missed_is_said(row: object, is_met: bool) -> None:  # noqa: FBT001
    table = drawn([row])  # type: ignore[list-item]

    assert ("MISSED" not in table) == is_met
