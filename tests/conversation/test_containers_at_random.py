"""S4-S6 at random: whatever is texted, no date moves and nothing unfit is soaked in."""

from collections import Counter
from contextlib import suppress
from datetime import date, timedelta
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from flows.parts.clinic import Kind
from flows.parts.events import JugOpened, Poured, Released, StripBottleOpened
from tests.conversation.evidence import problems
from tests.kit.cycles import ANSWERS, play_cycle
from tests.kit.lives import Lives
from tests.kit.talk import Talk, clinic

PROBES = ("V1", "V2")
PHONES = ("ph1", "ph1", "ph2")
TAGS = ("J1", "J2", "B1", "B2", "T1", "T2", "S1", "S2", "M1")
TEXTS = (
    *("OPEN", "OPEN S", "POUR", "POUR J1", "POUR B1", "MIX 2 L", "mixed L80", "STATE", "STATE T1"),
    *(f"{word} {tag}" for word in ("OPEN", "TEST", "DISCARD", "STATE") for tag in TAGS),
    *("270331", "310327", "03/27", "260302", "260301", "2 mar 26", "31 mar 99", "date"),
    *("L1", "L77", "none", "good", "unsure", "empty", "poured", "filled", "topped", "later"),
    *("dip T1", "dip B1", "dip J1", "dip T2", "dip", "1", "2", "3", "4", "5", "6", "7", "8"),
    *("CLEAN V1", "CLEAN V2", "again", "in 23", "in T1 23", "out", "AGAIN", "FAULT V1"),
)
FULL = ("J1", "B1")
LOTS = ("L1", "L9", "L77", "none")
STEPS = ("dip", "read", "fill", "jug", "strips_check", "immerse", "soaking", "final_rinse", "")
WAITS = (timedelta(seconds=30), timedelta(minutes=25), timedelta(hours=9), timedelta(days=5))

ACTS = st.one_of(
    st.tuples(st.just("texts"), st.sampled_from(TEXTS), st.sampled_from(PHONES)),
    st.tuples(st.just("answers"), st.sampled_from(("well", "ill")), st.sampled_from(PHONES)),
    st.tuples(st.just("tests"), st.sampled_from(("well", "ill")), st.sampled_from(TAGS)),
    st.tuples(st.just("pours"), st.sampled_from(("poured", "topped")), st.sampled_from(FULL)),
    st.tuples(st.just("opens"), st.sampled_from(LOTS), st.sampled_from(("OPEN", "OPEN S"))),
    st.tuples(st.just("plays"), st.sampled_from(STEPS), st.sampled_from(("V1", "V2"))),
    st.tuples(st.just("waits"), st.sampled_from(WAITS), st.just("")),
)
ILL = {"strips_check": "unsure", "fill": "topped", "jug": "260301", "strips": "260301"}

SEEN: Counter[str] = Counter()
"""How much there was to look at: a promise about soaks is worth nothing without any."""


class Day:
    """A clinic, its record looked at entry by entry."""

    def __init__(self, talk: Talk) -> None:
        self.talk, self.told = talk, 0
        self.broken: list[str] = []
        self.lives = Lives(ZoneInfo("Etc/GMT-3"))
        self.looks(talk)
        talk.watching = lambda talk, _: self.watches(talk)

    def watches(self, talk: Talk) -> None:
        try:
            self.looks(talk)
        except AssertionError as broken:
            self.broken.append(str(broken))

    def looks(self, talk: Talk) -> None:
        for at in range(self.told, len(talk.entries)):
            each, self.told = talk.entries[at], at + 1
            self.lives.hears(each.at, each.event, talk.words)
            SEEN[type(each.event).__name__] += 1
            if isinstance(each.event, Released):
                before = talk.entries[:at]
                assert problems(before, each.event.cycle, each.event.device) == []
        SEEN["strips opened again"] += self.lives.twins
        SEEN["topped up"] += self.lives.topped
        self.lives.twins = self.lives.topped = 0
        self.lives.sees(talk.clinic)

    # -- what people do -------------------------------------------------------------------------

    def does(self, what: str, with_what: str | timedelta, who: str) -> None:
        if isinstance(with_what, timedelta):
            self.talk.wait(seconds=with_what.total_seconds())
        elif what == "texts":
            self.talk.sends(with_what, phone=who, after=20)
        elif what == "answers":
            self._answers(who, is_well=with_what == "well")
        elif what == "tests":
            self.talk.sends(f"TEST {who}", phone="ph2", after=20)
            self._answers("ph2", is_well=True)
            self._answers("ph2", is_well=with_what == "well")
        elif what in {"opens", "pours"}:
            self._supplies(what, with_what, who)
        elif who in self.talk.clinic.devices:
            self._plays(who, until=with_what)

    def _supplies(self, what: str, with_what: str, who: str) -> None:
        opens = ((who, 20), ("270331", 20), (with_what, 20), ("good", 600))
        pours = ((f"POUR {who}", 20), (with_what, 120))
        for said, after in opens if what == "opens" else pours:
            self.talk.sends(said, phone="ph2", after=after)

    def _plays(self, device: str, until: str) -> None:
        with suppress(AssertionError):  # a worker who gets no further: the promises are watched
            play_cycle(self.talk, device, until=until)

    def _answers(self, phone: str, *, is_well: bool) -> None:
        """The newest question of that phone, as somebody would who has done it well, or ill."""
        mine = [each for each in self.talk.clinic.threads.values() if each.phone == phone]
        if not mine:
            return
        thread = max(mine, key=lambda each: each.asked_at)
        step, memo = thread.top.step, thread.top.memo
        said = ANSWERS.get(step, "again")
        if step == "dip":
            said = f"dip {memo['container']} {thread.number or ''}"
        elif step == "read":
            said = str(int(memo["first"]) + (not is_well))
        elif step == "fill" and memo.get("kind") == "bottle":
            said = "filled"
        said = said if is_well else ILL.get(step, said)
        self.talk.sends(said, phone=phone, after=95 if step == "read" else 30)


LEFT = st.sampled_from((None, None, timedelta(minutes=10), timedelta(minutes=40)))
"""How long the supplies last; None: a week."""


def _nearly_over(talk: Talk, left: timedelta, *, of_strips: bool) -> None:
    """Solution that ends soon beside strips that do not, or the other way round."""
    soon, week = talk.now + left, talk.now + timedelta(days=7)
    ends, strips_end = (week, soon) if of_strips else (soon, week)
    day = date(2027, 3, 31)
    last = partial(Poured, product="opa_055", lot="L1", poured=talk.now, discard_by=ends)
    talk.let(
        JugOpened("J1", "opa_055", "L1", day, talk.now, ends, "jug_open_life"),
        last("B1", Kind.BOTTLE, "J1", because="jug_open_life", topped_up=False),
        last("T1", Kind.BATH, "B1", because="jug_open_life", topped_up=False),
        StripBottleOpened("S1", "opa_strip_1s_90s", "L9", day, talk.now, strips_end, checked=True),
    )


@settings(max_examples=400)
@given(
    stocked=st.booleans(),
    bath=st.booleans(),
    left=LEFT,
    of_strips=st.booleans(),
    acts=st.lists(ACTS, min_size=4, max_size=25),
)
def _no_sequence_of_texts(
    *,
    stocked: bool,
    bath: bool,
    left: timedelta | None,
    of_strips: bool,
    acts: list[tuple[str, Any, str]],
) -> None:
    talk = clinic(stocked=stocked and left is None, bath=bath, devices=PROBES)
    if stocked and left:
        _nearly_over(talk, left, of_strips=of_strips)
    day = Day(talk)
    for what, with_what, who in acts:
        day.does(what, with_what, who)
        assert day.broken == []


def test_S4_S5_S6_no_sequence_of_texts_moves_a_date_or_soaks_in_what_is_unfit() -> None:
    SEEN.clear()

    _no_sequence_of_texts()

    assert SEEN["Immersed"] > 40
    assert SEEN["Released"] > 20
    assert SEEN["strips opened again"] > 20
    assert SEEN["topped up"] > 10
    assert min(SEEN[each] for each in ("JugOpened", "Poured", "StripBottleOpened")) > 40
    assert min(SEEN[each] for each in ("StripRead", "ContainerCondemned", "ContainerHeld")) > 10
