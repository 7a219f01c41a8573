"""S4, S6, S8: what is unfit by a correction falls, or it is said how it is put right."""

from datetime import timedelta
from decimal import Decimal

import pytest

from bot.registers.draft import NotSetUp
from bot.store.transaction import Store
from flows.parts.clinic import Fitness
from flows.parts.events import (
    CaseOpened,
    ContainerDiscarded,
    ContainerHeld,
    CycleVoided,
    Immersed,
    Recalled,
    StepDone,
    StripDipped,
    StripRead,
    StripsChecked,
)
from tests.kit.shell import ANN, ELLA, NINE, SITE, WEEK, Shell, shell
from tests.registers.test_corrected import EXPIRES, corrects, dates, strips_of_lot


def test_S6_what_was_topped_up_after_all_is_not_for_use_and_what_was_soaked_in_it_is_void(
    store: Store,
) -> None:
    bot = shell(store)

    (said,) = corrects(bot, "Poured", "topped_up", "yes", nth=1)

    bath = bot.clinic.containers["T1"]
    assert (bath.fitness, bath.why) == (Fitness.CONDEMNED, "topped_up")
    assert (bath.discard_by, bath.because) == (NINE, "topped_up")
    assert dates(bot)["B1"] == WEEK
    assert said.startswith("T1: good to 2026-03-02 09:00 only, and over. What was soaked, wiped")
    assert [each.split(":")[0] for each in bot.heard(ELLA)] == ["DO NOT USE T1"]


def test_S6_so_is_what_was_poured_from_it(store: Store) -> None:
    bot = shell(store)

    corrects(bot, "Poured", "topped_up", "yes")

    ends = dates(bot)
    assert (ends["J1"], ends["B1"], ends["T1"]) == (WEEK, NINE, NINE)


@pytest.mark.parametrize("late", [False, True])
def test_S4_strips_that_passed_no_control_after_all_judge_nothing(
    store: Store, *, late: bool
) -> None:
    bot = shell(store)
    soon, ninety = NINE + timedelta(hours=8), timedelta(seconds=90)
    read = {"age": ninety, "age_proved": True, "day": NINE.date(), "good_until": soon}
    if late:
        bot.exchange.facts(SITE, (StripsChecked("S1", "L9", True, 1, 1),))  # noqa: FBT003
    bot.exchange.facts(
        SITE,
        (
            StripDipped("t1", "T1", "S1", None, NINE + ninety, NINE + 2 * ninety),
            StripRead("t1", "T1", "S1", None, "pass", "pass", "", **read),
        ),
    )

    kind, name = ("StripsChecked", "passed") if late else ("StripBottleOpened", "checked")
    (said,) = corrects(bot, kind, name, "no")

    assert (bot.clinic.strips["S1"].discard_by, bot.clinic.strips["S1"].because) == (
        NINE,
        "not_checked",
    )
    assert said.startswith("S1: good to 2026-03-02 09:00 only, and over.")
    assert [each.event.tag for each in bot.entries(ContainerHeld)] == ["T1"]
    assert bot.answers(ANN, "STATE S1")[0].startswith("S1: ")
    assert [each for each in bot.heard(ELLA) if each.startswith("DO NOT USE S1: ")]


def test_S8_where_something_may_be_unfit_and_stands_it_is_said_what_to_do(store: Store) -> None:
    bot = shell(store)

    (said,) = corrects(bot, "JugOpened", "product", "hp_75")
    bot.exchange.facts(SITE, tuple(ContainerDiscarded(tag) for tag in ("T1", "B1", "J1")))
    (gone,) = corrects(bot, "JugOpened", "product", "ga_30")

    assert said == (
        "Nothing that stands changes by it. If it is not for use by what is said now, text "
        "DISCARD J1 B1 T1 and clean again what was soaked, wiped or tested with it. A device that "
        "must not be used: FAULT and its label."
    )
    assert gone == (
        "Nothing that stands changes by it. A device that must not be used: FAULT and its label."
    )


def read_in(bot: Shell, outcome: str, seen: str, because: str = "") -> None:
    """A strip that was read in T1, and a soak of V1 on it that is still going on."""
    ninety = timedelta(seconds=90)
    read = {"age": ninety, "age_proved": True, "day": NINE.date(), "good_until": WEEK}
    bot.exchange.facts(
        SITE,
        (
            StripDipped("t1", "T1", "S1", None, NINE + ninety, NINE + 2 * ninety),
            StripRead("t1", "T1", "S1", None, outcome, seen, because, **read),
            Immersed("c1", "V1", "T1", WEEK, "t1", WEEK, Decimal(22), NINE + 8 * ninety, 47),
        ),
    )


@pytest.mark.parametrize(
    ("was", "corrected"),
    [
        (("pass", "pass"), ("outcome", "fail")),
        (("pass", "pass"), ("seen", "fail")),
        (("pass", "pass"), ("seen", "unsure")),
        (("no_result", "pass", "late"), ("seen", "fail")),
        (("no_result", "pass", "early"), ("outcome", "fail")),
    ],
)
def test_S4_a_strip_that_has_failed_after_all_acts_as_a_fail_told_then(
    store: Store, was: tuple[str, ...], corrected: tuple[str, str]
) -> None:
    bot = shell(store)
    read_in(bot, *was)

    (said,) = corrects(bot, "StripRead", *corrected)

    bath, read = bot.clinic.containers["T1"], bot.entries(StripRead)[-1].event
    assert (bath.fitness, bath.why, bath.passed) == (Fitness.CONDEMNED, "strip_failed", None)
    assert (read.test, read.outcome, read.good_until) == ("t1", "fail", None)
    assert read.because == ("unsure" if corrected[1] == "unsure" else "")
    assert [each.event.cycle for each in bot.entries(CycleVoided)] == ["c1"]
    assert [each.event.cycles for each in bot.entries(CaseOpened)] == [("c1",)]
    assert bot.clinic.containers["B1"].fitness is Fitness.HELD
    assert [each for each in bot.heard(ELLA) if each.startswith("T1 failed its strip.")]
    assert [each for each in bot.heard(ANN) if each.startswith("DO NOT USE T1: its strip failed.")]
    assert said == (
        "T1: its strip failed by what is said now. It is not for use, nor is what was poured from "
        "it. What was soaked in it or wiped with it since the last pass before is void, and a "
        "look-back is open. The phones of the site are told."
    )


def test_S18_so_does_one_in_a_bath_that_is_gone(store: Store) -> None:
    bot = shell(store)
    read_in(bot, "pass", "pass")
    bot.exchange.facts(SITE, tuple(ContainerDiscarded(tag) for tag in ("T1", "B1", "J1")))

    (said,) = corrects(bot, "StripRead", "outcome", "fail")

    assert [each.event.cycle for each in bot.entries(CycleVoided)] == ["c1"]
    assert said.startswith("T1: its strip failed by what is said now. It is not here any more. ")


@pytest.mark.parametrize(
    ("was", "corrected"),
    [
        (("fail", "fail"), ("seen", "unsure")),
        (("fail", "fail"), ("outcome", "pass")),
        (("no_result", "pass", "early"), ("seen", "fail")),
        (("no_result", "pass", "strips"), ("seen", "fail")),
        (("pass", "pass"), ("outcome", "no_result")),
        (("pass", "pass"), ("container", "B1")),
    ],
)
def test_S4_what_shows_no_more_than_it_did_changes_nothing(
    store: Store, was: tuple[str, ...], corrected: tuple[str, str]
) -> None:
    bot = shell(store)
    read_in(bot, *was)
    known = len(bot.entries())

    (said,) = corrects(bot, "StripRead", *corrected)

    assert len(bot.entries()) == known + 1
    assert said.startswith("Nothing that stands changes by it.")


@pytest.mark.parametrize(
    ("name", "typed", "why"),
    [
        ("outcome", "2", "is no 2; one of pass, fail, no_result"),
        ("seen", "blue", "is no blue; one of pass, fail, unsure"),
    ],
)
def test_S4_what_a_strip_cannot_show_is_refused(
    store: Store, name: str, typed: str, why: str
) -> None:
    """It would stand on the record, and mean nothing."""
    bot = shell(store)
    read_in(bot, "pass", "pass")

    with pytest.raises(NotSetUp, match=why):
        corrects(bot, "StripRead", name, typed)


def test_S4_a_fail_that_was_of_another_bath_counts_there_too(store: Store) -> None:
    bot = shell(store)
    read_in(bot, "fail", "fail")

    (said,) = corrects(bot, "StripRead", "container", "B1")

    assert bot.clinic.containers["B1"].fitness is Fitness.CONDEMNED
    assert said.startswith("B1: its strip failed by what is said now.")


@pytest.mark.parametrize(
    ("corrected", "words"),
    [
        (("JugOpened", "product", "hp_75"), "recall lot hp_75 L1 "),
        (("StripRead", "lot", "K8"), "recall strip-lot opa_strip_1s_90s K8 "),
        (("StripRead", "strips", "S2"), "recall strip-lot opa_strip_1s_90s K8 "),
    ],
)
def test_S18_what_leads_to_a_recalled_lot_is_said_to_be_recalled_once_more(
    store: Store, corrected: tuple[str, str, str], words: str
) -> None:
    bot = shell(store)
    ninety = timedelta(seconds=90)
    read = {"age": ninety, "age_proved": True, "day": NINE.date(), "good_until": WEEK}
    bot.exchange.facts(
        SITE,
        (
            strips_of_lot("S2", "K8", EXPIRES),
            StripRead("t1", "T1", "S1", None, "pass", "pass", "", lot="L9", **read),
            Recalled("r1", "lot", "hp_75", "L1", "", "none", None),
            Recalled("r2", "strip_lot", "opa_strip_1s_90s", "K8", "", "none", None),
        ),
    )

    said = corrects(bot, *corrected)

    assert words in said[0]


@pytest.mark.parametrize(
    ("kind", "name", "value"),
    [
        ("Immersed", "strip_good_until", "2026-03-02 09:01"),
        ("StripRead", "age", "200 s"),
        ("StripRead", "age_proved", "no"),
        ("StripDipped", "read_from", "2026-03-02 09:10"),
        ("StepDone", "container", "M1"),
        ("Poured", "volume_ml", "8000"),
    ],
)
def test_S1_nothing_that_a_release_rests_on_is_put_right_without_a_word(
    store: Store, kind: str, name: str, value: str
) -> None:
    bot = shell(store)
    read_in(bot, "pass", "pass")
    bot.exchange.facts(SITE, (StepDone("c1", "V1", "wipe_disinfectant", container="B1"),))

    (said,) = corrects(bot, kind, name, value)

    assert said.startswith("Nothing that stands changes by it.")
    assert "A device that must not be used: FAULT and its label." in said


def test_S6_so_is_what_was_thrown_away(store: Store) -> None:
    """The jug that is gone by what is said now stands here still."""
    bot = shell(store)
    bot.exchange.facts(SITE, (ContainerDiscarded("T1"),))

    (said,) = corrects(bot, "ContainerDiscarded", "tag", "J1")

    assert "text DISCARD J1 B1 and clean again" in said
