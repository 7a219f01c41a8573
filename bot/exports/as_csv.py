"""CSV with its data dictionary: a row a cycle, a row an entry; safe to open in a spreadsheet.

Comma-separated, CRLF, UTF-8 with a byte order mark, because spreadsheets guess otherwise; quoted
as in RFC 4180. A cell that a spreadsheet could take for a formula is defused by an apostrophe.
"""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence

from bot.exports.columns import COLUMNS, row_of
from bot.exports.figures import iso
from bot.exports.in_words import in_words
from bot.record.written import Written
from bot.reports.facts import Facts
from bot.reports.timeline import Timeline

BOM = "\ufeff"

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""What begins a formula, or hides one. Source: OWASP, CSV Injection."""

ENTRY_COLUMNS: Mapping[str, str] = {
    "site": "the site's own id",
    "seq": "number of the entry in the site's chain",
    "at": "when, site time, ISO 8601 with the offset from UTC",
    "kind": "what happened, by its name in the record",
    "cycle": "the cycle it is told of with",
    "person": "who said it: an opaque id",
    "name": "their name from the register; (erased) where it has been erased",
    "phone": "on which phone: an opaque id",
    "cause": "the incoming text that led to it",
    "in_words": "the entry as a sentence, and what a later entry says it should have been",
    "corrected_by": "numbers of the entries that correct it; empty for almost all",
    "hash": "SHA-256 of the entry; the JSON export has the bytes it is made of",
}


def cycles_csv(cycles: Iterable[Facts]) -> str:
    """A row a cycle; times are the site's own with their offset, spans in seconds."""
    return table([column.name for column in COLUMNS], map(row_of, cycles))


def entries_csv(timelines: Iterable[Timeline]) -> str:
    """A row an entry of each cycle."""
    return table(
        [*ENTRY_COLUMNS],
        (_entry_row(timeline, each) for timeline in timelines for each in timeline.entries),
    )


def dictionary_csv() -> str:
    """What each column of the two tables means."""
    cycles = (("cycles.csv", column.name, column.meaning) for column in COLUMNS)
    entries = (("entries.csv", name, meaning) for name, meaning in ENTRY_COLUMNS.items())
    return table(["file", "column", "meaning"], (*cycles, *entries))


def files_of(cycles: Sequence[Timeline]) -> Mapping[str, str]:
    """The three files, by name."""
    return {
        "cycles.csv": cycles_csv(map(Facts, cycles)),
        "entries.csv": entries_csv(cycles),
        "dictionary.csv": dictionary_csv(),
    }


def table(heading: Sequence[str], rows: Iterable[Iterable[str]]) -> str:
    """A heading and rows as CSV text, every cell defused."""
    written = io.StringIO()
    writer = csv.writer(written, lineterminator="\r\n")
    writer.writerow(heading)
    writer.writerows([defused(cell) for cell in row] for row in rows)
    return BOM + written.getvalue()


def defused(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula; read it without its apostrophe."""
    return f"'{cell}" if cell.startswith(_FORMULA) else cell


def _entry_row(timeline: Timeline, written: Written) -> Iterable[str]:
    stamped = written.stamped
    return (
        written.site,
        str(written.seq),
        iso(timeline.local(stamped.at)),
        written.kind,
        timeline.cycle,
        stamped.person or "",
        timeline.called(stamped.person),
        stamped.phone or "",
        stamped.cause or "",
        in_words(timeline, written),
        " ".join(str(seq) for seq, _ in timeline.corrections(written.seq)),
        written.hash,
    )
