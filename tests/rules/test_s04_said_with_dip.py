"""S4: what is said with DIP counts: of which bottle the strip is, and that it is not of now.

A strip is read at its own time after the dip, 90 s here, and neither before nor after it. Source:
FDA 510(k) K032660, 2003; common practice for what people say.
"""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from flows.parts.clinic import Level
from flows.parts.events import StripBottleOpened, StripDipped, StripRead
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic, shipped_protocol

EXPIRES = date(2027, 3, 31)
ALONE = (
    "With more words I note no strip. If you lifted it out this moment: reply DIP T1 at once. "
    "Dipped before now? Throw it away and take a new one."
)


def second_bottle(talk: Talk, *, checked: bool = True, product: str = "opa_strip_1s_90s") -> Talk:
    later = talk.now + timedelta(days=30)
    talk.let(StripBottleOpened("S2", product, "K2", EXPIRES, talk.now, later, checked=checked))
    return talk


def of_which(talk: Talk) -> list[tuple[str, str]]:
    return [(each.strips, each.lot) for each in talk.happened(StripDipped)]


def each_of(texts: str) -> list[str]:
    return [each.strip() for line in texts.split("\n") for each in line.split(";") if each]


WITH_MORE = """
DIP T1 3 min ago; DIP T1 not yet; DIP T1 yesterday; DIP T1 tomorrow; DIP T1 wrong bottle
DIP T1 no strips left; DIP not T1; DIP T1 8:00; dip T1 earlier
DIP T1 T2; DIP S1 S2; DIP T9; DIP T1 no
"""


@pytest.mark.parametrize("body", each_of(WITH_MORE))
def test_S4_a_dip_with_words_that_may_change_it_is_none(body: str) -> None:
    """Its clock began with the text: a strip that was minutes old passed."""
    talk = second_bottle(clinic())
    play_cycle(talk, until="dip")

    heard = talk.sends(body, after=20)

    assert talk.happened(StripDipped) == []
    assert heard[-1] == ALONE
    assert step_of(talk) == "dip"


def test_S4_so_it_is_where_a_number_is_asked_for() -> None:
    talk = clinic()
    talk.sends("TEST T1", after=20)
    talk.sends("DIP T1", after=20)
    talk.sends("1", after=300)
    example = talk.last().split("Reply ")[1].split(" as ")[0]

    talk.sends(f"{example} 3 min ago", after=20)
    once = len(talk.happened(StripDipped))
    talk.sends(f"{example} now", after=20)

    assert (once, len(talk.happened(StripDipped))) == (1, 2)


@pytest.mark.parametrize(
    "body", ["dip", "DIP T1 now please", "dip a strip of S1 in T1", "dip T1-D"]
)
def test_what_says_no_more_than_the_question_is_taken(body: str) -> None:
    talk = clinic()
    talk.sends("TEST T1", after=20)

    talk.sends(body, after=20)

    assert of_which(talk) == [("S1", "L9")]


@pytest.mark.parametrize("body", ["DIP T1 S2", "DIP S2 T1", "DIP S2", "dip T1 with S2"])
def test_S4_the_bottle_that_is_named_is_the_one_on_record(body: str) -> None:
    """S18: else a recall of its lot finds nothing, and that of another voids the wrong ones."""
    talk = second_bottle(clinic())
    talk.sends("TEST T1", after=20)

    talk.sends(body, after=20)
    talk.sends("1", after=95)

    (read,) = talk.happened(StripRead)
    assert of_which(talk) == [("S2", "K2")]
    assert (read.strips, read.lot, read.outcome) == ("S2", "K2", "pass")


@pytest.mark.parametrize("why", ["not tested", "not here", "of another product"])
def test_S4_strips_that_judge_nothing_here_stand_for_no_others(why: str) -> None:
    talk = clinic(level=Level.BRIEF)
    if why == "of another product":
        second_bottle(talk, product="ga_strip_18")
    elif why == "not tested":
        second_bottle(talk, checked=False)
    play_cycle(talk, until="dip")
    tag = "S7" if why == "not here" else "S2"

    heard = talk.sends(f"DIP T1 {tag}", after=20)

    assert talk.happened(StripDipped) == []
    assert heard == [
        ALONE
        if why == "not here"
        else "The strips of S2 judge nothing here: do not read that one. Dip one of S1, its time "
        "begins then. To test those of S2: TEST S2."
    ]


@pytest.mark.parametrize("several", [False, True])
def test_S4_where_two_bottles_stand_here_the_question_names_one(*, several: bool) -> None:
    """Three strips a test: invented."""
    talk = second_bottle(clinic())
    if several:
        strip = talk.protocol.strip
        talk.protocol = replace(talk.protocol, strip=replace(strip, strips_per_test=3))

    (asked,) = talk.sends("TEST T1")
    talk.sends("DISCARD S2", after=20)
    (alone,) = talk.sends("TEST T1", phone="ph2")

    count = "3 strips" if several else "a strip"
    assert asked.startswith(f"Dry hands. Dip {count} of S1 in T1 for 1 s")
    assert alone.startswith(f"Dry hands. Dip {count} in T1 for 1 s")


def test_S4_where_none_are_left_the_way_out_is_named() -> None:
    """At `dip` nobody could say it: the probe waits, and the bottle stays on record as full."""
    talk = clinic()
    play_cycle(talk, until="dip")

    (heard,) = talk.sends("no strips", after=20)
    gone, then = talk.sends("DISCARD S1", after=20)

    assert heard == (
        "As the strip leaves the liquid, reply DIP and where it was dipped: DIP T1. No strips "
        "left? DISCARD S1."
    )
    assert gone == "S1 is noted as thrown away."
    assert then.startswith("No strips in date. New strip bottle for OPA 0.55 %")


def test_S4_the_bottle_named_with_TEST_is_the_one_that_is_asked_for() -> None:
    talk = second_bottle(clinic())

    (asked,) = talk.sends("TEST T1 S2")

    assert asked.startswith("Dry hands. Dip a strip of S2 in T1")


def test_what_is_used_here_no_more_is_called_by_its_name() -> None:
    talk = clinic()
    talk.protocol = shipped_protocol(Selection("hp_75", "hp_strip_6", "sealed_probe", "enzymatic"))

    (said,) = talk.sends("TEST T1")

    assert said.startswith("T1 is of OPA 0.55 %, and no probe here is soaked with that")
