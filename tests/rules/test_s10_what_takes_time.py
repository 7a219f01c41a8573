"""S10: what is done with jugs, bottles, baths and strips takes the time that hands need.

Pouring, activating and mixing: common practice, none published. Quality control of strips: each is
dipped by itself, then they lie side by side until they can be read; three and three of them.
Source: a hospital radiology policy, 3364-135-028, 2017; the times are those of each strip.
"""

from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

import pytest

from flows.parts.clinic import Level
from flows.parts.events import (
    AnsweredTooSoon,
    ContainerCondemned,
    Event,
    EvidenceStated,
    JugActivated,
    Mixed,
    Nudged,
    Poured,
    StripsChecked,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import SELECTION, Talk, clinic

GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")
PEROXIDE = Selection("hp_75", "hp_strip_6", "sealed_probe", "enzymatic")
CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")

SECOND = 1


@dataclass(frozen=True)
class Act:
    """An act asked for at *step*: its word, what it makes, and its least time in seconds."""

    step: str
    word: str
    makes: type[Event]
    least: int
    of: Selection = SELECTION
    stocked: bool = False


ACTS = (
    Act("fill", "filled", Poured, 10),
    Act("fill", "poured", Poured, 10, stocked=True),
    Act("activate", "active", JugActivated, 15, GLUTARAL),
    Act("single_use_mixed", "fresh", EvidenceStated, 30, CHLORINE),
    Act("strips_check", "good", StripsChecked, 6 * 1 + 90),
    Act("strips_check", "good", StripsChecked, 6 * 2 + 120, GLUTARAL),
    Act("strips_check", "good", StripsChecked, 6 * 1 + 15 * 60, PEROXIDE),
    Act("to_wipe_mixed", "fresh", Mixed, 30, CHLORINE),
)
"""OPA: dip 1 s, read after 90 s: from memory, product instructions. Glutaraldehyde: dip 2 s, read
at 120 s: FDA 510(k) K172472, 2017. Peroxide: read 15 min after immersion: K972035, 1997; its dip
of 1 s is common practice."""


def asked(act: Act, level: Level = Level.COACH) -> Talk:
    talk = clinic(level=level, stocked=act.stocked, bath=False, selection=act.of)
    if act.makes is EvidenceStated:  # else the wipe's own FRESH is as lately said
        today, until = talk.now, talk.now + timedelta(hours=9)
        litre = Decimal(1000)
        talk.let(Mixed("M1", "chlorine", "0.1 %", litre, "L1", today, until, "mixed_life"))
    play_cycle(talk, until=act.step)
    return talk


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize("act", ACTS)
def test_S10_said_sooner_than_it_can_be_done_it_is_asked_about(act: Act, level: Level) -> None:
    talk = asked(act, level)
    before = len(talk.happened(act.makes))

    heard = talk.sends(act.word, after=act.least - SECOND)

    assert heard[-1] == (
        "That was quick. Take the time it needs. When it is really done, reply "
        f"{act.word.upper()} again."
    )
    assert [each.step for each in talk.happened(AnsweredTooSoon)] == [act.step]
    assert len(talk.happened(act.makes)) == before
    assert step_of(talk) == act.step


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize("act", ACTS)
def test_S10_said_when_it_can_just_be_done_it_is_taken(act: Act, level: Level) -> None:
    talk = asked(act, level)
    before = len(talk.happened(act.makes))

    talk.sends(act.word, after=act.least)

    assert talk.happened(AnsweredTooSoon) == []
    assert len(talk.happened(act.makes)) == before + 1


@pytest.mark.parametrize("act", ACTS)
def test_S10_the_same_word_once_it_is_done_is_enough(act: Act) -> None:
    talk = asked(act)
    before = len(talk.happened(act.makes))
    talk.sends(act.word, after=1)

    talk.sends(act.word, after=act.least)

    assert len(talk.happened(act.makes)) == before + 1


@pytest.mark.parametrize(
    ("act", "said", "makes"),
    [
        (ACTS[0], "topped", ContainerCondemned),
        (ACTS[1], "topped", ContainerCondemned),
        (ACTS[2], "unsure", ContainerCondemned),
        (ACTS[4], "unsure", StripsChecked),
    ],
)
def test_S10_bad_news_is_taken_however_quick(act: Act, said: str, makes: type[Event]) -> None:
    talk = asked(act)

    talk.sends(said, after=1)

    assert len(talk.happened(makes)) == 1
    assert talk.happened(AnsweredTooSoon) == []


def test_S10_a_date_that_is_read_off_a_label_takes_no_time() -> None:
    """Activated before: it is said when."""
    talk = asked(ACTS[2])

    talk.sends("260301", after=3)

    assert len(talk.happened(JugActivated)) == 1


def test_nobody_is_nudged_while_the_strips_of_a_new_bottle_cannot_be_read_yet() -> None:
    talk = asked(ACTS[-2])

    talk.wait(minutes=15)
    meanwhile = talk.happened(Nudged)
    talk.wait(minutes=10)

    assert meanwhile == []
    assert len(talk.happened(Nudged)) == 1


@pytest.mark.parametrize("said", ["covered", "draped"])
def test_S10_either_cover_on_brief_texts_takes_the_time_of_the_rinses_before_it(said: str) -> None:
    """It is asked about, and does not end the cleaning as one without them."""
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="cover")

    heard = talk.sends(said, after=20)

    assert heard[-1].startswith("That was quick. ")
    assert step_of(talk) == "cover"
