"""What can be erased: names, numbers, PIN hashes, free text. The record holds opaque ids (S15)."""

from sqlalchemy import Column, Date, ForeignKey, Integer, Table, Text, UniqueConstraint

from bot.store.tables.metadata import UTCDateTime, metadata

person = Table(
    "person",
    metadata,
    Column("site", Text, ForeignKey("site.id"), primary_key=True),
    Column("id", Text, primary_key=True),
    Column("name", Text, nullable=False),
    Column("pin_hash", Text),
)

# A number belongs to one phone of one site, so that a text can only mean one place.
phone = Table(
    "phone",
    metadata,
    Column("site", Text, ForeignKey("site.id"), primary_key=True),
    Column("id", Text, primary_key=True),
    Column("number", Text, nullable=False),
    UniqueConstraint("number"),
)

# The salt is erased with the text: without it a short text could be guessed from its hash.
free_text = Table(
    "free_text",
    metadata,
    Column("site", Text, ForeignKey("site.id"), primary_key=True),
    Column("digest", Text, primary_key=True),
    Column("person", Text, index=True),
    Column("at", UTCDateTime, nullable=False),
    Column("salt", Text, nullable=False),
    Column("body", Text, nullable=False),
)

stranger_count = Table(
    "stranger_count",
    metadata,
    Column("number_hash", Text, primary_key=True),
    Column("day", Date, primary_key=True),
    Column("texts", Integer, nullable=False),
    comment="S14: a stranger gets silence and a counter; the number itself is not kept.",
)
