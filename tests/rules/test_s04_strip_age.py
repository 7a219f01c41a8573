"""S4: how old a strip was when it was read, between what the evidence of both texts allows.

The window of the shipped strip, 90 to 120 s after a dip of 1 s, is its maker's; see its file.
"""

from datetime import UTC, date, datetime, timedelta

import pytest

from flows.parts.events import (
    AnsweredTooSoon,
    SiteChoiceMade,
    StripDipped,
    StripRead,
)
from tests.kit.cycles import arrives, play_cycle, step_of
from tests.kit.strips import outcomes
from tests.kit.talk import Talk, clinic


def asked() -> Talk:
    """Somebody is asked to dip a strip in T1."""
    talk = clinic()
    talk.sends("TEST T1")
    return talk


def dipped(*, carried: float = 0) -> Talk:
    """DIP is handled now; the gateway says that it was sent *carried* seconds ago."""
    talk = asked()
    talk.wait(seconds=carried + 20)
    arrives(talk, "dip T1", talk.now - timedelta(seconds=carried))
    return talk


def trusts_own_watch(talk: Talk) -> None:
    talk.let(SiteChoiceMade("site", "strip_timing", "own_watch", "digest"))


def read(talk: Talk) -> StripRead:
    (event,) = talk.happened(StripRead)
    assert isinstance(event, StripRead)
    return event


def test_S4_the_dip_keeps_when_it_was_sent_as_far_as_the_evidence_goes() -> None:
    talk = dipped(carried=220)

    (event,) = talk.happened(StripDipped)

    assert event.sent_at == talk.now - timedelta(seconds=220)


def test_S4_a_dip_that_came_late_leaves_a_pass_without_a_result() -> None:
    talk = dipped(carried=220)

    said = talk.sends("1", after=95)

    assert said[0] == (
        "No result: your DIP came too late. One new strip is allowed, timed by your watch."
    )
    assert "Dip a strip in T1" in said[1]
    assert outcomes(talk) == [("no_result", "dip_carried_late")]
    assert (read(talk).age, read(talk).age_most) == (
        timedelta(seconds=95),
        timedelta(seconds=315),
    )
    assert not read(talk).age_proved


@pytest.mark.parametrize(
    ("carried", "after", "because"),
    [
        *((220, 130, "late"), (60, 50, "dip_carried_late"), (20, 50, "early")),
        *((20, 110, "dip_carried_late"), (0, 130, "late")),
    ],
)
def test_S4_what_is_said_to_be_late_is_the_reading_or_the_dip(
    carried: float, after: float, because: str
) -> None:
    talk = dipped(carried=carried)

    talk.sends("1", after=after)

    assert outcomes(talk) == [("no_result", because)]


def test_S4_of_what_a_carrier_alone_has_left_open_a_fail_counts_still() -> None:
    talk = dipped(carried=220)
    talk.sends("1", after=95)

    talk.sends("T1 2", after=10)

    assert outcomes(talk)[-1] == ("fail", "")


def test_S4_a_reading_that_was_fetched_late_is_as_old_as_the_gateway_had_it() -> None:
    """Nobody can have read it after that."""
    talk = dipped()
    sent_at = talk.now + timedelta(seconds=100)
    talk.wait(seconds=500)

    arrives(talk, "1", sent_at)

    assert outcomes(talk) == [("pass", "")]
    assert (read(talk).age, read(talk).age_most) == (timedelta(seconds=100),) * 2
    assert read(talk).age_proved


def test_S4_a_reading_may_be_too_early_though_it_was_handled_in_time() -> None:
    talk = dipped()
    sent_at = talk.now + timedelta(seconds=89)
    talk.wait(seconds=100)

    arrives(talk, "1", sent_at)

    assert outcomes(talk) == [("no_result", "early")]


@pytest.mark.parametrize(("dip", "reading"), [(0, 0), (5, 0), (0, 5), (10, 10)])
def test_S4_both_texts_a_little_on_their_way_prove_it_while_both_ends_are_in_the_window(
    dip: float, reading: float
) -> None:
    talk = dipped(carried=dip)
    sent_at = talk.now + timedelta(seconds=100)
    talk.wait(seconds=100 + reading)

    arrives(talk, "1", sent_at)

    assert outcomes(talk) == [("pass", "")]
    assert read(talk).age_proved


@pytest.mark.parametrize(
    ("carried", "after", "expected"),
    [(0, 80, ("no_result", "early")), (30, 80, ("fail", "")), (0, 500, ("fail", ""))],
)
def test_S4_a_fail_is_no_result_only_where_no_evidence_makes_it_old_enough(
    carried: float, after: float, expected: tuple[str, str]
) -> None:
    talk = dipped(carried=carried)

    talk.sends("2", after=after)

    assert outcomes(talk) == [expected]


@pytest.mark.parametrize(
    ("carried", "after", "expected"),
    [(0, 89, "no_result"), (30, 80, "no_result"), (10, 89, "no_result"), (0, 90, "pass")],
)
def test_S4_a_pass_is_one_only_where_no_evidence_makes_it_too_young(
    carried: float, after: float, expected: str
) -> None:
    """From the dip as it was handled, the least that its age can be; 90 s, from memory."""
    talk = dipped(carried=carried)

    talk.sends("1", after=after)

    assert [outcome for outcome, _ in outcomes(talk)] == [expected]


def test_S4_a_question_from_before_the_update_remembers_when_its_dip_was_handled() -> None:
    talk = dipped(carried=220)
    (thread,) = talk.clinic.threads.values()
    del thread.top.memo["sent"]  # type: ignore[attr-defined]

    talk.sends("1", after=95)

    assert outcomes(talk) == [("pass", "")]


# -- the worker's own watch ---------------------------------------------------------------------


@pytest.mark.parametrize(("carried", "after"), [(0, 300), (220, 95)])
def test_S4_a_site_may_trust_the_workers_watch_and_the_record_says_it_is_not_proved(
    carried: float, after: float
) -> None:
    talk = dipped(carried=carried)
    trusts_own_watch(talk)

    talk.sends("1", after=after)

    assert (read(talk).outcome, read(talk).age_proved) == ("pass", False)


def test_S10_with_an_own_watch_a_pass_in_the_first_seconds_after_the_dip_is_asked_about() -> None:
    talk = clinic()
    trusts_own_watch(talk)
    play_cycle(talk, until="read")

    said = talk.sends("1", after=3)

    assert said == [
        "That was quick. Take the time it needs. When it is really done, reply 1 again."
    ]
    assert outcomes(talk) == []
    assert step_of(talk) == "read"
    (event,) = talk.happened(AnsweredTooSoon)
    assert event.after == timedelta(seconds=3)
    talk.sends("1", after=28)
    assert outcomes(talk) == [("pass", "")]
    assert not read(talk).age_proved


@pytest.mark.parametrize(("answer", "because"), [("2", ""), ("3", "unsure")])
def test_S10_with_an_own_watch_bad_news_is_never_asked_about(answer: str, because: str) -> None:
    talk = dipped()
    trusts_own_watch(talk)

    talk.sends(answer, after=3)

    assert outcomes(talk) == [("fail", because)]


def test_S4_a_reading_of_before_midnight_passes_nothing_of_the_next_day() -> None:
    """Whenever its carrier brings it; midnight is the site's, three hours ahead."""
    talk = asked()
    midnight = datetime(2026, 3, 2, 21, 0, tzinfo=UTC)
    talk.wait(seconds=(midnight - timedelta(minutes=2, seconds=5) - talk.now).total_seconds())
    talk.sends("TEST T1")
    talk.sends("DIP T1")
    sent_at = talk.now + timedelta(seconds=95)
    talk.wait(seconds=250)

    arrives(talk, "1", sent_at)

    event = read(talk)
    assert (event.outcome, event.good_until) == ("pass", midnight)
    assert event.day == date(2026, 3, 2)
