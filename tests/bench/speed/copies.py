"""Copies of a template: other site, other numbers, another time; each with a whole chain."""

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Connection, Table, insert

from bot.record.link import link
from bot.store.tables import metadata
from bot.store.transaction import GENESIS
from flows.parts.encoding import decode, encode
from tests.bench.speed.clinics import Template, Texter

Rows = dict[str, list[dict[str, Any]]]
IN_ORDER = ("site", "person", "phone", "entry", "live", "bell")
MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z")
AT_A_TIME = 20_000


def copied(
    template: Template, at: int, by: timedelta, *, entries: bool = True
) -> tuple[Rows, tuple[Texter, ...]]:
    """The rows of copy number *at*, all its times moved *by*, and who texts there.

    Without *entries* the rows say what is so, and the record does not: enough to ring a bell.
    """
    name = f"{template.site[:8]}x{at:06}"

    def moved(body: str) -> str:
        shifted = MOMENT.sub(lambda found: _later(found[0], by), body)
        return shifted.replace(template.site, name)

    rows: Rows = {
        table: [row | {"site": name} for row in template.rows[table]] for table in _OF_SITE
    }
    for row in rows["phone"]:
        row["number"] = _number(row["number"], at)
    for row in (*rows["live"], *rows["bell"], *rows["entry"]):
        row["body"] = moved(row["body"])
    for row in rows["bell"]:
        row["due_at"] += by
    for row in rows["live"]:
        row["key"] = row["key"].replace(template.site, name)
    head = dict(template.rows["site"][0]) | {"id": name}
    rows["entry"] = chained(rows["entry"], by, GENESIS) if entries else []
    rows["site"] = [head | {"head": rows["entry"][-1]["hash"] if entries else head["head"]}]
    texters = (Texter(_number(each.number, at), each.says) for each in template.texters)
    return rows, tuple(texters)


_OF_SITE = IN_ORDER[1:]


def chained(entries: list[dict[str, Any]], by: timedelta, prev: str) -> list[dict[str, Any]]:
    """The same entries, *by* later, each holding on to the one before it."""
    made = []
    for row in entries:
        linked = row | {"prev": prev, "hash": link(prev, row["body"]), "at": row["at"] + by}
        made.append(linked)
        prev = linked["hash"]
    return made


def fill(connection: Connection, copies: Iterable[Rows]) -> None:
    """Write many copies, table by table."""
    held = list(copies)
    for name in IN_ORDER:
        rows = [row for copy in held for row in copy[name]]
        for begin in range(0, len(rows), AT_A_TIME):
            insert_all(connection, metadata.tables[name], rows[begin : begin + AT_A_TIME])


def insert_all(connection: Connection, table: Table, rows: list[dict[str, Any]]) -> None:
    """As fast as each database takes rows."""
    if connection.dialect.name == "sqlite":
        connection.execute(insert(table), rows)
        return
    names = list(table.c.keys())
    driver: Any = connection.connection.driver_connection
    with (
        driver.cursor() as cursor,
        cursor.copy(f"COPY {table.name} ({', '.join(names)}) FROM STDIN") as copy,
    ):
        for row in _values(rows, names):
            copy.write_row(row)


def _values(rows: list[dict[str, Any]], names: list[str]) -> Iterator[list[Any]]:
    """The defaults that the database would have given stand here."""
    defaults: Mapping[str, Any] = {"attempts": 0}
    return ([row.get(name, defaults.get(name)) for name in names] for row in rows)


def due_of(rows: Rows) -> datetime:
    """When the first bell of a copy is due."""
    dues = (decode(datetime, json.loads(row["body"])["due"]) for row in rows["bell"])
    return min(dues)


def _later(moment: str, by: timedelta) -> str:
    later: str = encode(datetime.fromisoformat(moment) + by)
    return later


def _number(number: str, at: int) -> str:
    """Unlike any other: eight digits for the copy, the last two as they were."""
    return f"+19{at:08}{number[-2:]}"
