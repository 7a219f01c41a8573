"""S4: pass, fail or no result; what falls with a failed strip, all at once."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from flows.parts.clinic import Fitness, Kind, Standing
from flows.parts.events import (
    AlertRaised,
    ContainerCondemned,
    ContainerHeld,
    StripBottleOpened,
    StripDipped,
    StripRead,
)
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import WEEK, dips, first_digit, outcomes, passes, pour
from tests.kit.talk import NINE, Talk, clinic

WINDOW_OPENS, WINDOW_CLOSES = timedelta(seconds=90), timedelta(seconds=121)
MICROSECOND = timedelta(microseconds=1)


def dipped(**where: bool) -> Talk:
    """A coached cycle whose strip has just left the bath."""
    talk = clinic(**where)
    play_cycle(talk, until="read")
    return talk


@pytest.mark.parametrize(
    ("answer", "outcome", "because"),
    [("1", "pass", ""), ("2", "fail", ""), ("3", "fail", "unsure")],
)
def test_S4_all_of_one_colour_passes_patchy_and_not_sure_fail(
    answer: str, outcome: str, because: str
) -> None:
    talk = dipped()

    talk.sends(answer, after=95)

    assert outcomes(talk) == [(outcome, because)]


@pytest.mark.parametrize("answer", ["pass", "fail", "4", "12", "purple?"])
def test_S4_nothing_else_is_a_reading(answer: str) -> None:
    talk = dipped()

    talk.sends(answer, after=95)

    assert outcomes(talk) == []
    assert step_of(talk) == "read"


@pytest.mark.parametrize(
    ("age", "answer", "expected"),
    [
        (WINDOW_OPENS - MICROSECOND, "1", ("no_result", "early")),
        (WINDOW_OPENS, "1", ("pass", "")),
        (WINDOW_CLOSES, "1", ("pass", "")),
        (WINDOW_CLOSES + MICROSECOND, "1", ("no_result", "late")),
        (WINDOW_OPENS - MICROSECOND, "2", ("no_result", "early")),
        (WINDOW_CLOSES + MICROSECOND, "2", ("fail", "")),
        (WINDOW_CLOSES + MICROSECOND, "3", ("fail", "unsure")),
    ],
)
def test_S4_outside_its_window_a_pass_is_no_result_and_a_late_fail_is_still_a_fail(
    age: timedelta, answer: str, expected: tuple[str, str]
) -> None:
    talk = dipped()

    talk.sends(answer, after=age.total_seconds())

    assert outcomes(talk) == [expected]


@pytest.mark.parametrize("reason", ["early", "late"])
def test_S4_no_result_allows_one_new_strip(reason: str) -> None:
    talk = dipped()

    (said, asked) = talk.sends("1", after=10 if reason == "early" else 200)

    assert said.startswith(f"No result: read too {reason}. One new strip")
    assert "Reply DIP T1" in asked
    assert step_of(talk) == "dip"


def test_S4_the_second_no_result_of_a_day_holds_the_bath_for_the_supervisor() -> None:
    talk = dipped()
    talk.sends("1", after=10)
    dips(talk, "T1", after=30)

    said = talk.sends("4", after=10)

    assert talk.clinic.containers["T1"].fitness is Fitness.HELD
    assert [(each.tag, each.because) for each in talk.happened(ContainerHeld)] == [
        ("T1", "no_result")
    ]
    assert said[0].startswith("T1: again no result. It is on hold")
    assert talk.heard["ph9"][-1].startswith("T1: two strips without a result today.")
    assert step_of(talk) == "fill"


def test_S4_a_pass_in_between_does_not_make_the_second_no_result_the_first() -> None:
    talk = dipped()
    talk.sends("1", after=10)
    dips(talk, "T1", after=30)
    talk.sends("4", after=95)

    talk.sends("TEST T1", after=20)
    dips(talk, "T1")
    talk.sends(first_digit(talk, "T1"), after=10)

    assert outcomes(talk) == [("no_result", "early"), ("pass", ""), ("no_result", "early")]
    assert talk.clinic.containers["T1"].fitness is Fitness.HELD


def test_S4_the_next_day_at_the_site_is_another_day() -> None:
    talk = clinic()
    midnight = datetime(2026, 3, 2, 21, 0, tzinfo=UTC)
    talk.now = midnight - timedelta(seconds=60)
    for seconds in (20, 30):
        talk.sends("TEST T1")
        dips(talk, "T1", after=5)
        talk.sends(first_digit(talk, "T1"), after=seconds)
        talk.wait(seconds=1)

    assert outcomes(talk) == [("no_result", "early")] * 2
    assert talk.happened(ContainerHeld) == []


def test_S4_what_is_held_for_the_supervisor_is_not_tested_again() -> None:
    talk = clinic()
    talk.let(ContainerHeld("T1", "no_result"))

    (text,) = talk.sends("TEST T1")

    assert text.startswith("T1 is out of use: no strip can bring it back.")


def test_S4_strips_out_of_date_or_that_failed_are_not_used_a_new_bottle_is_opened_first() -> None:
    talk = clinic()
    name, day = "opa_strip_1s_90s", WEEK.date()
    talk.let(
        StripBottleOpened("S1", name, "L9", day, NINE, NINE, checked=True),
        StripBottleOpened("S2", name, "L9", day, NINE, WEEK, checked=False, qc_good=3),
        StripBottleOpened("S3", name, "L9", day, NINE, WEEK, checked=False, qc_diluted=3),
        StripBottleOpened("S4", name, "L9", day, NINE, NINE, checked=False),
        StripBottleOpened("S5", "another", "L9", day, NINE, WEEK, checked=True),
        StripBottleOpened("S6", "another", "L9", day, NINE, WEEK, checked=False),
    )

    play_cycle(talk, until="strips")

    assert step_of(talk) == "strips"


def test_S4_strips_that_fail_their_own_check_are_not_used() -> None:
    talk = clinic()
    talk.clinic = replace(talk.clinic, strips={})
    play_cycle(talk, until="strips_check")

    said = talk.sends("unsure", after=20)

    assert said[0].startswith("Then none of those strips, S1, may be used")
    assert talk.clinic.strips["S1"].checked is False
    assert step_of(talk) == "strips"


def test_S4_a_fail_ends_the_bath_at_once_and_no_second_strip_can_make_it_pass() -> None:
    talk = dipped()

    said = talk.sends("2", after=95)
    again = talk.sends("TEST T1")

    assert said[0].startswith("T1 FAILED. Do not use it, do not test it again.")
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED
    assert again[0].startswith("T1 is out of use: no strip can bring it back.")
    assert step_of(talk) == "jug"  # its kin is held: the cycle needs another jug


def test_S4_a_fail_tells_every_phone_of_the_site_and_the_supervisor() -> None:
    talk = dipped()

    talk.sends("2", after=95)

    told, _ = talk.heard["ph2"]
    assert told.startswith("DO NOT USE T1: its strip failed.")
    assert [text[:8] for text in talk.heard["ph9"]] == ["DO NOT U", "ON HOLD,", "T1 faile"]
    assert [event.cause for event in talk.happened(AlertRaised)] == ["strip_failed"]


def test_S4_a_pass_is_for_one_soak_the_next_device_dips_its_own() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")

    play_cycle(talk, "V2")

    assert outcomes(talk) == [("pass", "")] * 2


def test_S4_a_pass_ends_with_the_day_at_the_site() -> None:
    talk = clinic()
    midnight = datetime(2026, 3, 2, 21, 0, tzinfo=UTC)
    passes(talk, "T1")

    passed = talk.clinic.containers["T1"].passed

    assert passed is not None
    assert passed.good_until == midnight


def test_S4_a_strip_whose_day_ended_before_in_is_dipped_again() -> None:
    talk = clinic()
    talk.now = datetime(2026, 3, 2, 20, 51, tzinfo=UTC)
    play_cycle(talk, until="immerse")
    talk.now = datetime(2026, 3, 2, 21, 0, tzinfo=UTC)

    heard = talk.sends("IN 23")

    assert heard[0].startswith("T1 may not be used for V1 yet: it has no strip that counts")
    assert step_of(talk) == "dip"


def test_S4_a_site_that_tests_the_bottle_daily_dips_in_the_bottle() -> None:
    talk = clinic(devices=("V1", "V2"))
    daily = replace(talk.protocol.chemistry, strip_policy="bottle_daily")
    talk.protocol = replace(talk.protocol, chemistry=daily)

    play_cycle(talk, "V1")
    play_cycle(talk, "V2")

    assert [event.container for event in talk.happened(StripRead)] == ["B1"]
    assert talk.clinic.devices["V2"].standing is Standing.RELEASED


def test_S4_a_bath_whose_bottle_is_gone_is_not_tested_in_its_place() -> None:
    talk = clinic()
    daily = replace(talk.protocol.chemistry, strip_policy="bottle_daily")
    talk.protocol = replace(talk.protocol, chemistry=daily)
    pour(talk, "T1", Kind.BATH, "")

    play_cycle(talk, until="fill")

    assert step_of(talk) == "fill"


# -- never a dead end ---------------------------------------------------------------------------


def test_S4_a_bath_thrown_away_before_its_strip_is_not_asked_for_again() -> None:
    talk = clinic()
    play_cycle(talk, until="dip")

    heard = talk.sends("DISCARD T1", after=20)

    assert heard[0].startswith("T1 is noted as thrown away.")
    assert step_of(talk) == "fill"


def test_S4_a_bath_condemned_before_its_strip_leads_to_another() -> None:
    talk = clinic()
    play_cycle(talk, until="dip")
    talk.let(ContainerCondemned("T1", "strip_failed"))

    heard = talk.sends("dip T1", after=20)

    assert heard[0].startswith("T1 is out of use")
    assert step_of(talk) == "fill"


def test_S4_a_bath_condemned_before_its_reading_is_told() -> None:
    talk = clinic()
    talk.sends("TEST T1")
    talk.sends("dip T1", after=20)
    talk.let(ContainerCondemned("T1", "strip_failed"))

    (text,) = talk.sends("1", after=95)

    assert text.startswith("T1 is out of use")
    assert outcomes(talk) == [("pass", "")]
    assert talk.clinic.containers["T1"].fitness is Fitness.CONDEMNED
    assert talk.clinic.threads == {}


def test_S4_test_asks_which_where_it_is_not_said() -> None:
    talk = clinic()

    assert (
        talk.sends("TEST") == talk.sends("TEST T9") == ["Test which one? Its tag, like TEST T1."]
    )


def test_S4_a_test_by_itself_says_until_when_it_is_good() -> None:
    talk = clinic()

    said = passes(talk, "T1")

    assert said[-1].startswith("T1 passed: good to the end of 2 Mar 2026, ")
    assert said[-1].endswith("for one soak. The date on its label stays as it is.")


@pytest.mark.parametrize("tag", ["B1", "J1"])
def test_S4_a_pass_of_what_a_bath_is_poured_from_reads_like_no_leave_to_soak(tag: str) -> None:
    talk = clinic()

    said = passes(talk, tag)

    assert said[-1] == (
        f"{tag} passed. That is no leave to soak: each bath poured from it takes a strip of its "
        "own. The date on its label stays as it is."
    )


def test_S4_where_the_bottle_is_tested_daily_its_pass_is_for_its_baths() -> None:
    talk = clinic()
    daily = replace(talk.protocol.chemistry, strip_policy="bottle_daily")
    talk.protocol = replace(talk.protocol, chemistry=daily)

    said = passes(talk, "B1")

    assert said[-1].startswith("B1 passed: good to the end of 2 Mar 2026, for the baths poured")


def test_S4_a_reading_doubled_by_a_carrier_cannot_answer_for_the_next_strip() -> None:
    talk = clinic()
    passes(talk, "T1")
    talk.sends("TEST T1", after=20)
    talk.sends("dip T1", after=20)

    talk.sends("1", after=95)

    assert outcomes(talk) == [("pass", "")]


def test_S4_the_digits_go_round_in_threes_and_begin_anew_after_a_while() -> None:
    talk = clinic()

    firsts = []
    for wait in (0, 0, 0, 0, 900):
        talk.wait(seconds=wait)
        talk.sends("TEST T1")
        dips(talk, "T1")
        firsts.append(first_digit(talk, "T1"))
        talk.sends(firsts[-1], after=95)

    assert firsts == ["1", "4", "7", "1", "1"]


@pytest.mark.parametrize(("body", "dipped"), [("dip", "T1"), ("dip T2", "T2")])
def test_S4_dip_alone_means_the_one_that_was_asked_for_and_another_may_be_named(
    body: str, dipped: str
) -> None:
    talk = clinic()
    pour(talk, "T2", Kind.BATH, "B1")
    talk.sends("TEST T1")

    talk.sends(body)

    (thread,) = talk.clinic.threads.values()
    assert thread.top.memo["container"] == dipped


@pytest.mark.parametrize("body", ["dip T9", "dip it", "dry", ""])
def test_S4_a_dip_that_names_nothing_known_is_asked_back(body: str) -> None:
    talk = clinic()
    talk.sends("TEST T1")

    (text,) = talk.sends(body)

    assert "DIP T1" in text
    assert talk.happened(StripDipped) == []


def test_S4_the_back_up_bell_of_a_strip_asks_for_the_reading_again() -> None:
    talk = dipped()
    heard = len(talk.heard["ph1"])

    talk.wait(seconds=90)

    assert talk.heard["ph1"][heard:] == [
        "Strip from T1: reply 1 all purple, 2 any blue or patchy, 3 not sure."
    ]


def test_S4_a_product_that_takes_several_strips_asks_for_several() -> None:
    talk = clinic()
    talk.protocol = replace(talk.protocol, strip=replace(talk.protocol.strip, strips_per_test=2))

    play_cycle(talk, until="dip")

    assert talk.last().startswith("Dry hands. Dip 2 strips in T1 for 1 s, no stirring, lay them")
