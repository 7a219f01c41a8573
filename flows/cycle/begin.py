"""Uses owed, cautions, inspection; damage or a wet plug goes to quarantine (S9, S13, S20)."""

from datetime import datetime, timedelta

from flows.cycle.asking import stated, step_on
from flows.parts.decision import DONE, Decision, Saying, go
from flows.parts.events import (
    CautionsAcknowledged,
    CycleAbandoned,
    DeviceUsed,
    NoUseSaid,
    Quarantined,
    Released,
    SoakBroken,
)
from flows.parts.moment import Moment
from flows.parts.reading import one_of, typed
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.replies.no_use import says_nobody
from flows.replies.patient_code import PatientCode, patient_codes
from flows.rules.release import cautions_due

_A_MOMENT = timedelta(microseconds=1)
"""At midnight itself it is READY no more."""


# -- patient codes since the last release -------------------------------------------------------


def _ask_codes(situation: Situation) -> Text:
    return say(
        "cycle.codes",
        "{device}: I know of no use since its release. Which patient codes? "
        "Like 0412 0413, or {none}.",
        device=situation.device.label,
    )


def _ask_codes_again(situation: Situation) -> Text:
    return say(
        "cycle.codes.again",
        "{device}: patient codes since its last release, numbers only, like 0412 0413. "
        "No patient: {none}.",
        device=situation.device.label,
    )


def _read_codes(situation: Situation) -> tuple[PatientCode, ...] | NotUnderstood:
    none = one_of("none")(situation)
    is_none = none == "none" or says_nobody(typed(situation))
    return () if is_none else patient_codes(typed(situation))


def _after_codes(situation: Situation, codes: tuple[PatientCode, ...], moment: Moment) -> Decision:
    device = situation.device.label
    cycle = situation.device.last_cycle
    day = situation.local_day(_last_ready(situation, moment))
    used = tuple(
        DeviceUsed(device, each.code, day, ready=True, cycle=cycle, late=True) for each in codes
    )
    return Decision(events=used or (NoUseSaid(device, cycle),), then=go("cautions"))


def _last_ready(situation: Situation, moment: Moment) -> datetime:
    """S16: told on the next morning, it was used on the day on which it was READY."""
    history = situation.history(situation.device.last_cycle or "")
    until = [each.event.until for each in history if isinstance(each.event, Released)]
    return min([moment.now, *(each - _A_MOMENT for each in until[-1:])])


def _no_codes_owed(situation: Situation, _: Moment) -> Decision | None:
    return None if situation.device.use_owed else step_on("cautions")


CODES = Step(
    name="codes",
    asks=_ask_codes,
    again=_ask_codes_again,
    asks_brief=_ask_codes,
    reads=_read_codes,
    decides=_after_codes,
    answers=("none",),
    skips=_no_codes_owed,
)


# -- cautions, once a shift ---------------------------------------------------------------------


def _ask_cautions(_: Situation) -> Text:
    return say(
        "cycle.cautions",
        "Gloves, goggles, gown, fresh air. Plug and cable end stay dry. Maker's instructions and "
        "local rules overrule me. Reply {ready}.",
    )


def _ask_cautions_again(_: Situation) -> Text:
    return say("cycle.cautions.again", "Gloves, goggles and gown on, air moving? Reply {ready}.")


def _after_cautions(situation: Situation, _: str, __: Moment) -> Decision:
    return Decision(events=(CautionsAcknowledged(situation.who.id),), then=go("inspect"))


def _no_cautions_due(situation: Situation, moment: Moment) -> Decision | None:
    return None if cautions_due(situation.who, moment.now) else step_on("inspect")


CAUTIONS = Step(
    name="cautions",
    asks=_ask_cautions,
    again=_ask_cautions_again,
    asks_brief=_ask_cautions,
    reads=one_of("ready"),
    decides=_after_cautions,
    answers=("ready",),
    skips=_no_cautions_due,
)


# -- inspection ---------------------------------------------------------------------------------


def _ask_inspect(situation: Situation) -> Text:
    return say(
        "cycle.inspect",
        "{device}: unplugged, look it over: cracks, peeling, cuts, a wet plug? "
        "Reply {sound}, {damaged} or {unsure}.",
        device=situation.device.label,
    )


def _ask_inspect_again(situation: Situation) -> Text:
    return say(
        "cycle.inspect.again",
        "{device}: no damage and a dry plug: {sound}. Any damage: {damaged}. Not sure: {unsure}.",
        device=situation.device.label,
    )


def _after_inspect(situation: Situation, said: str, _: Moment) -> Decision:
    if said == "sound":
        return Decision(events=stated(situation, "inspect"), then=go("wipe_detergent"))
    return out_of_use(situation, said)


def out_of_use(situation: Situation, because: str) -> Decision:
    """S13: no more patients for this device until it has been gone through with a supervisor."""
    cycle, device = situation.cycle.id, situation.cycle.device
    broke = (SoakBroken(cycle, device, because, timedelta(0)),) if situation.cycle.contact else ()
    text = say(
        "cycle.quarantine",
        "{device} is out of use: quarantine. Do not soak it. Tag it and put it aside. "
        "Your contact is told. Well seen.",
        device=device,
    )
    return Decision(
        events=(*broke, Quarantined(device, because), CycleAbandoned(cycle, device, because)),
        says=(Saying(text),),
        then=DONE,
    )


def _is_for_repair(situation: Situation, _: Moment) -> Decision | None:
    """A quarantined device is wiped and soaked for the repairer; its damage is known."""
    return step_on("wipe_detergent") if situation.cycle.for_repair else None


INSPECT = Step(
    name="inspect",
    asks=_ask_inspect,
    again=_ask_inspect_again,
    reads=one_of("sound", "damaged", "unsure"),
    decides=_after_inspect,
    answers=("sound", "damaged", "unsure"),
    skips=_is_for_repair,
)
