"""S5 at the desk: what is entered of a lot that stands here, or of none, may be that very one."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from bot.registers.add import NotSetUp, Standing
from bot.registers.set_up import SetUp
from flows.parts.clinic import Clinic
from flows.parts.events import (
    ContainerCondemned,
    ContainerDiscarded,
    ContainerHeld,
    Event,
    JugActivated,
    JugOpened,
    LifeShortened,
    Stamped,
    StripBottleOpened,
)
from flows.parts.state import fold_all
from tests.kit.sheets import JUG, MOMENT, NINE, STRIPS, added, row

FIRST = {"J": JUG, "S": STRIPS | {"lot": "L7"}}
END_OF_20_MARCH = datetime(2026, 3, 20, 21, tzinfo=UTC)
"""The site is three hours ahead of UTC."""
LETTERS = pytest.mark.parametrize("letter", ["J", "S"])
LOTS = pytest.mark.parametrize("lots", [("L7", "LOT7"), ("L7", ""), ("", "L7"), ("", "")])
"""Written however, or not noted of either."""


def entered(letter: str, *lots: str) -> tuple[dict[str, str], ...]:
    """As many of a kind as there are lots, each opened two days after the one before it."""
    return tuple(
        FIRST[letter] | {"tag": f"{letter}{at}", "lot": lot, "since": f"2026-02-{22 + 2 * at}"}
        for at, lot in enumerate(lots, start=1)
    )


def opened(made: SetUp) -> list[JugOpened | StripBottleOpened]:
    return [each for each in made.events if isinstance(each, JugOpened | StripBottleOpened)]


def after(letter: str, lot: str, *events: Event) -> Standing:
    """A site where the first stands, and what has become of it."""
    made = added(containers=(row(**entered(letter, lot)[0]),))
    stamped = [Stamped(each, NINE) for each in (*made.events, *events)]
    return Standing(fold_all(Clinic(), stamped))


@LETTERS
@LOTS
def test_S5_entered_again_it_has_no_later_date(letter: str, lots: tuple[str, str]) -> None:
    first, second = opened(added(containers=tuple(row(**each) for each in entered(letter, *lots))))

    assert (second.discard_by, second.because) == (first.discard_by, first.because)


@LETTERS
def test_S5_of_another_lot_it_has_its_own(letter: str) -> None:
    rows = tuple(row(**each) for each in entered(letter, "L7", "L8"))

    first, second = opened(added(containers=rows))

    assert second.discard_by > first.discard_by


@LETTERS
@LOTS
def test_S5_what_may_be_one_that_is_out_of_use_is_not_entered(
    letter: str, lots: tuple[str, str]
) -> None:
    """By a figure that was wrong."""
    tag, (_, again) = f"{letter}1", entered(letter, *lots)
    stands = after(letter, lots[0], ContainerCondemned(tag, "figure_recalled"))

    with pytest.raises(NotSetUp) as refused:
        added(stands, containers=(row(**again),))

    (problem,) = refused.value.problems
    assert problem.key == "lot"
    assert problem.reason == (
        f"may be that of {tag}, which is out of use; if {tag} is thrown away, text DISCARD {tag} "
        "first"
    )


@LETTERS
def test_S5_once_that_one_is_thrown_away_it_is_entered_with_its_own_date(letter: str) -> None:
    first, again = entered(letter, "L7", "L7")
    stands = after(letter, "L7", ContainerDiscarded(first["tag"]))

    (one,) = opened(added(stands, containers=(row(**again),)))

    assert one.discard_by == opened(added(containers=(row(**again),)))[0].discard_by


@LETTERS
def test_S5_nor_what_may_be_one_that_is_over(letter: str) -> None:
    stands = after(letter, "L7")
    over = replace(
        {**stands.clinic.containers, **stands.clinic.strips}[f"{letter}1"],
        discard_by=MOMENT.now,
    )
    room = "containers" if letter == "J" else "strips"
    stands = Standing(replace(stands.clinic, **{room: {over.tag: over}}))

    with pytest.raises(NotSetUp, match=f"lot may be that of {letter}1, which is out of use"):
        added(stands, containers=(row(**entered(letter, "L7", "L7")[1]),))


@LOTS
def test_S4_a_jug_that_may_be_one_that_failed_is_held_for_a_strip(lots: tuple[str, str]) -> None:
    stands = after("J", lots[0], ContainerCondemned("J1", "strip_failed"))

    made = added(stands, containers=(row(**entered("J", *lots)[1]),))

    assert made.events[-1] == ContainerHeld("J2", "kin_failed")


@LETTERS
def test_S5_of_one_lot_the_earlier_expiry_counts_though_another_limit_ends_the_later_one(
    letter: str,
) -> None:
    """A lot has one expiry; the second was opened so long ago that its open life is over first."""
    first, again = entered(letter, "L7", "L7")
    opened_long_ago = again | {"since": "2025-12-20", "expires": "2026-03-20"}

    made = added(containers=(row(**first), row(**opened_long_ago)))

    second = opened(made)[-1]
    (shortened,) = [each for each in made.events if isinstance(each, LifeShortened)]
    assert second.because != "maker_expiry"
    assert second.discard_by < shortened.discard_by
    assert shortened == LifeShortened(f"{letter}1", END_OF_20_MARCH, "maker_expiry")
    assert made.remarks[-1] == (
        f"{letter}1 is of the same lot, and a lot has one expiry: it is good to the end of "
        "2026-03-20 now, no later. The phones are told what to write on its label."
    )


@pytest.mark.parametrize("lots", [("G1", "G1"), ("G1", ""), ("", "G1")])
def test_S5_of_two_days_of_activation_the_earlier_counts_though_it_is_entered_last(
    lots: tuple[str, str],
) -> None:
    """28 days once activated: FDA 510(k) K974062, 1998. Of 20 February the 28th is 19 March."""
    jug = JUG | {"product": "ga_30", "since": "2026-02-20"}
    first, then = (
        row(**jug | {"tag": f"J{at}", "lot": lot, "activated": f"2026-02-{day}"})
        for at, lot, day in zip((1, 2), lots, (25, 20), strict=True)
    )

    made = added(containers=(first, then))

    events = [each for each in made.events if isinstance(each, JugActivated | LifeShortened)]
    end_of_19_march = END_OF_20_MARCH - timedelta(days=1)
    assert events[1] == LifeShortened("J1", end_of_19_march, "activated_life")
    assert (events[2].tag, events[2].discard_by) == ("J2", end_of_19_march)
    assert made.remarks[-1] == (
        "J1 may be J2, no lot tells them apart: the earlier day of activation counts, and J1 is "
        "good no later than J2 now. The phones are told what to write on its label."
    )
