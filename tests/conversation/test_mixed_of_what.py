"""What is mixed never outlives what it is made of, and is made of what its site has (S4, S5)."""

import pytest

from flows.parts.events import EvidenceStated, Mixed, SiteChoiceMade
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic

CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")


def with_bleach(*texts: str) -> Talk:
    """J1 is bleach of lot L77, in date for 2 March alone."""
    talk = clinic(selection=CHLORINE)
    for text in ("OPEN", "260302", "L77", *texts):
        talk.sends(text, after=20)
    return talk


@pytest.mark.parametrize("lot", ["L77", "NONE"])
def test_S5_of_bleach_that_is_out_of_date_nothing_is_mixed_ahead(lot: str) -> None:
    talk = with_bleach()
    talk.wait(minutes=24 * 60)
    talk.sends("MIX 0.1% 1 L 5%")

    (said,) = talk.sends(f"MIXED {lot}", after=60)

    assert said == (
        "J1: not for use any more, so nor is what is mixed from it: throw that away too. From "
        "another bottle? OPEN it, mix anew: MIX."
    )
    assert not talk.happened(Mixed)


def test_S5_from_a_bottle_of_the_lot_that_is_in_date_it_may_be() -> None:
    talk = with_bleach()
    talk.wait(minutes=24 * 60)
    for text in ("DISCARD J1", "OPEN", "270331", "L77", "MIX 0.1% 1 L 5%"):
        talk.sends(text, after=20)

    (said,) = talk.sends("MIXED L77", after=60)

    assert said.startswith("Write on it: M1-E 1 L chlorine 0.1 %, lot L77")
    assert [each.source for each in talk.happened(Mixed)] == ["J2"]


@pytest.mark.parametrize("text", ["MIXED", "in a cleaning"])
def test_S5_what_is_mixed_from_it_falls_with_it(text: str) -> None:
    talk = with_bleach()
    if text == "MIXED":
        talk.sends("MIX 0.1% 1 L 5%", after=20)
        talk.sends("MIXED L77", after=60)
    play_cycle(talk, until="wipe_rinse")

    talk.sends("OPEN J1 260301", after=20)

    assert [each.source for each in talk.happened(Mixed)] == ["J1"]
    assert talk.clinic.containers["M1"].discard_by <= talk.now


def test_S5_mixed_of_no_lot_that_could_be_read_it_is_good_no_longer_than_any_bottle() -> None:
    """Which bottle it was nobody has said: none is written down, the earliest date counts."""
    talk = with_bleach()
    talk.sends("MIX 0.1% 1 L 5%", after=20)
    talk.sends("MIXED NONE", after=60)

    (mixed,) = talk.happened(Mixed)
    assert mixed.source == ""
    assert mixed.discard_by == talk.clinic.containers["J1"].discard_by


@pytest.mark.parametrize(("what", "lot"), [("0.1% 1 L 5%", "L77"), ("2 L", "L7")])
def test_S5_told_after_midnight_it_gets_no_label_for_a_day_that_is_over(
    what: str, lot: str
) -> None:
    """Mixed at 23:59 it is of that day. Local midnight is 21:00 by the clock of this test."""
    talk = clinic()
    talk.let(SiteChoiceMade("site", "chlorine_source", "bleach 5 %", ""))
    talk.wait(minutes=12 * 60 - 1)
    talk.sends(f"MIX {what}")

    (said,) = talk.sends(f"MIXED {lot}", after=90)

    assert said.startswith("It was mixed before midnight, or its time is up: its day is over.")
    assert not talk.happened(Mixed)


# -- by what the site has on file ---------------------------------------------------------------


def asked(written: str, step: str = "single_use") -> Talk:
    talk = clinic(selection=CHLORINE)
    play_cycle(talk, until=step)
    talk.let(SiteChoiceMade("site", "chlorine_source", written, ""))
    return talk


@pytest.mark.parametrize(
    ("written", "step", "example"),
    [
        ("bleach 3.5 %", "single_use", "Like 3.5% 2 L."),
        ("powder 70 %", "single_use", "Like 70% POWDER 2 L."),
        ("bleach 3.5 %", "to_wipe", "Like 3.5% 1 L."),
    ],
)
def test_S4_the_example_is_what_the_site_has_on_file(
    written: str, step: str, example: str
) -> None:
    talk = asked(written, step)

    assert example in talk.sends("hm", after=20)[-1]


def test_S4_another_strength_than_on_file_is_said_once_more_with_its_tag() -> None:
    talk = asked("bleach 3.5 %")

    back = talk.sends("5% 2 L", after=20)
    recipe = talk.sends("J1 5% 2 L", after=20)[0]
    talk.sends("FRESH", after=60)

    assert len(back) == 1
    assert back[0].startswith("On file here: 3.5 %. Is it 5 % on the label of J1? Then text J1 5%")
    assert "40 mL bleach 5 %" in recipe
    assert [each.strength for each in talk.happened(EvidenceStated)] == ["bleach 5 %"]


@pytest.mark.parametrize(
    ("written", "text"),
    [
        ("bleach 3.5 %", "3.5% 2 L"),
        ("bleach 12 degrees", "12 degrees 2 L"),
        ("powder 70 %", "70% POWDER 2 L"),
    ],
)
def test_S4_the_strength_on_file_is_not_asked_about(written: str, text: str) -> None:
    talk = asked(written)

    talk.sends(text, after=20)

    assert step_of(talk) == "single_use_mixed"


@pytest.mark.parametrize(
    ("text", "is_taken"),
    [
        ("5% 2 L expired", False),
        ("5% 2 L not boiled", False),
        ("5% bleach 2 L", True),
        ("label says 5%, 2 L", True),
        ("5% 2 L from J1", True),
    ],
)
def test_S4_what_stands_beside_the_amount_is_not_dropped(text: str, *, is_taken: bool) -> None:
    talk = clinic(selection=CHLORINE)
    play_cycle(talk, until="single_use")

    talk.sends(text, after=20)

    assert (step_of(talk) == "single_use_mixed") is is_taken


def test_S10_an_amount_put_right_takes_the_place_of_the_first_though_it_measures_otherwise() -> (
    None
):
    """3.5 % in whole ml: 58 in 2 L are 0.1015 %, 86 in 3 L are 0.1003 %."""
    talk = clinic(selection=CHLORINE)
    talk.sends("MIX 0.1% 2 L 3.5%")
    talk.sends("MIX 0.1% 3 L 3.5%", after=20)

    (label,) = talk.sends("MIXED L1", after=60)

    assert label.startswith("Write on it: M1-E 3 L chlorine 0.1 %")
    assert not talk.clinic.threads
