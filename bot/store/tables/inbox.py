"""Texts that came in, each once (S10)."""

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    Table,
    Text,
    UniqueConstraint,
)

from bot.store.tables.metadata import UTCDateTime, metadata

# The carrier brings a text twice, and a captured webhook can be played again for ever: the
# constraint, in the transaction of what the text does, is what makes it count once.
inbox = Table(
    "inbox",
    metadata,
    Column("id", BigInteger().with_variant(Integer, "sqlite"), primary_key=True),
    Column("sid", Text, nullable=False),
    Column("site", Text, ForeignKey("site.id"), nullable=False),
    Column("phone", Text, nullable=False),
    Column("person", Text),
    Column("channel", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("arrived_at", UTCDateTime, nullable=False),
    Column("sent_at", UTCDateTime),
    Column("handled_at", UTCDateTime),
    Column("state", Text, nullable=False, server_default="seen"),
    Column("error", Text),
    Column("raw", Text),
    UniqueConstraint("sid"),
    CheckConstraint("state IN ('seen', 'handled', 'failed')", name="state"),
    comment="body: a PIN in it is masked before the first write. raw: the form without number "
    "and body. sent_at: the gateway's date, where known. person: who held the phone, so "
    "that what they wrote can be erased with them (S15).",
)

Index(None, inbox.c.site, inbox.c.phone, inbox.c.arrived_at)
