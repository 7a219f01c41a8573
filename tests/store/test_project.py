"""Rows are written where something changed, and nowhere else."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from types import MappingProxyType

from sqlalchemy import event, text

from bot.record.append import append
from bot.store.live import Loaded, load
from bot.store.project import project
from bot.store.transaction import Store
from bot.timers import claim
from flows.parts.clinic import Bell, Clinic
from flows.parts.events import BellSet, BellStopped, CycleAbandoned, Stamped, StepDone
from tests.kit.record import MINUTE, NINE, SITE, morning, write

AN_HOUR = 60 * MINUTE


@contextmanager
def statements(store: Store) -> Iterator[list[str]]:
    """The beginning of every statement sent while this is open."""
    sent: list[str] = []

    def note(_c: object, _k: object, statement: str, *_: object) -> None:
        if not statement.startswith("BEGIN"):
            sent.append(" ".join(statement.replace('"', "").partition("(")[0].split()[:3]))

    event.listen(store.writing, "before_cursor_execute", note)
    yield sent
    event.remove(store.writing, "before_cursor_execute", note)


def test_an_exchange_that_changes_one_thing_takes_five_statements(store: Store) -> None:
    write(store, morning())

    with statements(store) as sent, store.exchange(SITE) as unit:
        append(unit, [Stamped(StepDone("c1", "V1", "rinse"), NINE)])

    assert sent == [
        "SELECT site.seq, site.head",
        "SELECT CAST",
        "INSERT INTO entry",
        "UPDATE site SET",
        "INSERT INTO live",
    ]


def test_an_exchange_that_changes_everything_takes_eight(store: Store) -> None:
    write(store, morning())
    late = NINE + AN_HOUR

    with statements(store) as sent, store.exchange(SITE) as unit:
        append(
            unit,
            [
                Stamped(CycleAbandoned("c1", "V1", "no_answer"), late),
                Stamped(BellSet("other", "nightly", late), late),
                Stamped(BellStopped("closing"), late),
            ],
        )

    assert sent[4:] == [
        "INSERT INTO live", "DELETE FROM live", "INSERT INTO bell", "DELETE FROM bell",
    ]  # fmt: skip
    assert len(sent) == 8


def test_a_thing_taken_away_and_put_back_stands_last(store: Store) -> None:
    one, two, three = (Bell(name, "nightly", NINE) for name in ("one", "two", "three"))
    before, after = clinic_with(one, two, three), clinic_with(two, three, one)
    store.open_chain(SITE)

    with store.write() as connection:
        loaded = project(connection, SITE, Loaded(), before)
        project(connection, SITE, loaded, after)
        back = load(connection, SITE)

    assert [*back.clinic.bells] == ["two", "three", "one"]


def clinic_with(*bells: Bell) -> Clinic:
    return replace(Clinic(), bells=MappingProxyType({bell.id: bell for bell in bells}))


def bell_row(store: Store) -> tuple[object, ...]:
    wanted = text("SELECT lease_until IS NOT NULL, attempts FROM bell WHERE id = 'closing'")
    with store.read() as connection:
        return tuple(connection.execute(wanted).one())


def test_a_claim_outlives_a_change_of_a_bell_s_words(store: Store) -> None:
    write(store, [Stamped(BellSet("closing", "closing", NINE), NINE)])
    claim(store, NINE, 1, MINUTE)

    write(store, [Stamped(BellSet("closing", "closing", NINE, stage=1), NINE)])

    assert bell_row(store) == (True, 1)


def test_a_claim_ends_when_the_bell_is_moved_but_its_attempts_count_on(store: Store) -> None:
    write(store, [Stamped(BellSet("closing", "closing", NINE), NINE)])
    claim(store, NINE, 1, MINUTE)

    write(store, [Stamped(BellSet("closing", "closing", NINE + AN_HOUR), NINE)])

    assert bell_row(store) == (False, 1)
