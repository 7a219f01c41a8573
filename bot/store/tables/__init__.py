"""Every table, with why each constraint is there."""

from bot.store.tables.metadata import metadata
from bot.store.tables.projections import bell, live
from bot.store.tables.record import entry, site
from bot.store.tables.register import free_text, person, phone, stranger_count

__all__ = [
    "bell",
    "entry",
    "free_text",
    "live",
    "metadata",
    "person",
    "phone",
    "site",
    "stranger_count",
]
