"""One cycle to read aloud: what it rests on, then every entry with its time."""

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

from bot.exports.figures import ages, celsius, day_and_clock, held, span
from bot.exports.in_words import corrected, in_words
from bot.record.written import Written
from bot.reports.facts import Facts, Found
from bot.reports.timeline import Timeline

NOT_REACHED = "not reached"


def as_text(timeline: Timeline) -> str:
    """The whole cycle. Times are the site's own, spans to the second and cut off."""
    facts = Facts(timeline)
    width = max(len(label) for label, _ in _head(facts))
    head = [f"{label:<{width}}  {said}" for label, said in _head(facts)]
    return "\n".join([*head, "", *_entries(timeline), ""])


def _head(facts: Facts) -> Iterator[tuple[str, str]]:
    yield from _about(facts)
    yield from _solution(facts)
    yield from _strip(facts)
    yield from _soak(facts)
    yield from _release(facts)


def _about(facts: Facts) -> Iterator[tuple[str, str]]:
    timeline, protocol = facts.timeline, facts.protocol
    title = f" ({timeline.title})" if timeline.title else ""
    yield "Cycle", f"{timeline.cycle}, site {timeline.site}{title}, time zone {timeline.zone.key}"
    yield "Device", f"{timeline.device}, {protocol.device_model.title} ({facts.model})"
    yield "Began", _when_and_who(timeline, timeline.began)
    yield "Outcome", _outcome(facts)
    chemistry = protocol.chemistry
    held_to = f"{span(chemistry.contact_time)} at {celsius(chemistry.minimum_temperature_c)}"
    yield "Protocol", f"{chemistry.title}: {held_to} or more, MEC {chemistry.mec}"
    yield "Fingerprint", facts.fingerprint
    for deviation, because in facts.deviations:
        yield "Deviations", f"{deviation}; because: {because}"
    if not facts.deviations:
        yield "Deviations", "none"
    for trouble in facts.trouble:
        yield "Trouble", trouble
    for entry, seq, said in facts.corrections:
        what = corrected(timeline, entry, seq, said)
        because = timeline.because(said.reason_digest)
        yield "Corrected", f"entry {entry.seq}: {what}: {because}"


def _outcome(facts: Facts) -> str:
    end = facts.end
    if end is None:
        return "open"
    because = f" ({facts.because})" if facts.because else ""
    return f"{facts.outcome.upper()}{because}, {_when_and_who(facts.timeline, end[0])}"


def _solution(facts: Facts) -> Iterator[tuple[str, str]]:
    if facts.bath is None:
        yield "Bath", NOT_REACHED
    for label, found in (("Bath", facts.bath), ("poured from", facts.bottle)):
        if found:
            yield label, _poured(facts, found[1])
    if facts.jug:
        yield "poured from", _opened(facts, facts.jug)
    if facts.activated:
        yield "activated", _activated(facts, facts.activated[1])


def _strip(facts: Facts) -> Iterator[tuple[str, str]]:
    read = facts.strip_read
    if facts.evidence:
        yield "Evidence", _evidence(facts, facts.evidence)
        return
    if read is None:
        yield "Strip", NOT_REACHED
        return
    event = read[1]
    proved = "proved" if event.age_proved else "NOT proved"
    seen = f"{event.outcome.upper()} in {event.container}"
    read_at = _when_and_who(facts.timeline, read[0])
    yield "Strip", f"{seen}, {read_at}; {ages(event.age, event.age_most)} after the dip, {proved}"
    if facts.strips:
        checked = "passed" if facts.strips_passed else "NOT passed"
        yield "strip bottle", f"{_opened(facts, facts.strips)}; quality control {checked}"


def _evidence(facts: Facts, found: Found) -> str:
    stated = ", ".join(each.replace("_", " ") for each in found[1].stated)
    at = _when_and_who(facts.timeline, found[0])
    return f"no strip exists; {stated}; from {found[1].strength}, {at}"


def _soak(facts: Facts) -> Iterator[tuple[str, str]]:
    into, out = facts.immersed, facts.taken_out
    needed = span(facts.contact_needed)
    if into is None:
        yield "Contact time", f"{NOT_REACHED}; needed {needed}"
        return
    yield "IN", f"{_when_and_who(facts.timeline, into[0])}, bath {celsius(into[1].celsius)}"
    if out is None:
        yield "Contact time", f"not complete; needed {needed}"
        return
    warmth = celsius(out[1].celsius) or "not asked for"
    who = facts.timeline.called(out[0].stamped.person)
    yield "OUT", f"{_moment(facts, out[1].ended)} by {who}, bath {warmth}"
    yield "Contact time", f"{span(out[1].lasted)}; needed {needed}"


def _release(facts: Facts) -> Iterator[tuple[str, str]]:
    released = facts.released
    if released:
        event = released[1]
        yield "Release", f"code {event.code}, good until {_moment(facts, event.until)}"
    if facts.withdrawn:
        yield "Withdrawn", str(facts.withdrawn[1].because)
    for at, patient in facts.uses_after:
        yield "Used", f"on patient {patient}, told {_moment(facts, at)}"


def _poured(facts: Facts, event: Any) -> str:
    filled, until = _moment(facts, event.poured), _moment(facts, event.discard_by)
    bath, lot = f"{event.tag}{held(event.volume_ml)}", event.lot or "none"
    return f"{bath}, lot {lot}, filled {filled}, discard by {until} ({event.because})"


def _activated(facts: Facts, event: Any) -> str:
    until = _moment(facts, event.discard_by)
    return f"{_moment(facts, event.activated)}, discard by {until} ({event.because})"


def _opened(facts: Facts, found: Found) -> str:
    event = found[1]
    expires: date = event.expires
    return (
        f"{event.tag}, lot {event.lot or 'none'}, opened {_moment(facts, event.opened)}, "
        f"expires {expires.day} {expires:%b %Y}, discard by {_moment(facts, event.discard_by)}"
    )


def _moment(facts: Facts, moment: datetime) -> str:
    return day_and_clock(facts.timeline.local(moment))


def _when_and_who(timeline: Timeline, written: Written) -> str:
    stamped: Any = written.stamped
    who = timeline.called(stamped.person) or "the bot"
    return f"{day_and_clock(timeline.local(stamped.at))} by {who}"


def _entries(timeline: Timeline) -> Iterator[str]:
    """Every entry: its number in the chain, its time, who, what; a heading for each day."""
    shown: date | None = None
    for each in timeline.entries:
        local = timeline.local(each.stamped.at)
        if local.date() != shown:
            shown = local.date()
            yield f"{local:%A} {local.day} {local:%B %Y}"
        who = timeline.called(each.stamped.person) or "-"
        yield f"{each.seq:>6}  {local:%H:%M:%S}  {who:<12}  {in_words(timeline, each)}"
