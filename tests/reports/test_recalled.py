"""S15, S18: a recall goes by the record as it should have read, lots and sources alike."""

from datetime import date, datetime, timedelta

import pytest

from bot.record.written import of_kinds
from bot.reports.recalled import touched
from bot.store.transaction import Store
from flows.parts.clinic import Kind, Recall
from flows.parts.events import Corrected, JugOpened, Poured, Recalled
from flows.rules.recall import LOT
from tests.kit.shell import NINE, SITE, WEEK, Shell, shell

K999 = Recall("r1", LOT, "opa_055", "K999", "", NINE)


def jug(tag: str, lot: str) -> JugOpened:
    return JugOpened(tag, "opa_055", lot, date(2027, 3, 31), NINE, WEEK, "jug_open_life")


def poured(tag: str, kind: Kind, source: str, at: datetime = NINE) -> Poured:
    return Poured(tag, kind, source, "opa_055", "L1", at, WEEK, "reuse_life", topped_up=False)


def source_was(bot: Shell, tag: str, source: str) -> None:
    """The record says of an entry that *tag* was poured from something else."""
    with bot.store.read() as connection:
        entries = of_kinds(connection, SITE, ("Poured",))
    (seq,) = [each.seq for each in entries if getattr(each.stamped.event, "tag", "") == tag]
    bot.exchange.facts(SITE, (Corrected(seq, "source", source, ""),))


def found(bot: Shell) -> tuple[tuple[str, ...], tuple[str, ...]]:
    with bot.store.read() as connection:
        one = touched(connection, SITE, K999)
    return one.tags, one.also


@pytest.mark.parametrize("is_first", [True, False], ids=["jug first", "jug entered later"])
def test_S18_what_was_poured_from_another_jug_after_all_is_of_its_lot(
    store: Store, *, is_first: bool
) -> None:
    bot = shell(store)
    pours = [poured("B2", Kind.BOTTLE, "J1"), poured("T2", Kind.BATH, "B2")]
    entered = [jug("J2", "K999"), *pours] if is_first else [*pours, jug("J2", "K999")]
    bot.exchange.facts(SITE, entered)

    source_was(bot, "B2", "J2")

    tags, also = found(bot)
    assert {*tags} == {"J2", "B2", "T2"}
    assert {*also} == {"B2", "T2"}
    recalled = Recalled("r1", LOT, "opa_055", "K999", "", "none", NINE, also)
    bot.exchange.facts(SITE, (recalled,))
    fell = {each.tag for each in bot.clinic.containers.values() if each.fitness == "condemned"}
    assert fell == {"J2", "B2", "T2"}


def test_S18_a_source_that_no_record_knows_leaves_the_lot_as_it_was(store: Store) -> None:
    bot = shell(store)
    later = NINE + timedelta(hours=1)
    bot.exchange.facts(SITE, (jug("J2", "K999"), poured("B2", Kind.BOTTLE, "J1", later)))

    source_was(bot, "B2", "J8")

    assert found(bot) == (("J2",), ())
