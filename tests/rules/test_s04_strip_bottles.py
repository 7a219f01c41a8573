"""S4: a bottle of strips is tested itself before it judges anything, and its lot stands beside."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import Recalled, StripBottleOpened, StripDipped, StripRead, StripsChecked
from tests.kit.cycles import play_cycle
from tests.kit.strips import dips, first_digit, passes
from tests.kit.talk import NINE, Talk, clinic

DUE = (
    "Test the strips of S1: 3 in good OPA 0.55 % from J1 must all pass, 3 in half water must all "
    "fail. Just so: GOOD. Else UNSURE; not now LATER."
)
"""Three and three: a hospital radiology policy, 3364-135-028, 2017."""


def unchecked(talk: Talk | None = None, *, tag: str = "S1") -> Talk:
    """A clinic with a bottle of strips that came without its quality control."""
    talk = talk or clinic()
    week = talk.now + timedelta(days=7)
    talk.let(
        StripBottleOpened(
            tag, "opa_strip_1s_90s", "K208", date(2027, 3, 31), talk.now, week, checked=False
        )
    )
    return talk


def asking_for(talk: Talk, good: int, diluted: int) -> Talk:
    strip = replace(talk.protocol.strip, qc_positive=good, qc_negative=diluted)
    talk.protocol = replace(talk.protocol, strip=strip)
    return talk


def opens(talk: Talk, *answers: str) -> list[str]:
    talk.sends("OPEN S")
    return [text for answer in answers for text in talk.sends(answer, after=100)]


def test_S4_the_lot_of_the_strips_is_on_every_entry_of_a_test() -> None:
    talk = clinic()

    passes(talk, "T1")

    assert [(each.strips, each.lot) for each in talk.happened(StripDipped)] == [("S1", "L9")]
    assert [(each.strips, each.lot) for each in talk.happened(StripRead)] == [("S1", "L9")]


def test_S4_a_new_bottle_is_recorded_with_its_quality_control() -> None:
    talk = clinic()
    talk.sends("DISCARD S1")

    opens(talk, "270331", "K208", "good")

    assert talk.clinic.strips["S2"].checked is True
    assert talk.happened(StripsChecked) == [
        StripsChecked("S2", "K208", passed=True, qc_good=3, qc_diluted=3)
    ]


def test_S4_where_the_strips_ask_for_none_none_is_asked() -> None:
    talk = asking_for(clinic(stocked=False), 0, 0)

    heard = opens(talk, "270331", "K208")

    (bottle,) = talk.happened(StripBottleOpened)
    assert heard[-1].startswith("Write on it: S1")
    assert (bottle.checked, bottle.qc_good, bottle.qc_diluted) == (True, 0, 0)


def test_S4_nor_of_a_bottle_that_came_without_before_the_strips_asked_for_none() -> None:
    talk = asking_for(unchecked(), 0, 0)

    said, asked = talk.sends("TEST T1")

    assert said.startswith("S1 is tested: ")
    assert asked.startswith("Dry hands. Dip a strip in T1")


@pytest.mark.parametrize("good", [2, 3])
def test_S4_so_many_of_each_are_tested_as_the_strips_ask_for(good: int) -> None:
    talk = asking_for(unchecked(), good, 1)

    (asked,) = talk.sends("TEST S1")

    assert (
        f"{good} in good OPA 0.55 % from J1 must all pass, 1 in half water must all fail." in asked
    )


def test_S4_a_bottle_without_its_quality_control_is_tested_before_it_tests() -> None:
    talk = unchecked()

    (asked,) = talk.sends("TEST T1")
    said, dip = talk.sends("good", after=100)

    assert asked == DUE
    assert said == "S1 is tested: its strips are good to 9 Mar 12:00."
    assert dip.startswith("Dry hands. Dip a strip in T1")
    assert talk.happened(StripsChecked) == [
        StripsChecked("S1", "K208", passed=True, qc_good=3, qc_diluted=3)
    ]


def test_S4_so_it_is_within_a_cycle() -> None:
    talk = unchecked()

    play_cycle(talk, until="strips_check")
    asked = talk.last()
    play_cycle(talk)

    assert asked == DUE
    assert talk.last().startswith("V1 READY until ")


def test_S4_strips_that_fail_their_control_judge_nothing_and_others_are_opened() -> None:
    talk = unchecked()
    talk.sends("TEST T1")

    said, asked = talk.sends("unsure", after=20)

    assert said.startswith("Then none of those strips, S1, may be used")
    assert asked.startswith("No strips in date. New strip bottle")
    assert talk.clinic.strips["S1"].fitness is Fitness.CONDEMNED


def test_S4_a_bottle_is_tested_by_its_own_tag() -> None:
    talk = unchecked()

    (asked,) = talk.sends("TEST S1")
    (said,) = talk.sends("good", after=100)

    assert asked == DUE
    assert said.startswith("S1 is tested: ")
    assert talk.clinic.threads == {}
    assert talk.clinic.strips["S1"].checked is True


def test_S4_failed_by_its_own_tag_nothing_more_is_asked() -> None:
    talk = unchecked()
    talk.sends("TEST S1")

    (said,) = talk.sends("unsure", after=20)

    assert said.startswith("Then none of those strips, S1, may be used")
    assert talk.clinic.threads == {}


@pytest.mark.parametrize("why", ["date", "discarded", "failed", "failed as it was opened"])
def test_S4_no_control_brings_back_strips_that_are_done_with(why: str) -> None:
    talk = clinic(stocked=False)
    for body in ("OPEN", "280331", "L77"):
        talk.sends(body, after=20)
    if why == "failed as it was opened":
        opens(talk, "270331", "K208", "unsure")
    else:
        unchecked(talk)
    if why == "date":
        talk.now = talk.clinic.strips["S1"].discard_by
    elif why == "discarded":
        talk.sends("DISCARD S1")
    elif why == "failed":
        talk.sends("TEST S1")
        talk.sends("unsure", after=20)
    before = len(talk.clinic.threads)

    said, *_ = talk.sends("TEST S1")

    assert said == "S1 is out of use: no test can bring it back. Text DISCARD S1, open another."
    assert len(talk.clinic.threads) == before


def test_S4_checked_strips_say_how_long_they_are_good() -> None:
    (said,) = clinic().sends("TEST S1")

    assert said == "S1 is tested: its strips are good to 9 Mar 12:00."


def test_S4_another_bottle_that_is_checked_is_used_first() -> None:
    talk = unchecked(tag="S2")

    (asked,) = talk.sends("TEST T1")

    assert asked.startswith("Dry hands. Dip a strip of S1 in T1")


def test_S4_a_control_that_comes_too_late_is_none() -> None:
    """Thrown away on another phone while its strips lay in the solution."""
    talk = unchecked()
    talk.sends("TEST S1")
    talk.sends("DISCARD S1", phone="ph2")

    (said,) = talk.sends("good", after=100)

    assert said.startswith("S1 is out of use")
    assert talk.happened(StripsChecked) == []


# -- its bottle is recalled before the dip ------------------------------------------------------

NOT_READ = (
    "Do not read that strip: its bottle may be one that is not for use any more. Take one of a "
    "good bottle; no test is lost."
)


@pytest.mark.parametrize("other", [False, True])
@pytest.mark.parametrize("number", [False, True])
def test_S4_a_strip_of_a_bottle_recalled_before_the_dip_is_not_read_and_costs_no_test(
    *, other: bool, number: bool
) -> None:
    """Another bottle at hand changes nothing: nobody knows of which the strip was."""
    talk = clinic()
    talk.sends("TEST T1", after=20)
    if number:  # read too early, it is dipped anew, and its second no result would hold it
        dips(talk, "T1")
        talk.sends(first_digit(talk, "T1"), after=15)
    s2 = StripBottleOpened(
        "S2",
        "opa_strip_1s_90s",
        "L8",
        date(2027, 3, 31),
        NINE,
        talk.now + timedelta(days=7),
        checked=True,
    )
    talk.let(Recalled("r1", "strip_lot", "opa_strip_1s_90s", "L9", "", "digest", NINE))
    if other:
        talk.let(s2)
    before = len(talk.happened(StripDipped))

    told, asked = dips(talk, "T1")
    if not other:
        talk.let(s2)

    assert told == NOT_READ
    assert ("Dip a strip of S2 in T1" if other else "No strips in date.") in asked
    assert len(talk.happened(StripDipped)) == before
    dips(talk, "T1")
    assert talk.happened(StripDipped)[before].lot == "L8"
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD
