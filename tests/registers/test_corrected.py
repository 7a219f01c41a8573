"""S5, S15: a corrected date moves what stands earlier, never later, and says what it did."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from bot.record.rebuild import rebuild
from bot.record.written import of_kinds
from bot.registers.add import standing
from bot.registers.correct import Wish, correct
from bot.store.transaction import Store
from flows.parts.clinic import Fitness, Kind
from flows.parts.events import (
    ContainerDiscarded,
    ContainerHeld,
    JugActivated,
    JugOpened,
    LifeShortened,
    Mixed,
    Poured,
    Recalled,
    StripBottleOpened,
    StripDipped,
    StripRead,
)
from flows.parts.moment import Moment
from tests.kit.shell import ELLA, NINE, SITE, WEEK, Shell, shell

EXPIRES = date(2027, 3, 31)
MONTH = NINE + timedelta(days=30)


def corrects(bot: Shell, kind: str, name: str, value: str, nth: int = 0) -> tuple[str, ...]:
    """The *nth* entry of a *kind* is corrected, as at the desk; what is remarked."""
    with bot.store.read() as connection:
        seq = of_kinds(connection, SITE, (kind,))[nth].seq
    wish = Wish(seq, name, value, "Read the label wrong.")
    at = Moment(bot.clock.now(), f"correction of {name} to {value}")
    made = correct(bot.store, SITE, wish, at, standing(bot.store, SITE))
    bot.exchange.facts(SITE, made.events, also=made.keep)
    assert rebuild(bot.store, SITE, check=True) == []
    return made.remarks


def dates(bot: Shell) -> dict[str, datetime]:
    clinic = bot.clinic
    return {
        each.tag: each.discard_by
        for each in (*clinic.containers.values(), *clinic.strips.values())
    }


def midnight_after(day: int, month: int = 3) -> datetime:
    return datetime(2026, month, day, tzinfo=UTC) + timedelta(days=1)


def test_S5_a_corrected_expiry_shortens_the_jug_and_what_was_poured_from_it(store: Store) -> None:
    bot = shell(store)

    (said,) = corrects(bot, "JugOpened", "expires", "2026-03-04")

    assert dates(bot) == {
        "J1": midnight_after(4), "B1": midnight_after(4), "T1": midnight_after(4), "S1": WEEK,
    }  # fmt: skip
    assert said == (
        "J1, B1, T1: good to the end of 2026-03-04 now, no later. The phones of the site are told."
    )
    assert [each.split(":")[0] for each in bot.heard(ELLA)] == ["J1", "B1", "T1"]


def test_S5_a_corrected_date_never_moves_anything_later(store: Store) -> None:
    bot = shell(store)
    before = dates(bot)

    (said,) = corrects(bot, "JugOpened", "expires", "2028-03-31")

    assert dates(bot) == before
    assert said == "J1 is good to 2026-03-09 09:00, as before: no date moves later."


def test_S5_nor_does_the_second_of_two_corrections(store: Store) -> None:
    bot = shell(store)
    corrects(bot, "JugOpened", "expires", "2026-03-04")

    corrects(bot, "JugOpened", "expires", "2026-03-06")
    corrects(bot, "JugOpened", "opened", "2026-03-02 08:00")

    assert dates(bot)["J1"] == midnight_after(4)


def test_S5_opened_so_long_ago_that_it_is_over_it_is_not_for_use_from_now_on(store: Store) -> None:
    """75 days once open: FDA 510(k) K991487 (1999). From 1 December the 75th is 13 February."""
    bot = shell(store)

    (said,) = corrects(bot, "JugOpened", "opened", "2025-12-01 08:00")

    assert set(dates(bot).values()) == {datetime(2026, 2, 14, tzinfo=UTC), WEEK}
    assert said.startswith("J1, B1, T1: good to the end of 2026-02-13 only, and over.")
    assert all(each.startswith("DO NOT USE ") for each in bot.heard(ELLA))


@pytest.mark.parametrize(
    ("entry", "name", "value", "tag", "ends"),
    [
        (("Poured", 0), "poured", "2026-02-20 08:00", "B1", midnight_after(5)),
        (("Poured", 1), "poured", "2026-02-20 08:00", "T1", midnight_after(5)),
        (
            ("Poured", 1),
            "discard_by",
            "2026-03-03 12:00",
            "T1",
            datetime(2026, 3, 3, 12, tzinfo=UTC),
        ),
        (("StripBottleOpened", 0), "expires", "2026-03-03", "S1", midnight_after(3)),
    ],
)
def test_S5_each_kind_by_its_own_limits(  # noqa: PLR0913  a row has as many parts
    store: Store, entry: tuple[str, int], name: str, value: str, *, tag: str, ends: datetime
) -> None:
    """14 days of reuse: CDC/HICPAC 2008, Table 4: of 20 February the 14th is 5 March."""
    bot = shell(store)

    corrects(bot, entry[0], name, value, entry[1])

    assert dates(bot)[tag] == ends


def test_S5_a_corrected_day_of_activation_shortens_too(store: Store) -> None:
    """28 days once activated: FDA 510(k) K974062, 1998. Of 5 February the 28th is 4 March."""
    bot = shell(store)
    jug = JugOpened("J2", "ga_30", "G1", EXPIRES, NINE, WEEK, "maker_expiry")
    bot.exchange.facts(SITE, (jug, JugActivated("J2", NINE, WEEK, "activated_life")))

    corrects(bot, "JugActivated", "activated", "2026-02-05 08:00")

    assert dates(bot)["J2"] == midnight_after(4)


def activated_before(bot: Shell) -> None:
    """A jug of glutaral, a bottle from it within the hour, a bath of that, a bath a day later."""
    day = timedelta(days=1)
    bot.exchange.facts(
        SITE,
        (
            JugOpened("J2", "ga_30", "G1", EXPIRES, NINE - 3 * day, WEEK, "maker_expiry"),
            JugActivated("J2", NINE - 3 * day, WEEK, "activated_life"),
            poured_from("B2", Kind.BOTTLE, "J2", NINE - 2 * day),
            poured_from("T2", Kind.BATH, "B2", NINE),
            poured_from("T3", Kind.BATH, "J2", NINE),
        ),
    )


def of_lot(tag: str, lot: str, expires: date, ends: datetime = MONTH) -> JugOpened:
    return JugOpened(tag, "opa_055", lot, expires, NINE, ends, "jug_open_life")


def strips_of_lot(tag: str, lot: str, expires: date) -> StripBottleOpened:
    return StripBottleOpened(tag, "opa_strip_1s_90s", lot, expires, NINE, MONTH, checked=True)


def poured_from(tag: str, kind: Kind, source: str, at: datetime) -> Poured:
    return Poured(tag, kind, source, "ga_30", "G1", at, WEEK, "activated_life", topped_up=False)


def fitness(bot: Shell) -> dict[str, Fitness]:
    return {each.tag: each.fitness for each in bot.clinic.containers.values()}


def test_S1_what_was_poured_before_the_day_that_it_was_activated_after_all_is_not_for_use(
    store: Store,
) -> None:
    bot = shell(store)
    activated_before(bot)

    said = corrects(bot, "JugActivated", "activated", "2026-03-01 10:00")

    assert said[0] == "J2 is good to 2026-03-09 09:00, as before: no date moves later."
    assert said[1] == (
        "B2, T2: poured before J2 was activated, so not for use. What was soaked or wiped with it "
        "is void. The phones of the site are told DO NOT USE."
    )
    assert {tag for tag, each in fitness(bot).items() if each is Fitness.CONDEMNED} == {"B2", "T2"}
    assert [each for each in bot.heard(ELLA) if each.startswith("DO NOT USE B2, T2: ")]


def test_S1_so_is_what_turns_out_to_have_been_poured_before_it_was(store: Store) -> None:
    bot = shell(store)
    activated_before(bot)

    corrects(bot, "Poured", "poured", "2026-02-26 09:00", nth=4)

    assert {tag for tag, each in fitness(bot).items() if each is Fitness.CONDEMNED} == {"T3"}


def test_S5_so_does_when_something_was_mixed(store: Store) -> None:
    """A day at most. Source: CDC sheet CS316270A, 15 May 2020."""
    bot = shell(store)
    bot.exchange.facts(
        SITE, (Mixed("M1", "chlorine", "0.5 %", Decimal(5000), "C1", NINE, WEEK, "mixed_life"),)
    )

    corrects(bot, "Mixed", "mixed", "2026-03-01 08:00")

    assert dates(bot)["M1"] == midnight_after(1)


def test_S5_of_a_product_that_is_on_no_shelf_the_date_itself_can_be_corrected(
    store: Store,
) -> None:
    bot = shell(store)
    bot.exchange.facts(
        SITE, (JugOpened("J2", "of_old", "D1", EXPIRES, NINE, WEEK, "maker_expiry"),)
    )

    corrects(bot, "JugOpened", "opened", "2025-12-01 08:00", nth=1)
    corrects(bot, "JugOpened", "discard_by", "2026-03-05 00:00", nth=1)

    assert dates(bot)["J2"] == datetime(2026, 3, 5, tzinfo=UTC)


def test_S5_a_jug_that_is_thrown_away_shortens_what_is_left_of_it(store: Store) -> None:
    bot = shell(store)
    bot.exchange.facts(SITE, (ContainerDiscarded("J1"),))

    corrects(bot, "JugOpened", "expires", "2026-03-04")

    assert dates(bot)["T1"] == midnight_after(4)


def test_S5_another_that_bears_the_tag_by_now_is_let_be(store: Store) -> None:
    bot = shell(store)
    later = NINE + timedelta(days=1)
    bot.exchange.facts(
        SITE,
        (
            ContainerDiscarded("T1"),
            Poured("T1", Kind.BATH, "B1", "opa_055", "L1", later, WEEK, "", topped_up=False),
        ),
    )

    (said,) = corrects(bot, "Poured", "poured", "2026-02-20 08:00", nth=1)

    assert said == (
        "What it tells of is not here any more: no date changes by it, and nothing is void. If it "
        "was used past its true date, soakbell recall lot looks back for what rests on its lot."
    )
    assert bot.entries(LifeShortened) == []


def test_S4_what_strips_have_passed_past_their_corrected_date_is_on_hold(store: Store) -> None:
    bot = shell(store)
    soon, ninety = NINE + timedelta(hours=8), timedelta(seconds=90)
    read = {"age": ninety, "age_proved": True, "day": NINE.date(), "good_until": soon}
    bot.exchange.facts(
        SITE,
        (
            StripDipped("t1", "T1", "S1", None, NINE + ninety, NINE + 2 * ninety),
            StripRead("t1", "T1", "S1", None, "pass", "pass", "", **read),
        ),
    )

    corrects(bot, "StripBottleOpened", "expires", "2026-02-28")

    assert [each.event.tag for each in bot.entries(ContainerHeld)] == ["T1"]
    assert bot.clinic.containers["T1"].passed is None


@pytest.mark.parametrize(
    ("kind", "recall", "words"),
    [
        ("JugOpened", ("lot", "opa_055"), "recall lot opa_055 L8 "),
        ("StripBottleOpened", ("strip_lot", "opa_strip_1s_90s"), "recall strip-lot opa_strip_"),
    ],
)
def test_S18_a_lot_that_is_corrected_to_a_recalled_one_is_said_to_be_recalled_once_more(
    store: Store, kind: str, recall: tuple[str, str], words: str
) -> None:
    bot = shell(store)
    bot.exchange.facts(SITE, (Recalled("r1", *recall, "L8", "", "none", None),))

    (said,) = corrects(bot, kind, "lot", "L8")
    other = corrects(bot, kind, "lot", "L7")

    assert words in said
    assert other == ()


# -- poured from something else -------------------------------------------------------------------


def test_S5_what_was_poured_from_another_jug_after_all_ends_with_that(store: Store) -> None:
    bot = shell(store)
    soon = NINE + timedelta(days=2)
    bot.exchange.facts(SITE, (of_lot("J2", "K999", EXPIRES, soon),))

    said = corrects(bot, "Poured", "source", "J2")

    ends = dates(bot)
    assert (ends["J1"], ends["B1"], ends["T1"]) == (WEEK, soon, soon)
    assert said[0].startswith("B1, T1: good to 2026-03-04 09:00 now, no later. The phones")
    assert said[-1] == (
        "The phones go by J1 still: if a strip fails in J2, text DISCARD B1 and clean again what "
        "was soaked in it."
    )


def test_S5_where_that_ends_later_it_keeps_its_date(store: Store) -> None:
    bot = shell(store)
    bot.exchange.facts(SITE, (of_lot("J2", "K999", EXPIRES),))

    said = corrects(bot, "Poured", "source", "J2")

    assert dates(bot)["B1"] == WEEK
    assert said[0] == "B1 is good to 2026-03-09 09:00, as before: no date moves later."


def test_S18_what_was_poured_from_a_recalled_jug_is_said_to_be_recalled_once_more(
    store: Store,
) -> None:
    bot = shell(store)
    recalled = Recalled("r1", "lot", "opa_055", "K999", "", "none", None)
    bot.exchange.facts(SITE, (of_lot("J2", "K999", EXPIRES), recalled))

    said = corrects(bot, "Poured", "source", "J2")

    assert "recall lot opa_055 K999 --reason ... --carry-out" in said[0]


def test_S5_a_source_that_is_not_here_is_said_to_be_none(store: Store) -> None:
    bot = shell(store)

    (said,) = corrects(bot, "Poured", "source", "J8")

    assert said == (
        "No J8 is here, so no date changes by it. If nobody can say how long J8 was good and of "
        "which lot it was, text DISCARD B1."
    )


@pytest.mark.parametrize("activated", [None, NINE + timedelta(hours=1)])
def test_S1_from_a_jug_that_was_not_active_by_then_it_is_not_for_use(
    store: Store, activated: datetime | None
) -> None:
    bot = shell(store)
    activated_before(bot)
    jug = JugOpened("J3", "ga_30", "G3", EXPIRES, NINE - timedelta(days=3), MONTH, "maker_expiry")
    later = (JugActivated("J3", activated, MONTH, "activated_life"),) if activated else ()
    bot.exchange.facts(SITE, (jug, *later))

    said = corrects(bot, "Poured", "source", "J3", nth=2)

    assert {tag for tag, each in fitness(bot).items() if each is Fitness.CONDEMNED} == {"B2", "T2"}
    assert [each for each in said if each.startswith("B2, T2: poured before J3 was activated")]
