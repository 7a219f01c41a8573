"""The programme's chain: each hour it takes in the heads of all others."""

from collections.abc import Iterator
from datetime import datetime

from sqlalchemy import Connection, select

from bot.record.append import append
from bot.record.read import of_kind
from bot.store.exchange import run_exchange
from bot.store.tables import site as sites
from bot.store.transaction import GENESIS, Store, Unit
from flows.parts.events import Sealed, Stamped

PROGRAMME = "programme"


def seal(store: Store, now: datetime) -> Sealed:
    """Write the heads of all chains that have entries into the programme's own."""
    store.open_chain(PROGRAMME)

    def take_heads(unit: Unit) -> Sealed:
        begun = select(sites.c.id, sites.c.head).where(
            sites.c.id != PROGRAMME, sites.c.head != GENESIS
        )
        heads = unit.connection.execute(begun.order_by(sites.c.id)).all()
        sealed = Sealed(dict(heads))
        append(unit, [Stamped(sealed, now)])
        return sealed

    return run_exchange(store, PROGRAMME, take_heads)


def sealed_heads(connection: Connection, site: str) -> Iterator[tuple[int, str]]:
    """Number of the seal and head of *site* in it, oldest first."""
    for entry in of_kind(connection, PROGRAMME, Sealed.__name__):
        event = entry.stamped.event
        if isinstance(event, Sealed) and site in event.heads:
            yield entry.seq, event.heads[site]
