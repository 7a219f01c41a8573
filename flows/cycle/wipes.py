"""Handle and cable: wiped with detergent, water, disinfectant left wet, and water again (S1)."""

from dataclasses import replace
from datetime import timedelta

from flows.cycle.asking import DISINFECTED, WITH, act, stated
from flows.parts.clinic import Clinic, Container, Cycle, Kind, Thread
from flows.parts.decision import Decision, Next, Saying, Turn, call, go
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.step import hands
from flows.parts.text import Text, say
from flows.rules.wiping import may_wipe


def _label(situation: Situation) -> str:
    return situation.cycle.device


WIPE_DETERGENT = act(
    "wipe_detergent",
    "soaped",
    "wipe_water",
    asks=lambda s: say(
        "cycle.wipe_detergent",
        "{device}: wipe handle and cable with detergent solution on a fresh lint-free towel. "
        "Reply {soaped}.",
        device=_label(s),
    ),
    again=lambda s: say(
        "cycle.wipe_detergent.again",
        "{device}: handle and cable wiped with detergent? Reply {soaped}.",
        device=_label(s),
    ),
    at_least=hands(5),
)

WIPE_WATER = act(
    "wipe_water",
    "water",
    "wipe_disinfectant",
    asks=lambda s: say(
        "cycle.wipe_water",
        "{device}: wipe handle and cable with water on a fresh towel. Reply {water}.",
        device=_label(s),
    ),
    again=lambda s: say(
        "cycle.wipe_water.again",
        "{device}: handle and cable wiped with water? Reply {water}.",
        device=_label(s),
    ),
    at_least=hands(5),
)


# -- with what ----------------------------------------------------------------------------------


def _source(situation: Situation, moment: Moment) -> Container | None:
    """A working bottle before a jug; of several the one that runs out first."""
    containers, chemistry = situation.clinic.containers.values(), situation.protocol.chemistry
    return min(
        (each for each in containers if may_wipe(each, chemistry, moment.now)),
        key=lambda each: (each.kind is Kind.JUG, each.discard_by),
        default=None,
    )


def solution_first(situation: Situation, moment: Moment, here: str) -> Decision | None:
    """S4, S5: the step *here* names what is wiped with; without any, that is seen to first.

    It may have been wiped already with what was named and is not fit any more: that is said.
    """
    named = situation.frame.memo.get(WITH)
    if named and _is_named_fit(situation, moment):
        return None
    if named:
        says = (Saying(_in_vain(situation, named)),)
        return Decision(says=says, then=Next(Turn.GO, here, memo={WITH: ""}))
    source = _source(situation, moment)
    if source is None:
        return Decision(says=(Saying(_none_fit(situation)),), then=_fetched(situation, here))
    return Decision(then=Next(Turn.GO, here, memo={WITH: source.tag}))


def _is_named_fit(situation: Situation, moment: Moment) -> bool:
    source = situation.clinic.containers.get(situation.frame.memo.get(WITH, ""))
    chemistry = situation.protocol.chemistry
    return source is not None and may_wipe(source, chemistry, moment.now)


def _fetched(situation: Situation, here: str) -> Next:
    """What is mixed for each soak is never poured: some is mixed to wipe with."""
    if situation.protocol.chemistry.is_single_use:
        return call("containers", "to_wipe", back_to=here)
    return call("containers", "fill", back_to=here, kind="bottle")


def _none_fit(situation: Situation) -> Text:
    return say(
        "cycle.wipe.none_fit",
        "{device}: no {product} here may be used for its wipe: out of date, held back, not "
        "active, or none left. That comes first.",
        device=_label(situation),
        product=situation.protocol.chemistry.title,
    )


def wiped_in_vain(situation: Situation, moment: Moment, here: str) -> Decision | None:
    """S4, S5: what was named is not fit any more; nobody can say that it still was when used.

    A question that is open from an older release has named nothing yet: it is put again.
    """
    return None if _is_named_fit(situation, moment) else Decision(then=go(here))


def _in_vain(situation: Situation, tag: str) -> Text:
    return say(
        "cycle.wipe.in_vain",
        "{tag} is not for use any more: a wipe of {device} with it does not count. If {device} is "
        "in the detergent, take it out.",
        tag=tag,
        device=_label(situation),
    )


def is_owed(cycle: Cycle) -> bool:
    """Whether nobody has stated yet that handle and cable were wiped with disinfectant."""
    return DISINFECTED not in cycle.done


def wipes_with(clinic: Clinic, thread: Thread, tag: str) -> bool:
    """Whether that conversation has asked for a wipe with *tag*, and nobody has answered yet."""
    cycle, top = clinic.cycles.get(thread.cycle or ""), thread.top
    asked = top.flow == "cycle" and top.step in {DISINFECTED, "under"}
    return cycle is not None and asked and top.memo.get(WITH) == tag and is_owed(cycle)


def wiped_with(situation: Situation) -> Text:
    """The disinfectant and where it is."""
    return say(
        "cycle.wipe.with",
        "{product} from {source}",
        product=situation.protocol.chemistry.title,
        source=situation.frame.memo.get(WITH, ""),
    )


def _ask_disinfectant(situation: Situation) -> Text:
    return say(
        "cycle.wipe_disinfectant",
        "{device}: gloves on. Wipe handle and cable with {wipe_with} on a fresh towel and leave "
        "it wet. Reply {wet}.",
        device=_label(situation),
        wipe_with=wiped_with(situation),
    )


def _after_disinfectant(situation: Situation, _: str, moment: Moment) -> Decision:
    return wiped_in_vain(situation, moment, DISINFECTED) or Decision(
        events=stated(situation, DISINFECTED), then=go("wipe_rinse")
    )


def _is_prepared(situation: Situation, moment: Moment) -> Decision | None:
    return solution_first(situation, moment, DISINFECTED)


WIPE_DISINFECTANT = replace(
    act(
        DISINFECTED,
        "wet",
        "wipe_rinse",
        asks=_ask_disinfectant,
        again=lambda s: say(
            "cycle.wipe_disinfectant.again",
            "{device}: handle and cable wet with {wipe_with}? Reply {wet}.",
            device=_label(s),
            wipe_with=wiped_with(s),
        ),
        at_least=hands(5),
        skips=_is_prepared,
    ),
    lapsed=_is_prepared,
    decides=_after_disinfectant,
)


# -- left wet, and off again --------------------------------------------------------------------


def wet_time(situation: Situation) -> timedelta:
    """S1: how long the disinfectant is left wet on handle and cable."""
    return situation.protocol.chemistry.wipe_wet_time


WIPE_RINSE = act(
    "wipe_rinse",
    "wiped",
    "mix",
    asks=lambda s: say(
        "cycle.wipe_rinse",
        "{device}: leave handle and cable wet {span}. Then wipe them with water on a fresh "
        "towel. Reply {wiped}.",
        device=_label(s),
        span=wet_time(s),
    ),
    again=lambda s: say(
        "cycle.wipe_rinse.again",
        "{device}: wet for {span}, then wiped with water? Reply {wiped}.",
        device=_label(s),
        span=wet_time(s),
    ),
    at_least=wet_time,
)
