"""Delivery reports come in any order, more than once, and for texts nobody has noted yet."""

from itertools import permutations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select

from bot.outbox.reference import read, sign
from bot.outbox.sender import Sender
from bot.outbox.status import RANKS, Report, receive, tell_facts
from bot.store.tables import outbox_status
from flows.parts.events import Event, PhoneOptedOut, PhoneReachable, TextUndelivered
from tests.kit.gateway import Refuse, StandIn
from tests.outbox.post import SECRET, Post

SID = "SM" + "a" * 32


def reports_kept(post: Post) -> list[tuple[str | None, str]]:
    with post.store.read() as connection:
        rows = connection.execute(select(outbox_status).order_by(outbox_status.c.id))
        return [(row.sid, row.status) for row in rows]


def test_reports_in_any_order_end_as_delivered(post: Post) -> None:
    for order in permutations(["sending", "sent", "delivered"]):
        text = post.says("one")
        post.sends()
        sid = str(post.column(text, "gateway_sid"))

        for status in order:
            post.hears(text, sid, status)

        assert (post.column(text, "last_status"), post.state_of(text)) == ("delivered", "sent")
    assert post.told == []
    assert len(reports_kept(post)) == 18


@given(statuses=st.lists(st.sampled_from(sorted(RANKS)), min_size=1, max_size=8))
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_report_ever_moves_a_text_back(post: Post, statuses: list[str]) -> None:
    text = post.says("one", to="phone-2")
    sid = f"SM{text:032x}"
    seen: list[int] = []

    for status in statuses:
        post.hears(text, sid, status)
        seen.append(RANKS[str(post.column(text, "last_status"))])

    assert seen == sorted(seen)
    assert seen[-1] == max(RANKS[status] for status in statuses)
    assert post.state_of(text) == ("dead" if seen[-1] == RANKS["failed"] else "sent")


def test_a_failure_is_told_with_the_text_it_is_about_and_why(post: Post) -> None:
    bell = post.says("Take it out.", bell="contact")
    post.sends()

    post.hears(bell, SID, "undelivered", "30003")

    assert post.state_of(bell) == "dead"
    assert post.column(bell, "error_code") == "30003"
    assert post.told == [
        TextUndelivered("phone-1", str(bell), "handset switched off or out of reach")
    ]


def test_a_failure_in_a_code_that_nobody_knows_is_told_all_the_same(post: Post) -> None:
    text = post.says("one")
    post.sends()

    post.hears(text, SID, "failed", "39999")

    assert post.told == [TextUndelivered("phone-1", str(text), "failed")]


def test_a_failure_after_the_arrival_is_not_believed(post: Post) -> None:
    text = post.says("one")
    post.sends()

    post.hears(text, SID, "delivered")
    post.hears(text, SID, "undelivered", "30003")

    assert post.state_of(text) == "sent"
    assert post.told == []


def test_an_arrival_after_a_failure_says_that_the_phone_is_there_again(post: Post) -> None:
    text = post.says("one")
    post.sends()

    post.hears(text, SID, "undelivered", "30003")
    post.hears(text, SID, "delivered")

    assert post.state_of(text) == "sent"
    assert post.column(text, "error_code") is None
    assert [type(event) for event in post.told] == [TextUndelivered, PhoneReachable]


def test_an_arrival_before_the_failure_was_even_told_leaves_the_phone_reachable(
    post: Post,
) -> None:
    text = post.says("one")
    post.sends()

    for status in ("undelivered", "delivered"):
        receive(post.store, Report(SID, status, sign(SECRET, text)), SECRET, post.clock.now())
    tell_facts(post.store, post.tell, post.clock)

    assert [type(event) for event in post.told] == [TextUndelivered, PhoneReachable]


def test_the_first_arrival_on_a_phone_that_was_out_of_reach_is_told_and_no_later_one(
    post: Post,
) -> None:
    post.happened(TextUndelivered("phone-1", "0", "handset switched off or out of reach"))
    first, second = post.says("one"), post.says("two")
    post.sends()

    post.hears(first, SID, "delivered")
    post.hears(second, "SM" + "b" * 32, "delivered")

    assert post.told == [PhoneReachable("phone-1")]


def test_the_same_report_twice_is_kept_and_told_once(post: Post) -> None:
    text = post.says("one")
    post.sends()

    for _ in range(3):
        post.hears(text, SID, "failed", "30005")

    assert reports_kept(post) == [(SID, "failed")]
    assert len(post.told) == 1


def test_an_opt_out_is_told_once_and_each_lost_text_every_time(
    post: Post, carrier: StandIn
) -> None:
    carrier.fails(Refuse(400, 21610), Refuse(400, 21610))
    first = post.says("one")
    post.sends()
    second = post.says("two")
    post.sends()

    assert post.told == [
        PhoneOptedOut("phone-1"),
        TextUndelivered("phone-1", str(first), "the person has opted out"),
        TextUndelivered("phone-1", str(second), "the person has opted out"),
    ]


def test_a_report_with_a_forged_reference_is_about_nothing(post: Post) -> None:
    text = post.says("one")
    post.sends()

    is_known = post.hears_of(Report(SID, "failed", f"{text}.0123456789abcdef", "30005"))

    assert is_known is False
    assert post.state_of(text) == "sent"
    assert reports_kept(post) == []


def test_a_report_without_a_reference_is_known_by_the_gateway_s_own_name(
    post: Post, carrier: StandIn
) -> None:
    text = post.says("one")
    post.sends()

    is_known = post.hears_of(Report(carrier.taken[0].sid, "delivered"))

    assert is_known is True
    assert post.column(text, "last_status") == "delivered"


def test_a_word_that_nobody_knows_moves_nothing_and_is_kept(post: Post) -> None:
    text = post.says("one")
    post.sends()

    post.hears(text, SID, "teleported")

    assert post.column(text, "last_status") is None
    assert reports_kept(post) == [(SID, "teleported")]


def test_a_fact_that_its_teller_did_not_finish_is_told_by_another(
    post: Post, carrier: StandIn
) -> None:
    carrier.fails(Refuse(400, 21211))
    post.says("one")

    def dies(_site: str, _event: Event, _phone: str) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        Sender(post.store, post.channel, post.clock, SECRET, dies).send_due()
    at_once = tell_facts(post.store, post.tell, post.clock)
    post.later(seconds=60)

    assert at_once == 0
    assert tell_facts(post.store, post.tell, post.clock) == 1
    assert [type(event) for event in post.told] == [TextUndelivered]


@given(st.integers(min_value=1, max_value=2**62))
def test_our_own_reference_is_read_back(outbox_id: int) -> None:
    assert read(SECRET, sign(SECRET, outbox_id)) == outbox_id


@given(st.integers(min_value=1, max_value=2**62), st.integers(min_value=1, max_value=2**62))
def test_a_reference_moved_to_another_text_is_not_ours(one: int, other: int) -> None:
    mac = sign(SECRET, one).partition(".")[2]

    assert read(SECRET, f"{other}.{mac}") == (one if one == other else None)


@pytest.mark.parametrize("said", ["", ".", "12", "12.", "x.y", "\u0661.00", "1.\u00e9", "-1.ab"])
def test_what_is_no_reference_is_nobody_s(said: str) -> None:
    assert read(SECRET, said) is None


def test_a_reference_signed_with_another_secret_is_not_ours() -> None:
    assert read("another secret", sign(SECRET, 7)) is None
