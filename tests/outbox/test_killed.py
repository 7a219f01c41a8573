"""A process that is killed, for real, between any two steps loses no text and doubles none."""

import os
import signal
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from bot.clock import HandClock
from bot.outbox.channel import Accepted
from bot.outbox.sender import LEASE
from bot.store.engine import open_store
from flows.parts.events import TextUndelivered
from tests.kit.gateway import NINE, StandIn
from tests.outbox.post import Post, gateway_channel


class DiesBefore:
    """Killed once the text is claimed, before a byte has left."""

    def __init__(self, _: StandIn) -> None:
        """Needs no gateway."""

    def send(self, *_: object) -> Accepted:
        return _die()

    def look_up(self, *_: object) -> Accepted | None:
        return _die()


class DiesAfter(DiesBefore):
    """Killed once the gateway has the text, before that is noted."""

    def __init__(self, carrier: StandIn) -> None:
        self._gateway = gateway_channel(carrier)

    def send(self, *what: object) -> Accepted:
        self._gateway.send(*what)  # type: ignore[arg-type]
        return _die()


def _die() -> Accepted:
    os.kill(os.getpid(), signal.SIGKILL)
    raise AssertionError


def worker(database: str, url: str, way: str, bell: str) -> None:
    """The other process: says a text, and is killed."""
    carrier = StandIn(url=url)
    post = Post(open_store(database), gateway_channel(carrier), HandClock(NINE))
    post.says("Take it out.", bell=bell or None)
    if way == "after the commit":
        _die()
    dying = DiesBefore(carrier) if way == "before the hand-over" else DiesAfter(carrier)
    post.sender(dying).send_due()


def killed(post: Post, carrier: StandIn, way: str, bell: str) -> int:
    database = post.store.writing.url.render_as_string(hide_password=False)
    code = "import sys; from tests.outbox.test_killed import worker; worker(*sys.argv[1:])"
    ran = subprocess.run(
        [sys.executable, "-c", code, database, carrier.url, way, bell],
        cwd=Path(__file__).parents[2],
        check=False,
        timeout=60,
    )
    return ran.returncode


@pytest.mark.parametrize("bell", ["", "contact"], ids=["text", "bell"])
def test_killed_between_the_commit_and_the_sending_loses_nothing(
    post: Post, carrier: StandIn, bell: str
) -> None:
    code = killed(post, carrier, "after the commit", bell)

    post.sends()

    assert code == -signal.SIGKILL
    assert carrier.bodies == ["Take it out."]
    assert post.state_of(1) == "sent"


@pytest.mark.parametrize("bell", ["", "contact"], ids=["text", "bell"])
def test_killed_after_the_hand_over_it_is_found_there_and_not_sent_again(
    post: Post, carrier: StandIn, bell: str
) -> None:
    code = killed(post, carrier, "after the hand-over", bell)

    post.clock.advance(LEASE)
    post.sends()

    assert code == -signal.SIGKILL
    assert carrier.bodies == ["Take it out."]
    assert post.state_of(1) == "sent"


def test_killed_before_the_hand_over_a_bell_is_sent(post: Post, carrier: StandIn) -> None:
    code = killed(post, carrier, "before the hand-over", "contact")

    post.clock.advance(LEASE)
    post.sends()

    assert code == -signal.SIGKILL
    assert carrier.bodies == ["Take it out."]
    assert post.state_of(1) == "sent"


def test_killed_before_the_hand_over_another_text_is_told_as_lost(
    post: Post, carrier: StandIn
) -> None:
    """Nobody can know on which side of the hand-over it was: not sent twice, and not silent."""
    code = killed(post, carrier, "before the hand-over", "")

    post.clock.advance(LEASE + timedelta(minutes=5))
    post.sends()

    assert code == -signal.SIGKILL
    assert carrier.bodies == []
    assert [type(event) for event in post.told] == [TextUndelivered]
