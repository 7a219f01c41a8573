"""S1: what the entries of one cycle prove, looked at one by one and at the limits of each."""

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal

import pytest

from flows.parts.events import (
    BathChosen,
    CleaningRestarted,
    DetergentSoakEnded,
    Event,
    Immersed,
    SoakBroken,
    Stamped,
    StepDone,
    TakenOut,
)
from flows.rules.release import (
    AFTER_THE_SOAK,
    BEFORE_THE_SOAK,
    must_measure_again,
    what_is_missing,
)
from tests.kit.talk import NINE, shipped_protocol

PROTOCOL = shipped_protocol()
WEEK = NINE + timedelta(days=7)
MICROSECOND = timedelta(microseconds=1)
IN, OUT, END = 30, 43, 60
"""Minutes of the cycle at which the device goes in, comes out and is covered."""


def minute(at: float) -> datetime:
    return NINE + timedelta(minutes=at)


def act(what: str, at: float, stated_with: str = "") -> Stamped:
    return Stamped(StepDone("c1", "V1", what, stated_with), minute(at))


IMMERSED = Immersed(
    cycle="c1",
    device="V1",
    bath="T1",
    bath_discard_by=WEEK,
    strip_test="t1",
    strip_good_until=WEEK,
    celsius=Decimal(23),
    due=minute(OUT),
    number=77,
)
TAKEN_OUT = TakenOut(
    cycle="c1",
    device="V1",
    bath="T1",
    bath_discard_by=WEEK,
    ended=minute(OUT),
    lasted=timedelta(minutes=12),
    number=77,
    celsius=None,
    over_maximum=False,
)
SOAPED = DetergentSoakEnded("c1", "V1", timedelta(minutes=2), 66)


def whole() -> list[Stamped]:
    """A cycle that has earned its release, barely."""
    return [
        act("inspect", 1),
        act("wipe_detergent", 2),
        act("wipe_water", 3),
        act("wipe_disinfectant", 4),
        act("wipe_rinse", 5),
        act("mix", 6),
        act("under", 7),
        Stamped(BathChosen("c1", "T1"), minute(8)),
        Stamped(SOAPED, minute(10)),
        act("rinse", 10),
        act("dry", 11),
        act("container", 12),
        Stamped(IMMERSED, minute(IN)),
        act("gloves", OUT, "soaking"),
        Stamped(TAKEN_OUT, minute(OUT)),
        act("final_rinse", OUT + 3),
        act("final_dry", 50),
        act("final_inspect", 51),
        act("cover", END),
    ]


def missing(history: list[Stamped], now: datetime | None = None) -> tuple[str, ...]:
    return what_is_missing(history, PROTOCOL, now or minute(END))


def instead(kind: type[Event], event: Event | None, at: float | None = None) -> list[Stamped]:
    """The whole cycle with its event of that kind put otherwise, or left out for None."""
    return [
        each
        if not isinstance(each.event, kind)
        else Stamped(event, each.at if at is None else minute(at))
        for each in whole()
        if event is not None or not isinstance(each.event, kind)
    ]


def moved(what: str, at: datetime) -> list[Stamped]:
    """The whole cycle with one act stated at another time."""
    return [
        replace(each, at=at) if getattr(each.event, "what", "") == what else each
        for each in whole()
    ]


def test_S1_a_cycle_that_has_it_all_lacks_nothing() -> None:
    assert missing(whole()) == ()


def test_S1_a_cycle_that_has_nothing_lacks_all_of_it_in_the_order_of_the_work() -> None:
    assert missing([]) == (
        "inspect",
        *BEFORE_THE_SOAK,
        "detergent_soak",
        "contact_soak",
        *AFTER_THE_SOAK,
    )


def test_S1_the_acts_as_they_are_promised() -> None:
    assert BEFORE_THE_SOAK == (
        "wipe_detergent",
        "wipe_water",
        "wipe_disinfectant",
        "wipe_rinse",
        "mix",
        "under",
        "rinse",
        "dry",
        "container",
    )
    assert AFTER_THE_SOAK == ("final_rinse", "final_dry", "final_inspect", "cover")


@pytest.mark.parametrize("what", ["inspect", *BEFORE_THE_SOAK, "gloves", *AFTER_THE_SOAK])
def test_S1_each_act_is_missed_by_its_own_name(what: str) -> None:
    without = [each for each in whole() if getattr(each.event, "what", "") != what]

    assert missing(without) == (what,)


# -- durations ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("short_by", "lacks"), [(timedelta(0), ()), (MICROSECOND, True)])
def test_S1_disinfectant_is_left_wet_for_its_wipe_time(short_by: timedelta, lacks: object) -> None:
    history = moved("wipe_rinse", minute(5) - short_by)

    assert missing(history) == (("wipe_wet_time",) if lacks else ())


def test_S1_stated_together_on_brief_texts_the_wipe_time_is_the_questions_own() -> None:
    history = [
        act(each.event.what, 7, "under")
        if isinstance(each.event, StepDone) and each.event.what.startswith("wipe")
        else each
        for each in whole()
    ]

    assert missing(history) == ()


@pytest.mark.parametrize(("short_by", "lacks"), [(timedelta(0), ()), (MICROSECOND, True)])
def test_S1_the_final_rinses_take_the_time_of_all_of_them(
    short_by: timedelta, lacks: object
) -> None:
    history = moved("final_rinse", minute(OUT + 3) - short_by)

    assert missing(history) == (("final_rinse_time",) if lacks else ())


@pytest.mark.parametrize(("short_by", "lacks"), [(timedelta(0), ()), (MICROSECOND, True)])
def test_S1_the_detergent_soak_is_whole(short_by: timedelta, lacks: object) -> None:
    history = instead(DetergentSoakEnded, replace(SOAPED, lasted=SOAPED.lasted - short_by))

    assert missing(history) == (("detergent_soak",) if lacks else ())


def test_S1_one_whole_detergent_soak_is_enough() -> None:
    short = Stamped(replace(SOAPED, lasted=timedelta(0)), minute(9))

    assert missing([short, *whole()]) == ()


@pytest.mark.parametrize(
    ("lasted", "ended_after", "lacks"),
    [
        (timedelta(minutes=12), timedelta(minutes=12), ()),
        (timedelta(minutes=12) - MICROSECOND, timedelta(minutes=13), ("contact_soak",)),
        (timedelta(minutes=13), timedelta(minutes=12) - MICROSECOND, ("contact_soak",)),
    ],
)
def test_S1_S2_the_contact_time_is_the_shorter_of_what_was_said_and_what_the_entries_span(
    lasted: timedelta, ended_after: timedelta, lacks: tuple[str, ...]
) -> None:
    out = replace(TAKEN_OUT, lasted=lasted, ended=minute(IN) + ended_after)

    assert missing(instead(TakenOut, out)) == lacks


# -- the soak that counts -----------------------------------------------------------------------


def test_S1_S3_a_break_after_it_leaves_no_soak() -> None:
    broken = Stamped(SoakBroken("c1", "V1", "moved", timedelta(0)), minute(OUT + 1))
    history = whole()
    history.insert(15, broken)

    assert missing(history) == ("contact_soak", *AFTER_THE_SOAK)


def test_S1_S3_a_soak_after_a_break_counts_from_its_own_in() -> None:
    early = Stamped(IMMERSED, minute(IN - 5))
    broken = Stamped(SoakBroken("c1", "V1", "early_out", timedelta(0)), minute(IN - 1))
    history = whole()
    history[12:12] = [early, broken]

    assert missing(history) == ()


def test_S1_S3_what_broke_in_one_bath_earns_nothing_in_another() -> None:
    early = Stamped(replace(IMMERSED, bath="T2"), minute(IN - 5))
    broken = Stamped(SoakBroken("c1", "V1", "early_out", timedelta(0)), minute(IN - 1))
    history = whole()
    history[12:12] = [early, broken]

    assert missing(history) == ("straight_back",)


def test_S1_S3_an_in_without_its_out_is_no_soak() -> None:
    again = Stamped(IMMERSED, minute(OUT + 1))
    history = whole()
    history.insert(15, again)

    assert missing(history)[0] == "contact_soak"
    assert missing(instead(TakenOut, None))[0] == "contact_soak"
    assert missing(instead(Immersed, None))[0] == "contact_soak"


# -- bath, strip, temperature -------------------------------------------------------------------


@pytest.mark.parametrize(("short_by", "lacks"), [(MICROSECOND, ()), (timedelta(0), True)])
def test_S1_S5_the_bath_is_in_date_at_in_and_at_out(short_by: timedelta, lacks: object) -> None:
    at_in = replace(IMMERSED, bath_discard_by=minute(IN) + short_by)
    at_out = replace(TAKEN_OUT, bath_discard_by=minute(OUT) + short_by)

    assert missing(instead(Immersed, at_in)) == (("bath",) if lacks else ())
    assert missing(instead(TakenOut, at_out)) == (("bath",) if lacks else ())


def test_S1_it_comes_out_of_the_bath_it_went_into() -> None:
    assert missing(instead(TakenOut, replace(TAKEN_OUT, bath="T2"))) == ("bath",)


@pytest.mark.parametrize(("short_by", "lacks"), [(MICROSECOND, ()), (timedelta(0), True)])
def test_S1_S4_the_pass_of_the_strip_is_good_at_in(short_by: timedelta, lacks: object) -> None:
    history = instead(Immersed, replace(IMMERSED, strip_good_until=minute(IN) + short_by))

    assert missing(history) == (("strip",) if lacks else ())


@pytest.mark.parametrize(
    ("at_in", "at_out", "lacks"),
    [
        ("22.1", None, ()),
        ("22.0", None, ("temperature",)),
        ("22.0", "20.0", ()),
        ("22.0", "19.9", ("temperature",)),
        ("21.0", None, ("temperature",)),
        ("21.0", "20.1", ()),
        ("20.0", "20.0", ()),
        ("19.9", "25.0", ("temperature",)),
        ("23.0", "19.9", ("temperature",)),
        ("23.0", "23.0", ()),
    ],
)
def test_S1_S17_warm_enough_at_in_and_measured_again_where_it_was_near(
    at_in: str, at_out: str | None, lacks: tuple[str, ...]
) -> None:
    history = instead(Immersed, replace(IMMERSED, celsius=Decimal(at_in)))
    out = replace(TAKEN_OUT, celsius=Decimal(at_out) if at_out else None)
    history = [
        replace(each, event=out) if isinstance(each.event, TakenOut) else each for each in history
    ]

    assert missing(history) == lacks


def test_S1_near_is_the_protocols_own() -> None:
    farther = replace(PROTOCOL, chemistry=replace(PROTOCOL.chemistry, recheck_within_c=Decimal(3)))

    assert must_measure_again(IMMERSED.celsius, farther)
    assert not must_measure_again(IMMERSED.celsius, PROTOCOL)


# -- order --------------------------------------------------------------------------------------


@pytest.mark.parametrize("what", ["dry", "container"])
def test_S1_water_thins_the_bath_so_dry_and_clean_come_before_in(what: str) -> None:
    assert missing(moved(what, minute(IN))) == ()
    assert missing(moved(what, minute(IN) + MICROSECOND)) == (f"{what}_before",)


def test_S1_the_tub_is_of_the_bath_it_was_stated_for() -> None:
    other_first = [Stamped(BathChosen("c1", "T2"), minute(8)), *whole()]
    chosen_after = [*whole(), Stamped(BathChosen("c1", "T1"), minute(13))]
    swapped = [
        *whole(),
        Stamped(BathChosen("c1", "T2"), minute(12.5)),
        Stamped(BathChosen("c1", "T1"), minute(13)),
    ]

    assert missing(other_first) == ()
    assert missing(chosen_after) == ()
    assert missing(swapped) == ("container",)
    assert missing(instead(BathChosen, None)) == ()
    assert missing(instead(BathChosen, BathChosen("c1", "T1"), 12)) == ()


def test_S1_gloves_of_an_earlier_out_are_no_gloves() -> None:
    assert missing(moved("gloves", minute(IN))) == ("gloves",)
    assert missing(moved("gloves", minute(IN) + MICROSECOND)) == ()


@pytest.mark.parametrize("what", AFTER_THE_SOAK[1:])
def test_S1_what_follows_the_soak_is_stated_after_it_and_not_in_the_future(what: str) -> None:
    assert missing(moved(what, minute(OUT))) == ()
    assert missing(moved(what, minute(OUT) - MICROSECOND)) == (what,)
    assert missing(moved(what, minute(END))) == ()
    assert missing(moved(what, minute(END) + MICROSECOND)) == (what,)


def test_S1_an_act_counts_as_last_stated() -> None:
    assert missing([act("dry", 1), *whole()]) == ()
    assert missing([*whole(), act("dry", IN + 1)]) == ("dry_before",)


def test_S1_S12_left_in_too_long_it_has_been_inspected() -> None:
    over = replace(TAKEN_OUT, over_maximum=True)

    assert missing(instead(TakenOut, over)) == ("inspect_after",)
    assert missing([*instead(TakenOut, over), act("inspect_after", 44)]) == ()


# -- cleaned from the start ---------------------------------------------------------------------


def restarted(*, inspect_again: bool) -> Stamped:
    return Stamped(CleaningRestarted("c1", "V1", "asked", inspect_again), minute(0))


def test_S1_S3_cleaned_from_the_start_only_the_inspection_is_kept() -> None:
    history = [*whole(), restarted(inspect_again=False)]

    assert missing(history) == missing([])[1:]


def test_S1_S12_and_not_even_that_where_it_was_left_in_too_long() -> None:
    over, not_over = restarted(inspect_again=True), restarted(inspect_again=False)
    rest = whole()[1:]

    assert missing([*whole(), over]) == missing([])
    assert missing([act("inspect", 0), over, *rest]) == ("inspect",)
    assert missing([act("inspect", 0), over, not_over, *rest]) == ("inspect",)
    assert missing([not_over, *rest]) == ("inspect",)
    assert missing([act("inspect", 0), not_over, *rest]) == ()
