"""The doors: a text, a bell, a fact, the setting up of a site. Behind them there is one way."""

import logging
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum, auto
from typing import Any

from bot.exchange import poison
from bot.exchange.path import NOBODY, Occasion, Parts, Speaker, decide
from bot.exchange.stepping import Stepping
from bot.identity import Claim, check, claim_of, may_be_an_answer
from bot.inbox import Inbound, number_of, readable, stranger_hash
from bot.logs import Plain, wrong
from bot.store.errors import StoreBusy, StoreError
from bot.store.exchange import run_exchange
from bot.store.inbox import add_once
from bot.store.live import load
from bot.store.people import Known, count_stranger, names_of, pin_hash_of, who_texts
from bot.store.transaction import Unit
from bot.timers import Claimed, claim, is_still_claimed
from flows.answer import BellIn, FactIn, PinCheck, TextIn
from flows.parts.clinic import Phone
from flows.parts.events import Event
from flows.replies.number_and_pin import masked, masked_pair
from flows.replies.typed import Typed, fold, tidy
from flows.sign_in import holder, is_locked, was_sent_before

_log = logging.getLogger(__name__)

LEASE = timedelta(seconds=30)
"""How long a bell is ours: far more than an exchange takes, and what a death delays it by."""

AT_ONCE = 10
"""Bells claimed together; more, and the last of them would wait out their lease in our hands."""


class Handled(Enum):
    DONE = auto()
    SEEN = auto()
    """S10: brought again; nothing was done."""
    STRANGER = auto()
    """S14: no phone of ours; counted, not answered."""
    GONE = auto()
    """A bell that somebody else has rung, or that was stopped or moved meanwhile."""
    FAILED = auto()
    """Kept as failed, and a person told."""


class BellLeftOver(Plain):
    """A bell that has rung and is still due: it would ring, and text people, for ever."""

    def __init__(self, kind: str) -> None:
        super().__init__(f"The flows left a {kind} bell as it was; ringing must stop or move it.")


@dataclass(frozen=True, slots=True)
class _Heard:
    """A text on one of our phones, read once."""

    inbound: Inbound
    known: Known
    names: Mapping[str, str]
    body: str
    typed: Typed
    claim: Claim | None

    @classmethod
    def of(cls, inbound: Inbound, known: Known, names: Mapping[str, str]) -> "_Heard":
        body = readable(inbound.body)
        typed = tidy(body)
        return cls(inbound, known, names, body, typed, claim_of(typed))


class Exchange:
    """One for each process; any number of threads may use it."""

    def __init__(self, parts: Parts) -> None:
        self._parts = parts
        self._store = parts.store
        self._stepping = Stepping(parts)
        spoken = parts.vocabularies.values()
        said = (item for each in spoken for item in each.words.items())
        # What is told behind FAULT has no figures that anybody would ask for again.
        self._words = frozenset(fold(word) for slug, word in said if slug != "fault")
        self.wake: Callable[[], None] = _nobody_to_wake
        """Called after each commit: there may be texts to send, and another bell due."""

    # -- a text ---------------------------------------------------------------------------------

    def text(self, inbound: Inbound, *, count_strangers: bool = True) -> Handled:
        """Deal with a text, once, however often it is brought."""
        self._stepping.note()
        number = number_of(inbound)
        known, names = self._who(number)
        if known is None:
            if count_strangers:
                self._count_stranger(inbound, number)
            return Handled.STRANGER
        heard = _Heard.of(inbound, known, names)
        pin = self._check_pin(heard, heard.claim) if heard.claim else None

        def hear(unit: Unit) -> Handled:
            return self._hear(unit, heard, pin)

        try:
            done = run_exchange(self._store, known.site, hear)
        except StoreError:
            raise
        except Exception as error:  # noqa: BLE001 - kept as failed and told: poison does not loop
            _log.error("text %s failed %s", inbound.sid, wrong(error))
            done = self._failed(inbound, known, error)
        self.wake()
        return done

    def _who(self, number: str | None) -> tuple[Known | None, Mapping[str, str]]:
        if number is None:
            return None, {}
        return self._store.look(lambda connection: who_texts(connection, number))

    def _count_stranger(self, inbound: Inbound, number: str | None) -> None:
        hashed = stranger_hash(self._parts.secret, number or inbound.number)
        with self._store.write() as connection:
            count_stranger(connection, hashed, inbound.arrived_at.date())

    def _check_pin(self, heard: _Heard, claimed: Claim) -> PinCheck | None:
        """Compared before the transaction: it is slow. None where it is an answer, and no claim.

        A phone of one's own asks for no PIN; whoever holds a shared one may well be asked for a
        date or a code that only looks like number and PIN.
        """
        site, now = heard.known.site, self._parts.clock.now()
        with self._store.read() as connection:
            clinic = load(connection, site).clinic
        phone = clinic.phones.get(heard.known.phone)
        if phone is None or not phone.shared:
            return None
        if is_locked(phone, now):
            return PinCheck(None)

        def hash_of(person: str) -> str | None:
            with self._store.read() as connection:
                return pin_hash_of(connection, site, person)

        pin = check(claimed, clinic, phone, hash_of)
        if pin.person or holder(phone, now) is None:
            return pin
        is_open = may_be_an_answer(claimed, clinic, phone, now.date())
        return None if is_open else pin

    def _hear(self, unit: Unit, heard: _Heard, pin: PinCheck | None) -> Handled:
        now, inbound = self._parts.now(unit), heard.inbound
        phone = unit.clinic.phones.get(heard.known.phone)
        if phone is None:
            return Handled.STRANGER
        sent_at = inbound.earliest(now)
        person = None if was_sent_before(phone, sent_at) else _who_speaks(phone, pin, now)
        kept = inbound.kept(heard.known, person, self._to_keep(heard, phone, pin, now))
        if not add_once(unit.connection, kept, now):
            return Handled.SEEN
        text = TextIn(
            phone=phone.id,
            typed=tidy(heard.claim.said) if pin and heard.claim else heard.typed,
            sent_at=sent_at,
            pin=pin,
            inbound=inbound.sid,
        )
        speaker = Speaker(person, phone.id, inbound.sid)
        decide(self._parts, unit, text, Occasion(now, speaker, heard.names))
        return Handled.DONE

    def _to_keep(self, heard: _Heard, phone: Phone, pin: PinCheck | None, now: datetime) -> str:
        """S14: masked before the first write; kept as typed where figures can be no PIN.

        On a shared phone that is after a word of ours, in whatever language, from whoever holds
        it: USED V1 0412. The next to hold it may well type name, number or PIN in a way that is
        no sign-in.
        """
        if pin is not None and heard.claim is not None:
            return heard.claim.masked
        is_ours = not self._words.isdisjoint(heard.typed.words[:1])
        if not phone.shared:
            return heard.body
        is_plain = holder(phone, now) is not None and is_ours
        return (masked_pair if is_plain else masked)(heard.body)

    def _failed(self, inbound: Inbound, known: Known, error: Exception) -> Handled:
        def keep(unit: Unit) -> bool:
            phone, body = unit.clinic.phones[known.phone], readable(inbound.body)
            person = _who_speaks(phone, None, self._parts.clock.now())
            kept = inbound.kept(known, person, masked(body) if phone.shared else body)
            return poison.text_failed(self._parts, unit, kept, error)

        kept = run_exchange(self._store, known.site, keep)
        return Handled.FAILED if kept else Handled.SEEN

    # -- a bell ---------------------------------------------------------------------------------

    def ring_due(self) -> int:
        """Ring every bell that is due and that nobody else is ringing; hands back how many.

        Raises StoreBusy for a site that others hold, once the bells of all other sites have rung.
        """
        self._stepping.note()
        rung = 0
        busy: dict[str, StoreBusy] = {}
        while due := claim(self._store, self._parts.clock.now(), AT_ONCE, LEASE):
            for claimed in due:
                if claimed.site not in busy:
                    self._ring_or_note(claimed, busy)
            rung += len(due)
        for held in busy.values():
            raise held
        return rung

    def _ring_or_note(self, claimed: Claimed, busy: dict[str, StoreBusy]) -> None:
        try:
            self.bell(claimed)
        except StoreBusy as held:
            busy[claimed.site] = held

    def bell(self, claimed: Claimed) -> Handled:
        """Ring a claimed bell, unless it is no longer what was claimed."""

        def ring(unit: Unit) -> Handled:
            return self._ring(unit, claimed)

        try:
            done = run_exchange(self._store, claimed.site, ring)
        except StoreError:
            raise
        except Exception as error:  # noqa: BLE001 - put off and told
            _log.error("bell %s of %s failed %s", claimed.bell, claimed.site, wrong(error))
            poison.bell_failed(self._parts, claimed)
            done = Handled.FAILED
        self.wake()
        return done

    def _ring(self, unit: Unit, claimed: Claimed) -> Handled:
        if not is_still_claimed(unit.connection, claimed):
            return Handled.GONE
        now = self._parts.now(unit)
        occasion = Occasion(now, names=names_of(unit.connection, unit.site))
        late = max(now - claimed.due, timedelta(0))
        decide(self._parts, unit, BellIn(claimed.bell, late), occasion)
        left = unit.clinic.bells.get(claimed.bell)
        if left is not None and left.due == claimed.due:
            raise BellLeftOver(left.kind)
        return Handled.DONE

    # -- a fact ---------------------------------------------------------------------------------

    def fact(self, site: str, event: Event, phone: str = "") -> Handled:
        """Something that a machine reports: a delivery report, for one. It is never lost."""
        speaker = Speaker(phone=phone or None)
        try:
            return self.facts(site, (event,), speaker)
        except StoreError:
            raise
        except Exception as error:  # noqa: BLE001 - the bare fact is kept, and told: no loop
            _log.error("%s of %s failed %s", type(event).__name__, site, wrong(error))
            poison.fact_failed(self._parts, site, event, speaker)
        self.wake()
        return Handled.FAILED

    def facts(
        self,
        site: str,
        events: Sequence[Event],
        speaker: Speaker = NOBODY,
        also: Callable[[Any], None] | None = None,
    ) -> Handled:
        """Things that happened together, and what *also* is to be written with them.

        *also* gets the connection of the transaction: names and numbers belong in the register,
        and stand there exactly when the events stand in the record. Whoever tells is there to
        hear what went wrong, so it is raised.
        """
        self._stepping.note()

        def tell(unit: Unit) -> None:
            if also is not None:
                also(unit.connection)
            names = names_of(unit.connection, site)
            occasion = Occasion(self._parts.now(unit), speaker, names)
            decide(self._parts, unit, FactIn(tuple(events)), occasion)

        run_exchange(self._store, site, tell)
        self.wake()
        return Handled.DONE

    def set_up(
        self,
        site: str,
        events: Sequence[Event],
        also: Callable[[Any], None] | None = None,
        speaker: Speaker = NOBODY,
    ) -> Handled:
        """The same for a site that may be new: its chain is opened first."""
        self._store.open_chain(site)
        return self.facts(site, events, speaker, also)


def _who_speaks(phone: Phone, pin: PinCheck | None, now: datetime) -> str | None:
    if is_locked(phone, now):
        return None
    return pin.person if pin else holder(phone, now)


def _nobody_to_wake() -> None:
    """Where no engine runs: whoever holds the clock looks by himself."""
