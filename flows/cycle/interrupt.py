"""TAKE: somebody else carries on, and says whether the probe stayed in (S3, S12, S20)."""

from dataclasses import replace

from flows.cycle.asking import step_on
from flows.cycle.begin import CAUTIONS, out_of_use
from flows.cycle.broken import clean_again
from flows.cycle.unasked import in_unasked
from flows.parts.decision import BACK, Decision, go
from flows.parts.events import CautionsAcknowledged, StepDone
from flows.parts.moment import Moment
from flows.parts.reading import one_of, word_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say
from flows.replies import NotUnderstood
from flows.rules.release import cautions_due


def _ask_stayed(situation: Situation) -> Text:
    return say(
        "cycle.stayed",
        "{device} is soaking. Did it stay in, untouched, the whole time? Reply {stayed}, or "
        "{moved} if it moved or nobody is sure.",
        device=situation.cycle.device,
    )


def _after_stayed(situation: Situation, said: str, moment: Moment) -> Decision:
    if said == "moved":
        return clean_again(situation, "moved", moment)
    cycle = situation.cycle
    return Decision(events=(StepDone(cycle.id, cycle.device, "stayed_in"),), then=BACK)


def _nothing_soaks(situation: Situation, _: Moment) -> Decision | None:
    cycle = situation.cycle
    return None if cycle.contact or cycle.detergent else Decision(then=BACK)


def _after_cautions(situation: Situation, _: str, __: Moment) -> Decision:
    return Decision(events=(CautionsAcknowledged(situation.who.id),), then=go("stayed"))


def _no_cautions_due(situation: Situation, moment: Moment) -> Decision | None:
    return None if cautions_due(situation.who, moment.now) else step_on("stayed")


TAKE_CAUTIONS = replace(
    CAUTIONS, name="take_cautions", decides=_after_cautions, skips=_no_cautions_due
)
"""S20: whoever takes over in a shift of their own has not had them yet."""


STAYED = Step(
    name="stayed",
    asks=_ask_stayed,
    again=_ask_stayed,
    asks_brief=_ask_stayed,
    reads=one_of("stayed", "moved"),
    decides=_after_stayed,
    answers=("stayed", "moved"),
    skips=_nothing_soaks,
)


# -- bad news, whichever question is open -------------------------------------------------------


def bad_news(situation: Situation, moment: Moment) -> Decision | None:
    """S3, S7, S13: what is wrong with a probe is taken as said, late or unasked; else None."""
    cycle = situation.clinic.cycles.get(situation.open.cycle or "")
    said = word_of(situation, ("damaged", "stained", "moved", "again"))
    if cycle is None:
        return None
    if isinstance(said, NotUnderstood):
        return in_unasked(situation, moment)
    if said == "damaged":
        return None if cycle.for_repair else out_of_use(situation, said)
    soaked = cycle.contact is not None or "contact_soak" in cycle.done
    washed = "wipe_detergent" in cycle.done and said != "moved"
    return clean_again(situation, said, moment) if soaked or washed else None
