"""The one way of everything that comes in: decide, append, keep, queue; one transaction."""

import logging
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache, partial
from zoneinfo import ZoneInfo

from bot.clock import Clock
from bot.outbox.queue import Rendered, queue
from bot.protocols import Today
from bot.record.append import append
from bot.record.read import history, past
from bot.store.people import keep_text
from bot.store.transaction import Store, Unit
from bot.store.trips import in_one_trip
from bot.texts.render import Renderer
from flows.answer import Around, Incoming, answer
from flows.parts.clinic import Clinic
from flows.parts.decision import KeptText, Outcome, Saying
from flows.parts.events import Event, Stamped
from flows.parts.moment import Moment
from flows.parts.situation import Vocabulary

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Parts:
    """What an exchange is made of."""

    store: Store
    clock: Clock
    renderer: Renderer
    protocols: Callable[[Clinic], Today]
    token: Callable[[], str]
    """Fresh chance for each exchange."""
    secret: str
    vocabularies: Mapping[str, Vocabulary]
    """The words of each language, made once."""

    def now(self, unit: Unit) -> datetime:
        """The time while the unit's site is locked: no exchange is dated before an earlier one."""
        return self.clock.now(unit.moment)


@dataclass(frozen=True, slots=True)
class Speaker:
    """Who said it, on which phone, in which text; nobody, for a bell."""

    person: str | None = None
    phone: str | None = None
    cause: str | None = None


NOBODY = Speaker()


@dataclass(frozen=True, slots=True)
class Occasion:
    """The one moment of an exchange, who speaks, and what people are called."""

    now: datetime
    speaker: Speaker = NOBODY
    names: Mapping[str, str] = field(default_factory=dict)


def decide(parts: Parts, unit: Unit, incoming: Incoming, occasion: Occasion) -> Outcome:
    """Let the flows decide, and write all that follows into the unit's transaction.

    Nothing is written before they have decided: what they read of the record is read once.
    """
    moment = Moment(occasion.now, parts.token())
    around = Around(
        names=occasion.names,
        vocabularies=parts.vocabularies,
        today=parts.protocols(unit.clinic),
        history=cache(partial(history, unit.connection, unit.site)),
        past=cache(partial(past, unit.connection, unit.site)),
    )
    outcome = answer(unit.clinic, incoming, moment, around)
    write(parts, unit, outcome, occasion)
    return outcome


def write(parts: Parts, unit: Unit, outcome: Outcome, occasion: Occasion) -> None:
    """The outcome's events as entries, its texts into the outbox, its words where they can go."""
    with in_one_trip(unit.connection):
        append(unit, [_stamped(event, occasion) for event in outcome.events])
        for kept in outcome.kept:
            _keep(unit, kept, occasion)
        says = _rendered(parts, unit.clinic, outcome.says, occasion.now)
        queue(unit.connection, unit.site, list(says), occasion.now)


def _stamped(event: Event, occasion: Occasion) -> Stamped:
    speaker = occasion.speaker
    return Stamped(event, occasion.now, speaker.person, speaker.phone, speaker.cause)


def _keep(unit: Unit, kept: KeptText, occasion: Occasion) -> None:
    person = occasion.speaker.person
    digest = keep_text(unit.connection, unit.site, person, occasion.now, kept.salt, kept.words)
    if digest != kept.digest:
        raise ValueError("Words are kept under another digest than their entry bears.")


def _rendered(
    parts: Parts, clinic: Clinic, says: Sequence[Saying], now: datetime
) -> Iterator[Rendered]:
    zone = ZoneInfo(clinic.site.zone if clinic.site else "UTC")
    for saying in says:
        phone = saying.to or ""
        if phone not in clinic.phones:
            _log.error("%s is said to no phone of this site", saying.text.slug)
            continue
        language = language_of(clinic, phone)
        body = parts.renderer.render(saying.text, language, zone, now)
        yield Rendered(saying, phone, language, body)


def language_of(clinic: Clinic, phone_id: str) -> str:
    """The language of whoever reads that phone; the site's, where nobody is known."""
    phone = clinic.phones[phone_id]
    reader = phone.holder or next(iter(phone.people), "")
    site = clinic.site.language if clinic.site else "en"
    return clinic.people[reader].language if reader in clinic.people else site
