"""CSV in: every bad row named, nothing changed when one is bad."""

import csv
import io
from collections.abc import Iterator, Mapping

from bot.registers.rows import Row, Wanted

BOM = "\ufeff"
BEYOND = "beyond the heading"
"""A cell that has no heading above it: a comma too many, mostly."""

SHEETS = {
    "people.csv": "people",
    "phones.csv": "phones",
    "devices.csv": "devices",
    "containers.csv": "containers",
    "choices.csv": "choices",
}
"""The sheets beside district.csv, and what each row of them is."""


def read_sheets(texts: Mapping[str, str]) -> Mapping[str, Wanted]:
    """What the sheets ask for, by site; *texts* are the files' contents by name.

    Only district.csv must be there. A site that it does not name is opened by nobody: its rows
    come back without one, and are refused where they are added.
    """
    sites = {row.cells["site"]: row for row in _rows("district.csv", texts["district.csv"])}
    rooms: dict[str, dict[str, list[Row]]] = {site: {} for site in sites}
    for file, room in SHEETS.items():
        for row in _rows(file, texts.get(file, "")):
            site = row.cells.get("site", "")
            bare = {key: cell for key, cell in row.cells.items() if key != "site"}
            rooms.setdefault(site, {}).setdefault(room, []).append(Row(row.where, bare))
    return {
        site: Wanted(sites.get(site), **{room: tuple(rows) for room, rows in wanted.items()})
        for site, wanted in rooms.items()
    }


def _rows(file: str, text: str) -> Iterator[Row]:
    """Rows that say anything, numbered as a spreadsheet shows them; the heading is row 1."""
    reader = csv.DictReader(io.StringIO(text.removeprefix(BOM)), restkey=BEYOND, restval="")
    for number, cells in enumerate(reader, start=2):
        plain = {
            key: " ".join(cell).strip() if key == BEYOND else cell.strip()
            for key, cell in cells.items()
        }
        if any(plain.values()):
            yield Row(f"{file} row {number}", plain)
