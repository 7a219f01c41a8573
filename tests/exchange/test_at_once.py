"""Two at the same thing at the same moment: one outcome, a whole chain, and rows that agree."""

import os
import signal
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from functools import partial
from pathlib import Path
from threading import Barrier, Event, Thread

import pytest
from sqlalchemy import Connection
from sqlalchemy.event import listen

from bot.channels.web_phone import WebPhone
from bot.clock import HandClock
from bot.exchange.doors import LEASE, Handled
from bot.protocols import Today, today
from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.store.engine import open_store
from bot.store.errors import StoreBusy
from bot.store.transaction import Store
from flows.parts.clinic import Clinic, Standing
from flows.parts.events import (
    BellRang,
    BellSet,
    ClockStepped,
    CycleBegan,
    CycleVoided,
    Immersed,
    Released,
    SiteOpened,
    SoakBroken,
    Stamped,
    TakenOut,
)
from tests.exchange.test_bells import soaking
from tests.exchange.test_whole_cycle import answer_to
from tests.kit.shell import ANN, ELLA, MINUTE, NINE, SITE, Shell, bare_shell, shell

ENOUGH_S = 60


def immersed(store: Store) -> tuple[Shell, Stamped]:
    """A clinic with a probe in bath T1 whose time is up, and nobody has looked."""
    clinic = shell(store)
    clinic.sends(ANN, "CLEAN V1")
    while not (found := clinic.entries(Immersed)):
        answer = answer_to(clinic.heard(ANN)[-1])
        clinic.clock.advance(MINUTE if answer != "1" else timedelta(seconds=92))
        clinic.exchange.ring_due()
        answer = answer_to(clinic.heard(ANN)[-1])
        if answer:
            clinic.sends(ANN, answer)
    return clinic, found[0]


@contextmanager
def beside(
    clinic: Shell, database: str, clock: HandClock | None = None, **parts: object
) -> Iterator[Shell]:
    """The same bot in another process, as far as the database can tell."""
    store = open_store(database)
    yield bare_shell(store, clock or clinic.clock, clinic.phones, **parts)
    store.close()


def one_inside_when_the_other_comes(
    clinic: Shell, database: str, first: Callable[[Shell], object], then: Callable[[Shell], object]
) -> None:
    """*first* has the site in its hands, and *then* wants it; each has connections of its own."""
    is_inside, goes_on = Event(), Event()

    def holds(of: Clinic) -> Today:
        is_inside.set()
        assert goes_on.wait(ENOUGH_S)
        return today(of)

    with beside(clinic, database, protocols=holds) as one, beside(clinic, database) as other:
        holding, coming = Thread(target=first, args=(one,)), Thread(target=then, args=(other,))
        holding.start()
        assert is_inside.wait(ENOUGH_S)
        coming.start()
        # It cannot get in; whether it is at the door already does not matter.
        coming.join(0.05)
        assert coming.is_alive()
        goes_on.set()
        for thread in (holding, coming):
            thread.join(ENOUGH_S)
            assert not thread.is_alive()


def rings(clinic: Shell) -> None:
    clinic.exchange.ring_due()


def says(number: str, body: str, sid: str) -> Callable[[Shell], object]:
    return lambda clinic: clinic.sends(number, body, sid=sid)


def is_whole(store: Store) -> bool:
    with store.read() as connection:
        return verify(connection, SITE) == [] and rebuild(store, SITE) == []


@pytest.mark.parametrize("first", ["bell", "text"])
def test_S2_a_text_and_its_own_bell_have_one_outcome_whichever_is_first(
    store: Store, database: str, first: str
) -> None:
    """With the bell it ends the soak; before it the number was guessed, and breaks it (S3)."""
    clinic, soak = immersed(store)
    clinic.clock.set(soak.event.due)  # type: ignore[attr-defined]
    out = says(ANN, f"OUT {soak.event.number} 21.5", "SM-out")  # type: ignore[attr-defined]
    acts = (rings, out) if first == "bell" else (out, rings)

    one_inside_when_the_other_comes(clinic, database, *acts)

    heard = clinic.heard(ANN)
    rang = [each for each in clinic.entries(BellRang) if each.event.kind == "contact"]  # type: ignore[attr-defined]
    ended = [type(each.event) for each in clinic.entries(TakenOut, SoakBroken)]
    assert (len(rang), ended) == ((1, [TakenOut]) if first == "bell" else (0, [SoakBroken]))
    assert clinic.exchange.ring_due() == 0
    assert clinic.heard(ANN) == heard
    assert is_whole(store)


@pytest.mark.parametrize("first", ["fail", "out"])
def test_S4_a_strip_that_fails_while_another_takes_his_probe_out_of_that_bath_voids_the_soak(
    store: Store, database: str, first: str
) -> None:
    clinic, soak = immersed(store)
    clinic.sends(ELLA, "TEST T1")
    clinic.clock.advance(timedelta(seconds=20))
    clinic.sends(ELLA, "DIP T1")
    clinic.clock.set(soak.event.due)  # type: ignore[attr-defined]
    clinic.exchange.ring_due()
    fail = says(ELLA, "2", "SM-fail")
    out = says(ANN, f"OUT {soak.event.number} 21.5", "SM-out")  # type: ignore[attr-defined]
    acts = (fail, out) if first == "fail" else (out, fail)

    one_inside_when_the_other_comes(clinic, database, *acts)

    assert len(clinic.entries(CycleVoided)) == 1
    assert len(clinic.entries(TakenOut)) == (0 if first == "fail" else 1)
    assert clinic.entries(Released) == []
    assert clinic.clinic.devices["V1"].standing is Standing.NOT_READY
    assert is_whole(store)


def test_two_who_begin_with_one_device_at_once_are_not_both_led_on(
    store: Store, database: str
) -> None:
    clinic = shell(store)
    acts = says(ANN, "CLEAN V1", "SM-ann"), says(ELLA, "CLEAN V1", "SM-ella")

    one_inside_when_the_other_comes(clinic, database, *acts)

    (began,) = clinic.entries(CycleBegan)
    assert began.phone == "f1"
    assert len(clinic.heard(ELLA)) == 1
    assert is_whole(store)


def test_S10_a_text_that_is_brought_eight_times_at_once_counts_once(store: Store) -> None:
    clinic = shell(store)
    text = clinic.text(ANN, "CLEAN V1")
    at_once, handled = Barrier(8), []

    def brings() -> None:
        at_once.wait()
        handled.append(clinic.exchange.text(text))

    threads = [Thread(target=brings) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(ENOUGH_S)

    assert Counter(handled) == {Handled.DONE: 1, Handled.SEEN: 7}
    assert len(clinic.entries(CycleBegan)) == 1
    assert is_whole(store)


def test_two_workers_at_one_bell_ring_it_once(store: Store, database: str) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE)

    with beside(clinic, database) as one, beside(clinic, database) as other:
        threads = [Thread(target=rings, args=(each,)) for each in (one, other, one, other)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(ENOUGH_S)

    assert len(clinic.entries(BellRang)) == 1
    assert is_whole(store)


def test_a_lease_that_ends_while_the_first_is_still_at_it_makes_no_second_ring(
    store: Store, database: str
) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE)
    before = len(clinic.heard(ANN))

    def rings_after_the_lease(other: Shell) -> None:
        clinic.clock.advance(LEASE)
        other.exchange.ring_due()

    one_inside_when_the_other_comes(clinic, database, rings, rings_after_the_lease)

    assert len(clinic.entries(BellRang)) == 1
    assert len(clinic.heard(ANN)) == before + 1
    assert is_whole(store)


def test_S2_a_jump_of_the_clock_that_two_processes_see_moves_a_soak_once(
    store: Store, database: str
) -> None:
    clinic = soaking(store)
    with (
        beside(clinic, database, HandClock(NINE)) as other,
        beside(clinic, database, HandClock(NINE)) as seldom,
    ):
        for looking in ((clinic, other), (clinic, other, seldom)):
            for each in (clinic, other, seldom):
                each.clock.advance(timedelta(seconds=20))
                each.clock.jump(20 * MINUTE)
            for each in looking:
                each.exchange.ring_due()

    steps = [each.event.step for each in clinic.entries(ClockStepped)]  # type: ignore[attr-defined]
    soak = next(iter(clinic.clinic.cycles.values())).detergent
    assert steps == [20 * MINUTE] * 2  # one who looks seldom saw both at once
    assert soak is not None
    assert soak.due == NINE + 45 * MINUTE
    assert is_whole(store)


def dies(_: Clinic) -> Today:
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError


def killed_while_ringing(database: str, at: str) -> None:
    """The other process: has claimed what is due at that minute, and is in the middle of it."""
    clock = HandClock(NINE + int(at) * MINUTE)
    bare_shell(open_store(database), clock, WebPhone(), protocols=dies).exchange.ring_due()


def test_a_worker_killed_while_ringing_delays_the_bell_by_its_lease(
    store: Store, database: str
) -> None:
    clinic = soaking(store)
    clinic.clock.set(NINE + 5 * MINUTE)
    code = "import sys; from tests.exchange.test_at_once import killed_while_ringing as run; "
    ran = partial(subprocess.run, cwd=Path(__file__).parents[2], check=False, timeout=ENOUGH_S)

    done = ran([sys.executable, "-c", f"{code} run(*sys.argv[1:])", database, "5"])
    at_once = clinic.exchange.ring_due()
    clinic.clock.advance(LEASE)
    after = clinic.exchange.ring_due()

    (rang,) = clinic.entries(BellRang)
    assert done.returncode == -signal.SIGKILL
    assert (at_once, after) == (0, 1)
    assert rang.event.late == LEASE  # type: ignore[attr-defined]
    assert is_whole(store)


@pytest.mark.parametrize("database", ["postgresql"], indirect=True)
def test_a_site_that_somebody_holds_keeps_no_other_site_s_bells_waiting(
    store: Store, database: str
) -> None:
    clinic = shell(store)
    clinic.exchange.set_up("vale", (SiteOpened("vale", "Etc/UTC", "17:00", "en"),))
    clinic.exchange.facts(SITE, [BellSet(f"h{n}", "strip", NINE - MINUTE) for n in range(2)])
    clinic.exchange.facts("vale", [BellSet("v", "strip", NINE)])
    frozen = open_store(database)

    def soon(connection: Connection) -> None:
        connection.exec_driver_sql("SET lock_timeout = '20ms'")

    listen(store.writing, "begin", soon)
    with frozen.exchange(SITE), pytest.raises(StoreBusy, match="Site hill"):
        clinic.exchange.ring_due()
    frozen.close()

    assert clinic.rows("SELECT site, id FROM bell WHERE attempts > 0 ORDER BY id") == [
        (SITE, "h0"),
        (SITE, "h1"),
    ]
    assert clinic.rows("SELECT kind FROM entry WHERE site = 'vale' ORDER BY seq")[-1] == (
        "BellRang",
    )
