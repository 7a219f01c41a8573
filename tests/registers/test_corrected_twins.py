"""S5: what a corrected label says counts for all of its lot, and for what may be that very one."""

from datetime import date

import pytest

from bot.store.transaction import Store
from flows.parts.clinic import Kind
from flows.parts.events import ContainerDiscarded, JugActivated, JugOpened, Poured
from tests.kit.shell import ELLA, NINE, SITE, WEEK, shell
from tests.registers.test_corrected import (
    EXPIRES,
    MONTH,
    corrects,
    dates,
    midnight_after,
    of_lot,
    strips_of_lot,
)


def test_S5_a_corrected_expiry_counts_for_all_of_its_lot(store: Store) -> None:
    """A lot has one expiry. The lot is the same however it is written."""
    bot = shell(store)
    poured = Poured("B2", Kind.BOTTLE, "J2", "opa_055", "LOT 1", NINE, MONTH, "", topped_up=False)
    bot.exchange.facts(SITE, (of_lot("J2", "LOT 1", EXPIRES), poured, of_lot("J3", "L2", EXPIRES)))

    said = corrects(bot, "JugOpened", "expires", "2026-03-06")

    ends = dates(bot)
    assert {ends[each] for each in ("J1", "B1", "T1", "J2", "B2")} == {midnight_after(6)}
    assert ends["J3"] == MONTH
    assert said[-1] == (
        "J2, B2: good to the end of 2026-03-06 now, no later: a lot has one expiry. The phones of "
        "the site are told."
    )


def test_S5_so_it_does_when_what_it_was_read_off_is_gone(store: Store) -> None:
    bot = shell(store)
    bot.exchange.facts(SITE, (of_lot("J2", "L2", EXPIRES), of_lot("J3", "L2", EXPIRES)))
    bot.exchange.facts(SITE, (ContainerDiscarded("J2"),))

    (said,) = corrects(bot, "JugOpened", "expires", "2026-03-06", nth=1)

    assert dates(bot)["J3"] == midnight_after(6)
    assert said.startswith("J3: good to the end of 2026-03-06 now, no later: a lot has one")


@pytest.mark.parametrize("kind", ["JugOpened", "StripBottleOpened"])
def test_S5_a_corrected_lot_has_the_earlier_expiry_of_all_that_is_of_it(
    store: Store, kind: str
) -> None:
    opens = of_lot if kind == "JugOpened" else strips_of_lot
    tag = "J2" if kind == "JugOpened" else "S2"
    bot = shell(store)
    bot.exchange.facts(SITE, (opens(tag, "L56", date(2026, 3, 5)),))
    first = {"JugOpened": "J1", "StripBottleOpened": "S1"}[kind]

    said = corrects(bot, kind, "lot", "L56")

    assert dates(bot)[first] == midnight_after(5)
    assert said[0].startswith(first)
    assert "2026-03-05 now, no later: a lot has one expiry." in said[0]


def test_S5_nor_does_what_is_of_that_lot_outlive_what_was_read_off_this_one(store: Store) -> None:
    bot = shell(store)
    bot.exchange.facts(SITE, (of_lot("J2", "L56", EXPIRES), of_lot("J3", "L5", date(2026, 3, 5))))

    corrects(bot, "JugOpened", "lot", "L56", nth=2)

    assert dates(bot)["J2"] == midnight_after(5)


# -- what may be that very one --------------------------------------------------------------------

ONE_HAS_NO_LOT = pytest.mark.parametrize("lots", [("L5", ""), ("", "L5"), ("", "")])


@pytest.mark.parametrize("kind", ["JugOpened", "StripBottleOpened"])
@ONE_HAS_NO_LOT
def test_S5_a_corrected_expiry_counts_for_what_no_lot_tells_from_it(
    store: Store, kind: str, lots: tuple[str, str]
) -> None:
    opens, letter = (of_lot, "J") if kind == "JugOpened" else (strips_of_lot, "S")
    two, three = f"{letter}2", f"{letter}3"
    bot = shell(store)
    bot.exchange.facts(SITE, (opens(two, lots[0], EXPIRES), opens(three, lots[1], EXPIRES)))

    said = corrects(bot, kind, "expires", "2026-03-06", nth=1)

    assert dates(bot)[two] == dates(bot)[three] == midnight_after(6)
    assert said[-1].startswith(
        f"{three}: good to the end of 2026-03-06 now, no later: no lot tells it from {two}. The "
    )
    assert [each for each in bot.heard(ELLA) if each.startswith(f"{three}: its date was wrong")]


def test_S5_so_it_does_where_another_limit_ends_the_corrected_one_first(store: Store) -> None:
    bot = shell(store)
    bot.exchange.facts(SITE, (of_lot("J2", "", EXPIRES),))

    corrects(bot, "JugOpened", "expires", "2026-03-20")

    assert dates(bot)["J1"] == WEEK
    assert dates(bot)["J2"] == midnight_after(20)


@pytest.mark.parametrize(("gone", "is_other"), [("J2", True), ("J3", True), ("J4", False)])
def test_S5_what_is_thrown_away_is_not_what_stands(
    store: Store, gone: str, *, is_other: bool
) -> None:
    bot = shell(store)
    jugs = [of_lot(tag, "", EXPIRES) for tag in ("J2", "J3", "J4")]
    bot.exchange.facts(SITE, (*jugs, ContainerDiscarded(gone)))

    corrects(bot, "JugOpened", "expires", "2026-03-06", nth=1)

    ends = dates(bot).get("J3", MONTH)
    assert (ends == MONTH) is is_other


def test_S5_opened_earlier_after_all_it_ends_what_may_be_it_too(store: Store) -> None:
    """75 days once open: FDA 510(k) K991487 (1999). From 1 January the 75th is 16 March."""
    bot = shell(store)
    bot.exchange.facts(SITE, (of_lot("J2", "L4", EXPIRES), of_lot("J3", "L4", EXPIRES)))

    said = corrects(bot, "JugOpened", "opened", "2026-01-01 08:00", nth=1)

    assert dates(bot)["J2"] == dates(bot)["J3"] == midnight_after(16)
    assert "now, no later: no lot tells it from J2." in said[-1]


def test_S5_activated_earlier_after_all_it_ends_what_may_be_it_too(store: Store) -> None:
    """28 days once activated: FDA 510(k) K974062, 1998. Of 5 February the 28th is 4 March."""
    bot = shell(store)
    for tag, lot in (("J2", "G1"), ("J3", ""), ("J4", "G2"), ("J5", "G1")):
        jug = JugOpened(tag, "ga_30", lot, EXPIRES, NINE, MONTH, "maker_expiry")
        active = (JugActivated(tag, NINE, WEEK, "activated_life"),) if tag != "J5" else ()
        bot.exchange.facts(SITE, (jug, *active))

    corrects(bot, "JugActivated", "activated", "2026-02-05 08:00")

    ends = dates(bot)
    assert ends["J2"] == ends["J3"] == midnight_after(4)
    assert (ends["J4"], ends["J5"]) == (WEEK, MONTH)


def test_S5_what_is_poured_may_be_no_jug(store: Store) -> None:
    bot = shell(store)
    bot.exchange.facts(SITE, (of_lot("J2", "", EXPIRES),))

    corrects(bot, "Poured", "poured", "2026-02-20 08:00")

    assert dates(bot)["J2"] == MONTH
