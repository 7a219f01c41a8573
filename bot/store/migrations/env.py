"""Alembic's entry: the connection comes from `migrate`, the tables from `bot.store.tables`."""

from typing import Any, Literal

from alembic import context
from alembic.autogenerate.api import AutogenContext

from bot.store.tables import metadata
from bot.store.tables.metadata import UTCDateTime


def in_plain_types(kind: str, thing: Any, _: AutogenContext) -> str | Literal[False]:
    """A migration stands alone: it must not change when a type of ours does."""
    if kind == "type" and isinstance(thing, UTCDateTime):
        return "sa.DateTime(timezone=True)"
    return False


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    render_item=in_plain_types,
    compare_type=True,
)
with context.begin_transaction():
    context.run_migrations()
