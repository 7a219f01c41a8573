"""The contact soak: its bell and number, OUT, and all that breaks it (S2, S3, S11, S12)."""

import re
from dataclasses import replace
from datetime import datetime, timedelta

from flows.cycle.begin import out_of_use
from flows.cycle.disinfect import broken, clean_again, in_english, put_in
from flows.parts.clinic import Bell, Cycle, Soak
from flows.parts.decision import Decision, Saying, go
from flows.parts.events import BathTooCold, SoakBroken, StepDone, TakenOut
from flows.parts.moment import Moment
from flows.parts.reading import one_of, word_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.in_out import InReply, OutReply, read_in, read_out
from flows.replies.typed import Typed
from flows.rules.soak import (
    LATE,
    MAXIMUM,
    SECOND_BELL,
    SECOND_PHONE,
    SUPERVISOR,
    clock_time,
    is_complete,
    is_over,
    lasted,
    overdue_bell,
)

# -- while it is in -----------------------------------------------------------------------------


def _ask_soaking(situation: Situation) -> Text:
    soak = situation.cycle.contact
    if soak and soak.rung:
        return _is_complete_text(situation, soak)
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


def _read_soaking(situation: Situation) -> OutReply | InReply | str | NotUnderstood:
    soak = situation.cycle.contact
    if word_of(situation, ("again",)) == "again":
        return "again"
    said = in_english(situation)
    out = read_out(said, soak.number if soak else None)
    if isinstance(out, OutReply):
        return out
    into = _read_second_in(said)
    return into if isinstance(into, InReply) else out


def _read_second_in(said: Typed) -> InReply | NotUnderstood:
    """S3: IN said while it soaks is a second IN, whichever old text's number it bears."""
    numbers = re.findall(r"(?<!\d)\d\d(?![\d.,])", " ".join(said.words))
    readings = [read_in(said), *(read_in(said, int(number)) for number in numbers)]
    return next((each for each in readings if isinstance(each, InReply)), readings[0])


def _after_soaking(
    situation: Situation, said: OutReply | InReply | str, moment: Moment
) -> Decision:
    soak = situation.cycle.contact
    if isinstance(said, str) or soak is None:
        return clean_again(situation, "asked", moment)
    if isinstance(said, InReply):
        return _second_in(situation, said, moment)
    ended = situation.sent_at or moment.now
    if soak.rung is None:
        return broken(situation, "early_out", moment)
    if said.number != soak.number:
        return Decision(says=(Saying(_which_number(situation)),))
    if not is_complete(soak, ended, situation.protocol.chemistry.contact_time):
        return broken(situation, "too_short", moment)
    return _taken_out(situation, soak, said, moment)


def _second_in(situation: Situation, said: InReply, moment: Moment) -> Decision:
    """S3: it was put in again, so it had been out: the time starts now, under a new number."""
    cycle = situation.cycle
    soak = cycle.contact
    if soak and is_over(soak, moment.now, situation.protocol):
        return clean_again(situation, "second_in", moment)
    soaked = lasted(soak, moment.now) if soak else timedelta(0)
    broke = SoakBroken(cycle.id, cycle.device, "second_in", soaked)
    return put_in(situation, said, moment, broke)


def _must_measure(situation: Situation) -> bool:
    """S1: measured again at OUT when it was near the minimum at IN."""
    chemistry = situation.protocol.chemistry
    celsius = situation.cycle.celsius_in
    return (
        celsius is not None
        and celsius - chemistry.minimum_temperature_c <= chemistry.recheck_within_c
    )


def _taken_out(situation: Situation, soak: Soak, said: OutReply, moment: Moment) -> Decision:
    cycle, chemistry = situation.cycle, situation.protocol.chemistry
    celsius = said.reading.celsius if said.reading else None
    if celsius is None and _must_measure(situation):
        return Decision(says=(Saying(_and_the_temperature(situation, soak)),))
    if celsius is not None and celsius < chemistry.minimum_temperature_c:
        cold = BathTooCold(cycle.id, cycle.device, celsius, chemistry.minimum_temperature_c)
        back = broken(situation, "too_cold", moment)
        return Decision((cold, *back.events), _was_cold(situation), back.then)
    ended = situation.sent_at or moment.now
    bath = situation.clinic.containers[cycle.bath or ""]
    if ended >= bath.discard_by:
        again = clean_again(situation, "bath_out_of_date", moment)
        return replace(again, says=(Saying(_ran_out(situation)),))
    over = is_over(soak, moment.now, situation.protocol)
    out = TakenOut(
        cycle=cycle.id,
        device=cycle.device,
        bath=bath.tag,
        bath_discard_by=bath.discard_by,
        ended=ended,
        lasted=lasted(soak, ended),
        number=soak.number,
        celsius=celsius,
        over_maximum=over,
    )
    gloves = StepDone(cycle.id, cycle.device, "gloves", stated_with="soaking")
    return Decision(events=(gloves, out), then=go("inspect_after" if over else "final_rinse"))


def _ran_out(situation: Situation) -> Text:
    return say(
        "cycle.soaking.ran_out",
        "{tag} ran out of date during this soak: it does not count. {device} must be cleaned "
        "again, then soaked in another bath.",
        tag=situation.cycle.bath or "",
        device=situation.cycle.device,
    )


def _and_the_temperature(situation: Situation, soak: Soak) -> Text:
    return say(
        "cycle.soaking.temperature",
        "{device}: measure the bath once more, it was near its limit. Reply {example}",
        device=situation.cycle.device,
        example=_example_out(situation, soak),
    )


def _was_cold(situation: Situation) -> tuple[Saying, ...]:
    text = say(
        "cycle.soaking.cold",
        "{tag} is under {least} C now: this soak of {device} does not count. Warm the bath first.",
        tag=situation.cycle.bath or "",
        least=situation.protocol.chemistry.minimum_temperature_c,
        device=situation.cycle.device,
    )
    return (Saying(text),)


def _example_out(situation: Situation, soak: Soak) -> str:
    word = situation.vocabulary.word("out")
    measured = " 21.5" if _must_measure(situation) else ""
    return f"{word} {soak.number}{measured}"


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


# -- the bell, and the climb when nobody answers ------------------------------------------------


def contact_bell_text(situation: Situation, soak: Soak, bell: Bell, late: timedelta) -> Text:
    """S2, S11: the time is up; the number; if it rings late, that it does, and the true time."""
    if late > LATE:
        return say(
            "cycle.bell.late",
            "{device}: this bell is {late} late: it has been in {span}. Clean gloves on, take it "
            "out now. Then reply {example}",
            device=situation.cycle.device,
            late=late,
            span=bell.due + late - soak.began,
            example=_example_out(situation, soak),
        )
    return _is_complete_text(situation, soak)


def _is_complete_text(situation: Situation, soak: Soak) -> Text:
    """S2: the time is up, and the number; also for whoever takes over after the bell."""
    if _must_measure(situation):
        return say(
            "cycle.bell.measure",
            "{device}: soak complete. Clean gloves, take it out, measure the bath. "
            "Reply {example} with your temperature.",
            device=situation.cycle.device,
            example=_example_out(situation, soak),
        )
    return say(
        "cycle.bell",
        "{device}: soak complete. Clean gloves on, take it out. Then reply {example}",
        device=situation.cycle.device,
        example=_example_out(situation, soak),
    )


def ring_contact(situation: Situation, bell: Bell, late: timedelta) -> Decision:
    """S2: the bell, and the one after it, should nobody answer (S12)."""
    cycle = situation.cycle
    soak = cycle.contact
    if soak is None:
        return Decision()
    text = contact_bell_text(situation, soak, bell, late)
    climb = overdue_bell(cycle.id, soak, SECOND_BELL, situation.protocol)
    rung = replace(_rung(situation, text, bell), good_for=situation.protocol.maximum_soak)
    return Decision(events=(climb,) if climb else (), says=(rung,))


def ring_overdue(situation: Situation, bell: Bell, late: timedelta) -> Decision:
    """S12: left in: a second bell, a second phone, the supervisor, and the maximum."""
    cycle = situation.cycle
    soak = cycle.contact
    if soak is None:
        return Decision()
    climb = overdue_bell(cycle.id, soak, bell.stage + 1, situation.protocol)
    events = (climb,) if climb else ()
    return Decision(events=events, says=_climb(situation, cycle, soak, bell, late))


def _climb(
    situation: Situation, cycle: Cycle, soak: Soak, bell: Bell, late: timedelta
) -> tuple[Saying, ...]:
    again = _rung(situation, contact_bell_text(situation, soak, bell, late), bell)
    if bell.stage == SECOND_PHONE:
        return (again, *ring_elsewhere(situation, cycle, soak, bell.id))
    if bell.stage == SUPERVISOR:
        text = say(
            "alert.overdue",
            "{device} has been in {tag} past its bell since {time} and nobody answers. "
            "Please have it taken out.",
            device=cycle.device,
            tag=cycle.bath or "",
            time=soak.due,
        )
        return (again, *(Saying(text, to=phone) for phone in situation.supervisors()))
    if bell.stage == MAXIMUM:
        text = say(
            "cycle.maximum",
            "{device} has been in too long. Clean gloves, take it out now, it must be inspected. "
            "Then reply {example}",
            device=cycle.device,
            example=_example_out(situation, soak),
        )
        return (_rung(situation, text, bell),)
    return (again,)


def _rung(situation: Situation, text: Text, bell: Bell) -> Saying:
    """A bell's text; S11: overtaken, with its number, once the question of this soak is answered.

    Where another question is in between, as after a hand-over, it is sent whatever happens.
    """
    if situation.frame.step != SOAKING.name:
        return Saying(text, bell=bell.id)
    asked = situation.open
    return Saying(text, thread=asked.id, question=asked.question, bell=bell.id)


def ring_elsewhere(
    situation: Situation, cycle: Cycle, soak: Soak, bell: str
) -> tuple[Saying, ...]:
    """S12: the site's other phones that can be reached; anybody may TAKE the device."""
    text = say(
        "cycle.bell.elsewhere",
        "{device}: its bell rang at {time} and its phone does not answer. Take over with "
        "{take} {device}.",
        device=cycle.device,
        time=soak.due,
    )
    thread = next((t for t in situation.clinic.threads.values() if t.cycle == cycle.id), None)
    holder = thread.phone if thread else ""
    others = [
        phone.id
        for phone in situation.clinic.phones.values()
        if phone.id != holder and phone.reachable and not phone.opted_out
    ]
    return tuple(Saying(text, to=phone, bell=bell) for phone in others)


def time_left(situation: Situation, cycle: Cycle, soak: Soak, now: datetime) -> Text:
    """What LEFT says of a soak; once the time is up it carries the number, as the bell does."""
    if now < soak.due:
        return say(
            "cycle.left",
            "{device}: {span} left, until {until}.",
            device=cycle.device,
            span=timedelta(seconds=-((now - soak.due) // timedelta(seconds=1))),
            until=clock_time(soak.due),
        )
    return say(
        "cycle.left.over",
        "{device}: its time is up. Clean gloves, take it out. Then reply {example}",
        device=cycle.device,
        example=f"{situation.vocabulary.word('out')} {soak.number}",
    )


# -- left in past the maximum -------------------------------------------------------------------


def _ask_inspect_after(situation: Situation) -> Text:
    return say(
        "cycle.inspect_after",
        "{device} was in too long. Look it over: cracks, swelling, soft or dull spots? "
        "Reply {sound} or {damaged}.",
        device=situation.cycle.device,
    )


def _after_inspection(situation: Situation, said: str, _: Moment) -> Decision:
    if said != "sound":
        return out_of_use(situation, "over_soaked")
    cycle = situation.cycle
    done = StepDone(cycle.id, cycle.device, "inspect_after")
    return Decision(events=(done,), then=go("final_rinse"))


INSPECT_AFTER = Step(
    name="inspect_after",
    asks=_ask_inspect_after,
    again=_ask_inspect_after,
    asks_brief=_ask_inspect_after,
    reads=one_of("sound", "damaged"),
    decides=_after_inspection,
    answers=("sound", "damaged"),
)
