"""The contact soak's bell, and the climb when nobody answers it (S2, S11, S12)."""

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal

from flows.cycle.asking import example_celsius
from flows.parts.clinic import Bell, Cycle, Soak
from flows.parts.decision import Decision, Saying
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.rules.soak import (
    LATE,
    MAXIMUM,
    SECOND_BELL,
    SECOND_PHONE,
    SUPERVISOR,
    came_out,
    clock_time,
    must_measure_again,
    overdue_bell,
)


def contact_bell_text(situation: Situation, soak: Soak, bell: Bell, late: timedelta) -> Text:
    """S2, S11: the time is up; the number; if it rings late, that it does, and the true time.

    S5: a soak that its bath did not last is not called complete.
    """
    bath = situation.clinic.containers.get(situation.cycle.bath or "")
    if bath and bath.discard_by <= bell.due + late:
        return say(
            "cycle.bell.ran_out",
            "{device}: {tag} ran out of date in this soak, so it does not count. Gloves on, take "
            "it out now. Then reply {example}",
            device=situation.cycle.device,
            tag=bath.tag,
            example=example_out(situation, soak),
        )
    if late > LATE:
        return say(
            "cycle.bell.late",
            "{device}: this bell is {late} late: it has been in {span}. Clean gloves on, take it "
            "out now. Then reply {example}",
            device=situation.cycle.device,
            late=late,
            span=bell.due + late - soak.began,
            example=example_out(situation, soak),
        )
    return is_complete_text(situation, soak)


def is_complete_text(situation: Situation, soak: Soak) -> Text:
    """S2: the time is up, and the number; also for whoever takes over after the bell."""
    if is_measured_again(situation):
        return say(
            "cycle.bell.measure",
            "{device}: soak complete. Clean gloves, take it out, measure the bath. "
            "Reply {example} with your temperature.",
            device=situation.cycle.device,
            example=example_out(situation, soak),
        )
    return say(
        "cycle.bell",
        "{device}: soak complete. Clean gloves on, take it out. Then reply {example}",
        device=situation.cycle.device,
        example=example_out(situation, soak),
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
    if came_out(situation.open, soak):
        return _climb_when_out(situation, cycle, soak, bell)
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
            example=example_out(situation, soak),
        )
        return (_rung(situation, text, bell),)
    return (again,)


def _climb_when_out(
    situation: Situation, cycle: Cycle, soak: Soak, bell: Bell
) -> tuple[Saying, ...]:
    """S12: nobody is asked to take out what is out; what is owed is asked for, then told of."""
    again = _rung(situation, and_the_temperature(situation, soak), bell)
    if bell.stage != SUPERVISOR:
        return (again,)
    text = say(
        "alert.reading_owed",
        "{device} is out of {tag}, and nobody answers how warm its bath was. It is NOT READY. "
        "Please ask.",
        device=cycle.device,
        tag=cycle.bath or "",
    )
    return (again, *(Saying(text, to=phone) for phone in situation.supervisors()))


def _rung(situation: Situation, text: Text, bell: Bell) -> Saying:
    """A bell's text; S11: overtaken, with its number, once the question of this soak is answered.

    Where another question is in between, as after a hand-over, it is sent whatever happens.
    """
    if situation.frame.step != "soaking":
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


def example_out(situation: Situation, soak: Soak) -> str:
    """How the answer looks: OUT 72, or OUT 72 21.5 where the bath is to be measured again."""
    if is_measured_again(situation):
        return example_measured(situation, soak)
    return f"{situation.vocabulary.word('out')} {soak.number}"


def example_measured(situation: Situation, soak: Soak) -> str:
    """OUT 72 21.5: with the bath's temperature in any case."""
    return f"{situation.vocabulary.word('out')} {soak.number} {example_celsius(situation)}"


def is_measured_again(situation: Situation) -> bool:
    """S1: whether this soak's bath is measured at OUT too."""
    celsius = situation.cycle.celsius_in
    return celsius is not None and must_measure_again(celsius, situation.protocol)


# -- out, and its temperature is owed -----------------------------------------------------------


def and_the_temperature(situation: Situation, soak: Soak) -> Text:
    """S17: the reading that is owed: near its limit, in C or F, or not to be read at all."""
    if_f = situation.open.frames[0].memo.get("if_f")
    if if_f:
        return say(
            "cycle.soaking.unit",
            "{device}: was that C or F? If F, it is {celsius} C. Reply once more with C or F "
            "behind it, like {example} C",
            device=situation.cycle.device,
            celsius=Decimal(if_f),
            example=example_measured(situation, soak),
        )
    if not is_measured_again(situation):
        return say(
            "cycle.soaking.reading",
            "{device}: I cannot read that temperature. Please measure the bath again. Reply "
            "{example}",
            device=situation.cycle.device,
            example=example_measured(situation, soak),
        )
    return say(
        "cycle.soaking.temperature",
        "{device}: measure the bath once more, it was near its limit. Reply {example}",
        device=situation.cycle.device,
        example=example_out(situation, soak),
    )
