"""MIXED: what was mixed is a container with a label, and how it comes on the record."""

import re
from dataclasses import replace

import pytest

from flows.calculations.check_code import labelled_tag
from flows.parts.clinic import Fitness, Kind
from flows.parts.events import Mixed, Recalled
from flows.protocols import shipped
from tests.kit.cycles import play_cycle, step_of
from tests.kit.mixing import BLEACH, mixes, site

M1 = labelled_tag("M1")


def test_S10_mixed_sooner_than_it_can_be_is_asked_about_and_the_lot_is_not_cut_off() -> None:
    """Common practice, no source: ten seconds at least."""
    talk = site()
    talk.sends("MIX 2 L")

    (quick,) = talk.sends("MIXED K20817", after=9)
    noted = talk.happened(Mixed)
    talk.sends("MIXED K20817", after=1)

    assert quick == (
        "That was quick. Take the time it needs. When it is really done, send that text again."
    )
    assert noted == []
    assert [each.lot for each in talk.happened(Mixed)] == ["K20817"]


def test_S18_a_lot_of_one_figure_is_one_behind_the_word() -> None:
    """By itself a figure might count something."""
    talk = site()
    talk.sends("MIX 2 L")
    talk.sends("MIXED 7", after=60)
    alone = talk.happened(Mixed)

    talk.sends("MIXED LOT 7", after=60)

    assert alone == []
    assert [each.lot for each in talk.happened(Mixed)] == ["7"]


@pytest.mark.parametrize("text", ["MIX 2 L", "MIX 0.1 5 L", "MIX WASTE 2 L", "MIX"])
def test_a_sum_is_no_mixture(text: str) -> None:
    talk = site(BLEACH)

    talk.sends(text)

    assert talk.happened(Mixed) == []


def test_S5_mixed_it_is_a_container_with_its_lot_and_its_life() -> None:
    """A day at most, and new each day: CDC sheet CS316270A, 15 May 2020."""
    talk = site(BLEACH)
    asked_at = talk.now

    mixes(talk, "MIX 0.1 5 L", lot="k208")

    (mixed,) = talk.happened(Mixed)
    made = talk.clinic.containers["M1"]
    assert (mixed.product, mixed.strength, mixed.volume_ml) == ("chlorine", "0.1 %", 5000)
    assert (mixed.lot, mixed.mixed, mixed.because) == ("K208", asked_at, "mixed_life")
    assert (made.kind, made.lot, made.discard_by) == (Kind.MIXED, "K208", mixed.discard_by)


@pytest.mark.parametrize(
    ("text", "origin"),
    [
        (
            "MIX 0.1 5 L",
            "5 L batch of chlorine 0.1 %, lot K208, mixed 12:00. Good to the end of 2 Mar 2026",
        ),
        (
            "MIX 2 L",
            "2 L batch of detergent 8 mL/L, lot K208, mixed 12:00. Good to the end of 2 Mar 2026",
        ),
    ],
)
def test_state_tells_the_life_of_what_was_mixed(text: str, origin: str) -> None:
    talk = site(BLEACH)
    mixes(talk, text)

    assert talk.sends("STATE M1") == [
        f"M1: {origin}: its life once mixed.",
        "M1: in date, for what its label says.",
    ]
    assert "M1 to end 2 Mar 2026" in " ".join(talk.sends("STATE"))


@pytest.mark.parametrize(
    ("said", "lot"),
    [("mixed K208", "K208"), ("MIXED: k 208.", "K208"), ("mixed none", ""), ("mixed None!", "")],
)
def test_mixed_is_said_with_the_lot(said: str, lot: str) -> None:
    talk = site()
    talk.sends("MIX 2 L")

    (label,) = talk.sends(said, after=60)

    assert [each.lot for each in talk.happened(Mixed)] == [lot]
    assert f"lot {lot or 'not noted'}," in label


@pytest.mark.parametrize(
    "said",
    ["mixed", "mixed it", "mixed 7", "mixed K20 ? 8", "K208", "ok", "mixed none K208"],
)
def test_mixed_without_a_lot_is_asked_again(said: str) -> None:
    talk = site()
    talk.sends("MIX 2 L")

    (asked,) = talk.sends(said, after=60)

    assert asked.startswith("Mixed 2 L of 8 mL/L? Reply MIXED and its detergent lot alone: ")
    assert talk.happened(Mixed) == []


def test_S6_what_was_not_mixed_is_not_recorded() -> None:
    talk = site()
    talk.sends("MIX 2 L")

    assert talk.sends("later", after=60) == [
        "All right, nothing is noted as mixed. Later: MIX 2 L."
    ]
    assert talk.happened(Mixed) == []
    assert talk.clinic.threads == {}


def test_within_a_cycle_the_cycle_asks_whether_it_was_mixed() -> None:
    talk = site()
    play_cycle(talk, until="mix")

    recipe, label = talk.sends("MIX 2 L", after=5)
    talk.sends("mixed", after=20)

    assert recipe.startswith("16 mL detergent into 2 L water")
    assert label.startswith("Write on it: 2 L detergent 8 mL/L, mixed 12:0")
    assert step_of(talk) == "under"
    assert talk.happened(Mixed) == []


def test_within_a_cycle_chlorine_has_its_label_too() -> None:
    talk = site(BLEACH)
    play_cycle(talk, until="mix")

    _, dirty = talk.sends("MIX 0.5 5 L", after=5)
    talk.protocol = replace(talk.protocol, device_model=shipped().devices["plastic_probe"])
    _, wipe = talk.sends("MIX 0.1 5 L", after=5)

    assert re.sub(r"12:0\d", "12:00", dirty) == (
        "Write on it: 5 L chlorine 0.5 %, mixed 12:00, good to the end of 2 Mar 2026, NOT "
        "for a probe. Name too. No tag: a cleaning does not record it."
    )
    assert re.sub(r"12:0\d", "12:00", wipe) == (
        "Write on it: 5 L chlorine 0.1 %, mixed 12:00, good to the end of 2 Mar 2026, to "
        "wipe, NOT to soak. No tag: a bath is asked for apart. Name too."
    )
    assert talk.happened(Mixed) == []


def test_S5_what_is_past_its_day_is_cleared_away_by_the_next() -> None:
    talk = site()
    mixes(talk, "MIX 2 L")
    before = talk.sends("STATE M1")
    talk.wait(minutes=24 * 60)

    gone = talk.sends("STATE M1")
    mixes(talk, "MIX 1 L")

    assert before[1] == "M1: in date, for what its label says."
    assert gone[1].startswith("M1: NOT FOR USE: out of date.")
    assert [tag for tag in talk.clinic.containers if tag.startswith("M")] == ["M2"]


def test_S4_no_strip_tests_what_was_mixed() -> None:
    talk = site()
    mixes(talk, "MIX 2 L")

    (said,) = talk.sends("TEST M1")
    talk.sends("TEST T1")
    (again,) = talk.sends("dip M1", after=20)

    assert said == "Test which one? Its tag, like TEST T1."
    assert again.startswith("With more words I note no strip")


def test_S4_nor_does_a_probe_soak_in_it() -> None:
    talk = site(BLEACH)
    mixes(talk, "MIX 0.1 5 L")
    play_cycle(talk, until="immerse")

    heard = talk.sends("in M1 23", after=20)

    assert heard[0].startswith("M1 does not hold OPA 0.55 %. Take V1 out")


def test_S18_what_is_of_a_recalled_lot_is_condemned_as_it_is_made() -> None:
    talk = site()
    talk.let(Recalled("r1", "lot", "enzymatic", "K208", "", "", None))

    _, said = mixes(talk, "MIX 2 L")

    assert said.startswith("A lot of that is recalled: M1 is not for use.")
    assert talk.clinic.containers["M1"].fitness is Fitness.CONDEMNED


def test_what_was_mixed_is_thrown_away_like_anything_else() -> None:
    talk = site()
    mixes(talk, "MIX 2 L")

    assert talk.sends(f"DISCARD {M1}") == ["M1 is noted as thrown away."]
    assert "M1" not in talk.clinic.containers


# -- asked again, otherwise -----------------------------------------------------------------------


def test_an_amount_put_right_takes_the_place_of_the_one_before() -> None:
    """MIXED is then said of the last recipe, and the one with the slip is not asked about."""
    talk = site(BLEACH)
    talk.sends("MIX 20 L", after=20)
    talk.sends("MIX 2 L", after=20)

    talk.sends("MIXED L7", after=60)

    assert [each.volume_ml for each in talk.happened(Mixed)] == [2000]
    assert talk.clinic.threads == {}


def test_S5_the_same_asked_twice_counts_from_the_first_time() -> None:
    talk = site(BLEACH)
    talk.sends("MIX 2 L", after=20)
    asked_at = talk.now
    talk.sends("MIX 2 L", after=200)

    talk.sends("MIXED L7", after=60)

    assert [each.mixed for each in talk.happened(Mixed)] == [asked_at]


def test_detergent_and_chlorine_are_two_batches() -> None:
    talk = site(BLEACH)
    talk.sends("MIX 2 L", after=20)
    talk.sends("MIX 0.1% 5 L 3.5%", after=20)

    talk.sends("MIXED CHLORINE L7", after=60)
    talk.sends("MIXED K9", after=60)

    assert [each.volume_ml for each in talk.happened(Mixed)] == [5000, 2000]


def test_of_two_that_wait_the_question_says_which_it_is_about() -> None:
    talk = site(BLEACH)
    talk.sends("MIX 0.5% 10 L")
    (_, second) = talk.sends("MIX 0.1% 7 L", after=30)

    said = talk.sends("MIXED 0.1% L7", after=60)

    assert second.startswith("Mixed 7 L of 0.1 %? Reply MIXED and the lot of the bleach, ")
    assert "7 L chlorine 0.1 %, lot L7" in said[0]
    assert said[1].startswith("Mixed 10 L of 0.5 %? Reply MIXED and its bleach lot alone: ")
