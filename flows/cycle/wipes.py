"""Handle and cable: wiped with detergent, water, disinfectant left wet, and water again (S1)."""

from datetime import timedelta
from decimal import Decimal

from flows.cycle.asking import act, hands
from flows.parts.situation import Situation
from flows.parts.text import Text, say


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


def _ask_disinfectant(situation: Situation) -> Text:
    """What is mixed for each soak stands in no bottle: a little of it is mixed for the wipe."""
    chemistry = situation.protocol.chemistry
    if chemistry.is_single_use:
        return say(
            "cycle.wipe_disinfectant.mixed",
            "{device}: gloves, goggles. Wipe handle and cable with fresh {product} on a towel, "
            "leave it wet. {mix} {percent}% 1 L says how to mix it. Reply {wet}.",
            device=_label(situation),
            product=chemistry.title,
            percent=chemistry.mixed_to_percent or Decimal(0),
        )
    return say(
        "cycle.wipe_disinfectant",
        "{device}: gloves on. Wipe handle and cable with {product} on a fresh towel and leave it "
        "wet. Reply {wet}.",
        device=_label(situation),
        product=chemistry.title,
    )


WIPE_DISINFECTANT = act(
    "wipe_disinfectant",
    "wet",
    "wipe_rinse",
    asks=_ask_disinfectant,
    again=lambda s: say(
        "cycle.wipe_disinfectant.again",
        "{device}: handle and cable wet with {product}? Reply {wet}.",
        device=_label(s),
        product=s.protocol.chemistry.title,
    ),
    at_least=hands(5),
)


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
