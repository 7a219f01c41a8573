"""How a step of the cycle is put together: one act, one word, and what it covers when brief."""

from collections.abc import Callable, Mapping
from datetime import timedelta
from decimal import Decimal
from typing import NoReturn

from flows.parts.decision import Decision, go
from flows.parts.events import StepDone
from flows.parts.moment import Moment
from flows.parts.reading import one_of
from flows.parts.situation import Situation
from flows.parts.step import Asks, Skips, Step

COVERED: Mapping[str, tuple[str, ...]] = {
    "under": ("inspect", "wipe_detergent", "wipe_water", "wipe_disinfectant", "wipe_rinse", "mix"),
    "immerse": ("rinse", "dry", "container"),
    "cover": ("final_rinse", "final_dry", "final_inspect"),
}
"""For somebody on brief texts: the acts that one answer states, asked for in one text."""

DISINFECTED, WITH = "wipe_disinfectant", "with"
"""The act that uses up disinfectant before the soak; and where a frame remembers from what."""


def stated(situation: Situation, what: str) -> tuple[StepDone, ...]:
    """That *what* was done; and for somebody on brief texts, all that was asked for with it."""
    cycle = situation.cycle
    covered = () if is_coached(situation) else COVERED.get(what, ())
    if cycle.for_repair:  # its damage is known: nobody says that it passed an inspection
        covered = tuple(each for each in covered if each != "inspect")
    return (
        *(_done(situation, each, what) for each in covered if each not in cycle.done),
        _done(situation, what),
    )


def _done(situation: Situation, what: str, stated_with: str = "") -> StepDone:
    cycle = situation.cycle
    container = situation.frame.memo.get(WITH, "") if what == DISINFECTED else ""
    return StepDone(cycle.id, cycle.device, what, stated_with, container)


def is_coached(situation: Situation) -> bool:
    """Whether this person is still led step by step."""
    return situation.who.level == "coach"


ABOVE_THE_MINIMUM_C = Decimal("1.5")


def example_celsius(situation: Situation) -> Decimal:
    """A reading to show in a text: one that this product's bath may have."""
    return situation.protocol.chemistry.minimum_temperature_c + ABOVE_THE_MINIMUM_C


def _a_moment(_: Situation) -> timedelta:
    return timedelta(seconds=3)


def act(  # noqa: PLR0913  a step has as many sides as this
    name: str,
    word: str,
    then: str,
    *,
    asks: Asks,
    again: Asks,
    asks_brief: Asks | None = None,
    at_least: Callable[[Situation], timedelta] = _a_moment,
    skips: Skips | None = None,
) -> Step:
    """A step that asks for one act and takes one word."""

    def decides(situation: Situation, _: str, __: Moment) -> Decision:
        return Decision(events=stated(situation, name), then=go(then))

    return Step(
        name=name,
        asks=asks,
        again=again,
        asks_brief=asks_brief,
        reads=one_of(word),
        decides=decides,
        answers=(word,),
        at_least=at_least,
        skips=skips,
    )


def step_on(name: str) -> Decision:
    """Nothing to ask here: on to *name*."""
    return Decision(then=go(name))


def never(*_: object) -> NoReturn:
    """For a step that only leads on, or only waits. Raises LookupError: it was asked after all."""
    raise LookupError("This step takes no answer: it leads on by itself.")
