"""S1, S5, S8: what turns out to have been over, or never active, and all that rested on it."""

from datetime import date, datetime, timedelta

import pytest

from flows.parts.clinic import Fitness, Kind, Level, Standing
from flows.parts.events import (
    CaseOpened,
    ContainerCondemned,
    ContainerDiscarded,
    CycleVoided,
    JugOpened,
    LifeShortened,
    Poured,
    ReleaseWithdrawn,
    StripBottleOpened,
)
from flows.protocols.model import Selection
from flows.rules.found_unfit import poured_inactive
from tests.kit.cycles import play_cycle, thread_of
from tests.kit.talk import NINE, Talk, clinic

GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")
EXPIRES = date(2027, 3, 31)
MONTH = NINE + timedelta(days=30)
WEEK = NINE + timedelta(days=7)
DAY = timedelta(days=1)


def poured_unasked() -> Talk:
    """As an older record has it: poured from a jug of which nobody has said it was activated."""
    talk = clinic(selection=GLUTARAL)
    talk.let(
        JugOpened("J1", "ga_30", "G1", EXPIRES, NINE, MONTH, "maker_expiry"),
        Poured("B1", Kind.BOTTLE, "J1", "ga_30", "G1", NINE, MONTH, "reuse_life", topped_up=False),
        Poured("T1", Kind.BATH, "B1", "ga_30", "G1", NINE, MONTH, "reuse_life", topped_up=False),
        StripBottleOpened("S1", "ga_strip_18", "K1", EXPIRES, NINE, MONTH, checked=True),
    )
    return talk


def dates(talk: Talk) -> dict[str, datetime]:
    return {each.tag: each.discard_by for each in talk.clinic.containers.values()}


def fitness(talk: Talk) -> dict[str, Fitness]:
    return {each.tag: each.fitness for each in talk.clinic.containers.values()}


# -- its day of activation ----------------------------------------------------------------------


def test_S5_what_was_poured_before_the_day_of_activation_was_told_ends_with_its_jug() -> None:
    """28 days once activated: FDA 510(k) K974062, 1998. Of 11 February they end on 10 March."""
    talk = poured_unasked()
    talk.sends("POUR J1", after=60)

    talk.sends("260211", after=60)

    assert set(dates(talk).values()) == {datetime(2026, 3, 10, 21, tzinfo=NINE.tzinfo)}
    assert [each.tag for each in talk.happened(LifeShortened)] == ["B1", "T1"]
    assert talk.happened(CaseOpened) == []
    assert talk.heard["ph2"] == [
        f"{tag}: its date was wrong and is earlier. Write on its label: good to the end of 10 Mar "
        "2026 (its life once activated). Strike the old date out."
        for tag in ("B1", "T1")
    ]


def test_S1_a_release_from_a_bath_that_was_over_by_then_does_not_stand() -> None:
    talk = poured_unasked()
    play_cycle(talk)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    talk.sends("POUR J1", after=60)

    talk.sends("260131", after=60)

    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY
    assert talk.clinic.devices["V1"].why == "found_unfit"
    assert "its disinfectant was no good" in talk.sends("CHECK V1", after=60)[-1]
    (case,) = talk.happened(CaseOpened)
    assert (case.cause, case.subject, len(case.cycles)) == ("found_unfit", "B1", 1)
    assert [each for each in talk.heard["ph2"] if each.startswith("DO NOT USE T1")]
    assert [each for each in talk.heard["ph9"] if "a look-back is open" in each]


def test_S8_what_was_poured_from_a_jug_that_nobody_can_vouch_for_is_condemned_with_it() -> None:
    talk = poured_unasked()
    play_cycle(talk)
    talk.let(ContainerDiscarded("B1"))
    talk.sends("POUR J1", after=60)

    talk.sends("UNSURE", after=60)

    assert fitness(talk) == {
        "J1": Fitness.CONDEMNED,
        "B1": Fitness.DISCARDED,
        "T1": Fitness.CONDEMNED,
    }
    assert talk.clinic.devices["V1"].why == "found_unfit"
    (case,) = talk.happened(CaseOpened)
    assert (case.cause, case.subject, case.since) == ("found_unfit", "J1", NINE)
    assert (
        "DO NOT USE T1: as has turned out, no good any more. Label it, throw it away, then text "
        "DISCARD and its tag."
    ) in talk.heard["ph2"]


def test_S8_a_jug_that_nothing_was_poured_from_is_condemned_alone() -> None:
    talk = clinic(selection=GLUTARAL)
    talk.let(JugOpened("J1", "ga_30", "G1", EXPIRES, NINE, MONTH, "maker_expiry"))

    talk.let(ContainerCondemned("J1", "activation_unknown"))

    assert "ph2" not in talk.heard
    assert talk.happened(CaseOpened) == []


def test_S1_what_was_poured_before_its_jug_was_active_falls_with_all_that_rests_on_it() -> None:
    talk = poured_unasked()
    play_cycle(talk)

    talk.let(ContainerCondemned("B1", "not_active"))

    assert fitness(talk) == {
        "J1": Fitness.GOOD,
        "B1": Fitness.CONDEMNED,
        "T1": Fitness.CONDEMNED,
    }
    assert talk.clinic.devices["V1"].why == "found_unfit"
    (case,) = talk.happened(CaseOpened)
    assert (case.cause, case.subject, case.since) == ("found_unfit", "B1", NINE)
    told = [each for each in talk.heard["ph2"] if each.startswith("DO NOT USE")]
    assert [each.partition(":")[0] for each in told] == ["DO NOT USE B1, T1"]


def test_S1_only_what_was_poured_from_it_before_its_activator_was_in_is_inactive() -> None:
    talk = poured_unasked()

    assert [each.tag for each in poured_inactive(talk.clinic, "J1", NINE + DAY)] == ["B1"]
    assert poured_inactive(talk.clinic, "J1", NINE) == ()


def test_S1_what_is_thrown_away_already_is_not_to_be_thrown_away_again() -> None:
    talk = poured_unasked()
    talk.let(ContainerDiscarded("B1"))
    talk.let(ContainerDiscarded("T1"))

    talk.let(ContainerCondemned("B1", "not_active"))

    assert fitness(talk) == {"J1": Fitness.GOOD, "B1": Fitness.DISCARDED, "T1": Fitness.DISCARDED}
    assert "ph2" not in talk.heard


# -- a date that was wrong ----------------------------------------------------------------------


def test_S5_a_date_only_moves_earlier() -> None:
    talk = clinic()
    before = talk.clinic.containers

    talk.let(LifeShortened("J1", MONTH, "maker_expiry"))

    assert talk.clinic.containers == before


def test_S5_what_was_poured_from_a_shortened_jug_ends_with_it() -> None:
    talk = clinic()

    talk.let(LifeShortened("J1", NINE + DAY, "maker_expiry"))

    assert set(dates(talk).values()) == {NINE + DAY}
    assert {each.because for each in talk.clinic.containers.values()} == {"maker_expiry"}


def test_S1_a_cycle_in_a_bath_whose_time_is_over_is_void_and_its_worker_told() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    talk.let(LifeShortened("T1", NINE, "reuse_life"))

    assert thread_of(talk, "V1") is None
    assert (
        "V1: what it was soaked, wiped or tested with was no good after all. This cleaning does "
        "not count. Take it out, do not use it. Begin again: CLEAN V1."
    ) in talk.heard["ph1"]


def test_S4_a_cycle_that_rests_on_strips_past_their_date_is_void() -> None:
    talk = clinic()
    play_cycle(talk)

    talk.let(LifeShortened("S1", NINE, "maker_expiry"))

    assert talk.clinic.strips["S1"].discard_by == NINE
    assert talk.clinic.devices["V1"].standing is Standing.NOT_READY


@pytest.mark.parametrize("since", [NINE + DAY, WEEK - DAY])
def test_S1_what_was_done_with_it_while_it_was_good_stands(since: datetime) -> None:
    talk = clinic()
    play_cycle(talk)

    talk.let(LifeShortened("J1", since, "maker_expiry"))

    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    assert talk.happened(CycleVoided) == []


def test_S18_what_is_void_already_falls_once() -> None:
    talk = clinic()
    play_cycle(talk)
    talk.let(LifeShortened("T1", NINE, "reuse_life"))

    talk.let(LifeShortened("S1", NINE, "maker_expiry"))

    assert len(talk.happened(CycleVoided)) == 1


def test_S5_of_what_is_gone_no_label_is_written_anew() -> None:
    talk = clinic()
    talk.let(ContainerDiscarded("B1"))

    talk.let(LifeShortened("B1", NINE + DAY, "reuse_life"))
    talk.let(LifeShortened("B7", NINE + DAY, "reuse_life"))

    assert talk.heard["ph2"] == [each for each in talk.heard["ph2"] if each.startswith("T1: ")]
    assert dates(talk)["T1"] == NINE + DAY


# -- a life that the site has made shorter ------------------------------------------------------


def test_S5_where_the_site_has_made_its_life_shorter_no_date_was_wrong() -> None:
    talk = clinic()

    talk.let(LifeShortened("J1", NINE + DAY, "jug_open_life", chosen=True))

    assert talk.heard["ph2"] == [
        f"{tag}: its life has been made shorter. Write on its label: good to "
        "12:00 on 3 Mar 2026 (the jug's open life). Strike the old date out."
        for tag in ("J1", "B1", "T1")
    ]
    assert all(each.chosen for each in talk.happened(LifeShortened))


def test_S5_what_is_over_by_it_is_said_to_be_over_by_that() -> None:
    talk = clinic()

    talk.let(LifeShortened("B1", NINE, "reuse_life", chosen=True))

    assert talk.heard["ph2"] == [
        f"DO NOT USE {tag} any more: its life has been made shorter, and it is over. Label "
        f"it, throw it away, then text DISCARD {tag}."
        for tag in ("B1", "T1")
    ]


def test_S5_whoever_has_a_probe_in_it_is_told_to_take_it_out() -> None:
    """What is soaked past the time of its bath counts for nothing."""
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.now += timedelta(minutes=1)

    talk.let(LifeShortened("T1", talk.now, "reuse_life", chosen=True))

    assert talk.heard["ph1"][-1] == (
        "T1 is over, with V1 in it: this soak does not count any more. Gloves on, take V1 out now "
        "and reply OUT."
    )
    assert thread_of(talk, "V1") is not None


def test_S18_wiped_with_it_and_soaking_in_what_was_poured_from_it_falls_once() -> None:
    """One cleaning rests on the bottle and on its bath: one void, one case, one text of it."""
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="soaking")

    talk.sends("TOPPED B1", phone="ph2", after=20)

    assert [each.device for each in talk.happened(CycleVoided)] == ["V1"]
    assert len(talk.happened(CaseOpened)) == 1
    told = [each for each in talk.heard["ph1"] if "This cleaning does not count" in each]
    assert len(told) == 1
    assert told[0].startswith("V1: what it was soaked, wiped or tested with was no good")
    assert len([each for each in talk.heard["ph9"] if "a look-back is open" in each]) == 1


def test_S4_what_was_released_on_it_is_named_to_every_phone() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk)

    talk.sends("TOPPED B1", phone="ph2", after=20)

    assert [each.device for each in talk.happened(ReleaseWithdrawn)] == ["V1"]
    for phone in ("ph1", "ph2", "ph9"):
        named = [each for each in talk.heard[phone] if each.startswith("NO LONGER READY: V1.")]
        assert len(named) == 1


def ends_in(minutes: int) -> Talk:
    """A probe soaks for 12 minutes, and the jug of its bath turns out to be good for so many."""
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="soaking")
    talk.let(LifeShortened("J1", talk.now + timedelta(minutes=minutes), "maker_expiry"))
    return talk


def test_S5_a_soak_that_its_bath_will_not_last_is_said_so_at_once() -> None:
    talk = ends_in(5)

    assert talk.heard["ph1"][-1] == (
        "T1 will be over before the soak of V1 is: it does not count. Gloves on, take V1 out now "
        "and reply OUT."
    )


def test_S5_one_that_it_lasts_goes_on() -> None:
    talk = ends_in(60)

    assert not [each for each in talk.heard["ph1"] if "take V1 out now" in each]


def test_S5_no_bell_calls_a_soak_complete_that_its_bath_did_not_last() -> None:
    talk = ends_in(5)

    talk.wait(minutes=16)

    assert not [each for each in talk.heard["ph1"] if "soak complete" in each]
    assert "V1: T1 ran out of date in this soak, so it does not count." in talk.last()
