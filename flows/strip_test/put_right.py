"""A reading that is put right at once: of two from one phone the worse counts (S4)."""

from dataclasses import replace
from datetime import timedelta

from flows.parts.clinic import Container
from flows.parts.decision import AGAIN, Decision, Saying
from flows.parts.events import StripRead
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.rules import strip as rule
from flows.strip_test import words
from flows.strip_test.digits import first_of_last

RIGHTED_WITHIN = timedelta(minutes=2)
"""Later the same digit may be said of something else: a rinse is done 3 times.
Source: common practice, none published."""


def put_right(situation: Situation, moment: Moment) -> Decision | None:
    """S4: after a pass by mistake, one of the other digits of that strip fails it after all.

    Taken from the phone that has just read it; what soaks on it falls. None for any other text,
    and where the record does not hold that reading.
    """
    container, seen = _just_passed(situation, moment), _worse(situation)
    if container is None or container.passed is None or isinstance(seen, NotUnderstood):
        return None
    test, past = container.passed.test, situation.past((StripRead,), container.passed.at)
    reads = [(each.event, each.at) for each in past]
    mine = [(e, at) for e, at in reads if isinstance(e, StripRead) and e.test == test]
    if not mine:
        return None
    fail = _read_again(mine[0][0], seen, moment.now - mine[0][1])
    return Decision(events=(fail,), says=(Saying(words.failed(container)),), then=AGAIN)


def _read_again(read: StripRead, seen: str, since: timedelta) -> StripRead:
    """The same strip, so much later, and its other colour."""
    return replace(
        read,
        outcome=rule.FAIL,
        seen=seen,
        because="" if seen == rule.FAIL else seen,
        age=read.age + since,
        age_most=None if read.age_most is None else read.age_most + since,
        good_until=None,
    )


def _just_passed(situation: Situation, moment: Moment) -> Container | None:
    """What this phone has read last, and so has passed, just now: a soak on it is as young."""
    phone = situation.phone
    if phone.tested_at is None or moment.now - phone.tested_at > RIGHTED_WITHIN:
        return None
    return next(
        (
            each
            for each in situation.clinic.containers.values()
            if each.passed and each.passed.at == phone.tested_at
        ),
        None,
    )


def _worse(situation: Situation) -> str | NotUnderstood:
    first = first_of_last(situation.phone)
    return choose(typed(situation), {str(first + 1): rule.FAIL, str(first + 2): "unsure"})
