"""What is true of each site now, and its bells: made from the record, and made again from it."""

from sqlalchemy import BigInteger, Column, ForeignKey, Index, Integer, Table, Text

from bot.store.tables.metadata import UTCDateTime, metadata

live = Table(
    "live",
    metadata,
    Column("site", Text, ForeignKey("site.id"), primary_key=True),
    Column("room", Text, primary_key=True),
    Column("key", Text, primary_key=True),
    Column("place", BigInteger, nullable=False),
    Column("body", Text, nullable=False),
    comment="Each thing of a clinic; place keeps the order in which they came.",
)

bell = Table(
    "bell",
    metadata,
    Column("site", Text, ForeignKey("site.id"), primary_key=True),
    Column("id", Text, primary_key=True),
    Column("place", BigInteger, nullable=False),
    Column("due_at", UTCDateTime, nullable=False),
    Column("body", Text, nullable=False),
    Column("lease_until", UTCDateTime),
    Column("attempts", Integer, nullable=False, server_default="0"),
    sqlite_with_rowid=False,
    comment="A timer that will ring. lease_until and attempts are no projection.",
)

# One index for what is due and for what is due next: of the leased there are only ever a few.
Index(None, bell.c.due_at)
