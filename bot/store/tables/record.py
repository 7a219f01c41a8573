"""The record: a chain a site, and the row that is locked while it grows."""

from sqlalchemy import BigInteger, Column, ForeignKey, Index, Table, Text

from bot.store.tables.metadata import UTCDateTime, metadata

site = Table(
    "site",
    metadata,
    Column("id", Text, primary_key=True),
    Column("head", Text, nullable=False),
    Column("seq", BigInteger, nullable=False),
    comment="A chain and its head. Whoever writes for a site locks this row first.",
)

# No row number of its own on SQLite: INSERT OR REPLACE could take an entry's place by it.
entry = Table(
    "entry",
    metadata,
    Column("site", Text, ForeignKey("site.id"), primary_key=True),
    Column("seq", BigInteger, primary_key=True, autoincrement=False),
    Column("at", UTCDateTime, nullable=False),
    Column("kind", Text, nullable=False),
    Column("cycle", Text),
    Column("device", Text),
    Column("person", Text),
    Column("phone", Text),
    Column("cause", Text),
    Column("body", Text, nullable=False),
    Column("prev", Text, nullable=False),
    Column("hash", Text, nullable=False),
    sqlite_with_rowid=False,
    comment="What happened. Added, never changed; the columns beside body repeat it for queries.",
)

Index(None, entry.c.site, entry.c.cycle, entry.c.seq)
Index(None, entry.c.site, entry.c.kind, entry.c.seq)
