"""LIFT: a supervisor goes through the check with the worker, and ends a quarantine (S13)."""

from flows.parts.clinic import Device, Frame, Role, Standing
from flows.parts.decision import BACK, Decision, Opening, Saying, go
from flows.parts.events import Quarantined, QuarantineLifted
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
    """DAMAGED is said here of what is being looked at, whatever else is being cleaned."""
    device = situation.clinic.devices[situation.frame.memo["device"]]
    if device.standing is not Standing.QUARANTINED:
        return Decision(says=(Saying(_none()),), then=BACK)
    if said != "lifted":
        text = say("lift.stays", "{device} stays in quarantine.", device=device.label)
        return Decision(says=(Saying(text),), then=BACK)
    if _is_reported_since(situation, device):
        text = say(
            "lift.since",
            "{device} has been reported again since I asked. With the worker, look once more:",
            device=device.label,
        )
        return Decision(says=(Saying(text),), then=go("lift"))
    lifted = QuarantineLifted(device.label)
    return Decision(events=(lifted,), says=(Saying(_lifted(device)),), then=BACK)


def _is_reported_since(situation: Situation, device: Device) -> bool:
    """S13: a fault that nobody has looked at yet is not lifted with the old one."""
    asked = situation.open.asked_at
    since = min(asked, situation.sent_at or asked)
    faults = (each.event for each in situation.past((Quarantined,), since) if each.at > since)
    return any(isinstance(each, Quarantined) and each.device == device.label for each in faults)


def _lifted(device: Device) -> Text:
    if device.cycle:
        return say(
            "lift.done.in_cycle",
            "{device} is out of quarantine and NOT READY. The cleaning that goes on is for repair "
            "and ends without a release; then: {clean} {device}.",
            device=device.label,
        )
    return say(
        "lift.done",
        "{device} is out of quarantine and NOT READY: it must be cleaned first: {clean} {device}.",
        device=device.label,
    )


LIFT = Step(
    name="lift",
    asks=_ask,
    again=_ask,
    asks_brief=_ask,
    reads=one_of("lifted", "away", "damaged"),
    decides=_after,
    answers=("lifted", "away"),
)

OVERSIGHT = flow("oversight", LIFT)
