"""A product that no strip exists for: a bath for each soak, and what is asked in a strip's place.

Chlorine 0.1 %: 20 min, mixed with boiled water. Source: Reference Manual hosted by the IARC
Screening Group, Table C-1. Its 20 C and its single use: common practice, none published.
"""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from flows.parts.clinic import Kind, Level, Standing
from flows.parts.events import (
    CleaningRestarted,
    CycleAbandoned,
    EvidenceStated,
    Immersed,
    JugActivated,
    JugOpened,
    Poured,
    SoakBroken,
    StripDipped,
    TakenOut,
)
from flows.protocols import protocol_for, shipped
from flows.protocols.model import NO_STRIP_THERE_IS, CycleProtocol, Selection
from flows.protocols.read import laid_on
from tests.kit.cycles import cycle_of, falsify, number_for, play_cycle, step_of, wait_for_bell
from tests.kit.talk import Talk, clinic
from tests.protocols import kit

CHLORINE = Selection("chlorine_01", "", "plastic_probe", "enzymatic")


def chlorine(level: Level = Level.COACH) -> Talk:
    return clinic(level=level, selection=CHLORINE)


def asked(step: str, level: Level = Level.COACH) -> Talk:
    talk = chlorine(level)
    play_cycle(talk, until=step)
    return talk


def baths(talk: Talk) -> list[str]:
    return [each.tag for each in talk.happened(Poured)]


@pytest.mark.parametrize("level", list(Level))
def test_S1_a_whole_cycle_in_chlorine_by_its_published_figures(level: Level) -> None:
    """20 min. Source: Reference Manual hosted by the IARC Screening Group, Table C-1."""
    talk = chlorine(level)

    play_cycle(talk)

    (out,) = talk.happened(TakenOut)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    assert out.lasted >= timedelta(minutes=20)
    assert talk.happened(StripDipped) == talk.happened(JugActivated) == []


# -- what is asked ------------------------------------------------------------------------------


def test_S4_its_source_is_asked_for_and_labelled_as_what_it_is() -> None:
    talk = asked("jug")

    question = talk.last()
    talk.sends("270331", after=20)
    label, _ = talk.sends("L5", after=20)
    then = play_cycle(talk, until="single_use").heard[-1]

    assert question.startswith("New bottle of bleach or powder for chlorine 0.1 %, opened now")
    assert "bleach/powder, lot L5, good to the end of 31 Mar 2027 (the maker's expiry)" in label
    assert then == (
        "No strip for chlorine 0.1 %: each soak has its own bath. J1: strength on its label, "
        "litres of bath? Like 5% 2 L, or 70% POWDER 2 L. Not yet: LATER."
    )


@pytest.mark.parametrize(
    ("body", "dose"),
    [
        ("5% 2 L", "40 mL bleach 5 %, water to 2 L"),
        ("1 L 5 percent", "20 mL bleach 5 %, water to 1 L"),
        ("70% powder 1 L", "2 g powder 70 %, water to 1 L"),
        ("bleach 12 degrees 1L", "28 mL bleach 3.6 %, water to 1 L"),
    ],
)
def test_S4_how_much_of_it_is_told_by_the_published_formula(body: str, dose: str) -> None:
    """5 % to 0.1 %: 20 ml made up to a litre; by formula 1.43 g of 70 %, 27.8 ml of 3.6 %, up to
    whole ones.

    Source: WHO Laboratory Biosafety Manual, Table 12; CDC, Best Practices for Environmental
    Cleaning, Appendix E: percent wanted by percent there is; 1 degree is 0.3 %.
    """
    talk = asked("single_use")

    recipe, question = talk.sends(body, after=20)

    assert f"chlorine: boiled, cooled water first, {dose} in all." in recipe
    assert question == (
        "Gloves, goggles, air. Tub empty, washed, dry; all measured; water boiled, cooled; "
        "clear, nothing in it? All so: FRESH. Not all, not sure: UNSURE."
    )


@pytest.mark.parametrize(
    "body", ["2 L", "5%", "5 2 L", "05% 2 L", "5% 3% 2 L", "hm", "fresh", "mixed"]
)
def test_S4_without_strength_and_litres_it_is_asked_again(body: str) -> None:
    talk = asked("single_use")

    said = talk.sends(body, after=20)

    assert said[-1].startswith("No strip for chlorine 0.1 %")
    assert step_of(talk) == "single_use"


def test_S3_a_bath_that_does_not_reach_the_line_is_not_mixed() -> None:
    """150 ml to the line of a probe: common practice, none published."""
    talk = asked("single_use")

    (said,) = talk.sends("5% 149 ml", after=20)
    recipe, _ = talk.sends("5% 150 ml", after=20)

    assert said == (
        "149 mL does not cover V1 to its line: 150 mL at least. Please say it once more, like "
        "5% 2 L."
    )
    assert "water to 150 mL in all" in recipe


def test_S4_nothing_is_as_strong_as_more_than_all() -> None:
    talk = asked("single_use")

    said = talk.sends("120% 2 L", after=20)

    assert said[-1].startswith("That cannot be.")


def test_S4_a_source_that_is_too_weak_is_refused() -> None:
    talk = asked("single_use")

    said = talk.sends("0.05% 2 L", after=20)

    assert said[0].startswith("0.05 % cannot make 0.1 %: water only weakens.")
    assert step_of(talk) == "single_use"


@pytest.mark.parametrize(
    ("body", "percent"),
    [
        ("0.1% 2 L", "0.1"),
        ("1000 ppm 2 L", "0.1"),
        ("0.1% powder 2 L", "0.1"),
        ("0.11% 2 L", "0.11"),
        ("1200 ppm 2 L", "0.12"),
        ("0.5% 2 L", "0.5"),
    ],
)
def test_S4_S5_what_was_mixed_before_is_of_any_age_and_no_source_of_a_bath(
    body: str, percent: str
) -> None:
    """New each day: CDC sheet CS316270A, 15 May 2020. Mixed for use it has 0.5 % at most: CDC,
    Best Practices for Environmental Cleaning, Appendix E.
    """
    talk = asked("single_use")

    (said,) = talk.sends(body, after=20)

    assert said == (
        f"{percent} % is weaker than any bleach as bought: mixed before, it may have weakened. "
        "For a soak please mix it new: strength on the bottle as bought?"
    )
    assert step_of(talk) == "single_use"
    assert talk.sends("fresh", after=20)[-1].startswith("No strip for chlorine 0.1 %")
    assert talk.happened(Poured) == []


@pytest.mark.parametrize(
    ("body", "dose"), [("2.6% 2 L", "77 mL bleach 2.6 %"), ("0.6% 1 L", "167 mL bleach 0.6 %")]
)
def test_S4_the_weakest_bleach_as_bought_is_mixed_from(body: str, dose: str) -> None:
    """2.6 %: CDC, Ebola poster, 2014; by the published formula 76.9 and 166.7 ml, rounded up.

    A little more than anything that is mixed may be what a site makes itself from salt.
    """
    talk = asked("single_use")

    assert dose in talk.sends(body, after=20)[0]


@pytest.mark.parametrize("percent", ["15.1", "35", "50", "70"])
def test_S4_stronger_than_bleach_can_be_is_asked_whether_it_is_powder(percent: str) -> None:
    """Bleach is at most some 15 %: common practice, no source. Powder of 35 and of 70 %: CDC, Best
    Practices for Environmental Cleaning, Appendix E; WHO Laboratory Biosafety Manual, Table 12.
    """
    talk = asked("single_use")

    (said,) = talk.sends(f"{percent}% 2 L", after=20)

    example = f"{percent}% POWDER 2 L"
    assert said == (
        f"{percent} % is too strong for liquid bleach, 15 % at most. Is it powder? Then text "
        f"{example}. If not, look at the bottle again."
    )
    assert step_of(talk) == "single_use"
    assert f"powder {percent} %, water to 2 L" in talk.sends(example, after=20)[0]
    assert step_of(talk) == "single_use_mixed"


@pytest.mark.parametrize("body", ["15% 2 L", "50 degrees 2 L"])
def test_S4_the_strongest_bleach_there_is_is_mixed_from(body: str) -> None:
    talk = asked("single_use")

    said = talk.sends(body, after=20)

    assert "14 mL bleach 15 %, water to 2 L" in said[0]
    assert step_of(talk) == "single_use_mixed"


def test_S4_all_of_its_evidence_is_on_the_record_and_the_bath_on_a_label() -> None:
    talk = asked("single_use_mixed")
    at = talk.now

    label = talk.sends("fresh", after=60)[0]

    (stated,), (poured,) = talk.happened(EvidenceStated), talk.happened(Poured)
    assert stated.stated == talk.protocol.chemistry.single_use_evidence
    assert (stated.cycle, stated.bath) == (cycle_of(talk).id, "T1")
    assert stated.strength == "bleach 5 %"
    assert (poured.kind, poured.source, poured.poured) == (Kind.BATH, "J1", at)
    assert label.endswith(
        "chlorine 0.1 %, lot L77, good to the end of 2 Mar 2026 (its days of use), one soak only. "
        "Name and date too."
    )


def test_S18_of_bleach_without_a_lot_that_stands_on_the_label_of_its_bath() -> None:
    talk = asked("jug_lot")
    talk.sends("none", after=20)
    play_cycle(talk, until="single_use_mixed")

    label = talk.sends("fresh", after=60)[0]

    assert " chlorine 0.1 %, lot not noted, good to " in label


@pytest.mark.parametrize("step", ["single_use", "single_use_mixed"])
@pytest.mark.parametrize("body", ["MIX 0.1% 2 L 5%", "MIX 0.1% FROM 40 ml 5%", "MIX 5% 2 L"])
def test_S4_MIX_gives_no_label_to_wipe_with_where_the_bath_is_asked_for(
    step: str, body: str
) -> None:
    """What it is for is known: the label comes once it is vouched for, for one soak only."""
    talk = asked(step)

    (said,) = talk.sends(body, after=20)
    talk.sends("5% 2 L", after=20)
    (label, *_) = talk.sends("fresh", after=60)

    assert said == (
        "That chlorine is asked for already, and goes on the record there. Please answer that "
        "without MIX, like 5% 2 L."
    )
    assert label.startswith("Write on it: T1-D 2 L chlorine 0.1 %, lot L77, ")
    assert "one soak only" in label


def test_what_no_bottle_as_bought_can_be_is_no_strength_of_one() -> None:
    """The strength wanted: of what it is made is asked, as ever."""
    (said,) = asked("single_use").sends("MIX 0.1% 2 L", after=20)

    assert said.startswith("Which bleach? Its strength stands on the bottle")


def test_S8_what_is_not_all_so_is_thrown_away_and_begun_again() -> None:
    talk = asked("single_use_mixed")

    said, question = talk.sends("unsure", after=20)

    assert said.startswith("Then that mixture is not for use: throw it away")
    assert question.startswith("No strip for chlorine 0.1 %")
    assert talk.happened(Poured) == []


def test_S5_a_source_thrown_away_meanwhile_makes_no_bath() -> None:
    talk = asked("single_use_mixed")
    talk.sends("DISCARD J1", phone="ph2", after=20)

    said, question = talk.sends("fresh", after=20)

    assert said.startswith("Then that mixture is not for use")
    assert question.startswith("New bottle of bleach or powder")
    assert talk.happened(Poured) == []


def test_one_tub_for_both_it_is_mixed_once_the_detergent_is_out() -> None:
    talk = asked("single_use")

    talk.sends("later", after=20)

    assert step_of(talk) == "await_detergent"
    play_cycle(talk)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S5_the_bath_ends_at_midnight_and_its_source_by_its_printed_date_only() -> None:
    """New each day. Source: CDC sheet CS316270A, 15 May 2020."""
    talk = asked("immerse")

    (jug,), (bath,) = talk.happened(JugOpened), talk.happened(Poured)

    assert (jug.because, jug.expires) == ("maker_expiry", date(2027, 3, 31))
    assert bath.discard_by.astimezone(bath.poured.tzinfo) - bath.poured < timedelta(hours=24)


def test_S5_shortly_before_midnight_no_bath_is_mixed_in_vain() -> None:
    """The site is three hours ahead: 20:40 is twenty minutes before its midnight."""
    talk = chlorine()
    talk.now = talk.now.replace(hour=20, minute=40)

    play_cycle(talk)

    assert talk.happened(CycleAbandoned)[0].because == "too_late"
    assert talk.happened(Poured) == []
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert (
        "Too late: a bath mixed now is good to the end of 2 Mar 2026 only, less than the soak. "
        "Rinse V1, keep it apart: NOT READY. After that: CLEAN V1."
    ) in talk.heard["ph1"]


def test_S5_a_source_that_ends_within_the_soak_is_not_mixed_from() -> None:
    talk = chlorine()
    soon = talk.now + timedelta(minutes=10)
    talk.let(JugOpened("J1", "chlorine_01", "L1", date(2027, 3, 31), talk.now, soon, "x"))

    play_cycle(talk, until="single_use")

    assert "J2: strength on its label" in talk.last()


@pytest.mark.parametrize("percent", ["0.1", "0.11", "0.5"])
def test_S4_S5_nor_does_mix_make_a_soak_of_what_was_mixed_before(percent: str) -> None:
    talk = chlorine()

    (said,) = talk.sends(f"MIX 0.1% 2 L {percent}%")

    assert said.startswith(f"{percent} % is weaker than any bleach as bought")
    assert said.endswith("use the bottle as bought, like MIX 0.1% 2 L 5%.")
    assert talk.clinic.threads == {}


def test_mix_makes_weaker_of_strong_chlorine_that_is_for_no_probe() -> None:
    """One part of strong and nine of water. Source: CDC, Ebola poster, 2014."""
    (recipe, _) = chlorine().sends("MIX 0.05% 1 L 0.5%")

    assert "100 mL bleach 0.5 %, water to 1 L" in recipe


# -- one soak -----------------------------------------------------------------------------------


def test_S4_the_next_cycle_mixes_a_bath_of_its_own() -> None:
    talk = chlorine()
    play_cycle(talk)
    talk.sends("USED V1 0412", after=60)

    play_cycle(talk)

    assert baths(talk) == ["T1", "T2"]
    assert [event.bath for event in talk.happened(Immersed)] == ["T1", "T2"]


@pytest.mark.parametrize("said", ["OUT", "IN 24"])
def test_S3_S4_after_a_break_it_cannot_go_straight_back_into_a_spent_bath(said: str) -> None:
    talk = asked("soaking")

    spent, then = talk.sends(said, after=300)

    assert spent.startswith("T1 has had its last soak: throw it away. V1 must be cleaned again")
    assert then.startswith("V1: wipe handle and cable with detergent")
    assert [event.lasted for event in talk.happened(SoakBroken)] == [timedelta(minutes=5)]
    play_cycle(talk)
    assert [event.bath for event in talk.happened(Immersed)] == ["T1", "T2"]
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


def test_S4_cleaned_anew_before_the_soak_it_has_a_bath_mixed_anew() -> None:
    """What was stated of a bath was stated for the soak that did not come."""
    talk = asked("immerse")
    talk.sends("again", after=20)

    play_cycle(talk)

    assert baths(talk) == ["T1", "T2"]
    assert len(talk.happened(CleaningRestarted)) == 1
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


@pytest.mark.parametrize("changed", [{"stated": ("mixed_today",)}, {"bath": "T9"}])
def test_S1_S4_no_release_without_all_that_takes_a_strips_place(
    changed: dict[str, object],
) -> None:
    talk = asked("cover")
    falsify(talk, EvidenceStated, **changed)

    play_cycle(talk)

    assert talk.happened(CycleAbandoned)[0].because == "not_proved:evidence"


def test_S17_a_bath_under_twenty_degrees_or_over_thirty_is_not_soaked_in() -> None:
    """Common practice, none published for chlorine."""
    talk = asked("immerse")

    talk.sends("IN 19.9", after=20)
    cold = step_of(talk)
    talk.sends(f"IN {number_for(talk)} 30.1", after=20)

    assert (cold, step_of(talk)) == ("warm", "warm")
    assert talk.happened(Immersed) == []


# -- commands -----------------------------------------------------------------------------------


@pytest.mark.parametrize("body", ["OPEN S", "TEST T1", "TEST"])
def test_a_strip_is_asked_for_in_vain(body: str) -> None:
    talk = asked("immerse")

    said = talk.sends(body, phone="ph2", after=20)

    assert said[0] == (
        "No strip exists for chlorine 0.1 %: each soak has a new bath, mixed in its cleaning."
    )


@pytest.mark.parametrize("body", ["POUR", "POUR J1"])
def test_S4_its_source_is_never_poured_like_a_disinfectant(body: str) -> None:
    talk = asked("immerse")
    known = len(talk.happened(Poured))

    (text,) = talk.sends(body, phone="ph2", after=20)

    assert text == (
        "chlorine 0.1 % is not poured: it is mixed for one soak, in its cleaning. CLEAN and the "
        "device leads there."
    )
    assert len(talk.happened(Poured)) == known


def test_left_and_the_bell_are_as_ever() -> None:
    talk = asked("soaking")

    left = talk.sends("LEFT", after=60)
    wait_for_bell(talk)

    assert left[0].startswith("V1: 20 min left")
    assert talk.last().startswith("V1: soak complete")


# -- protocols ----------------------------------------------------------------------------------


def test_its_protocol_names_no_strip_and_comes_back_from_the_record_as_it_was() -> None:
    talk = chlorine()

    assert talk.protocol.strip == NO_STRIP_THERE_IS
    assert CycleProtocol.from_mapping(talk.protocol.as_mapping()) == talk.protocol


@pytest.mark.parametrize(
    ("changed", "problem"),
    [
        (
            {"single_use_evidence": ("mixed_today", "moon_is_full")},
            "chlorine_01.toml: single_use_evidence has moon_is_full: no step asks for that yet.",
        ),
        (
            {"mixed_to_percent": None},
            "chlorine_01.toml: mixed_to_percent is none: a bath of it is mixed by its strength.",
        ),
    ],
)
def test_what_no_step_asks_for_is_not_led(changed: dict[str, object], problem: str) -> None:
    product = replace(shipped().chemistries["chlorine_01"], **changed)  # type: ignore[arg-type]

    assert kit.lines(protocol_for(CHLORINE, (), laid_on(shipped(), product))) == [problem]


def test_S4_on_brief_texts_too_nobody_is_told_to_wipe_with_bleach_as_it_is() -> None:
    """J1 is the bottle of bleach: what wipes is mixed of it, M1."""
    talk = chlorine(level=Level.BRIEF)
    play_cycle(talk, until="under")

    asked = [each for each in talk.heard["ph1"] if "Handle, cable: soap, water, " in each]

    assert "chlorine 0.1 % from M1 for 1 min" in asked[-1]
