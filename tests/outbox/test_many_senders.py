"""Any number of senders share one outbox: each text goes out once, each phone's in order."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier

from bot.channels.web_phone import WebPhone
from bot.clock import HandClock
from bot.outbox.channel import Accepted
from bot.store.transaction import Store
from tests.kit.gateway import NINE
from tests.outbox.post import NUMBERS, Post

SENDERS = 4
TEXTS = 14


def test_senders_that_run_at_once_send_each_text_once_and_in_order(store: Store) -> None:
    screen = WebPhone()
    post = Post(store, screen, HandClock(NINE))
    post.opens()
    for number in range(TEXTS):
        post.says(f"one {number}", to="phone-1")
        post.says(f"two {number}", to="phone-2")
    together = Barrier(SENDERS)

    def work(_: int) -> int:
        together.wait()
        return post.sends()

    with ThreadPoolExecutor(SENDERS) as pool:
        dealt = sum(pool.map(work, range(SENDERS)))
    post.sends()

    for phone, word in (("phone-1", "one"), ("phone-2", "two")):
        shown = [text.body for text in screen.on(NUMBERS[phone])]
        assert shown == [f"{word} {number}" for number in range(TEXTS)]
    assert dealt <= 2 * TEXTS


def test_a_claimed_text_is_nobody_else_s_until_its_lease_ends(store: Store) -> None:
    screen = WebPhone()
    post = Post(store, screen, HandClock(NINE))
    post.opens()
    post.says("one")

    class Onlooker(WebPhone):
        def send(self, *what: object) -> Accepted:
            post.clock.advance(timedelta(seconds=59))
            post.sends()
            return screen.send(*what)  # type: ignore[arg-type]

    post.sender(Onlooker()).send_due()

    assert [text.body for text in screen.on(NUMBERS["phone-1"])] == ["one"]
