"""Another probe has been in a bath that was made ready for one: its strip is spent (S4, S21)."""

from flows.parts.clinic import Cycle, Thread
from flows.parts.decision import Decision, Move, Saying, go
from flows.parts.events import PutInBath
from flows.parts.moment import Moment
from flows.parts.situation import Situation, protocol_of
from flows.parts.text import Text, say
from flows.rules.strip import pass_of

LED_ON = frozenset({"await_detergent", "container", "immerse"})
"""Steps from which a new strip is due at once; before that, hands finish what they do."""

SAY_THEMSELVES = frozenset({"warm", "back_in"})
"""Steps that say what becomes of what has been in that bath already (S3)."""


def another_was_in(situation: Situation, event: PutInBath, moment: Moment) -> Decision:
    """S4, S21: whoever is about to use that bath hears it, and is led to a new strip."""
    meant = [
        (each, _thread_of(situation, each))
        for each in situation.clinic.cycles.values()
        if each.id != event.cycle and _counts_on(situation, each, event.bath, moment)
    ]
    told = [(thread, _tells(cycle, event)) for cycle, thread in meant if thread]
    return Decision(
        says=tuple(
            Saying(text, to=thread.phone, bell=f"{thread.cycle}.bath") for thread, text in told
        ),
        moves=tuple(move for thread, _ in told for move in _led_on(thread)),
    )


def _counts_on(situation: Situation, cycle: Cycle, tag: str, moment: Moment) -> bool:
    """Whether it was to soak there, and may not any more."""
    bath = situation.clinic.containers.get(tag)
    if bath is None or cycle.bath != tag or "contact_soak" in cycle.done:
        return False
    return pass_of(situation.clinic, bath, cycle.id, protocol_of(cycle), moment.now) is None


def _thread_of(situation: Situation, cycle: Cycle) -> Thread | None:
    threads = situation.clinic.threads.values()
    return next((each for each in threads if each.cycle == cycle.id), None)


def _tells(cycle: Cycle, event: PutInBath) -> Text:
    return say(
        "cycle.bath.another_was_in",
        "{other} was put in {tag} by mistake: the strip of {tag} does not count for {device} any "
        "more. Do not put {device} in it yet.",
        other=event.device,
        tag=event.bath,
        device=cycle.device,
    )


def _led_on(thread: Thread) -> tuple[Move, ...]:
    step = thread.top.step
    if thread.top.flow != "cycle":
        return ()
    if step in SAY_THEMSELVES:
        return (Move(thread.id, go(step, number=thread.number)),)
    return (Move(thread.id, go("bath")),) if step in LED_ON else ()
