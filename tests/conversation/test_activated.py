"""A product that has to be activated: asked for before it is poured, and its life runs from then.

Glutaraldehyde 3.0 %: 25 min at 25 C, 28 days. Source: FDA 510(k) K974062, 1998.
"""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from flows.calculations.check_code import labelled_tag
from flows.parts.clinic import Fitness, Kind, Level, Standing
from flows.parts.events import (
    ContainerCondemned,
    CycleVoided,
    Immersed,
    JugActivated,
    JugOpened,
    Poured,
    StepDone,
    StripRead,
    TakenOut,
)
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import NINE, Talk, clinic

GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")
MIDNIGHT = datetime(2026, 3, 1, 21, 0, tzinfo=UTC)
"""The first minute of 2 March in the site's time, three hours ahead."""


def bare(level: Level = Level.COACH) -> Talk:
    return clinic(level=level, selection=GLUTARAL)


def asked(level: Level = Level.COACH) -> Talk:
    """In the cycle, before anything is poured."""
    talk = bare(level)
    play_cycle(talk, until="activate")
    return talk


def activated(talk: Talk) -> JugActivated:
    (event,) = talk.happened(JugActivated)
    assert isinstance(event, JugActivated)
    return event


@pytest.mark.parametrize("level", list(Level))
def test_S1_a_whole_cycle_in_glutaraldehyde_by_its_published_figures(level: Level) -> None:
    """25 min at 25 C. Source: FDA 510(k) K974062, 1998."""
    talk = bare(level)

    heard = play_cycle(talk).heard

    (into,), (out,) = talk.happened(Immersed), talk.happened(TakenOut)
    assert heard[-1].startswith("V1 READY until ")
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    assert out.lasted >= timedelta(minutes=25)
    assert into.celsius >= 25


def test_S17_a_bath_that_is_warm_enough_for_others_is_too_cold_for_it() -> None:
    """At 25 C. Source: FDA 510(k) K974062, 1998."""
    talk = bare()
    play_cycle(talk, until="immerse")

    asks = talk.last()
    talk.sends("IN 24.9", after=20)

    assert asks.endswith("IN 26.5")
    assert step_of(talk) == "warm"


def test_its_strip_is_read_after_two_minutes_and_yellow_or_patchy_is_a_fail() -> None:
    """Dip 2 s, read at 120 s; yellow, or patchy, fails. Source: FDA 510(k) K172472, 2017."""
    talk = bare()
    play_cycle(talk, until="dip")
    dip = talk.last()
    play_cycle(talk, until="read")

    read = talk.last()
    talk.sends("2", after=121)

    assert "for 2 s" in dip
    assert "after 2 min by your watch. 1 all purple, 2 yellow or patchy" in read
    assert [event.outcome for event in talk.happened(StripRead)] == ["fail"]


# -- the question -------------------------------------------------------------------------------


def test_a_jug_that_needs_it_is_asked_for_its_activator_before_it_is_poured() -> None:
    talk = asked()

    assert talk.last() == (
        "Gloves, goggles, air. J1: all activator in, lid on, mix as labelled. Just done: "
        "ACTIVE. Before: date, like 260302. Unsure: UNSURE. Not now: LATER."
    )
    assert talk.happened(Poured) == []


def test_S5_until_then_only_the_printed_date_counts() -> None:
    talk = asked()

    (jug,) = talk.happened(JugOpened)

    assert jug.because == "maker_expiry"


def test_S5_activated_just_now_its_life_runs_from_then_and_the_label_says_so() -> None:
    """28 days once activated, its own day being the first. Source: FDA 510(k) K974062, 1998."""
    talk = asked()
    asked_at = talk.now

    talk.sends("active", after=90)

    event = activated(talk)
    jug = talk.clinic.containers["J1"]
    label = next(each for each in talk.heard["ph1"] if "activated" in each)
    assert (event.tag, event.activated, event.because) == ("J1", asked_at, "activated_life")
    assert event.discard_by == MIDNIGHT + timedelta(days=28)
    assert (jug.discard_by, jug.because) == (event.discard_by, "activated_life")
    assert label == (
        f"Write on it: {labelled_tag('J1')} glutaral 3.0 %, activated 2 Mar 2026, good to "
        "the end of 29 Mar 2026 (its life once activated). Name too, strike the old date."
    )


@pytest.mark.parametrize("body", ["260220", "20 feb 26", "20/02/26", "on 20-02-26"])
def test_S5_activated_before_it_counts_from_the_first_minute_of_that_day(body: str) -> None:
    talk = asked()

    talk.sends(body, after=20)

    event = activated(talk)
    assert event.activated == MIDNIGHT - timedelta(days=10)
    assert event.discard_by == MIDNIGHT + timedelta(days=18)


def test_S5_what_is_poured_from_it_inherits_that_date_and_its_reason() -> None:
    talk = asked()
    talk.sends("260220", after=20)

    play_cycle(talk)

    assert {(each.discard_by, each.because) for each in talk.happened(Poured)} == {
        (activated(talk).discard_by, "activated_life")
    }


def test_S5_activation_never_moves_a_date_later() -> None:
    """A printed date that comes first stays."""
    talk = bare()
    play_cycle(talk, until="jug")
    talk.sends("260310", after=20)
    talk.sends("L77", after=20)

    talk.sends("active", after=20)

    assert activated(talk).because == "maker_expiry"
    assert talk.clinic.containers["J1"].discard_by == MIDNIGHT + timedelta(days=9)


def test_S5_activated_too_long_ago_it_is_not_poured_and_another_is_asked_for() -> None:
    talk = asked()

    said, then = talk.sends("260101", after=20)

    assert said.startswith(
        "J1: activated so long ago, it was good to the end of 28 Jan 2026 only."
    )
    assert then.startswith("New jug of glutaral 3.0 %")
    assert talk.happened(Poured) == []


@pytest.mark.parametrize(
    ("body", "answer"),
    [
        ("260303", "That day is still to come. When was J1 activated?"),
        ("hm", "J1: activated just now: ACTIVE."),
        ("03/26", "Which day of it?"),
        ("260230", "That cannot be."),
        ("actvie", "Did you mean ACTIVE?"),
        ("mixed", "J1: activated just now: ACTIVE."),
    ],
)
def test_S5_what_is_no_day_of_the_past_is_asked_again(body: str, answer: str) -> None:
    talk = asked()

    said = talk.sends(body, after=20)

    assert said[-1].startswith(answer)
    assert talk.happened(JugActivated) == []
    assert step_of(talk) == "activate"


def test_S8_in_doubt_whether_it_is_active_it_is_not_used() -> None:
    talk = asked()

    said, then = talk.sends("unsure", after=20)

    assert said.startswith("Then J1 is not for use: no strip shows whether it is active.")
    assert then.startswith("New jug of glutaral 3.0 %")
    assert [event.because for event in talk.happened(ContainerCondemned)] == ["activation_unknown"]


def test_it_is_asked_once_for_each_jug() -> None:
    talk = asked()
    play_cycle(talk)

    talk.sends("POUR J1", after=20)

    assert talk.last().startswith("Pour J1 into an empty, washed, dry working bottle.")


def from_the_register(talk: Talk) -> None:
    """A jug that was there already: nobody has said whether it is active."""
    ends = MIDNIGHT + timedelta(days=20)
    opened = NINE - timedelta(days=8)
    talk.let(JugOpened("J1", "ga_30", "L1", date(2027, 3, 31), opened, ends, "activated_life"))


def test_S5_a_jug_from_the_register_is_asked_about_too_and_keeps_its_earlier_date() -> None:
    talk = bare()
    from_the_register(talk)

    first = talk.sends("POUR J1", after=20)
    talk.sends("active", after=20)

    assert first[-1].startswith("Gloves, goggles, air. J1: all activator in")
    assert talk.last().startswith("Pour J1 into an empty")
    assert talk.clinic.containers["J1"].discard_by == MIDNIGHT + timedelta(days=20)


@pytest.mark.parametrize("elsewhere", ["DISCARD J1", "active"])
def test_what_another_phone_has_done_with_the_jug_meanwhile_stands(elsewhere: str) -> None:
    talk = bare()
    from_the_register(talk)
    talk.sends("POUR J1", after=20)
    if elsewhere == "active":
        talk.sends("POUR J1", phone="ph2", after=20)
    talk.sends(elsewhere, phone="ph2", after=20)
    known = len(talk.happened(JugActivated))

    then = talk.sends("active", after=20)

    assert len(talk.happened(JugActivated)) == known
    assert then[-1].startswith(
        "New jug of glutaral" if elsewhere != "active" else "Pour J1 into an empty"
    )


def test_what_needs_no_activation_is_not_asked_for_it() -> None:
    talk = clinic(stocked=False)

    play_cycle(talk)

    assert talk.happened(JugActivated) == []
    assert talk.clinic.containers["J1"].kind is Kind.JUG
    assert talk.clinic.containers["J1"].fitness is Fitness.GOOD
    assert talk.happened(Immersed)[0].celsius == Decimal(23)


def both_asked() -> Talk:
    """Two people are asked when J1 was activated, and the first has said: just now."""
    talk = clinic(stocked=False, selection=GLUTARAL)
    ends = talk.now + timedelta(days=300)
    talk.let(JugOpened("J1", "ga_30", "L1", date(2027, 3, 31), talk.now, ends, "maker_expiry"))
    for phone in ("ph1", "ph2"):
        talk.sends("POUR J1", phone=phone)
    talk.sends("ACTIVE", after=60)
    talk.sends("FILLED", after=60)
    return talk


def test_S5_of_two_answers_the_earlier_day_counts_for_what_was_poured_too() -> None:
    talk = both_asked()
    before = talk.clinic.containers

    talk.sends("260225", phone="ph2", after=20)

    after = talk.clinic.containers
    assert after["J1"].activated_at != before["J1"].activated_at
    assert after["J1"].discard_by < before["J1"].discard_by
    assert after["B1"].discard_by == after["J1"].discard_by


@pytest.mark.parametrize("said", ["ACTIVE", "260302"])
def test_S5_a_second_answer_that_is_no_earlier_moves_nothing(said: str) -> None:
    talk = both_asked()
    talk.let(JugActivated("J1", talk.now - timedelta(days=2), talk.now + timedelta(days=9), "x"))
    before = talk.clinic.containers["J1"]

    talk.sends(said, phone="ph2", after=20)

    assert talk.clinic.containers["J1"] == before


def test_S8_of_two_answers_the_doubt_counts() -> None:
    talk = both_asked()

    talk.sends("UNSURE", phone="ph2", after=20)

    assert {each.fitness for each in talk.clinic.containers.values()} == {Fitness.CONDEMNED}


def test_S1_what_was_wiped_from_the_jug_itself_past_the_earlier_day_falls() -> None:
    """ph1 said that it was active just now; ph2 tells a day since when it has been over."""
    talk = clinic(stocked=False, selection=GLUTARAL)
    ends = talk.now + timedelta(days=300)
    for tag in ("J1", "J2"):
        talk.let(JugOpened(tag, "ga_30", tag, date(2027, 3, 31), talk.now, ends, "maker_expiry"))
    for phone in ("ph1", "ph2"):
        talk.sends("POUR J1", phone=phone)
    talk.sends("ACTIVE", after=60)
    talk.sends("LATER", after=20)
    play_cycle(talk, until="wipe_rinse")
    wiped = [each.container for each in talk.happened(StepDone) if each.container]

    talk.sends("260115", phone="ph2", after=20)

    assert wiped == ["J1"]
    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]
    assert any("was no good when it was used" in each for each in talk.heard["ph9"])


# -- its day in another order ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "usual", "other"),
    [
        ("020326", "2002-03-26", "2026-03-02"),
        ("010326", "2001-03-26", "2026-03-01"),
        ("280226", "2028-02-26", "2026-02-28"),
        ("26/03/01", "2001-03-26", "2026-03-01"),
    ],
)
def test_S5_a_day_that_may_be_one_of_the_last_weeks_is_asked_back(
    said: str, usual: str, other: str
) -> None:
    """Read one way alone, a good jug and all on it would be over for ever."""
    talk = asked()

    (text,) = talk.sends(said, after=20)
    talk.sends(other, after=20)

    assert text == (
        f"Is that {usual} or {other} (year-month-day)? Please reply with the right one, written "
        "like that."
    )
    assert f"{activated(talk).activated + timedelta(hours=3):%Y-%m-%d}" == other


@pytest.mark.parametrize("said", ["2002-03-26", "260205"])
def test_S5_a_day_that_is_none_of_the_last_weeks_either_way_is_taken_as_read(said: str) -> None:
    talk = asked()

    heard = talk.sends(said, after=20)

    assert "year-month-day" not in heard[0]
    assert len(talk.happened(JugActivated)) == 1


def test_activated_is_taken_as_the_question_says_it() -> None:
    talk = clinic(stocked=False, selection=GLUTARAL)
    play_cycle(talk, until="activate")

    talk.sends("activated", after=60)

    assert len(talk.happened(JugActivated)) == 1
