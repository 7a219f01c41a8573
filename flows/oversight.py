"""LIFT: a supervisor goes through the check with the worker, and ends a quarantine (S13)."""

from flows.parts.clinic import Frame, Role, Standing
from flows.parts.decision import BACK, Decision, Opening, Saying
from flows.parts.events import QuarantineLifted
from flows.parts.moment import Moment
from flows.parts.reading import device_named, one_of
from flows.parts.situation import Situation
from flows.parts.step import Step, flow
from flows.parts.text import Text, say


def lift(situation: Situation, _: Moment) -> Decision:
    """S13: only a supervisor, only for a device in quarantine, and after a check."""
    if situation.who.role is not Role.SUPERVISOR:
        text = say("lift.not_you", "Only a supervisor ends a quarantine. Nothing has changed.")
        return Decision(says=(Saying(text),))
    device = device_named(situation)
    if device is None or device.standing is not Standing.QUARANTINED:
        return Decision(says=(Saying(_none()),))
    return Decision(opens=Opening((Frame("oversight", "lift", {"device": device.label}),)))


def _none() -> Text:
    return say("lift.none", "No such device is in quarantine.")


def _ask(situation: Situation) -> Text:
    return say(
        "lift.check",
        "{device}: with the worker: no crack, peeling or swelling; plug dry; image as it should "
        "be? All in order: {lifted}. Else: {away}.",
        device=situation.frame.memo["device"],
    )


def _after(situation: Situation, said: str, _: Moment) -> Decision:
    label = situation.frame.memo["device"]
    if situation.clinic.devices[label].standing is not Standing.QUARANTINED:
        return Decision(says=(Saying(_none()),), then=BACK)
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
    reads=one_of("lifted", "away"),
    decides=_after,
    answers=("lifted", "away"),
)

OVERSIGHT = flow("oversight", LIFT)
