"""A post office: texts queued for a clinic's phones, a sender, and the gateway behind it."""

from dataclasses import dataclass, field
from datetime import timedelta

from sqlalchemy import func, select

from bot.channels.gateway import Account, Gateway
from bot.clock import HandClock
from bot.outbox.channel import Channel
from bot.outbox.queue import Rendered, queue
from bot.outbox.reference import sign
from bot.outbox.sender import Sender
from bot.outbox.status import Report, receive, tell_facts
from bot.record.append import append
from bot.store.people import keep_number
from bot.store.tables import outbox
from bot.store.transaction import Store
from flows.parts.clinic import Frame
from flows.parts.decision import Saying
from flows.parts.events import (
    Event,
    PhoneEnrolled,
    QuestionAsked,
    SiteOpened,
    Stamped,
    ThreadEnded,
)
from flows.parts.text import say
from tests.kit.gateway import ACCOUNT, NUMBER, TOKEN, StandIn

SITE = "north"
SECRET = "a secret of the tests"  # noqa: S105 - it guards nothing
STATUS_URL = "http://127.0.0.1/sms/status"
NUMBERS = {"phone-1": "+15550000001", "phone-2": "+15550000002"}
AN_HOUR = timedelta(hours=1)
_LAST_QUEUED = select(func.max(outbox.c.id))


def gateway_channel(stand_in: StandIn, timeout_s: float = 5) -> Gateway:
    account = Account(ACCOUNT, TOKEN, NUMBER, stand_in.url)
    return Gateway(account, STATUS_URL, timeout_s)


@dataclass
class Post:
    store: Store
    channel: Channel
    clock: HandClock
    told: list[Event] = field(default_factory=list)

    def opens(self) -> None:
        self.store.open_chain(SITE)
        self.happened(
            SiteOpened(SITE, "Etc/UTC", "17:00", "en"),
            *(PhoneEnrolled(phone, ("person-1",), shared=False) for phone in NUMBERS),
        )
        with self.store.write() as connection:
            for phone, number in NUMBERS.items():
                keep_number(connection, SITE, phone, number)

    def happened(self, *events: Event) -> None:
        with self.store.exchange(SITE) as unit:
            append(unit, [Stamped(event, self.clock.now()) for event in events])

    def asks(self, thread: str, question: int) -> None:
        frames = (Frame("cycle", "wash"),)
        self.happened(QuestionAsked(thread, "phone-1", "person-1", question, frames, "cycle.wash"))

    def ends(self, thread: str) -> None:
        self.happened(ThreadEnded(thread, "done"))

    def says(
        self,
        body: str,
        to: str = "phone-1",
        *,
        bell: str | None = None,
        about: tuple[str, int] | None = None,
        good_for: timedelta = AN_HOUR,
    ) -> int:
        thread, question = about or (None, None)
        saying = Saying(say("test.said", "{body}"), to, thread, question, bell, good_for)
        with self.store.write() as connection:
            queue(connection, SITE, [Rendered(saying, to, "en", body)], self.clock.now())
            outbox_id: int = connection.execute(_LAST_QUEUED).scalar_one()
        return outbox_id

    def sender(self, channel: Channel | None = None, hands: int = 1) -> Sender:
        """One hand, so that texts to different phones go out in the order in which they wait."""
        out = channel or self.channel
        return Sender(self.store, out, self.clock, SECRET, self.tell, hands)

    def sends(self) -> int:
        return self.sender().send_due()

    def later(self, **span: int) -> None:
        self.clock.advance(timedelta(**span))

    def hears(self, outbox_id: int, sid: str, status: str, code: str | None = None) -> bool:
        """A delivery report comes in, with the reference that went out."""
        report = Report(sid, status, sign(SECRET, outbox_id), code)
        return self.hears_of(report)

    def hears_of(self, report: Report) -> bool:
        is_known = receive(self.store, report, SECRET, self.clock.now())
        tell_facts(self.store, self.tell, self.clock)
        return is_known

    def tell(self, site: str, event: Event, phone: str) -> None:
        """As the exchange does: the fact goes into the record."""
        assert site == SITE
        assert phone in NUMBERS
        self.happened(event)
        self.told.append(event)

    def state_of(self, outbox_id: int) -> str:
        return str(self.column(outbox_id, "state"))

    def column(self, outbox_id: int, name: str) -> object:
        with self.store.read() as connection:
            return connection.execute(
                select(outbox.c[name]).where(outbox.c.id == outbox_id)
            ).scalar_one()
