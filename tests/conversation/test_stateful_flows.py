"""Hours at a clinic, at random, over the flows alone: no unsafe release, whatever happens."""

from collections import Counter
from typing import ClassVar

from hypothesis import Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from flows.parts.clinic import Clinic
from flows.parts.state import fold_all
from tests.kit.machine import ClinicDay
from tests.kit.shift import Bot, PureBot

USUAL = 250
"""Examples of a usual run, the same ones each time; `--hypothesis-profile=searching` looks for
new ones, and more of them."""

STEPS = 12


class FlowsDay(ClinicDay):
    seen: ClassVar[Counter[str]] = Counter()

    def bot(self) -> Bot:
        self.pure = PureBot()
        return self.pure

    def is_rebuilt(self) -> None:
        """The clinic is what its entries say, and nothing else."""
        assert fold_all(Clinic(), self.pure.talk.entries) == self.pure.clinic


def test_no_unsafe_release_whatever_hands_and_carriers_do() -> None:
    now = settings.default or settings()
    usual = now.derandomize
    # A usual run that fails shows how that day went, at once; a search makes the day shorter.
    phases = (Phase.generate,) if usual else (Phase.reuse, Phase.generate, Phase.shrink)

    run_state_machine_as_test(
        FlowsDay,
        settings=settings(
            max_examples=USUAL if usual else now.max_examples,
            stateful_step_count=STEPS,
            phases=phases,
        ),
    )

    assert FlowsDay.seen["soaks"] > 100
    assert FlowsDay.seen["releases"] > 80
