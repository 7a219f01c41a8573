"""Left in past the maximum: it is looked over before anything else (S12)."""

from flows.cycle.begin import out_of_use
from flows.parts.decision import Decision, go
from flows.parts.events import StepDone
from flows.parts.moment import Moment
from flows.parts.reading import one_of
from flows.parts.situation import Situation
from flows.parts.step import Step
from flows.parts.text import Text, say


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
