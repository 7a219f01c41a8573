"""Strips that a later text may still fail: just read as passed, or dipped and never read (S4)."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from flows.parts.clinic import DOUBLED_WITHIN
from flows.parts.events import StripDipped, StripRead
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.state.dips import dip_of, is_awaited
from flows.rules import strip as rule
from flows.rules.failed_after_all import may_fail
from flows.strip_test.digits import first_before

RIGHTED_WITHIN = timedelta(minutes=2)
"""Later the same digit may be said of something else, where it does not name its container: a
rinse is done 3 times. Source: common practice, none published."""

NAMED_WITHIN = DOUBLED_WITHIN
"""With its tag it can be of nothing else: so long as whoever was asked for that may be texting."""

_DIPPED_WITHIN = timedelta(hours=1)
"""So far back is looked for the dip of a reading: no window of a strip is as long."""


@dataclass(frozen=True, slots=True)
class InQuestion:
    """A strip, and the entry that fails it but for what was *seen*."""

    fails: StripRead
    first: int
    """The digit that would be its pass."""
    phone: str | None
    """That has read it; of one that nobody has read, that has dipped it."""
    read_at: datetime | None
    """None where nobody has."""
    until: datetime
    """So long it is in question where no container is named."""


def in_question(situation: Situation, moment: Moment) -> list[InQuestion]:
    """The last one behind the others."""
    strips = [*_passed(situation, moment), *_never_read(situation, moment)]
    here = [each for each in strips if each.fails.container in situation.clinic.containers]
    return sorted(here, key=lambda each: each.read_at or moment.now)


def _passed(situation: Situation, moment: Moment) -> Iterator[InQuestion]:
    readings = situation.past((StripRead,), moment.now - NAMED_WITHIN)
    for stamped in {getattr(each.event, "test", ""): each for each in readings}.values():
        read, since = stamped.event, moment.now - stamped.at
        if isinstance(read, StripRead) and may_fail(read):
            most = read.age_most + since if read.age_most is not None else None
            fails = replace(
                read,
                outcome=rule.FAIL,
                because="",
                age=read.age + since,
                age_most=most,
                good_until=None,
            )
            first = _first_of(situation, read.test, stamped.phone, moment)
            until = stamped.at + RIGHTED_WITHIN
            yield InQuestion(fails, first, stamped.phone, stamped.at, until)


def _never_read(situation: Situation, moment: Moment) -> Iterator[InQuestion]:
    """Its question has gone, with its cleaning or with whoever has taken that over."""
    for stamped in situation.past((StripDipped,), moment.now - _DIPPED_WITHIN):
        dipped = stamped.event
        if not isinstance(dipped, StripDipped) or not _stands(situation, dipped, moment):
            continue
        fails = StripRead(
            test=dipped.test,
            container=dipped.container,
            strips=dipped.strips,
            cycle=dipped.cycle,
            outcome=rule.FAIL,
            seen=rule.FAIL,
            because="",
            age=(situation.sent_at or moment.now) - stamped.at,
            age_proved=True,
            day=situation.local_day(moment.now),
            good_until=None,
            lot=dipped.lot,
            age_most=moment.now - (dipped.sent_at or stamped.at),
        )
        first = _first_of(situation, dipped.test, stamped.phone, moment)
        until = dipped.read_until + RIGHTED_WITHIN
        yield InQuestion(fails, first, stamped.phone, None, until)


def _stands(situation: Situation, dipped: StripDipped, moment: Moment) -> bool:
    """Not read, and whoever texts is not asked for it, which would read it."""
    container = situation.clinic.containers.get(dipped.container)
    if container is None or moment.now > dipped.read_until + NAMED_WITHIN:
        return False
    here = (situation.phone.id, situation.person.id if situation.person else "")
    is_to_come = is_awaited(situation.clinic, dipped.test, here)
    return dip_of(container, dipped.test) is not None and not is_to_come


def _first_of(situation: Situation, test: str, reader: str | None, moment: Moment) -> int:
    """By how many strips its phone has dipped since: one may read what another has dipped."""
    dips = situation.past((StripDipped,), moment.now - _DIPPED_WITHIN)
    mine = [each for each in dips if getattr(each.event, "test", "") == test]
    phone = mine[0].phone if mine else reader
    since = [each for each in dips if mine and each.phone == phone and each.at > mine[0].at]
    return first_before(situation.clinic.phones[phone or ""], len(since))
