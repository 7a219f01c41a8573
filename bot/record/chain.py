"""A chain per site; verify names the first broken entry, and whatever else is not as written."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, RowMapping, select

from bot.record.entry import COLUMNS, EntryUnreadable, is_canonical, read_entry
from bot.record.guard import missing_guards
from bot.record.link import link
from bot.record.read import AT_A_TIME
from bot.record.seal import PROGRAMME, sealed_heads
from bot.store.errors import SiteUnknown
from bot.store.tables import entry
from bot.store.tables import site as sites
from bot.store.transaction import GENESIS


@dataclass(frozen=True, slots=True)
class Problem:
    """Something in a record that is not as it was written. `seq` None: not of one entry."""

    site: str
    seq: int | None
    what: str

    def __str__(self) -> str:
        where = self.site if self.seq is None else f"{self.site}, entry {self.seq}"
        return f"{where}: {self.what}"


def verify(connection: Connection, site: str) -> list[Problem]:
    """Everything wrong with a site's record; of a broken chain, where it breaks first.

    Raises SiteUnknown where there is no chain at all.
    """
    head = connection.execute(select(sites).where(sites.c.id == site)).mappings().one_or_none()
    if head is None:
        raise SiteUnknown(site)
    chain = _Chain(site)
    for row in _rows(connection, site):
        chain.take(row)
    return [
        *(Problem(site, None, f"guard {name} is missing") for name in missing_guards(connection)),
        *chain.problems,
        *chain.ends_at(head["seq"], head["head"]),
        *_unknown_seals(connection, site, chain.hashes),
    ]


def verify_all(connection: Connection) -> list[Problem]:
    """Every chain of the store, the programme's among them."""
    names = connection.execute(select(sites.c.id).order_by(sites.c.id)).scalars().all()
    return [problem for name in names for problem in verify(connection, name)]


class _Chain:
    """A chain read from its beginning."""

    def __init__(self, site: str) -> None:
        self.site = site
        self.problems: list[Problem] = []
        self.hashes = {GENESIS}
        self._seq = 0
        self._head = GENESIS
        self._broken = False

    def take(self, row: RowMapping) -> None:
        self._check_link(row)
        for what in _wrong_columns(row):
            self.problems.append(Problem(self.site, row["seq"], what))
        self._seq, self._head = row["seq"], row["hash"]
        self.hashes.add(row["hash"])

    def _check_link(self, row: RowMapping) -> None:
        what = self._break(row)
        if what and not self._broken:
            self._broken = True
            self.problems.append(Problem(self.site, row["seq"], f"the chain breaks here: {what}"))

    def _break(self, row: RowMapping) -> str:
        if row["seq"] != self._seq + 1:
            return f"it comes after entry {self._seq}"
        if row["prev"] != self._head:
            return f"it does not follow from entry {self._seq}"
        if row["hash"] != link(row["prev"], row["body"]):
            return "its hash is not that of its body"
        return ""

    def ends_at(self, seq: int, head: str) -> Iterator[Problem]:
        if (seq, head) != (self._seq, self._head):
            what = f"the head says entry {seq}, {head[:8]}; the chain ends at {self._seq}, "
            yield Problem(self.site, None, f"{what}{self._head[:8]}")


def _wrong_columns(row: RowMapping) -> Iterator[str]:
    try:
        said = read_entry(row["body"])
    except EntryUnreadable as error:
        yield error.why
        return
    told: dict[str, Any] = {"site": said.site, "seq": said.seq, **said.columns}
    for name in ("site", "seq", *COLUMNS):
        if row[name] != told[name]:
            yield f"column {name} says {row[name]}, the body {told[name]}"
    if not is_canonical(row["body"]):
        yield "its body is not canonical"


def _rows(connection: Connection, site: str) -> Iterator[RowMapping]:
    wanted = select(entry).where(entry.c.site == site).order_by(entry.c.seq)
    with connection.execute(wanted.execution_options(yield_per=AT_A_TIME)) as rows:
        yield from rows.mappings()


def _unknown_seals(connection: Connection, site: str, hashes: set[str]) -> Iterator[Problem]:
    """Heads that the programme has sealed and that the chain no longer holds: a cut-off tail."""
    try:
        gone = [seal for seal, head in sealed_heads(connection, site) if head not in hashes]
    except EntryUnreadable as error:
        yield Problem(PROGRAMME, None, f"its seals cannot be read: {error.why}")
        return
    if gone:
        what = f"the programme's entry {gone[0]} sealed a head that this chain no longer holds"
        yield Problem(site, None, what)
