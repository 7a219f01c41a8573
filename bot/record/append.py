"""The one function that writes an entry; what is true now follows in the same transaction."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, bindparam, insert, update

from bot.record.entry import Entry, read_entry
from bot.record.link import link
from bot.store.project import project, project_anew
from bot.store.tables import entry
from bot.store.tables import site as sites
from bot.store.transaction import Unit
from flows.parts.clinic import Clinic
from flows.parts.events import Stamped
from flows.parts.state import fold

# Made once: to make a statement takes longer than to execute it.
_ENTRY = insert(entry)
_HEAD = update(sites).where(sites.c.id == bindparam("of"))


def append(unit: Unit, entries: Sequence[Stamped]) -> None:
    """Write *entries* behind the head of the unit's chain, and what they make of its clinic.

    Each is read back from its own bytes before it counts, so nothing gets in that cannot be
    read again. Raises EntryUnreadable for that; the whole exchange then comes to nothing.
    """
    if not entries:
        return
    rows: list[dict[str, Any]] = []
    clinic, seq, head = unit.clinic, unit.seq, unit.head
    for stamped in entries:
        seq += 1
        row = _row(Entry(unit.site, seq, stamped), head)
        clinic, head = fold(clinic, read_entry(row["body"]).stamped), row["hash"]
        rows.append(row)
    unit.connection.execute(_ENTRY, rows)
    unit.connection.execute(_HEAD, {"of": unit.site, "seq": seq, "head": head})
    unit.loaded = project(unit.connection, unit.site, unit.loaded, clinic)
    unit.seq, unit.head = seq, head


def replace_rows(connection: Connection, site: str, clinic: Clinic) -> None:
    """Make the rows say *clinic* without an entry: for a rebuild, which has read them all."""
    project_anew(connection, site, clinic)


def _row(written: Entry, prev: str) -> dict[str, Any]:
    body = written.body
    return {
        "site": written.site,
        "seq": written.seq,
        **written.columns,
        "body": body,
        "prev": prev,
        "hash": link(prev, body),
    }
