"""The bell of the morning text: when it hangs, when it rings, and who hears it.

It is a bell, a row like every other, and not a chore of the engine. A row outlives a restart and
is looked at late rather than never; it is claimed under the site's lock, so that it rings once
however many processes run; and it stands in the index of due bells with the rest, so that until
its moment it costs nothing: no exchange, and not even a question. A chore would have to ask each
minute which of all the sites has its morning just now, and to keep a row somewhere all the same
of whom it has told. The price is two entries a day in the record of each site: it rang, it is set.

It hangs from the first device that is enrolled, moves with the site's opening time and zone, and
is taken down where a site switches it off. Each ringing sets the next by the site's own calendar.
"""

from datetime import datetime, timedelta

from flows.calculations.hours import next_morning, wants_morning_text
from flows.morning.first import first
from flows.morning.running_out import running_out
from flows.morning.today import today
from flows.morning.uncounted import uncounted
from flows.parts.clinic import Bell, Role
from flows.parts.decision import Decision, Saying
from flows.parts.events import BellSet, BellStopped, Event
from flows.parts.moment import Moment
from flows.parts.situation import Situation

MORNING = "morning"

LAPSES = timedelta(hours=4)
"""Later than this it is no morning any more, and nothing is said. Source: common practice, none
published."""

READERS = frozenset({Role.WORKER, Role.SUPERVISOR})


def hung(situation: Situation, now: datetime) -> tuple[Event, ...]:
    """What hangs the bell where it belongs; nothing where it hangs there already."""
    clinic, site = situation.clinic, situation.clinic.site
    bell = clinic.bells.get(MORNING)
    if bell and bell.due <= now:
        return ()
    if site is None or not clinic.devices or not wants_morning_text(site):
        return (BellStopped(MORNING),) if bell else ()
    due = next_morning(site, now)
    return () if bell and bell.due == due else (BellSet(MORNING, MORNING, due),)


def ring_morning(situation: Situation, _: Bell, late: timedelta, moment: Moment) -> Decision:
    """What is so today, what is due first, what runs out; and the bell of the next day.

    Supervisors hear what cannot be counted, as it is theirs to say.
    """
    if not wants_morning_text(situation.site):
        return Decision()
    events = (BellSet(MORNING, MORNING, next_morning(situation.site, moment.now)),)
    if late > LAPSES:
        return Decision(events=events)
    soon = running_out(situation, moment.now)
    due = first(situation, moment.now)
    texts = (today(situation, moment.now), *due, *((soon,) if soon else ()))
    says = [
        Saying(text, to=phone, good_for=LAPSES) for phone in readers(situation) for text in texts
    ]
    lacking = uncounted(situation, moment.now)
    if lacking:
        told = (phone for phone in readers(situation) if phone in situation.supervisors())
        says += (Saying(lacking, to=phone, good_for=LAPSES) for phone in told)
    return Decision(events=events, says=tuple(says))


def readers(situation: Situation) -> tuple[str, ...]:
    """Phones of workers and supervisors that can be reached; not those of trainees alone."""
    people = situation.clinic.people
    return tuple(
        phone.id
        for phone in situation.clinic.phones.values()
        if phone.reachable
        and not phone.opted_out
        and any(people[each].role in READERS for each in phone.people if each in people)
    )
