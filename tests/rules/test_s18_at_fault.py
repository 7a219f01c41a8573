"""S4, S5, S6, S18: FAULT with a tag says that a thing is bad, for whatever reason.

TEST let a second strip pass a bath that had failed, DISCARD only noted that it was used up.
"""

import pytest

from flows.parts.clinic import Fitness, Level, Standing
from flows.parts.events import (
    AlertRaised,
    CaseOpened,
    ContainerCondemned,
    CycleVoided,
    DeviceUsed,
    FreeText,
    Quarantined,
)
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def at(step: str) -> Talk:
    talk = clinic(level=Level.COACH)
    play_cycle(talk, until=step)
    return talk


def fitness(talk: Talk) -> dict[str, str]:
    things = [*talk.clinic.containers.values(), *talk.clinic.strips.values()]
    return {each.tag: each.fitness.value for each in things}


@pytest.mark.parametrize("step", ["soaking", "cover", ""])
@pytest.mark.parametrize("tag", ["T1", "B1", "J1", "S1"])
def test_S18_what_went_by_it_falls_and_the_contact_hears_so(step: str, tag: str) -> None:
    talk = at(step)

    talk.sends(f"FAULT {tag}", after=200)

    assert fitness(talk)[tag] == Fitness.CONDEMNED
    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]
    opened = [each.cycles for each in talk.happened(CaseOpened)]
    assert opened == [(each.cycle,) for each in talk.happened(CycleVoided)]
    assert "found_unfit" in {each.cause for each in talk.happened(AlertRaised)}
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY


@pytest.mark.parametrize("body", ["T1 FAULT", "FAULT T1 a bit cloudy", "fault t1, blood in it"])
def test_S5_so_it_does_with_more_words_or_with_its_tag_first(body: str) -> None:
    talk = at("cover")

    heard = talk.sends(body, after=20)

    assert heard[0].startswith("T1 is out of use: throw it away, text DISCARD T1.")
    assert fitness(talk) == {"J1": "held", "B1": "held", "T1": "condemned", "S1": "good"}


def test_S4_no_second_strip_brings_it_back() -> None:
    talk = at("cover")
    talk.sends("FAULT T1", after=20)

    (text,) = talk.sends("TEST T1", after=20)

    assert text.startswith("T1 is out of use: no strip can bring it back.")


def test_S5_STATE_says_why() -> None:
    talk = at("")
    talk.sends("FAULT T1", after=20)

    heard = talk.sends("STATE T1", after=20)

    assert heard[1].startswith("T1: NOT FOR USE: it was found faulty.")


def test_S10_said_again_it_changes_nothing_more() -> None:
    talk = at("")
    talk.sends("FAULT T1", after=20)
    cases = talk.happened(CaseOpened)

    talk.sends("FAULT T1", after=20)

    assert (talk.happened(CaseOpened), len(talk.happened(ContainerCondemned))) == (cases, 1)


def test_S18_thrown_away_before_it_was_told_what_it_soaked_falls_all_the_same() -> None:
    talk = at("")
    talk.sends("DISCARD T1", after=20)

    talk.sends("FAULT T1", after=20)

    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]


def test_S7_of_several_things_and_a_probe_each_is_noted() -> None:
    talk = at("")

    talk.sends("FAULT T1 and B1 V1 too", after=20)

    assert {"T1", "B1"} <= {each.tag for each in talk.happened(ContainerCondemned)}
    assert [each.device for each in talk.happened(Quarantined)] == ["V1"]


def test_S7_behind_a_use_it_is_of_the_tub_and_of_no_probe() -> None:
    talk = at("")

    talk.sends("USED V1 0412 FAULT T1", after=20)

    assert [each.patient for each in talk.happened(DeviceUsed)] == ["0412"]
    assert (fitness(talk)["T1"], talk.happened(Quarantined)) == ("condemned", [])


def test_S7_a_tag_that_nobody_knows_is_kept_and_told() -> None:
    talk = at("")

    (text,) = talk.sends("FAULT T9", after=20)

    assert text.startswith("T9 is not known here. Your words are kept")
    assert len(talk.happened(FreeText)) == 1


def test_S4_what_may_be_the_same_strips_judges_nothing_until_it_is_tested_again() -> None:
    talk = clinic(level=Level.COACH)
    for body in ("OPEN STRIPS", "270331", "NONE", "GOOD"):
        talk.sends(body, after=700)

    heard = talk.sends("FAULT S1 wet", after=20)

    assert fitness(talk)["S1"] == "condemned"
    assert not talk.clinic.strips["S2"].checked
    assert any(text.startswith("S2 may be S1, no lot tells them apart") for text in heard)


def test_S4_a_letter_that_is_of_another_label_is_asked_back() -> None:
    talk = at("")

    (text,) = talk.sends("FAULT T1-Q", after=20)

    assert text.startswith("The letter behind T1 is not the one on its label.")


@pytest.mark.parametrize(
    "body",
    [
        *("T1 strip was patchy", "T1 was cloudy", "blood in T1", "strip was patchy"),
        *("the strip was blue, sorry", "S1 got wet", "J1 expired last week", "B1 looks cloudy"),
    ],
)
def test_S4_S18_bad_news_is_offered_that_word_and_no_other_that_would_clear_it(body: str) -> None:
    (asked, again) = at("cover").sends(body, after=20)

    assert "FAULT " in asked
    assert ("TEST" in asked, "DISCARD" in asked, "IN T1" in asked) == (False, False, False)
    assert again.startswith("V1: cover it.")
