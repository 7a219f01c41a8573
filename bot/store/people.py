"""Names, numbers, PIN hashes, free text: what the record must not hold, and what can be erased."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from hashlib import sha256
from typing import Any

from sqlalchemy import Connection, and_, bindparam, delete, or_, select, update

from bot.store.tables import (
    free_text,
    inbox,
    outbox,
    person,
    phone,
    stranger_count,
)
from bot.store.upsert import upsert

_E164 = re.compile(r"\+[1-9][0-9]{6,14}")
"""Source: ITU-T E.164, at most 15 digits; the least length is common practice, none published."""
_WRITTEN_BETWEEN = re.compile(r"[\s().\-/]")


class NotANumber(ValueError):
    """What cannot be a phone number in international form."""

    def __init__(self, typed: str) -> None:
        super().__init__(
            f"{typed} is no phone number in international form. Example: +15005550006"
        )


@dataclass(frozen=True, slots=True)
class Known:
    """An enrolled phone: which site's, and its id there."""

    site: str
    phone: str


def e164(typed: str) -> str:
    """A phone number in the one form in which it is kept. Raises NotANumber."""
    bare = _WRITTEN_BETWEEN.sub("", typed)
    if bare.startswith("00"):
        bare = f"+{bare[2:]}"
    if not _E164.fullmatch(bare):
        raise NotANumber(typed)
    return bare


def find_phone(connection: Connection, number: str) -> Known | None:
    """Whose phone it is; None for a stranger (S14)."""
    wanted = select(phone.c.site, phone.c.id).where(phone.c.number == number)
    found = connection.execute(wanted).one_or_none()
    return Known(found.site, found.id) if found else None


def who_texts(connection: Connection, number: str) -> tuple[Known | None, Mapping[str, str]]:
    """Whose phone it is, and what people of its site are called, in one statement."""
    rows = connection.execute(_WHO_TEXTS, {"from": number}).all()
    if not rows:
        return None, {}
    site, phone_id, *_ = rows[0]
    return Known(site, phone_id), {each: name for _, _, each, name in rows if each is not None}


_WHO_TEXTS = (
    select(phone.c.site, phone.c.id, person.c.id, person.c.name)
    .select_from(phone.outerjoin(person, person.c.site == phone.c.site))
    .where(phone.c.number == bindparam("from"))
)


def names_of(connection: Connection, site: str) -> Mapping[str, str]:
    """What people of a site are called, by id; who has been erased is not in it."""
    return dict(connection.execute(_NAMES, {"of": site}).all())


_NAMES = select(person.c.id, person.c.name).where(person.c.site == bindparam("of"))


def pin_hash_of(connection: Connection, site: str, person_id: str) -> str | None:
    wanted = select(person.c.pin_hash).where(person.c.site == site, person.c.id == person_id)
    return connection.execute(wanted).scalar_one_or_none()


def keep_person(
    connection: Connection, site: str, person_id: str, name: str, pin_hash: str | None
) -> None:
    """Write down a name, or another one, and the hash of a PIN, never the PIN."""
    row = {"site": site, "id": person_id, "name": name, "pin_hash": pin_hash}
    connection.execute(upsert(connection, person, "name", "pin_hash"), row)


def keep_number(connection: Connection, site: str, phone_id: str, number: str) -> None:
    """Write down a phone's number, or its new one. Raises NotANumber."""
    row = {"site": site, "id": phone_id, "number": e164(number)}
    connection.execute(upsert(connection, phone, "number"), row)


def digest_of(salt: str, words: str) -> str:
    """What an entry holds in place of free text."""
    return sha256(f"{salt}/{words}".encode()).hexdigest()


def keep_text(  # noqa: PLR0913, PLR0917 - one argument a column
    connection: Connection, site: str, person_id: str | None, at: datetime, salt: str, words: str
) -> str:
    """Keep free text where it can be erased; its salted hash, for the entry, comes back."""
    digest = digest_of(salt, words)
    row = {
        "site": site,
        "digest": digest,
        "person": person_id,
        "at": at,
        "salt": salt,
        "body": words,
    }
    connection.execute(upsert(connection, free_text, "body"), row)
    return digest


def text_of(connection: Connection, site: str, digest: str) -> str | None:
    """The words behind a digest; None once they have been erased."""
    wanted = select(free_text.c.body).where(free_text.c.site == site, free_text.c.digest == digest)
    return connection.execute(wanted).scalar_one_or_none()


def count_stranger(connection: Connection, number_hash: str, day: date) -> None:
    """S14: one more text that day from a number that nobody has enrolled."""
    row = {"number_hash": number_hash, "day": day, "texts": 1}
    connection.execute(upsert(connection, stranger_count, texts=_one_more), row)


def _one_more(_: Any) -> Any:
    return stranger_count.c.texts + 1


ERASED = "(erased)"

STRUCK_OUT = "*"
"""In place of a name: never longer than it, so that a text still to be sent stays one segment."""


def erase(connection: Connection, site: str, person_id: str, phones: tuple[str, ...]) -> None:
    """S15: forget a person: name, PIN, words, and of *phones*, theirs alone, numbers and texts.

    Entries go on naming the opaque id, so the chain stays whole; rows of texts keep their states.
    """
    name = names_of(connection, site).get(person_id)
    connection.execute(delete(person).where(person.c.site == site, person.c.id == person_id))
    connection.execute(delete(phone).where(phone.c.site == site, phone.c.id.in_(phones)))
    connection.execute(
        delete(free_text).where(free_text.c.site == site, free_text.c.person == person_id)
    )
    _blank_texts(connection, site, person_id, phones)
    if name:
        _strike_out(connection, site, name)


def _blank_texts(
    connection: Connection, site: str, person_id: str, phones: tuple[str, ...]
) -> None:
    """What they texted, on whatever phone, and what their own phones heard."""
    theirs = or_(inbox.c.person == person_id, inbox.c.phone.in_(phones))
    connection.execute(
        update(inbox).where(inbox.c.site == site, theirs).values(body=ERASED, raw=None)
    )
    connection.execute(
        update(outbox).where(outbox.c.site == site, outbox.c.phone.in_(phones)).values(body=ERASED)
    )


def _strike_out(connection: Connection, site: str, name: str) -> None:
    """The name where others wrote it, however they wrote it, and where others were told it.

    Words that are no longer whole lose their salt: by it the name could be guessed from the hash.
    """
    word = re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE)
    for table, also in ((inbox, {}), (outbox, {}), (free_text, {"salt": ""})):
        bears = table.c.body.icontains(name, autoescape=True)
        key = table.primary_key.columns
        for *ids, body in connection.execute(
            select(*key, table.c.body).where(table.c.site == site, bears)
        ).all():
            this = and_(*(column == held for column, held in zip(key, ids, strict=True)))
            struck = word.sub(STRUCK_OUT, body)
            if struck != body:
                connection.execute(update(table).where(this).values(body=struck, **also))
