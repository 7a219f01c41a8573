"""The contact soak: OUT, with the bath's warmth, and all that breaks it (S2, S3, S12)."""

import re
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal

from flows.cycle.broken import bath_of, broken, clean_again, uses_left
from flows.cycle.contact_bell import (
    and_the_temperature,
    is_complete_text,
    is_measured_again,
)
from flows.cycle.disinfect import in_english, put_in, without_tags
from flows.cycle.elsewhere import Elsewhere, is_said_in_words, named_elsewhere, put_elsewhere
from flows.cycle.out_early import nothing_of_that, out_early, tells_of_more
from flows.parts.clinic import Soak
from flows.parts.decision import Decision, Saying, call, go, restart
from flows.parts.events import BathTooCold, CleaningRestarted, SoakBroken, StepDone, TakenOut
from flows.parts.moment import Moment
from flows.parts.reading import word_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.in_out import (
    InReply,
    OutReply,
    read_in,
    read_out,
    read_owed,
    tells_a_time_before,
    tells_of_a_lack,
)
from flows.replies.not_in import denies_in
from flows.replies.put_in import Said, is_bare_minutes, said_in
from flows.replies.typed import Typed
from flows.rules.soak import (
    came_out,
    clock_time,
    contact_time,
    is_complete,
    is_over,
    is_past_the_maximum,
    lasted,
    limit_missed,
)

# -- while it is in -----------------------------------------------------------------------------


READ_WITHIN = timedelta(minutes=15)
"""S17: so long after OUT a bath is as warm as it was. Source: common practice, none published."""


def _ask_soaking(situation: Situation) -> Text:
    soak = situation.cycle.contact
    if soak and came_out(situation.open, soak):
        return and_the_temperature(situation, soak)
    if soak and soak.rung:
        return is_complete_text(situation, soak)
    return say(
        "cycle.soaking",
        "{device} is in {tag}. The bell rings at {until}. Leave it; the text with the bell has a "
        "number for {out}. Time left? Text {left}.",
        device=situation.cycle.device,
        tag=situation.cycle.bath or "",
        until=clock_time(soak.due if soak else situation.open.asked_at),
    )


def _ask_soaking_again(situation: Situation) -> Text:
    soak = situation.cycle.contact
    if soak and came_out(situation.open, soak):
        return and_the_temperature(situation, soak)
    if soak and soak.rung:
        return _which_number(situation)
    return say(
        "cycle.soaking.again",
        "{device} stays in {tag} until {until}. Taken out or moved? Text {out}.",
        device=situation.cycle.device,
        tag=situation.cycle.bath or "",
        until=clock_time(soak.due if soak else situation.open.asked_at),
    )


def _which_number(situation: Situation) -> Text:
    return say(
        "cycle.soaking.number",
        "{device}: was it in until the bell? Then reply {out} and the number in the bell's text. "
        "Out before the bell, or not sure: {again}.",
        device=situation.cycle.device,
    )


@dataclass(frozen=True, slots=True)
class NotIn:
    """S2: its IN was texted too soon, or was a mistake."""


@dataclass(frozen=True, slots=True)
class SecondIn:
    """S3: IN said while it soaks: it has been out, whatever else the text says."""

    reading: InReply | None
    elsewhere: Elsewhere | None


def _read_soaking(
    situation: Situation,
) -> OutReply | SecondIn | NotIn | Said | str | NotUnderstood:
    if word_of(situation, ("again",)) == "again":
        return "again"
    said = in_english(situation)
    if tells_of_a_lack(said):
        return NotUnderstood("word")
    own = said.without(situation.cycle.bath or "")
    return NotIn() if denies_in(own) else _read_in_or_out(situation, said, own)


def _read_in_or_out(
    situation: Situation, said: Typed, own: Typed
) -> OutReply | SecondIn | Said | NotUnderstood:
    soak = situation.cycle.contact
    early = soak is not None and tells_a_time_before(own, soak.due.astimezone(situation.zone))
    out = read_out(own, soak.number if soak else None)
    out = OutReply(doubt=NotUnderstood("word")) if early and isinstance(out, OutReply) else out
    is_out = soak is not None and soak.rung is not None and came_out(situation.open, soak)
    if isinstance(out, OutReply):
        return out.doubt if is_out and out.doubt else out
    elsewhere = named_elsewhere(situation)
    is_moved = elsewhere is not None and is_said_in_words(situation)
    told = said_in(said)
    if is_moved or (told is Said.IN and not is_bare_minutes(said)):
        return SecondIn(_read_second_in(without_tags(said)), elsewhere)
    if soak and is_out:
        return _read_owed(situation, soak, said)
    return told if told is Said.MAYBE else out


def _read_owed(situation: Situation, soak: Soak, said: Typed) -> OutReply | NotUnderstood:
    """S17: the temperature by itself, or its unit, where another figure has not come since."""
    asked = situation.open
    without_unit = "" if asked.misses else situation.frame.memo.get("without_unit", "")
    read = read_owed(said, soak.number, without_unit)
    return read if isinstance(read, NotUnderstood) else OutReply(soak.number, read)


def _read_second_in(said: Typed) -> InReply | None:
    """Its temperature, whichever old text's number it bears."""
    numbers = re.findall(r"(?<!\d)\d\d(?![\d.,])", " ".join(said.words))
    if "IN" in said.words:  # BACK IN 23
        said = replace(said, words=said.words[said.words.index("IN") :])
    readings = [read_in(said), *(read_in(said, int(number)) for number in numbers)]
    return next((each for each in readings if isinstance(each, InReply)), None)


def _after_soaking(
    situation: Situation, said: OutReply | SecondIn | NotIn | Said | str, moment: Moment
) -> Decision:
    soak = situation.cycle.contact
    if not isinstance(said, OutReply) or soak is None:
        return _not_out(situation, said, moment)
    if soak.rung is None:
        return out_early(situation, moment)
    ended = _ended(situation, soak, moment)
    if said.number != soak.number:
        return _without_its_number(situation, soak, said, moment)
    if not is_complete(soak, ended, contact_time(situation.protocol, situation.cycle.celsius_in)):
        known = _out_by(situation, soak, moment)
        return broken(situation, "too_short", moment, ended=ended, known=known)
    return _measured(situation, soak, said, moment) or _taken_out(situation, soak, said, moment)


def _not_out(
    situation: Situation, said: OutReply | SecondIn | NotIn | Said | str, moment: Moment
) -> Decision:
    """S8: where it is open whether it was in again, it is asked as at a hand-over."""
    if isinstance(said, SecondIn):
        return second_in(situation, said, moment)
    if isinstance(said, NotIn):
        return _not_in(situation, moment)
    if isinstance(said, Said):
        return Decision(then=call("cycle", "stayed", back_to="soaking"))
    return clean_again(situation, "asked", moment)


def _not_in(situation: Situation, moment: Moment) -> Decision:
    """S2, S3: since its IN it has been out, for all that anybody can tell; so it soaks nothing."""
    soak = situation.cycle.contact
    return broken(situation, "not_in", moment, ended=soak.began if soak else None)


def _without_its_number(
    situation: Situation, soak: Soak, said: OutReply, moment: Moment
) -> Decision:
    """S2: an OUT of before the time was up is one, though a carrier brings it after the bell.

    S8: bad news beside OUT, with or without the number, is said to be not noted.
    """
    least = contact_time(situation.protocol, situation.cycle.celsius_in)
    if not is_complete(soak, _ended(situation, soak, moment), least):
        return out_early(situation, moment)
    is_more = said.doubt == NotUnderstood("word") and tells_of_more(situation)
    not_noted = (nothing_of_that(situation),) if is_more else ()
    return Decision(says=tuple(map(Saying, (*not_noted, _which_number(situation)))))


def _ended(situation: Situation, soak: Soak, moment: Moment) -> datetime:
    """S2: the earliest moment the evidence allows: what was out does not soak on."""
    sent = situation.sent_at or moment.now
    return min(came_out(situation.open, soak) or sent, sent)


def _out_by(situation: Situation, soak: Soak, moment: Moment) -> datetime:
    """S12: since when it is known to be out; what is asked after that makes it no longer."""
    said = situation.frame.memo.get("out_by")
    return datetime.fromisoformat(said) if said and came_out(situation.open, soak) else moment.now


def second_in(situation: Situation, said: SecondIn, moment: Moment) -> Decision:
    """S3: it was put in again, so it had been out: the time starts now, under a new number.

    Its temperature is asked for where it was not told; elsewhere it does not go on. S12: left in
    past the maximum it is inspected, wherever it is now.
    """
    cycle = situation.cycle
    soak = cycle.contact
    over = is_past_the_maximum(cycle, moment.now)
    soaked = lasted(soak, moment.now) if soak else timedelta(0)
    broke = SoakBroken(cycle.id, cycle.device, "second_in", soaked)
    if said.elsewhere:
        moved = put_elsewhere(situation, said.elsewhere, moment)
        again = CleaningRestarted(cycle.id, cycle.device, "second_in", inspect_again=True)
        events = (broke, *moved.events, *((again,) if over else ()))
        return replace(moved, events=events, then=restart("inspect") if over else moved.then)
    if over:
        return clean_again(situation, "second_in", moment)
    bath = bath_of(situation)
    if said.reading is None or (bath and not uses_left(situation, bath)):
        return broken(situation, "second_in", moment)
    return put_in(situation, said.reading, moment, broke)


def _measured(situation: Situation, soak: Soak, said: OutReply, moment: Moment) -> Decision | None:
    """S1, S2: what the bath's temperature at OUT makes of the soak; None where it stands."""
    cycle, protocol = situation.cycle, situation.protocol
    ended = _ended(situation, soak, moment)
    if said.reading is None:
        owed = is_measured_again(situation) or said.doubt or came_out(situation.open, soak)
        return _asks_its_warmth(situation, soak, said, moment) if owed else None
    celsius = said.reading.celsius
    limit = limit_missed(celsius, protocol)
    if limit is not None:
        return _out_of_range(situation, soak, celsius, limit, moment)
    if (situation.sent_at or moment.now) - ended > READ_WITHIN:
        return _measured_late(situation, soak, moment)
    if not is_complete(soak, ended, contact_time(protocol, cycle.celsius_in, celsius)):
        return _cooled(situation, soak, celsius, moment)
    return None


def _measured_late(situation: Situation, soak: Soak, moment: Moment) -> Decision:
    """S17: a bath that has stood since says nothing of how warm it was at OUT."""
    ended, known = _ended(situation, soak, moment), _out_by(situation, soak, moment)
    back = broken(situation, "measured_late", moment, ended=ended, known=known)
    text = say(
        "cycle.measured_late",
        "{device}: measured so long after it came out, the reading says nothing of its soak: that "
        "does not count.",
        device=situation.cycle.device,
    )
    return replace(back, says=(Saying(text), *back.says))


def _asks_its_warmth(situation: Situation, soak: Soak, said: OutReply, moment: Moment) -> Decision:
    """S10: it came out when that was first said, however often a carrier brings it.

    S17: a reading that is in doubt is asked back, and one is owed from then on.
    """
    if came_out(situation.open, soak):
        return Decision(says=(Saying(and_the_temperature(situation, soak)),))
    if_f = said.doubt.value if said.doubt else None
    return Decision(
        then=go(
            "soaking",
            out=_ended(situation, soak, moment).isoformat(),
            out_by=moment.now.isoformat(),
            if_f="" if if_f is None else str(if_f),
            without_unit="" if said.without_unit is None else str(said.without_unit),
        )
    )


def _out_of_range(
    situation: Situation, soak: Soak, celsius: Decimal, limit: Decimal, moment: Moment
) -> Decision:
    """S1, S17: too cold at OUT, or too warm, it has soaked nothing."""
    cycle = situation.cycle
    missed = BathTooCold(cycle.id, cycle.device, celsius, limit)
    because = "too_cold" if celsius < limit else "too_warm"
    ended, known = _ended(situation, soak, moment), _out_by(situation, soak, moment)
    back = broken(situation, because, moment, ended=ended, known=known)
    cold = because == "too_cold" and not back.says
    text = _was_cold(situation) if cold else _was_out_of_range(situation, celsius, limit)
    return Decision((missed, *back.events), (Saying(text), *back.says), back.then)


def _taken_out(situation: Situation, soak: Soak, said: OutReply, moment: Moment) -> Decision:
    cycle, ended = situation.cycle, _ended(situation, soak, moment)
    bath = situation.clinic.containers[cycle.bath or ""]
    if ended >= bath.discard_by:
        again = clean_again(situation, "bath_out_of_date", moment)
        return replace(again, says=(Saying(_ran_out(situation)),))
    over = is_over(soak, _out_by(situation, soak, moment), situation.protocol)
    out = TakenOut(
        cycle=cycle.id,
        device=cycle.device,
        bath=bath.tag,
        bath_discard_by=bath.discard_by,
        ended=ended,
        lasted=lasted(soak, ended),
        number=soak.number,
        celsius=said.reading.celsius if said.reading else None,
        over_maximum=over,
    )
    gloves = StepDone(cycle.id, cycle.device, "gloves", stated_with="soaking")
    return Decision(events=(gloves, out), then=go("inspect_after" if over else "final_rinse"))


def _cooled(situation: Situation, soak: Soak, celsius: Decimal, moment: Moment) -> Decision:
    """S2, S3: colder at OUT than its short time was published for: out of it, it starts again."""
    cycle, chemistry = situation.cycle, situation.protocol.chemistry
    limit = chemistry.warmth_relied_on_c(cycle.celsius_in or celsius)
    cold = BathTooCold(cycle.id, cycle.device, celsius, limit)
    text = say(
        "cycle.soaking.cooled",
        "{tag} has cooled to {celsius} C, where a soak takes {span}: this one of {device} is too "
        "short and does not count.",
        tag=cycle.bath or "",
        celsius=celsius,
        span=chemistry.contact_time_at(celsius),
        device=cycle.device,
    )
    ended, known = _ended(situation, soak, moment), _out_by(situation, soak, moment)
    back = broken(situation, "cooled", moment, ended=ended, known=known, celsius=celsius)
    return Decision((cold, *back.events), (Saying(text), *back.says), back.then)


def _ran_out(situation: Situation) -> Text:
    return say(
        "cycle.soaking.ran_out",
        "{tag} ran out of date during this soak: it does not count. {device} must be cleaned "
        "again, then soaked in another bath.",
        tag=situation.cycle.bath or "",
        device=situation.cycle.device,
    )


def _was_out_of_range(situation: Situation, celsius: Decimal, limit: Decimal) -> Text:
    return say(
        "cycle.soaking.out_of_range",
        "{tag} is at {celsius} C, and the limit is {limit} C: this soak of {device} does not "
        "count.",
        tag=situation.cycle.bath or "",
        celsius=celsius,
        limit=limit,
        device=situation.cycle.device,
    )


def _was_cold(situation: Situation) -> Text:
    return say(
        "cycle.soaking.cold",
        "{tag} is under {least} C now: this soak of {device} does not count. Warm the bath first.",
        tag=situation.cycle.bath or "",
        least=situation.protocol.chemistry.minimum_temperature_c,
        device=situation.cycle.device,
    )


SOAKING = Step(
    name="soaking",
    asks=_ask_soaking,
    again=_ask_soaking_again,
    asks_brief=_ask_soaking,
    reads=_read_soaking,
    decides=_after_soaking,
    answers=("out", "again"),
    repeats=True,
    patience=None,
)
