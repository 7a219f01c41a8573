"""After commit: send, wait, try again, give up."""

from datetime import timedelta

from bot.clock import Clock
from bot.outbox import reference
from bot.outbox.channel import Accepted, Channel, Later, Never, NotSent, Unknown
from bot.outbox.status import Tell, fact_of_failure, tell_facts
from bot.store import delivery, outbox
from bot.store.outbox import Claimed, Guard
from bot.store.transaction import Store

LEASE = timedelta(seconds=60)
"""Longer than one hand-over can take: the gateway is given up on after 10 s."""

GUARD = Guard(most=15, within=timedelta(seconds=30))
"""Two robots that answer each other stop being passed on at this pace.
Source: the gateway's old list of frequent questions, on the same pair of numbers."""

FIRST_WAIT = timedelta(seconds=2)
LONGEST_WAIT = timedelta(minutes=5)

BEFORE_LOOK_UP = timedelta(seconds=15)
"""A lost answer often settles itself by the first delivery report."""

LOST = "nobody knows whether it went out"
TOO_LATE = "30036"


class Sender:
    """Sends what is queued. Any number of them, in any number of processes, share the work."""

    def __init__(
        self, store: Store, channel: Channel, clock: Clock, secret: str, tell: Tell
    ) -> None:
        self._store = store
        self._channel = channel
        self._clock = clock
        self._secret = secret
        self._tell = tell

    def send_due(self) -> int:
        """Deal with all that may go now; hands back how many steps were taken."""
        with self._store.write() as connection:
            steps = outbox.forget_expired_claims(connection, self._clock.now())
        while (text := self._next_to_look_up()) is not None:
            self._look_up(text)
            steps += 1
        while (text := self._next_to_send()) is not None:
            self._send(text)
            steps += 1
        return steps + tell_facts(self._store, self._tell, self._clock)

    def _next_to_send(self) -> Claimed | None:
        with self._store.write() as connection:
            return outbox.claim(connection, self._clock.now(), LEASE, GUARD)

    def _next_to_look_up(self) -> Claimed | None:
        with self._store.write() as connection:
            return outbox.claim_unknown(connection, self._clock.now(), LEASE)

    def _send(self, text: Claimed) -> None:
        now = self._clock.now()
        if text.overtaken:
            self._settle(text, "claimed", state="overtaken")
        elif now >= text.valid_until:
            self._give_up(text, "claimed", "not sent in time", TOO_LATE)
        elif text.number is None:
            self._give_up(text, "claimed", "the number has been erased", None)
        else:
            self._hand_over(text, text.number, text.valid_until - now)

    def _hand_over(self, text: Claimed, number: str, valid_for: timedelta) -> None:
        ref = reference.sign(self._secret, text.id)
        try:
            accepted = self._channel.send(number, text.body, ref, valid_for)
        except Later as refused:
            self._wait(text, "claimed", "pending", refused)
        except Never as refused:
            self._give_up(text, "claimed", refused.reason, refused.code)
        except Unknown as refused:
            self._settle(
                text,
                "claimed",
                state="unknown",
                next_try_at=self._clock.now() + BEFORE_LOOK_UP,
                error_code=refused.code,
            )
        else:
            self._accepted(text, accepted)

    def _look_up(self, text: Claimed) -> None:
        if text.number is None:
            self._give_up(text, "unknown", "the number has been erased", None)
            return
        with self._store.read() as connection:
            known = outbox.known_sids(connection, text)
        ref = reference.sign(self._secret, text.id)
        since = text.tried_at or text.created_at
        try:
            found = self._channel.look_up(text.number, text.body, ref, since, known)
        except NotSent as unanswered:
            self._wait_for_look_up(text, unanswered)
        else:
            self._looked_up(text, found)

    def _looked_up(self, text: Claimed, found: Accepted | None) -> None:
        """Only a bell goes out again: any other text doubled could be answered twice."""
        if found is not None:
            self._accepted(text, found)
        elif text.bell is not None and not text.overtaken:
            self._settle(text, "unknown", state="pending", next_try_at=self._clock.now())
        elif text.overtaken:
            self._settle(text, "unknown", state="overtaken")
        else:
            self._give_up(text, "unknown", LOST, None)

    def _wait_for_look_up(self, text: Claimed, unanswered: NotSent) -> None:
        if self._clock.now() >= text.valid_until:
            self._give_up(text, "unknown", LOST, None)
        else:
            self._wait(text, "unknown", "unknown", unanswered)

    def _accepted(self, text: Claimed, accepted: Accepted) -> None:
        """However late we hear it: even where another worker has found nothing meanwhile."""
        with self._store.write() as connection:
            outbox.settle_sent(connection, text, accepted.sid)

    def _wait(self, text: Claimed, was: str, state: str, refused: NotSent) -> None:
        asked = refused.retry_after if isinstance(refused, Later) else None
        wait = wait_before_next(text.attempts) if asked is None else max(asked, FIRST_WAIT)
        # Not beyond its time: then it must be known to have failed, and a bell rung elsewhere.
        next_try_at = min(self._clock.now() + wait, max(text.valid_until, self._clock.now()))
        self._settle(text, was, state=state, next_try_at=next_try_at, error_code=refused.code)

    def _give_up(self, text: Claimed, was: str, reason: str, code: str | None) -> None:
        """Dead, and what follows from it, in one transaction."""
        with self._store.write() as connection:
            if outbox.settle(connection, text, was, state="dead", error_code=code):
                delivery.add_report(
                    connection,
                    outbox=text.id,
                    sid=None,
                    status=reason,
                    error_code=code,
                    arrived_at=self._clock.now(),
                    fact=fact_of_failure(code),
                )

    def _settle(self, text: Claimed, was: str, **values: object) -> None:
        with self._store.write() as connection:
            outbox.settle(connection, text, was, **values)


def wait_before_next(attempts: int) -> timedelta:
    """2, 4, 8 ... seconds, at most five minutes. Source: common practice, none published."""
    doublings = min(attempts - 1, 10)
    return min(FIRST_WAIT * (1 << doublings), LONGEST_WAIT)
