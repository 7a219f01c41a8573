"""The first tables: record, what is true now, register, texts in and out; and the guards."""
# ruff: noqa: E501 - one line a column, and a number for a name

import sqlalchemy as sa
from alembic import op

from bot.store.tables.guards import guard_statements

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "site",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("head", sa.Text(), nullable=False),
        sa.Column("seq", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_site")),
        comment="A chain and its head. Whoever writes for a site locks this row first.",
    )
    op.create_table(
        "stranger_count",
        sa.Column("number_hash", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("texts", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("number_hash", "day", name=op.f("pk_stranger_count")),
        comment="S14: a stranger gets silence and a counter; the number itself is not kept.",
    )
    op.create_table(
        "bell",
        sa.Column("site", sa.Text(), nullable=False),
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("place", sa.BigInteger(), nullable=False),
        sa.Column("due_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("lease_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("attempts", sa.Integer(), server_default="0", nullable=False),
        sa.ForeignKeyConstraint(["site"], ["site.id"], name=op.f("fk_bell_site_site")),
        sa.PrimaryKeyConstraint("site", "id", name=op.f("pk_bell")),
        comment="A timer that will ring. lease_until and attempts are no projection.",
        sqlite_with_rowid=False,
    )
    op.create_index(op.f("ix_bell_due_at"), "bell", ["due_at"], unique=False)
    op.create_table(
        "entry",
        sa.Column("site", sa.Text(), nullable=False),
        sa.Column("seq", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("cycle", sa.Text(), nullable=True),
        sa.Column("device", sa.Text(), nullable=True),
        sa.Column("person", sa.Text(), nullable=True),
        sa.Column("phone", sa.Text(), nullable=True),
        sa.Column("cause", sa.Text(), nullable=True),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("prev", sa.Text(), nullable=False),
        sa.Column("hash", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["site"], ["site.id"], name=op.f("fk_entry_site_site")),
        sa.PrimaryKeyConstraint("site", "seq", name=op.f("pk_entry")),
        comment="What happened. Added, never changed; the columns beside body repeat it for queries.",
        sqlite_with_rowid=False,
    )
    op.create_index(
        op.f("ix_entry_site_cycle_seq"), "entry", ["site", "cycle", "seq"], unique=False
    )
    op.create_index(op.f("ix_entry_site_kind_seq"), "entry", ["site", "kind", "seq"], unique=False)
    op.create_table(
        "free_text",
        sa.Column("site", sa.Text(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("person", sa.Text(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("salt", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["site"], ["site.id"], name=op.f("fk_free_text_site_site")),
        sa.PrimaryKeyConstraint("site", "digest", name=op.f("pk_free_text")),
    )
    op.create_index(op.f("ix_free_text_person"), "free_text", ["person"], unique=False)
    op.create_table(
        "inbox",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("sid", sa.Text(), nullable=False),
        sa.Column("site", sa.Text(), nullable=False),
        sa.Column("phone", sa.Text(), nullable=False),
        sa.Column("person", sa.Text(), nullable=True),
        sa.Column("channel", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("arrived_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("handled_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("state", sa.Text(), server_default="seen", nullable=False),
        sa.Column("error", sa.Text(), nullable=True),
        sa.Column("raw", sa.Text(), nullable=True),
        sa.CheckConstraint("state IN ('seen', 'handled', 'failed')", name=op.f("ck_inbox_state")),
        sa.ForeignKeyConstraint(["site"], ["site.id"], name=op.f("fk_inbox_site_site")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_inbox")),
        sa.UniqueConstraint("sid", name=op.f("uq_inbox_sid")),
        comment="body: a PIN in it is masked before the first write. raw: the form without number and body. sent_at: the gateway's date, where known. person: who held the phone, so that what they wrote can be erased with them (S15).",
    )
    op.create_index(
        op.f("ix_inbox_site_phone_arrived_at"),
        "inbox",
        ["site", "phone", "arrived_at"],
        unique=False,
    )
    op.create_table(
        "live",
        sa.Column("site", sa.Text(), nullable=False),
        sa.Column("room", sa.Text(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("place", sa.BigInteger(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["site"], ["site.id"], name=op.f("fk_live_site_site")),
        sa.PrimaryKeyConstraint("site", "room", "key", name=op.f("pk_live")),
        comment="Each thing of a clinic; place keeps the order in which they came.",
    )
    op.create_table(
        "outbox",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("site", sa.Text(), nullable=False),
        sa.Column("phone", sa.Text(), nullable=False),
        sa.Column("slug", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("language", sa.Text(), nullable=False),
        sa.Column("septets", sa.Integer(), nullable=False),
        sa.Column("state", sa.Text(), server_default="pending", nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("valid_until", sa.DateTime(timezone=True), nullable=False),
        sa.Column("next_try_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("tried_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("attempts", sa.Integer(), server_default="0", nullable=False),
        sa.Column("lease_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("gateway_sid", sa.Text(), nullable=True),
        sa.Column("thread", sa.Text(), nullable=True),
        sa.Column("question", sa.Integer(), nullable=True),
        sa.Column("bell", sa.Text(), nullable=True),
        sa.Column("last_status", sa.Text(), nullable=True),
        sa.Column("error_code", sa.Text(), nullable=True),
        sa.CheckConstraint(
            "state IN ('pending', 'claimed', 'sent', 'unknown', 'dead', 'overtaken')",
            name=op.f("ck_outbox_state"),
        ),
        sa.ForeignKeyConstraint(["site"], ["site.id"], name=op.f("fk_outbox_site_site")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outbox")),
        comment="A text to send is a row first. phone is an opaque id; bell, where it must arrive.",
        sqlite_autoincrement=True,
    )
    op.create_index(
        "ix_outbox_due",
        "outbox",
        ["state", "next_try_at"],
        unique=False,
        sqlite_where=sa.text("state IN ('pending', 'claimed', 'unknown')"),
        postgresql_where=sa.text("state IN ('pending', 'claimed', 'unknown')"),
    )
    op.create_index(
        op.f("ix_outbox_gateway_sid"),
        "outbox",
        ["gateway_sid"],
        unique=False,
        sqlite_where=sa.text("gateway_sid IS NOT NULL"),
        postgresql_where=sa.text("gateway_sid IS NOT NULL"),
    )
    op.create_index(
        "ix_outbox_oldest_of_phone",
        "outbox",
        ["site", "phone", "id"],
        unique=False,
        sqlite_where=sa.text("state IN ('pending', 'claimed', 'unknown')"),
        postgresql_where=sa.text("state IN ('pending', 'claimed', 'unknown')"),
    )
    op.create_index(
        op.f("ix_outbox_site_phone_tried_at"),
        "outbox",
        ["site", "phone", "tried_at"],
        unique=False,
        sqlite_where=sa.text("tried_at IS NOT NULL"),
        postgresql_where=sa.text("tried_at IS NOT NULL"),
    )
    op.create_table(
        "person",
        sa.Column("site", sa.Text(), nullable=False),
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("pin_hash", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["site"], ["site.id"], name=op.f("fk_person_site_site")),
        sa.PrimaryKeyConstraint("site", "id", name=op.f("pk_person")),
    )
    op.create_table(
        "phone",
        sa.Column("site", sa.Text(), nullable=False),
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["site"], ["site.id"], name=op.f("fk_phone_site_site")),
        sa.PrimaryKeyConstraint("site", "id", name=op.f("pk_phone")),
        sa.UniqueConstraint("number", name=op.f("uq_phone_number")),
    )
    op.create_table(
        "outbox_status",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("outbox", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("sid", sa.Text(), nullable=True),
        sa.Column("status", sa.Text(), nullable=False),
        sa.Column("error_code", sa.Text(), nullable=True),
        sa.Column("arrived_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("fact", sa.Text(), nullable=True),
        sa.Column("telling_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("told_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["outbox"], ["outbox.id"], name=op.f("fk_outbox_status_outbox_outbox")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outbox_status")),
        sa.UniqueConstraint("sid", "status", name=op.f("uq_outbox_status_sid_status")),
        comment="Reports as they came. fact: what follows from it; told_at: when it was told.",
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_outbox_status_outbox"), "outbox_status", ["outbox"], unique=False)
    op.create_index(
        "ix_outbox_status_untold",
        "outbox_status",
        ["id"],
        unique=False,
        sqlite_where=sa.text("fact IS NOT NULL AND told_at IS NULL"),
        postgresql_where=sa.text("fact IS NOT NULL AND told_at IS NULL"),
    )

    for statement in guard_statements(op.get_bind().dialect.name):
        op.execute(statement)


def downgrade() -> None:
    raise NotImplementedError("The record is not taken back: restore a copy instead.")
