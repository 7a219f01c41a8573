"""A bot behind its web doors, with one enrolled phone, and hands that knock."""

from dataclasses import dataclass, field
from typing import Any

from flask.testing import FlaskClient
from sqlalchemy import select
from werkzeug.test import TestResponse

from bot.clock import HandClock
from bot.engines.by_hand import ByHand
from bot.outbox.reference import sign
from bot.settings import Secret
from bot.store.people import keep_number, keep_person
from bot.store.tables import entry, inbox, outbox
from bot.web import Webhooks, create_app
from bot.wiring import Bot, chat
from flows.parts.clinic import Level, Role
from flows.parts.events import PersonEnrolled, PhoneEnrolled, SiteOpened
from tests.kit.gateway import NINE, NUMBER, TOKEN
from tests.kit.signing import signed

SITE = "north"
PHONE = "+15550000001"
PUBLIC = "https://bot.example.org"
WEBHOOKS = Webhooks(PUBLIC, (Secret(TOKEN), Secret("the token before")))
INBOUND, STATUS = "/sms/inbound", "/sms/status"


def set_up(bot: Bot) -> None:
    def names(connection: Any) -> None:
        keep_person(connection, SITE, "person-1", "Ada", None)
        keep_number(connection, SITE, "phone-1", PHONE)

    enrolled = (
        SiteOpened(SITE, "Etc/UTC", "17:00", "en"),
        PersonEnrolled("person-1", 1, Role.WORKER, Level.COACH, may_release=True, language="en"),
        PhoneEnrolled("phone-1", ("person-1",), shared=False),
    )
    bot.exchange.set_up(SITE, enrolled, also=names)


@dataclass
class Clinic:
    bot: Bot
    engine: ByHand
    clock: HandClock
    shown: list[tuple[str, str]]
    web: FlaskClient = field(init=False)

    def __post_init__(self) -> None:
        set_up(self.bot)
        self.web = self.client()

    def client(self, webhooks: Webhooks | None = WEBHOOKS) -> FlaskClient:
        return create_app(self.bot, webhooks).test_client()

    def knocks(
        self,
        form: dict[str, str],
        headers: dict[str, str] | None = None,
        *,
        path: str = INBOUND,
        **more: Any,
    ) -> TestResponse:
        """The gateway calls; signed with its newest token, where nothing else is said."""
        held = signed(TOKEN, PUBLIC + path, form) if headers is None else headers
        return self.web.post(path, data=form, headers=held, **more)

    def reports(self, outbox_id: int, form: dict[str, str]) -> TestResponse:
        return self.knocks(form, path=f"{STATUS}?ref={sign(self.bot.secret, outbox_id)}")

    def taken_in(self) -> list[Any]:
        return self._rows(inbox)

    def texts(self) -> list[Any]:
        return self._rows(outbox)

    def happened(self, kind: str) -> int:
        return sum(1 for row in self._rows(entry) if row.kind == kind)

    def _rows(self, table: Any) -> list[Any]:
        with self.bot.store.read() as connection:
            return list(connection.execute(select(table)))


def text(body: str = "MENU", sid: str = "SM" + "1" * 32, sender: str = PHONE) -> dict[str, str]:
    """The form of a webhook. Fields: the gateway's guide to webhook requests."""
    return {
        "MessageSid": sid,
        "AccountSid": "AC" + "0" * 32,
        "From": sender,
        "To": NUMBER,
        "Body": body,
        "NumMedia": "0",
        "FromCity": "NOWHERE",
    }


def opened(database: str) -> Clinic:
    shown: list[tuple[str, str]] = []
    clock = HandClock(NINE)
    bot, engine = chat(database, clock, lambda number, body: shown.append((number, body)))
    return Clinic(bot, engine, clock, shown)
