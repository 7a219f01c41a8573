"""Nobody knows whether it went out: what then."""

from datetime import timedelta

import pytest

from bot.outbox.channel import Accepted, Later
from bot.outbox.sender import BEFORE_LOOK_UP, LEASE
from flows.parts.events import TextUndelivered
from tests.kit.gateway import Drop, Fault, Garble, Refuse, StandIn
from tests.outbox.post import NUMBERS, Post

LOST_AFTER_TAKING: list[Fault] = [Drop(taken=True), Garble()]


def asked_for_lists(carrier: StandIn) -> int:
    return sum(1 for asked in carrier.asked if asked.method == "GET")


@pytest.mark.parametrize("fault", LOST_AFTER_TAKING, ids=["cut", "garbled"])
@pytest.mark.parametrize("bell", [None, "contact"], ids=["text", "bell"])
def test_what_the_gateway_took_is_found_there_and_not_sent_again(
    post: Post, carrier: StandIn, fault: Fault, bell: str | None
) -> None:
    carrier.fails(fault)
    text = post.says("one", bell=bell)
    post.sends()
    lost = post.state_of(text)

    post.clock.advance(BEFORE_LOOK_UP)
    post.sends()

    assert lost == "unknown"
    assert carrier.bodies == ["one"]
    assert post.state_of(text) == "sent"
    assert post.column(text, "gateway_sid") == carrier.taken[0].sid
    assert post.told == []


@pytest.mark.parametrize("fault", [Drop(taken=False), Refuse(500), Refuse(503, 20500)])
def test_a_lost_text_that_is_no_bell_is_never_sent_twice_and_that_is_told(
    post: Post, carrier: StandIn, fault: Fault
) -> None:
    """A POST answered with 5xx may have gone out. Source: the gateway's page on error 20500."""
    carrier.fails(fault)
    text = post.says("one")
    post.sends()

    for _ in range(5):
        post.later(minutes=5)
        post.sends()

    assert carrier.bodies == []
    assert sum(1 for asked in carrier.asked if asked.method == "POST") == 1
    assert post.state_of(text) == "dead"
    assert post.told == [TextUndelivered("phone-1", str(text), "nobody knows whether it went out")]


@pytest.mark.parametrize("fault", [Drop(taken=False), Refuse(500), Refuse(503, 20500)])
def test_a_lost_bell_that_the_gateway_has_not_got_is_sent_again(
    post: Post, carrier: StandIn, fault: Fault
) -> None:
    carrier.fails(fault)
    bell = post.says("Take it out.", bell="contact")
    post.sends()

    post.clock.advance(BEFORE_LOOK_UP)
    post.sends()

    assert carrier.bodies == ["Take it out."]
    assert post.state_of(bell) == "sent"
    assert post.told == []


def test_a_text_with_the_same_words_sent_before_is_not_mistaken_for_the_lost_one(
    post: Post, carrier: StandIn
) -> None:
    post.says("Take it out.", bell="contact")
    post.sends()
    carrier.fails(Drop(taken=False))
    lost = post.says("Take it out.", bell="contact")
    post.sends()

    post.clock.advance(BEFORE_LOOK_UP)
    post.sends()

    assert carrier.bodies == ["Take it out.", "Take it out."]
    assert post.column(lost, "gateway_sid") == carrier.taken[1].sid


def test_a_delivery_report_settles_a_lost_answer_without_asking(
    post: Post, carrier: StandIn
) -> None:
    carrier.fails(Drop(taken=True))
    text = post.says("one")
    post.sends()

    post.hears(text, carrier.taken[0].sid, "sent")
    post.clock.advance(BEFORE_LOOK_UP)
    post.sends()

    assert post.state_of(text) == "sent"
    assert post.column(text, "gateway_sid") == carrier.taken[0].sid
    assert asked_for_lists(carrier) == 0


def test_a_report_on_a_bell_that_was_to_be_sent_again_stops_it(
    post: Post, carrier: StandIn
) -> None:
    carrier.fails(Drop(taken=False), Refuse(429, 20429))
    bell = post.says("Take it out.", bell="contact")
    post.sends()
    post.clock.advance(BEFORE_LOOK_UP)
    post.sends()
    waiting = post.state_of(bell)

    post.hears(bell, "SM" + "f" * 32, "sent")
    post.later(minutes=5)
    post.sends()

    assert waiting == "pending"
    assert carrier.bodies == []
    assert post.state_of(bell) == "sent"


def test_a_worker_that_never_came_back_leaves_its_text_unknown_and_not_pending(
    post: Post, carrier: StandIn
) -> None:
    class Dies:
        """A worker killed after the gateway took the text, before it could note it."""

        look_up = post.channel.look_up

        def send(self, *what: object) -> Accepted:
            post.channel.send(*what)  # type: ignore[arg-type]
            raise KeyboardInterrupt

    text = post.says("one", bell="contact")
    with pytest.raises(KeyboardInterrupt):
        post.sender(Dies()).send_due()
    post.sends()
    during = post.state_of(text)

    post.clock.advance(LEASE)
    post.sends()

    assert during == "claimed"
    assert carrier.bodies == ["one"]
    assert post.state_of(text) == "sent"


def test_a_look_up_that_is_not_answered_is_made_again_and_nothing_is_sent_meanwhile(
    post: Post, carrier: StandIn
) -> None:
    class Deaf:
        send = post.channel.send

        def look_up(self, *_: object) -> Accepted | None:
            raise Later("the gateway cannot be reached")

    carrier.fails(Drop(taken=True))
    bell = post.says("Take it out.", bell="contact")
    post.sends()
    post.clock.advance(BEFORE_LOOK_UP)
    post.sender(Deaf()).send_due()
    unanswered = post.state_of(bell)

    post.later(minutes=5)
    post.sends()

    assert unanswered == "unknown"
    assert carrier.bodies == ["Take it out."]
    assert post.state_of(bell) == "sent"


def test_a_bell_that_can_never_be_looked_up_is_told_when_its_time_is_up(
    post: Post, carrier: StandIn
) -> None:
    class Deaf:
        send = post.channel.send

        def look_up(self, *_: object) -> Accepted | None:
            raise Later("the gateway cannot be reached")

    carrier.fails(Drop(taken=True))
    bell = post.says("Take it out.", bell="contact", good_for=timedelta(minutes=5))
    post.sends()

    post.later(minutes=5)
    post.sender(Deaf()).send_due()

    assert post.state_of(bell) == "dead"
    assert [type(event) for event in post.told] == [TextUndelivered]


def test_a_late_answer_counts_even_when_the_claim_has_run_out(
    post: Post, carrier: StandIn
) -> None:
    class Slow:
        """Takes longer than the lease; meanwhile another worker finds nothing to look up."""

        look_up = post.channel.look_up

        def send(self, *what: object) -> Accepted:
            post.clock.advance(LEASE)
            post.sender(Blind()).send_due()
            return post.channel.send(*what)  # type: ignore[arg-type]

    class Blind:
        def send(self, *_: object) -> Accepted:
            raise Later("busy")

        def look_up(self, *_: object) -> Accepted | None:
            raise Later("busy")

    text = post.says("one", to="phone-2", bell="contact")

    post.sender(Slow()).send_due()
    at_once = post.state_of(text)
    post.later(minutes=5)
    post.sends()

    assert at_once == "sent"
    assert [taken.to for taken in carrier.taken] == [NUMBERS["phone-2"]]
