"""What is waiting, and since when: for whoever watches over the bot."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, func, select

from bot.store.tables import bell, outbox


@dataclass(frozen=True, slots=True)
class Waiting:
    bell_due_at: datetime | None
    """When the next bell is due, or was: in the past, if it has not rung."""
    unsent_since: datetime | None
    """When the text was said that has waited longest to be sent."""
    texts: Mapping[str, int]
    """How many texts are in each state."""


def waiting(connection: Connection) -> Waiting:
    unsent = outbox.c.state.in_(("pending", "claimed", "unknown"))
    by_state = select(outbox.c.state, func.count().label("texts")).group_by(outbox.c.state)
    return Waiting(
        connection.execute(select(func.min(bell.c.due_at))).scalar_one(),
        connection.execute(select(func.min(outbox.c.created_at)).where(unsent)).scalar_one(),
        {row.state: row.texts for row in connection.execute(by_state)},
    )
