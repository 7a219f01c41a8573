"""What was measured, as rows of a Markdown table."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Row:
    what: str
    database: str
    measured: str
    wanted: str = ""
    is_met: bool | None = None
    """None where nothing is demanded."""

    @property
    def verdict(self) -> str:
        return {None: "", True: "met", False: "MISSED"}[self.is_met]


def at_least(what: str, database: str, value: float, least: float, told: str = "") -> Row:
    return Row(what, database, _told(value, told), f">= {least:g}", value >= least)


def at_most(what: str, database: str, value: float, most: float, told: str = "") -> Row:
    return Row(what, database, _told(value, told), f"<= {most:g}", value <= most)


def _told(value: float, told: str) -> str:
    return f"{value:.3g} {told}".strip()


def drawn(rows: Iterable[Row]) -> str:
    lines = ["| what | database | measured | wanted | |", "|---|---|---|---|---|"]
    lines += [
        f"| {row.what} | {row.database} | {row.measured} | {row.wanted} | {row.verdict} |"
        for row in rows
    ]
    return "\n".join(lines)
