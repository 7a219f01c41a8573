"""LIFT: a supervisor goes through the check with the worker, and ends a quarantine (S13)."""

from flows.parts.clinic import Frame, Role, Standing
from flows.parts.decision import BACK, Decision, Opening, Saying
from flows.parts.events import QuarantineLifted
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.step import Step, flow
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.typed import fold


def lift(situation: Situation, _: Moment) -> Decision:
    """S13: only a supervisor, only for a device in quarantine, and after a check."""
    if situation.who.role is not Role.SUPERVISOR:
        text = say("lift.not_you", "Only a supervisor ends a quarantine. Nothing has changed.")
        return Decision(says=(Saying(text),))
    words = situation.typed.words if situation.typed else ()
    held = {
        fold(device.label): device.label
        for device in situation.clinic.devices.values()
        if device.standing is Standing.QUARANTINED
    }
    label = next((held[word] for word in words[1:] if word in held), None)
    if label is None:
        text = say("lift.none", "No such device is in quarantine.")
        return Decision(says=(Saying(text),))
    return Decision(opens=Opening((Frame("oversight", "lift", {"device": label}),)))


def _ask(situation: Situation) -> Text:
    return say(
        "lift.check",
        "{device}: with the worker: no crack, peeling or swelling; plug dry; image as it should "
        "be? All in order: {lifted}. Else: {away}.",
        device=situation.frame.memo["device"],
    )


def _read(situation: Situation) -> str | NotUnderstood:
    if situation.typed is None:
        return NotUnderstood("empty")
    slugs = ("lifted", "away")
    return choose(situation.typed, {situation.vocabulary.word(slug): slug for slug in slugs})


def _after(situation: Situation, said: str, _: Moment) -> Decision:
    label = situation.frame.memo["device"]
    if said == "away":
        text = say("lift.stays", "{device} stays in quarantine.", device=label)
        return Decision(says=(Saying(text),), then=BACK)
    text = say(
        "lift.done",
        "{device} is out of quarantine and NOT READY: it must be cleaned first: {clean} {device}.",
        device=label,
    )
    return Decision(events=(QuarantineLifted(label),), says=(Saying(text),), then=BACK)


LIFT = Step(
    name="lift",
    asks=_ask,
    again=_ask,
    asks_brief=_ask,
    reads=_read,
    decides=_after,
    answers=("lifted", "away"),
)

OVERSIGHT = flow("oversight", LIFT)
