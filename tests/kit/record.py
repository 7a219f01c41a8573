"""A small clinic's first morning, as entries, and ways to write them and to tamper with them."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from sqlalchemy import Connection, text

from bot.record.append import append
from bot.record.guard import set_guards
from bot.store.tables.guards import POSTGRESQL_FUNCTION, POSTGRESQL_GUARDS, SQLITE_GUARDS
from bot.store.transaction import Store
from flows.parts.clinic import Frame, Kind, Level, Role
from flows.parts.events import (
    BellRang,
    BellSet,
    CycleBegan,
    DetergentSoakBegan,
    DetergentSoakEnded,
    DeviceEnrolled,
    Event,
    Immersed,
    JugOpened,
    PersonEnrolled,
    PhoneEnrolled,
    Poured,
    QuestionAsked,
    SiteOpened,
    Stamped,
    StepDone,
)

SITE = "hill"
NINE = datetime(2026, 3, 2, 9, tzinfo=UTC)
MINUTE = timedelta(minutes=1)

SET_UP: tuple[Event, ...] = (
    SiteOpened(SITE, "Etc/GMT-3", "17:00", "en", "dmy"),
    PersonEnrolled("p1", 1, Role.WORKER, Level.COACH, may_release=True, language="en"),
    PersonEnrolled("p2", 2, Role.SUPERVISOR, Level.BRIEF, may_release=True, language="en"),
    PhoneEnrolled("f2", ("p2",), shared=False),
    PhoneEnrolled("f1", ("p1", "p2"), shared=True),
    DeviceEnrolled("V1", "endovaginal"),
)


def morning(cycle: str = "c1") -> tuple[Stamped, ...]:
    """Set up, a jug opened, a bath filled, one probe through its detergent and into the bath."""
    expires = date(2027, 3, 31)
    acts: tuple[Event, ...] = (
        *SET_UP,
        JugOpened("J1", "opa_055", "L7", expires, NINE, NINE + timedelta(days=75), "open_life"),
        Poured(
            "B1", Kind.BATH, "J1", "opa_055", "L7", NINE, NINE + timedelta(days=14), "poured",
            topped_up=False,
        ),
        CycleBegan(cycle, "V1", Level.COACH, '{"steps":[]}', "0" * 8, for_repair=False),
        QuestionAsked(
            "t1", "f1", "p1", 1, (Frame("cycle", "inspect", {"device": "V1", "a": "b"}),),
            "inspect", cycle, nudge_at=NINE + 10 * MINUTE,
        ),
        StepDone(cycle, "V1", "inspect"),
        DetergentSoakBegan(cycle, "V1", NINE + 12 * MINUTE, 61),
        BellRang(f"{cycle}.detergent", "detergent", timedelta(0), cycle),
        DetergentSoakEnded(cycle, "V1", 5 * MINUTE, 61),
        Immersed(
            cycle, "V1", "B1", NINE + timedelta(days=14), "s1", NINE + timedelta(hours=8),
            Decimal("21.5"), NINE + 40 * MINUTE, 74,
        ),
        BellSet("closing", "closing", NINE + timedelta(hours=5)),
    )  # fmt: skip
    return tuple(
        Stamped(act, NINE + number * MINUTE, "p1", "f1", f"SM{number}")
        for number, act in enumerate(acts)
    )


def write(store: Store, entries: Sequence[Stamped], site: str = SITE) -> None:
    """Append *entries* to a chain, which is opened where there is none."""
    store.open_chain(site)
    with store.exchange(site) as unit:
        append(unit, entries)


@contextmanager
def guards_down(store: Store) -> Iterator[Connection]:
    """What somebody with the database's own password can do; the guards are put back after it."""
    with store.write() as connection:
        for statement in _takedown(connection.dialect.name):
            connection.execute(text(statement))
        yield connection
        set_guards(connection)


def _takedown(dialect: str) -> list[str]:
    if dialect == "sqlite":
        return [f"DROP TRIGGER {name}" for name in SQLITE_GUARDS]
    triggers = [f"DROP TRIGGER {name} ON entry" for name in POSTGRESQL_GUARDS]
    return [*triggers, f"DROP FUNCTION {POSTGRESQL_FUNCTION}"]
