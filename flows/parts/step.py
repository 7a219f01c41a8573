"""Step and Flow: question, answers taken, what follows; a malformed flow fails at import."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from types import MappingProxyType
from typing import Any

from flows.parts.decision import Decision
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import Text

Asks = Callable[[Situation], Text]
Reads = Callable[[Situation], Any]
Decides = Callable[[Situation, Any, Moment], Decision]
Skips = Callable[[Situation, Moment], Decision | None]


@dataclass(frozen=True, slots=True)
class Patience:
    """How long an open question waits: for a nudge, for telling a person, for giving up.

    `abandon` None: never given up; what is in the liquid stays somebody's business (S8, S12).
    Source: common practice, none published; a detergent solution is not left to dry on a probe.
    """

    nudge: timedelta = timedelta(minutes=10)
    tell: timedelta = timedelta(minutes=20)
    abandon: timedelta | None = timedelta(minutes=60)


def hands(seconds: int) -> Callable[[Situation], timedelta]:
    """S10: the least time this act takes. Source: common practice, none published."""
    return lambda _: timedelta(seconds=seconds)


def _no_time(_: Situation) -> timedelta:
    return timedelta(0)


@dataclass(frozen=True, slots=True)
class Step:
    """One question.

    `asks` is the question for somebody who is coached, `asks_brief` for somebody on brief texts;
    a step without the latter is not asked of them, and the next one that has it covers it.
    `answers` are the slugs of the words it expects, for tests and for near misses.
    `done` are those of them that say that it is done; the first, where nothing is said of it.
    `skips` is looked at when the step is reached: a decision there means it need not be asked.
    `lapsed` is looked at before it is put again: a decision there means that it is not due any
    more, as what it names has run out meanwhile.
    `anew`: taken up again after something else, it is dropped and whoever called it decides what
    is still to be asked: nothing has been answered in it yet.
    `stands`: it is owed whatever is told in between, where that makes the work begin anew too.
    `repeats`: what has just been said elsewhere is taken here too, as it can only break a soak.
    `waits` is how long its answer cannot be there yet: nobody is nudged meanwhile.
    `ages`: what it asks for may be as old as its first asking, which its frame remembers (S5).
    `at_least` is the least time that hands need: a quicker answer is asked about (S10).
    """

    name: str
    asks: Asks
    again: Asks
    reads: Reads
    decides: Decides
    answers: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    asks_brief: Asks | None = None
    coached: bool = True
    skips: Skips | None = None
    lapsed: Skips | None = None
    at_least: Callable[[Situation], timedelta] = _no_time
    waits: Callable[[Situation], timedelta] = _no_time
    repeats: bool = False
    anew: bool = False
    stands: bool = False
    ages: bool = False
    patience: Patience | None = field(default_factory=Patience)


class MalformedFlowError(Exception):
    """A flow table that could trap somebody: raised when the table is built."""


@dataclass(frozen=True, slots=True)
class Flow:
    """A table of steps by name. `aliases` keeps the old names of renamed steps answering."""

    name: str
    steps: Mapping[str, Step]
    aliases: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def step(self, name: str) -> Step | None:
        """The step of that name, under its old name too; None where there is none any more."""
        return self.steps.get(self.aliases.get(name, name))


def flow(name: str, *steps: Step, aliases: Mapping[str, str] | None = None) -> Flow:
    """Build a flow. Raises MalformedFlowError for steps of one name or aliases to nowhere."""
    table: dict[str, Step] = {}
    for step in steps:
        if step.name in table:
            raise MalformedFlowError(f"Flow {name} has two steps called {step.name}.")
        table[step.name] = step
    for old, new in (aliases or {}).items():
        if new not in table or old in table:
            raise MalformedFlowError(
                f"Flow {name}: alias {old} -> {new} names no step, or hides one."
            )
    return Flow(name, MappingProxyType(table), MappingProxyType(dict(aliases or {})))
