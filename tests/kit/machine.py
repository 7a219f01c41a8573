"""A day at a clinic, at random: the rules of a stateful test, over any bot."""

from collections import Counter
from datetime import timedelta
from decimal import Decimal
from typing import ClassVar

from hypothesis import note
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from flows.parts.clinic import Level, Standing
from tests.kit.carrier import PROMPT, Trip, trips
from tests.kit.hands import Crew, Hands
from tests.kit.promises import Promises
from tests.kit.shift import SUPERVISOR, WORKERS, Bot, Done, Shift, Stock, opens
from tests.kit.workers import Turn, turns, uses_it, works

STRENGTHS = tuple(map(Decimal, ("0.55", "0.55", "0.40", "0.33", "0.31", "0.25")))
BATHS_C = tuple(map(Decimal, ("22.5", "23.4", "21.0", "20.4", "18.8")))

STOCKS = st.builds(
    Stock,
    strength=st.sampled_from(STRENGTHS),
    celsius=st.sampled_from(BATHS_C),
    left=st.sampled_from((timedelta(days=7), timedelta(days=7), timedelta(minutes=25))),
    level=st.sampled_from(Level),
    devices=st.sampled_from((("V1",), ("V1", "V2"))),
)

WORKER = st.sampled_from((*WORKERS[:1], *WORKERS))
PROBE = st.sampled_from(("V1", "V1", "V2"))
STEADY = st.sampled_from((0, 3, 5, 6, 7, 9, 13, 14, 15, 16, 20, 26))
"""Looks at the phone in which nothing goes wrong, before those in which something may."""

LOOKS = st.lists(turns(), min_size=2, max_size=12)

COMMANDS = (
    "CHECK {probe}",
    "CHECK {probe}",
    "LEFT",
    "STATE",
    "TAKE {probe}",
    "TAKE {probe}",
    "FAULT {probe}",
    "TEST T1",
    "POUR",
    "OPEN",
    "MENU",
)
BABBLE = ("", "hello", "???", "ok", "IN", "IN 68", "47", "DRY OUT", "CLEEN V1", "SOAPED?", "no")


MISHAPS = ("0", "0", "5", "40", "400", "lift", "lift", "thrown away", "damage")
"""Seconds by which the engine is late from now on, or what happens to things."""


class ClinicDay(RuleBasedStateMachine):
    """Hands, carrier, bench and bot; what must hold is looked at after every exchange."""

    seen: ClassVar[Counter[str]] = Counter()
    """How much there was to look at: a promise about releases is worth nothing without any."""

    def __init__(self) -> None:
        super().__init__()
        self.promises = Promises()
        self.shift = Shift(self.bot(), self.watch)
        self.crew = Crew()
        self.hands = {phone: Hands(phone, self.crew) for phone in (*WORKERS, SUPERVISOR)}
        self.count = 400

    def bot(self) -> Bot:
        raise NotImplementedError

    def watch(self, shift: Shift, done: Done) -> None:
        """Look at all promises; where one is broken, show how the day went."""
        try:
            self.promises.watch(shift, done)
        except AssertionError:
            note("\n".join(shift.transcript))
            raise

    def teardown(self) -> None:
        self.seen.update(soaks=self.promises.soaks, releases=self.promises.releases)

    @initialize(stock=STOCKS, steady=STEADY, first=LOOKS)
    def morning(self, stock: Stock, steady: int, first: list[Turn]) -> None:
        opens(self.shift, stock)
        self.hands["ph1"].is_brief = stock.level is Level.BRIEF
        self.cleans("ph1", "V1", PROMPT, steady, first)

    @rule(phone=WORKER, steady=STEADY, looks=LOOKS)
    def carries_on(self, phone: str, steady: int, looks: list[Turn]) -> None:
        for turn in [*[Turn()] * steady, *looks]:
            works(self.hands[phone], self.shift, turn)

    @rule(phone=WORKER, probe=PROBE, trip=trips(), steady=STEADY, looks=LOOKS)
    def cleans(self, phone: str, probe: str, trip: Trip, steady: int, looks: list[Turn]) -> None:
        self.shift.sends(phone, f"CLEAN {probe}", trip)
        self.shift.passes(5)
        self.carries_on(phone, steady, looks)

    @rule(probe=PROBE, steady=STEADY, looks=LOOKS)
    def hands_over(self, probe: str, steady: int, looks: list[Turn]) -> None:
        """The other worker takes it from whoever has it."""
        thread = next(
            (t for t in self.shift.bot.clinic.threads.values() if t.cycle is not None), None
        )
        phone = WORKERS[thread is None or thread.phone == WORKERS[0]]
        self.shift.sends(phone, f"TAKE {probe}")
        self.shift.passes(5)
        self.carries_on(phone, steady, looks)

    @rule(phone=WORKER, probe=PROBE, trip=trips(), is_muddled=st.booleans())
    def uses(self, phone: str, probe: str, trip: Trip, is_muddled: bool) -> None:  # noqa: FBT001
        if probe not in self.shift.bot.clinic.devices:
            return
        if probe in self.crew.ready or is_muddled:
            self.count += 1
            hands = self.hands[phone]
            hands.probe = probe
            uses_it(hands, self.shift, f"0{self.count}", trip)

    @rule(phone=WORKER, body=st.sampled_from((*COMMANDS, *BABBLE)), probe=PROBE, trip=trips())
    def texts(self, phone: str, body: str, probe: str, trip: Trip) -> None:
        """What attests nothing, whatever question is open."""
        self.shift.sends(phone, body.format(probe=probe), trip)
        self.shift.passes(5)

    @rule(seconds=st.sampled_from((10, 60, 300, 900, 1500, 4000, 30_000)))
    def time_passes(self, seconds: int) -> None:
        self.shift.passes(seconds)

    @rule(what=st.sampled_from(MISHAPS), phone=WORKER, probe=PROBE)
    def something_happens(self, what: str, phone: str, probe: str) -> None:
        if what == "damage":
            self.shift.soils(probe, "damage")
        elif what == "thrown away":
            self._throws_away(phone)
        elif what == "lift":
            self._lifts_quarantine(probe)
        else:
            self.shift.engine_lag = timedelta(seconds=int(what))

    def _throws_away(self, phone: str) -> None:
        """The bath that was spoken of last, if nothing lies in it."""
        tag = self.crew.tub.get(self.hands[phone].probe, "T1")
        vessel = self.shift.bench.labelled(tag)
        stays = self.shift.bench.stays
        if vessel is None or any(s.vessel is vessel and not s.ended for s in stays):
            return
        vessel.tag = ""
        self.shift.sends(phone, f"DISCARD {tag}")
        self.shift.passes(5)

    def _lifts_quarantine(self, probe: str) -> None:
        """By the supervisor, who has had it repaired if need was."""
        device = self.shift.bot.clinic.devices.get(probe)
        is_away = device is not None and device.standing is Standing.QUARANTINED
        if is_away and self.shift.bench.is_damaged(probe):
            self.shift.bench.soils_it(probe, "repair", self.shift.now)
        self.hands[SUPERVISOR].probe = probe
        self.shift.sends(SUPERVISOR, f"LIFT {probe}")
        self.shift.passes(5)
        self.carries_on(SUPERVISOR, 2, [])

    @invariant()
    def rebuilt_is_the_same(self) -> None:
        self.is_rebuilt()

    def is_rebuilt(self) -> None:
        raise NotImplementedError
