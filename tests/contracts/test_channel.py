"""What every channel promises, asked of each: the gateway, the terminal, the web phone."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta

import pytest

from bot.channels.gateway import Account, Gateway
from bot.channels.terminal import Terminal
from bot.channels.web_phone import WebPhone
from bot.outbox.channel import Channel
from tests.kit.gateway import ACCOUNT, NINE, NUMBER, TOKEN, gateway

ONE, OTHER = "+15550000001", "+15550000002"
FIVE_MINUTES = timedelta(minutes=5)
NOBODY: frozenset[str] = frozenset()


@dataclass
class Line:
    """A channel, and what arrived at its far end."""

    channel: Channel
    arrived: Callable[[], list[tuple[str, str]]]
    remembers: bool


@pytest.fixture(params=["gateway", "terminal", "web phone"])
def line(request: pytest.FixtureRequest) -> Iterator[Line]:
    if request.param == "terminal":
        shown: list[tuple[str, str]] = []
        yield Line(Terminal(lambda *text: shown.append(text)), lambda: shown, remembers=False)
    elif request.param == "web phone":
        phones = WebPhone()
        numbers = (ONE, OTHER)
        yield Line(
            phones,
            lambda: [(n, text.body) for n in numbers for text in phones.on(n)],
            remembers=True,
        )
    else:
        with gateway() as carrier:
            account = Account(ACCOUNT, TOKEN, NUMBER, carrier.url)
            yield Line(
                Gateway(account, "http://127.0.0.1/sms/status"),
                lambda: [(text.to, text.body) for text in carrier.taken],
                remembers=True,
            )


def test_a_text_arrives_as_it_was_said(line: Line) -> None:
    line.channel.send(ONE, "Wash it, then text WASHED.\n£5 & {x}", "1.ab", FIVE_MINUTES)

    assert line.arrived() == [(ONE, "Wash it, then text WASHED.\n£5 & {x}")]


def test_every_text_gets_a_name_of_its_own(line: Line) -> None:
    sids = {line.channel.send(ONE, "same", f"{n}.ab", FIVE_MINUTES).sid for n in range(5)}

    assert len(sids) == 5
    assert all(sids)


def test_texts_arrive_in_the_order_in_which_they_were_sent(line: Line) -> None:
    for number in range(5):
        line.channel.send(ONE, f"text {number}", f"{number}.ab", FIVE_MINUTES)

    assert [body for _, body in line.arrived()] == [f"text {number}" for number in range(5)]


def test_what_was_never_sent_is_not_found(line: Line) -> None:
    line.channel.send(OTHER, "one", "1.ab", FIVE_MINUTES)

    assert line.channel.look_up(ONE, "one", "2.ab", NINE, NOBODY) is None


def test_what_was_sent_is_found_by_whoever_lost_the_answer(line: Line) -> None:
    """The terminal remembers nothing: whoever looks at it has seen the text."""
    accepted = line.channel.send(ONE, "one", "2.ab", FIVE_MINUTES)

    found = line.channel.look_up(ONE, "one", "2.ab", NINE, NOBODY)

    assert found == (accepted if line.remembers else None)


def test_a_text_that_is_known_already_is_not_found_again(line: Line) -> None:
    accepted = line.channel.send(ONE, "one", "1.ab", FIVE_MINUTES)

    found = line.channel.look_up(ONE, "one", "1.ab", NINE, frozenset({accepted.sid}))

    assert found is None
