"""A text that is committed goes out, in order, once."""

from datetime import timedelta
from threading import Barrier

import pytest

from bot.channels.web_phone import WebPhone
from bot.outbox.channel import Accepted, Channel
from bot.outbox.queue import Rendered, queue
from bot.outbox.sender import Sender, wait_before_next
from bot.store.people import erase
from flows.parts.decision import Saying
from flows.parts.events import TextUndelivered
from flows.parts.text import say
from tests.kit.gateway import NUMBER, Drop, Refuse, StandIn
from tests.outbox.post import NUMBERS, SITE, Post, gateway_channel


def test_what_is_queued_goes_out_to_the_phone_s_number(post: Post, carrier: StandIn) -> None:
    text = post.says("Wash it.", to="phone-2")

    post.sends()

    (taken,) = carrier.taken
    assert (taken.to, taken.sender, taken.body) == (NUMBERS["phone-2"], NUMBER, "Wash it.")
    assert post.state_of(text) == "sent"
    assert post.column(text, "gateway_sid") == taken.sid


def test_what_is_rolled_back_is_never_sent(post: Post, carrier: StandIn) -> None:
    saying = Saying(say("test.said", "{body}"), "phone-1")

    with post.store.writing.connect() as connection:
        queue(connection, SITE, [Rendered(saying, "phone-1", "en", "x")], post.clock.now())
        connection.rollback()
    post.sends()

    assert carrier.bodies == []


def test_the_row_keeps_what_was_sent_and_how_long_it_is(post: Post) -> None:
    text = post.says("5 {x} and ~")

    assert post.column(text, "body") == "5 {x} and ~"
    assert post.column(text, "septets") == 14
    assert post.column(text, "slug") == "test.said"


def test_texts_to_one_phone_go_out_in_the_order_in_which_they_were_said(
    post: Post, carrier: StandIn
) -> None:
    for body in ("one", "two", "three"):
        post.says(body)

    post.sends()

    assert carrier.bodies == ["one", "two", "three"]


def test_a_text_waits_behind_an_earlier_one_that_waits(post: Post, carrier: StandIn) -> None:
    carrier.fails(Refuse(429, 20429))
    post.says("one")
    post.says("two")

    post.sends()
    waiting = list(carrier.bodies)
    post.later(seconds=2)
    post.sends()

    assert waiting == []
    assert carrier.bodies == ["one", "two"]


def test_another_phone_does_not_wait(post: Post, carrier: StandIn) -> None:
    carrier.fails(Refuse(429, 20429), to=NUMBERS["phone-1"])
    post.says("one")
    post.says("two", to="phone-2")

    post.sends()

    assert carrier.bodies == ["two"]


def test_a_bell_passes_a_text_that_waits(post: Post, carrier: StandIn) -> None:
    carrier.fails(Refuse(429, 20429))
    post.says("one")
    post.sends()
    post.says("bell", bell="contact")

    post.sends()

    assert carrier.bodies == ["bell"]


def test_a_bell_goes_before_what_was_said_to_others(post: Post, carrier: StandIn) -> None:
    post.says("one", to="phone-1")
    post.says("bell", to="phone-2", bell="contact")

    post.sends()

    assert carrier.bodies == ["bell", "one"]


def test_nothing_passes_a_text_that_is_being_sent(post: Post, carrier: StandIn) -> None:
    post.says("one")
    post.says("bell", bell="contact")

    class Onlooker:
        """Another sender, which looks while the first text is on its way."""

        def __init__(self) -> None:
            self.inner = post.channel
            self.look_up = post.channel.look_up

        def send(self, *what: object) -> object:
            if not carrier.bodies:
                post.sends()
                seen.extend(carrier.bodies)
            return self.inner.send(*what)  # type: ignore[arg-type]

    seen: list[str] = []
    post.sender(Onlooker()).send_due()  # type: ignore[arg-type]

    assert seen == []
    assert carrier.bodies == ["one", "bell"]


@pytest.mark.parametrize(
    ("attempts", "seconds"), [(1, 2), (2, 4), (3, 8), (8, 256), (9, 300), (40, 300)]
)
def test_each_wait_is_twice_the_last_up_to_five_minutes(attempts: int, seconds: int) -> None:
    assert wait_before_next(attempts) == timedelta(seconds=seconds)


def test_the_gateway_says_how_long_to_wait(post: Post, carrier: StandIn) -> None:
    carrier.fails(Refuse(429, 20429, (("Retry-After", "17"),)))
    post.says("one")
    post.sends()

    post.later(seconds=16)
    post.sends()
    too_early = list(carrier.bodies)
    post.later(seconds=1)
    post.sends()

    assert too_early == []
    assert carrier.bodies == ["one"]


def test_a_gateway_that_cannot_be_reached_is_tried_again(post: Post, carrier: StandIn) -> None:
    nobody_home = gateway_channel(StandIn(url="http://127.0.0.1:9"))
    text = post.says("one")
    post.sender(nobody_home).send_due()
    waiting = post.state_of(text)

    post.later(seconds=2)
    post.sends()

    assert waiting == "pending"
    assert carrier.bodies == ["one"]


def test_a_number_that_never_works_is_given_up_on_at_once_and_told(
    post: Post, carrier: StandIn
) -> None:
    carrier.fails(Refuse(400, 21211))
    text = post.says("one")

    post.sends()

    assert post.state_of(text) == "dead"
    assert post.told == [TextUndelivered("phone-1", str(text), "not a valid phone number")]


def test_what_is_given_up_on_holds_nobody_up(post: Post, carrier: StandIn) -> None:
    carrier.fails(Refuse(400, 21211))
    post.says("one")
    post.says("two")

    post.sends()

    assert carrier.bodies == ["two"]


def test_a_sixteenth_text_to_a_phone_within_thirty_seconds_waits(
    post: Post, carrier: StandIn
) -> None:
    """Source: the gateway's old list of frequent questions, 15 texts in 30 s to one number."""
    for number in range(17):
        post.says(f"text {number}")
    post.says("other", to="phone-2")

    post.sends()
    at_once = list(carrier.bodies)
    post.later(seconds=29)
    post.sends()
    before = list(carrier.bodies)
    post.later(seconds=1)
    post.sends()

    assert at_once == [*(f"text {number}" for number in range(15)), "other"]
    assert before == at_once
    assert carrier.bodies == [*at_once, "text 15", "text 16"]


def test_S11_a_text_whose_question_is_answered_is_not_sent(post: Post, carrier: StandIn) -> None:
    post.asks("thread-1", 3)
    text = post.says("Still there?", about=("thread-1", 3))
    post.asks("thread-1", 4)

    post.sends()

    assert carrier.bodies == []
    assert post.state_of(text) == "overtaken"
    assert post.told == []


def test_S11_a_text_whose_conversation_is_over_is_not_sent(post: Post, carrier: StandIn) -> None:
    post.asks("thread-1", 3)
    text = post.says("Still there?", about=("thread-1", 3), bell="nudge")
    post.ends("thread-1")

    post.sends()

    assert carrier.bodies == []
    assert post.state_of(text) == "overtaken"


def test_S11_a_text_whose_question_is_open_is_sent(post: Post, carrier: StandIn) -> None:
    post.asks("thread-1", 3)
    post.says("Still there?", about=("thread-1", 3))

    post.sends()

    assert carrier.bodies == ["Still there?"]


def test_S11_a_text_past_its_time_is_not_sent_and_that_is_told(
    post: Post, carrier: StandIn
) -> None:
    text = post.says("Take it out.", bell="contact", good_for=timedelta(minutes=5))
    post.later(minutes=5)

    post.sends()

    assert carrier.bodies == []
    assert post.state_of(text) == "dead"
    assert post.told == [TextUndelivered("phone-1", str(text), "not sent in time")]


def test_S11_what_waits_is_given_up_on_when_its_time_is_up_and_not_later(
    post: Post, carrier: StandIn
) -> None:
    carrier.fails(Refuse(429, 20429, (("Retry-After", "3600"),)))
    post.says("Take it out.", bell="contact", good_for=timedelta(minutes=5))
    post.sends()

    post.later(minutes=5)
    post.sends()

    assert [type(event) for event in post.told] == [TextUndelivered]


def test_S11_the_carrier_is_told_how_long_a_text_is_good_for(post: Post, carrier: StandIn) -> None:
    post.says("one", good_for=timedelta(minutes=10))
    post.later(minutes=3)

    post.sends()

    assert [taken.validity_s for taken in carrier.taken] == [7 * 60]


def test_an_erased_number_is_not_texted(post: Post, carrier: StandIn) -> None:
    text = post.says("one")
    with post.store.write() as connection:
        erase(connection, SITE, "person-1", ("phone-1",))

    post.sends()

    assert carrier.asked == []
    assert post.state_of(text) == "dead"


def test_a_cut_line_before_anything_was_taken_loses_no_bell(post: Post, carrier: StandIn) -> None:
    carrier.fails(Drop(taken=False))
    post.says("bell", bell="contact")

    post.sends()
    post.later(seconds=15)
    post.sends()

    assert carrier.bodies == ["bell"]


def test_a_sender_that_is_told_to_end_finishes_what_is_in_hand_and_begins_nothing_more(
    post: Post, carrier: StandIn
) -> None:
    first, second = post.says("one"), post.says("two", to="phone-2")
    told = Told(post.channel)
    told.sender = post.sender(told)

    told.sender.send_due()

    assert carrier.bodies == ["one"]
    assert (post.state_of(first), post.state_of(second)) == ("sent", "pending")


def test_texts_to_different_phones_are_handed_over_at_once(post: Post) -> None:
    texts = [post.says(f"to {phone}", to=phone) for phone in NUMBERS]
    together = Barrier(len(NUMBERS))

    class Slow(WebPhone):
        def send(self, *what: object) -> Accepted:
            together.wait(timeout=30)
            return super().send(*what)  # type: ignore[arg-type]

    post.sender(Slow(), hands=len(NUMBERS)).send_due()

    assert [post.state_of(each) for each in texts] == ["sent", "sent"]


def test_a_fault_over_one_text_keeps_nobody_else_waiting(post: Post) -> None:
    first, second = post.says("one"), post.says("two", to="phone-2")

    class Faulty(WebPhone):
        def send(self, number: str, *rest: object) -> Accepted:
            if number == NUMBERS["phone-1"]:
                raise LookupError("a fault of ours")
            return super().send(number, *rest)  # type: ignore[arg-type]

    with pytest.raises(LookupError, match="a fault of ours"):
        post.sender(Faulty()).send_due()

    assert (post.state_of(first), post.state_of(second)) == ("claimed", "sent")


class Told:
    """A channel during whose first hand-over the process is told to end."""

    def __init__(self, channel: Channel) -> None:
        self.channel = channel
        self.sender: Sender

    def send(self, number: str, body: str, ref: str, valid_for: timedelta) -> Accepted:
        self.sender.end()
        return self.channel.send(number, body, ref, valid_for)
