"""The only place that knows which parts are in use: Settings -> Bot."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from bot.channels.gateway import Account, Gateway
from bot.channels.terminal import Show, Terminal
from bot.channels.web_phone import WebPhone
from bot.clock import Clock, FastClock, HandClock, RealClock
from bot.engines.by_hand import ByHand
from bot.engines.engine import Chore, Duties, Engine
from bot.engines.scheduler import Scheduler
from bot.exchange import Exchange, Fetching, Parts
from bot.outbox.channel import Channel
from bot.outbox.sender import HANDS, Sender
from bot.protocols import today
from bot.record.seal import seal
from bot.settings import Secret, Settings
from bot.store.engine import open_store
from bot.store.migrate import migrate
from bot.store.transaction import Store
from bot.texts.render import Renderer
from bot.timers import next_due

SEAL_EVERY = timedelta(hours=1)
FETCH_EVERY = timedelta(minutes=3)
"""Well within the hour that each asking looks back. Source: common practice, none published."""

Token = Callable[[], str]
"""A fresh one for each exchange; chance is drawn from it (`flows.parts.moment`)."""


def _drawn_token() -> str:
    return secrets.token_hex(16)


@dataclass(frozen=True, slots=True)
class Bot:
    """A bot with all its parts in place; nothing runs before its engine is started."""

    store: Store
    clock: Clock
    channel: Channel
    renderer: Renderer
    exchange: Exchange
    sender: Sender
    engine: Engine
    secret: Secret

    def close(self) -> None:
        """Stop what runs, to its end, and let the database go."""
        self.engine.stop()
        self.store.close()


def texting(settings: Settings) -> Bot:
    """The real one: texts go by the gateway, and so come back."""
    account = settings.gateway
    gateway = Gateway(
        Account(account.account, account.tokens[0], account.number, account.api_base),
        f"{settings.public_url}/sms/status",
    )
    store = _opened(settings.database_url)
    parts = _parts(store, _clock_of(store), settings.secret_key)
    exchange = Exchange(parts)
    fetching = Fetching(exchange, store, parts.clock, gateway.missed)
    chores = (Chore("fetch", FETCH_EVERY, fetching.fetch),)
    return _bot(parts, exchange, gateway, chores)


def demo(database_url: str, clock: FastClock) -> tuple[Bot, WebPhone]:
    """The same bot on a database of its own, with phones in a browser and a clock that can run."""
    phones = WebPhone(clock.now)
    parts = _parts(_opened(database_url), clock, _drawn_secret())
    return _bot(parts, Exchange(parts), phones), phones


def chat(
    database_url: str, clock: HandClock, show: Show, token: Token = _drawn_token
) -> tuple[Bot, ByHand]:
    """The same bot on a database of its own, in a terminal whose user holds the clock.

    Equal tokens give equal bell numbers and codes, so a conversation can be had again.
    """
    parts = _parts(_opened(database_url), clock, _drawn_secret(), token)
    exchange = Exchange(parts)
    terminal = Terminal(show)
    # One text at a time: a conversation that is had again reads the same.
    sender = _sender(parts, exchange, terminal, hands=1)
    engine = ByHand(_duties(parts, exchange, sender, ()))
    return _assembled(parts, exchange, sender, engine, terminal), engine


@dataclass(frozen=True, slots=True)
class Desk:
    """The doors without a channel: for commands that set things up and text nobody themselves."""

    store: Store
    clock: Clock
    exchange: Exchange


def desk(database_url: str) -> Desk:
    """What is set up here may lead to texts; whichever process serves the phones sends them."""
    store = _opened(database_url)
    parts = _parts(store, _clock_of(store), _drawn_secret())
    return Desk(store, parts.clock, Exchange(parts))


def _opened(database_url: str) -> Store:
    store = open_store(database_url)
    migrate(store)
    return store


def _clock_of(store: Store) -> Clock:
    """S2: PostgreSQL's own clock, one for all machines that share it; else this machine's."""
    return RealClock(store.now) if store.tells_time else RealClock()


def _drawn_secret() -> Secret:
    return Secret(secrets.token_hex(32))


def _parts(store: Store, clock: Clock, secret: Secret, token: Token = _drawn_token) -> Parts:
    renderer = Renderer()
    return Parts(
        store=store,
        clock=clock,
        renderer=renderer,
        protocols=today,
        token=token,
        secret=secret,
        vocabularies=renderer.vocabularies(),
    )


def _bot(
    parts: Parts, exchange: Exchange, channel: Channel, chores: tuple[Chore, ...] = ()
) -> Bot:
    sender = _sender(parts, exchange, channel)
    sealing = Chore("seal", SEAL_EVERY, lambda: seal(parts.store, parts.clock.now()))
    engine = Scheduler(_duties(parts, exchange, sender, (sealing, *chores)))
    exchange.wake = engine.wake
    return _assembled(parts, exchange, sender, engine, channel)


def _sender(parts: Parts, exchange: Exchange, channel: Channel, hands: int = HANDS) -> Sender:
    return Sender(parts.store, channel, parts.clock, parts.secret, exchange.fact, hands)


def _duties(parts: Parts, exchange: Exchange, sender: Sender, chores: tuple[Chore, ...]) -> Duties:
    def next_bell_in() -> timedelta | None:
        due = next_due(parts.store)
        return None if due is None else parts.clock.wait_for(due)

    return Duties(exchange.ring_due, next_bell_in, sender.send_due, chores, sender.end)


def _assembled(
    parts: Parts, exchange: Exchange, sender: Sender, engine: Engine, channel: Channel
) -> Bot:
    return Bot(
        store=parts.store,
        clock=parts.clock,
        channel=channel,
        renderer=parts.renderer,
        exchange=exchange,
        sender=sender,
        engine=engine,
        secret=Secret(parts.secret),
    )
