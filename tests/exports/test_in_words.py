"""What a record reads like aloud: sentences, and no name out of the code."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest

from bot.exports.in_words import in_words
from bot.record.entry import Entry
from bot.record.written import Written
from bot.reports.timeline import Timeline
from flows.parts import events as e
from flows.parts.events import Event, Stamped

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
AT = "2 Mar 2026 12:00:00"


def read_aloud(event: Event) -> str:
    entry = Written("s1", 1, Entry("s1", 1, Stamped(event, NOON)).body, "", "")
    return in_words(Timeline("s1", "c1", (entry,), ()), entry)


@pytest.mark.parametrize(
    ("event", "sentence"),
    [
        (e.ContainerCondemned("J1", "lot_recalled"), "J1 CONDEMNED: its lot is recalled"),
        (e.ContainerCondemned("T1", "strip_failed"), "T1 CONDEMNED: its strip failed"),
        (e.ContainerCondemned("T1", "topped_up"), "T1 CONDEMNED: it was topped up"),
        (
            e.ContainerCondemned("T1", "of_topped_up"),
            "T1 CONDEMNED: it was poured from what was topped up",
        ),
        (
            e.ContainerCondemned("J1", "activation_unknown"),
            "J1 CONDEMNED: nobody knows when it was activated",
        ),
        (
            e.ContainerCondemned("B1", "not_active"),
            "B1 CONDEMNED: it was poured before its jug was activated",
        ),
        (
            e.ContainerCondemned("J1", "figure_recalled"),
            "J1 CONDEMNED: a figure that it rests on is recalled",
        ),
        (
            e.ContainerHeld("T1", "strips_recalled"),
            "T1 ON HOLD: the strips that it passed are recalled",
        ),
        (
            e.ContainerHeld("B1", "kin_failed"),
            "B1 ON HOLD: a strip failed in solution of the same origin",
        ),
        (e.ContainerHeld("T1", "no_result"), "T1 ON HOLD: two strips gave no result"),
        (e.ContainerDiscarded("T1"), "T1 gone: thrown away"),
        (e.ContainerDiscarded("J1", "lot_recalled"), "J1 gone: its lot is recalled"),
        (e.ContainerHeld("T1", "a_new_reason"), "T1 ON HOLD: a new reason"),
        (
            e.Mixed("M1", "chlorine", "0.5 %", Decimal(2000), "L7", NOON, NOON, "single_use"),
            f"M1 mixed: 2000 ml of chlorine 0.5 % from lot L7, {AT}, discard by {AT} (single_use)",
        ),
        (
            e.CaseOpened("k1", "strip_failed", "T1", NOON, ("c1", "c2")),
            f"look-back opened, strip failed, T1: cycles since {AT}: c1 c2",
        ),
        (
            e.CaseOpened("k1", "lot_recalled", "L1", None, ()),
            "look-back opened, lot recalled, L1: cycles: none",
        ),
    ],
)
def test_what_befalls_containers_reads_as_a_sentence(event: Event, sentence: str) -> None:
    assert read_aloud(event) == sentence


@pytest.mark.parametrize(
    ("test", "judged"),
    [("t1", "strip t1 good until"), ("", "what stands in a strip's place good until")],
)
def test_S4_where_no_strip_exists_none_is_named(test: str, judged: str) -> None:
    event = e.Immersed("c1", "V1", "T1", NOON, test, NOON, Decimal(23), NOON, 42)

    assert judged in read_aloud(event)
