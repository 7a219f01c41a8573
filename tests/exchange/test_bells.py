"""A bell rings once, as late as it is, and nothing rings for ever."""

from datetime import timedelta

import pytest

from bot.exchange import Handled
from bot.exchange.doors import LEASE
from bot.store.transaction import Store
from bot.timers import claim
from flows.parts.decision import Outcome
from flows.parts.events import (
    AlertRaised,
    BellRang,
    BellSet,
    ClockStepped,
    CycleBegan,
    DetergentSoakBegan,
    Nudged,
)
from tests.kit.shell import ANN, NINE, SITE, Shell, shell, statements

MINUTE = timedelta(minutes=1)
DAY = timedelta(days=1)


def soaking(store: Store) -> Shell:
    """A clinic with a probe in its detergent since nine, due at five past."""
    clinic = shell(store)
    clinic.sends(ANN, "clean v1")
    (began,) = clinic.entries(CycleBegan)
    cycle = began.event.cycle  # type: ignore[attr-defined]
    clinic.exchange.facts(SITE, (DetergentSoakBegan(cycle, "V1", NINE + 5 * MINUTE, 71),))
    return clinic


@pytest.mark.parametrize("late", [timedelta(0), timedelta(seconds=1), timedelta(minutes=4)])
def test_S11_a_bell_is_recorded_with_how_late_it_is(store: Store, late: timedelta) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE + late)

    rung = clinic.exchange.ring_due()

    (rang,) = clinic.entries(BellRang)
    assert rung == 1
    assert rang.event.late == late  # type: ignore[attr-defined]
    assert (rang.at, rang.person, rang.phone) == (clinic.clock.now(), None, None)


def test_no_bell_rings_before_its_time(store: Store) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE - timedelta(seconds=1))

    assert clinic.exchange.ring_due() == 0
    assert clinic.entries(BellRang) == []


def test_a_bell_rings_once(store: Store) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE)

    rung = [clinic.exchange.ring_due() for _ in range(3)]

    assert rung == [1, 0, 0]
    assert len(clinic.entries(BellRang)) == 1


def test_a_claim_that_somebody_else_has_taken_over_rings_nothing(store: Store) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE)
    (old,) = claim(store, clinic.clock.now(), 1, LEASE)
    clinic.clock.advance(LEASE)
    (new,) = claim(store, clinic.clock.now(), 1, LEASE)

    done = [clinic.exchange.bell(old), clinic.exchange.bell(new), clinic.exchange.bell(new)]

    assert done == [Handled.GONE, Handled.DONE, Handled.GONE]
    assert len(clinic.entries(BellRang)) == 1


def test_a_bell_that_was_moved_meanwhile_does_not_ring(store: Store) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE)
    (claimed,) = claim(store, clinic.clock.now(), 1, LEASE)
    moved = BellSet(claimed.bell, "detergent", NINE + 9 * MINUTE, cycle="c")
    clinic.exchange.facts(SITE, (moved,))

    assert clinic.exchange.bell(claimed) is Handled.GONE


def test_a_bell_whose_claimer_died_rings_after_the_lease(store: Store) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE)
    claim(store, clinic.clock.now(), 1, LEASE)

    at_once = clinic.exchange.ring_due()
    clinic.clock.advance(LEASE)
    after = clinic.exchange.ring_due()

    assert (at_once, after) == (0, 1)


def test_a_bell_that_the_flows_leave_as_it_was_is_poison_and_texts_nobody_for_ever(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE)
    monkeypatch.setattr("bot.exchange.path.answer", lambda *_: Outcome())

    rung = [clinic.exchange.ring_due() for _ in range(2)]

    (alert,) = clinic.entries(AlertRaised)
    assert rung == [1, 0]
    assert alert.event.cause == "bell_failed"  # type: ignore[attr-defined]


def test_many_bells_ring_in_the_order_in_which_they_are_due(store: Store) -> None:
    clinic = shell(store)
    bells = [BellSet(f"b{n}", "strip", NINE - n * MINUTE) for n in range(25)]
    clinic.exchange.facts(SITE, bells)

    clinic.exchange.ring_due()

    rang = [each.event.bell for each in clinic.entries(BellRang)]  # type: ignore[attr-defined]
    assert rang == [f"b{n}" for n in reversed(range(25))]


def test_nobody_answers_and_is_asked_again(store: Store) -> None:
    clinic = shell(store)
    clinic.sends(ANN, "clean v1")

    clinic.wait(11 * MINUTE)

    assert len(clinic.entries(Nudged)) == 1
    assert len(clinic.heard(ANN)) == 2


def test_a_bell_takes_at_most_fourteen_statements(store: Store) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE)
    (claimed,) = claim(store, clinic.clock.now(), 1, LEASE)

    with statements(store) as sent:
        clinic.exchange.bell(claimed)

    assert sent[0].startswith("SELECT site.seq")
    assert len(sent) <= 14


# -- the clock ----------------------------------------------------------------------------------


def test_S2_a_jump_of_the_clock_is_told_before_anything_else_is_heard(store: Store) -> None:
    clinic = soaking(store)

    clinic.clock.jump(20 * MINUTE)
    clinic.sends(ANN, "menu")

    (stepped,) = clinic.entries(ClockStepped)
    soak = next(iter(clinic.clinic.cycles.values())).detergent
    assert stepped.event == ClockStepped(20 * MINUTE)
    assert soak is not None
    assert soak.due == NINE + 25 * MINUTE


def test_S2_a_bell_does_not_ring_because_the_clock_was_put_forward(store: Store) -> None:
    clinic = soaking(store)

    clinic.clock.jump(8 * MINUTE)
    at_once = clinic.exchange.ring_due()
    clinic.clock.advance(5 * MINUTE - timedelta(seconds=1))
    clinic.exchange.ring_due()
    too_early = clinic.entries(BellRang)
    clinic.clock.advance(timedelta(seconds=1))
    clinic.exchange.ring_due()

    assert at_once == 0
    assert too_early == []
    assert len(clinic.entries(BellRang)) == 1


def test_S2_a_clock_put_back_is_told_and_brings_no_bell_forward(store: Store) -> None:
    clinic = soaking(store)

    clinic.clock.jump(-20 * MINUTE)
    clinic.exchange.ring_due()

    (stepped,) = clinic.entries(ClockStepped)
    assert stepped.event == ClockStepped(-20 * MINUTE)
    soak = next(iter(clinic.clinic.cycles.values())).detergent
    assert soak is not None
    assert (soak.began, soak.due) == (NINE - 20 * MINUTE, NINE - 15 * MINUTE)


def test_S5_a_clock_put_back_is_told_to_a_site_where_nothing_soaks_too(store: Store) -> None:
    """Its dates would be good for so much longer."""
    clinic = shell(store)
    before = clinic.clinic.containers["J1"].discard_by
    clinic.exchange.ring_due()

    clinic.clock.jump(-2 * DAY)
    clinic.exchange.ring_due()

    assert [each.event for each in clinic.entries(ClockStepped)] == [ClockStepped(-2 * DAY)]
    assert clinic.clinic.containers["J1"].discard_by == before - 2 * DAY


def test_S5_a_clock_put_back_while_nothing_ran_is_told_as_it_starts(store: Store) -> None:
    """The record's last entry is of a time to come; once told, it is not told again."""
    clinic = shell(store)
    clinic.clock.set(NINE - 2 * DAY)

    clinic.exchange.ring_due()
    clinic.without().exchange.ring_due()

    assert [each.event for each in clinic.entries(ClockStepped)] == [ClockStepped(-2 * DAY)]


def test_a_site_where_nothing_soaks_is_not_told_of_a_jump(store: Store) -> None:
    clinic = shell(store)
    clinic.sends(ANN, "clean v1")

    clinic.clock.jump(20 * MINUTE)
    clinic.sends(ANN, "menu")

    assert clinic.entries(ClockStepped) == []


def test_a_jump_that_could_not_be_told_is_told_at_the_next_look(store: Store) -> None:
    broken = [True]

    def token() -> str:
        if broken[0]:
            raise OSError
        return "token"

    clinic = soaking(store).without(token=token)
    clinic.clock.jump(20 * MINUTE)
    with pytest.raises(OSError):  # noqa: PT011 - it has no words
        clinic.exchange.ring_due()

    broken[0] = False
    clinic.exchange.ring_due()

    assert [each.event for each in clinic.entries(ClockStepped)] == [ClockStepped(20 * MINUTE)]
