"""Every table, with why each constraint is there."""

from bot.store.tables.inbox import inbox
from bot.store.tables.metadata import metadata
from bot.store.tables.outbox import outbox, outbox_status
from bot.store.tables.projections import bell, live
from bot.store.tables.record import entry, site
from bot.store.tables.register import free_text, person, phone, stranger_count

__all__ = [
    "bell",
    "entry",
    "free_text",
    "inbox",
    "live",
    "metadata",
    "outbox",
    "outbox_status",
    "person",
    "phone",
    "site",
    "stranger_count",
]
