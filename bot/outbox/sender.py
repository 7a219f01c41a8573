"""After commit: send, wait, try again, give up."""

from collections.abc import Callable
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from datetime import timedelta
from functools import partial
from threading import Event
from typing import Any

from bot.clock import Clock
from bot.outbox import reference
from bot.outbox.channel import Accepted, Channel, Later, Never, NotSent, Unknown
from bot.outbox.status import Tell, fact_of_failure, tell_facts
from bot.store import delivery, outbox
from bot.store.outbox import Claimed, Claims, Guard, Outcome
from bot.store.transaction import Store

LEASE = timedelta(seconds=30)
"""Longer than one hand-over can take: the gateway is given up on after 10 s to reach it and 10 s
to answer. Not much longer: behind a claim that nobody settles the phone's other texts wait."""

GUARD = Guard(most=15, within=timedelta(seconds=30))
"""Two robots that answer each other stop being passed on at this pace.
Source: the gateway's old list of frequent questions, on the same pair of numbers."""

HANDS = 8
"""Texts handed over at a time: the gateway takes a tenth of a second or more for each."""

TOGETHER_S = 0.01
"""What is done within so short a time of each other is written in one commit."""

FIRST_WAIT = timedelta(seconds=2)
LONGEST_WAIT = timedelta(minutes=5)

BEFORE_LOOK_UP = timedelta(seconds=15)
"""A lost answer often settles itself by the first delivery report."""

LOST = "nobody knows whether it went out"
TOO_LATE = "30036"


class Sender:
    """Sends what is queued. Any number of them, in any number of processes, share the work."""

    def __init__(  # noqa: PLR0913, PLR0917 - its parts
        self,
        store: Store,
        channel: Channel,
        clock: Clock,
        secret: str,
        tell: Tell,
        hands: int = HANDS,
    ) -> None:
        self._store = store
        self._channel = channel
        self._clock = clock
        self._secret = secret
        self._tell = tell
        self._hands = hands
        self._ending = Event()

    def end(self) -> None:
        """Finish what is in hand, and begin nothing more: the rest waits in its rows."""
        self._ending.set()

    def send_due(self) -> int:
        """Deal with all that may go now; hands back how many steps were taken."""
        with self._store.write() as connection:
            steps = outbox.forget_expired_claims(connection, self._clock.now())
        steps += self._each(outbox.claim_unknown, self._looked_up)
        steps += self._each(partial(outbox.claim, guard=GUARD), self._sent)
        return steps + tell_facts(self._store, self._tell, self._clock)

    def _each(self, claim: Claims, dealt_with: Callable[[Claimed], Outcome]) -> int:
        """Deal with so many at once as there are hands; write what became of them as more begin.

        Raises the first fault once all others have been dealt with: nobody waits behind it.
        """
        faults: list[Exception] = []

        def deal(text: Claimed) -> Outcome:
            try:
                return dealt_with(text)
            except Exception as fault:  # noqa: BLE001 - raised below; the claim runs out by itself
                faults.append(fault)
                return _nothing

        steps = self._all(claim, deal)
        if faults:
            raise faults[0]
        return steps

    def _all(self, claim: Claims, deal: Callable[[Claimed], Outcome]) -> int:
        steps = 0
        busy: set[Future[Outcome]] = set()
        done: set[Future[Outcome]] = set()
        with ThreadPoolExecutor(self._hands, "hand") as hands:
            while True:
                outcomes = [each.result() for each in done]
                texts = self._next(claim, outcomes, self._hands - len(busy))
                busy |= {hands.submit(deal, text) for text in texts}
                if not busy:
                    return steps
                done, busy = _some_of(busy)
                steps += len(done)

    def _next(self, claim: Claims, outcomes: list[Outcome], most: int) -> list[Claimed]:
        now = self._clock.now()
        with self._store.write() as connection:
            for outcome in outcomes:
                outcome(connection)
            return [] if self._ending.is_set() else claim(connection, now, LEASE, most)

    def _sent(self, text: Claimed) -> Outcome:
        if text.overtaken:
            return _settled(text, "claimed", state="overtaken")
        if text.claimed_at >= text.valid_until:
            return self._given_up(text, "claimed", "not sent in time", TOO_LATE)
        if text.number is None:
            return self._given_up(text, "claimed", "the number has been erased", None)
        return self._handed_over(text, text.number, text.valid_until - text.claimed_at)

    def _handed_over(self, text: Claimed, number: str, valid_for: timedelta) -> Outcome:
        ref = reference.sign(self._secret, text.id)
        try:
            accepted = self._channel.send(number, text.body, ref, valid_for)
        except Later as refused:
            return self._waiting(text, "claimed", "pending", refused)
        except Never as refused:
            return self._given_up(text, "claimed", refused.reason, refused.code)
        except Unknown as refused:
            later = self._clock.now() + BEFORE_LOOK_UP
            return _settled(
                text, "claimed", state="unknown", next_try_at=later, error_code=refused.code
            )
        return _accepted(text, accepted)

    def _looked_up(self, text: Claimed) -> Outcome:
        if text.number is None:
            return self._given_up(text, "unknown", "the number has been erased", None)
        with self._store.read() as connection:
            known = outbox.known_sids(connection, text)
        ref = reference.sign(self._secret, text.id)
        since = text.tried_at or text.created_at
        try:
            found = self._channel.look_up(text.number, text.body, ref, since, known)
        except NotSent as unanswered:
            return self._waiting_for_look_up(text, unanswered)
        return self._found(text, found)

    def _found(self, text: Claimed, found: Accepted | None) -> Outcome:
        """Only a bell goes out again: any other text doubled could be answered twice."""
        if found is not None:
            return _accepted(text, found)
        if text.overtaken:
            return _settled(text, "unknown", state="overtaken")
        if text.bell is not None:
            return _settled(text, "unknown", state="pending", next_try_at=self._clock.now())
        return self._given_up(text, "unknown", LOST, None)

    def _waiting_for_look_up(self, text: Claimed, unanswered: NotSent) -> Outcome:
        if self._clock.now() >= text.valid_until:
            return self._given_up(text, "unknown", LOST, None)
        return self._waiting(text, "unknown", "unknown", unanswered)

    def _waiting(self, text: Claimed, was: str, state: str, refused: NotSent) -> Outcome:
        asked = refused.retry_after if isinstance(refused, Later) else None
        wait = wait_before_next(text.attempts) if asked is None else max(asked, FIRST_WAIT)
        # Not beyond its time: then it must be known to have failed, and a bell rung elsewhere.
        next_try_at = min(self._clock.now() + wait, max(text.valid_until, self._clock.now()))
        return _settled(text, was, state=state, next_try_at=next_try_at, error_code=refused.code)

    def _given_up(self, text: Claimed, was: str, reason: str, code: str | None) -> Outcome:
        """Dead, and what follows from it, in one transaction."""
        now = self._clock.now()

        def write(connection: Any) -> None:
            if outbox.settle(connection, text, was, state="dead", error_code=code):
                delivery.add_report(
                    connection,
                    outbox=text.id,
                    sid=None,
                    status=reason,
                    error_code=code,
                    arrived_at=now,
                    fact=fact_of_failure(code),
                )

        return write


def _some_of(busy: set[Future[Outcome]]) -> tuple[set[Future[Outcome]], set[Future[Outcome]]]:
    """Those that are done within a moment, or else the first, and those that are still busy."""
    done, rest = wait(busy, TOGETHER_S)
    return (done, rest) if done else wait(rest, return_when=FIRST_COMPLETED)


def _nothing(_: object) -> None:
    """Nothing was in hand."""


def _settled(text: Claimed, was: str, **values: object) -> Outcome:
    return lambda connection: outbox.settle(connection, text, was, **values)


def _accepted(text: Claimed, accepted: Accepted) -> Outcome:
    """However late we hear it: even where another worker has found nothing meanwhile."""
    return lambda connection: outbox.settle_sent(connection, text, accepted.sid)


def wait_before_next(attempts: int) -> timedelta:
    """2, 4, 8 ... seconds, at most five minutes. Source: common practice, none published."""
    doublings = min(attempts - 1, 10)
    return min(FIRST_WAIT * (1 << doublings), LONGEST_WAIT)
