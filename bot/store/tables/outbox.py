"""Texts on their way out, and every delivery report as it came."""

from typing import Any, cast

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    ColumnElement,
    ForeignKey,
    Index,
    Integer,
    Table,
    Text,
    UniqueConstraint,
    literal_column,
    text,
)

from bot.store.tables.metadata import UTCDateTime, metadata

ROW_NUMBER = BigInteger().with_variant(Integer, "sqlite")

# The id goes out in the callback address: one that was used is never given again.
outbox = Table(
    "outbox",
    metadata,
    Column("id", ROW_NUMBER, primary_key=True),
    Column("site", Text, ForeignKey("site.id"), nullable=False),
    Column("phone", Text, nullable=False),
    Column("slug", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("language", Text, nullable=False),
    Column("septets", Integer, nullable=False),
    Column("state", Text, nullable=False, server_default="pending"),
    Column("created_at", UTCDateTime, nullable=False),
    Column("valid_until", UTCDateTime, nullable=False),
    Column("next_try_at", UTCDateTime, nullable=False),
    Column("tried_at", UTCDateTime),
    Column("attempts", Integer, nullable=False, server_default="0"),
    Column("lease_until", UTCDateTime),
    Column("gateway_sid", Text),
    Column("thread", Text),
    Column("question", Integer),
    Column("bell", Text),
    Column("last_status", Text),
    Column("error_code", Text),
    CheckConstraint(
        "state IN ('pending', 'claimed', 'sent', 'unknown', 'dead', 'overtaken')", name="state"
    ),
    sqlite_autoincrement=True,
    comment="A text to send is a row first. phone is an opaque id; bell, where it must arrive.",
)

_UNSENT = ("pending", "claimed", "unknown")
UNSENT = text(f"state IN {_UNSENT}")
"""The few rows that are ever looked for: what is sent stays in the table, not in their index."""
TRIED, ACCEPTED = text("tried_at IS NOT NULL"), text("gateway_sid IS NOT NULL")
"""A text that is only queued is in neither index: the sender pays for them, not the exchange."""

Index(
    "ix_outbox_due", outbox.c.state, outbox.c.next_try_at,
    sqlite_where=UNSENT, postgresql_where=UNSENT,
)  # fmt: skip
Index(
    "ix_outbox_oldest_of_phone", outbox.c.site, outbox.c.phone, outbox.c.id,
    sqlite_where=UNSENT, postgresql_where=UNSENT,
)  # fmt: skip
Index(
    None, outbox.c.site, outbox.c.phone, outbox.c.tried_at,
    sqlite_where=TRIED, postgresql_where=TRIED,
)  # fmt: skip
Index(None, outbox.c.gateway_sid, sqlite_where=ACCEPTED, postgresql_where=ACCEPTED)


def is_unsent(texts: Any) -> ColumnElement[bool]:
    """The indexes' own condition, for a query on *texts*: SQLite takes them for no other words."""
    return cast("ColumnElement[bool]", texts.c.state.in_(map(_literal, _UNSENT)))


def _literal(state: str) -> ColumnElement[str]:
    return literal_column(f"'{state}'")


# The same report comes more than once; a sid has each status once.
outbox_status = Table(
    "outbox_status",
    metadata,
    Column("id", ROW_NUMBER, primary_key=True),
    Column("outbox", ROW_NUMBER, ForeignKey("outbox.id"), nullable=False),
    Column("sid", Text),
    Column("status", Text, nullable=False),
    Column("error_code", Text),
    Column("arrived_at", UTCDateTime, nullable=False),
    Column("fact", Text),
    Column("telling_until", UTCDateTime),
    Column("told_at", UTCDateTime),
    UniqueConstraint("sid", "status"),
    sqlite_autoincrement=True,
    comment="Reports as they came. fact: what follows from it; told_at: when it was told.",
)

UNTOLD = text("fact IS NOT NULL AND told_at IS NULL")

Index(
    "ix_outbox_status_untold", outbox_status.c.id,
    sqlite_where=UNTOLD, postgresql_where=UNTOLD,
)  # fmt: skip
Index(None, outbox_status.c.outbox)
