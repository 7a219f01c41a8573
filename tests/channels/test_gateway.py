"""The gateway's client over real HTTP: what it asks for, and what it makes of each answer."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from urllib.parse import parse_qs

import pytest

from bot.channels.gateway import Account, Gateway, Missed
from bot.outbox.channel import Later, Never, NotSent, Unknown
from tests.kit.gateway import (
    ACCOUNT,
    NINE,
    NUMBER,
    TOKEN,
    Drop,
    Fault,
    Garble,
    Hang,
    Message,
    Refuse,
    StandIn,
    gateway,
)

TO = "+15550000001"
FIVE_MINUTES = timedelta(minutes=5)


@pytest.fixture
def carrier() -> Iterator[StandIn]:
    with gateway() as stand_in:
        yield stand_in


@pytest.fixture
def channel(carrier: StandIn) -> Gateway:
    return Gateway(Account(ACCOUNT, TOKEN, NUMBER, carrier.url), "https://bot.example.org/status")


def failure(channel: Gateway, body: str = "one") -> NotSent:
    with pytest.raises(NotSent) as caught:
        channel.send(TO, body, "1.ab", FIVE_MINUTES)
    return caught.value


def test_a_text_carries_everything_that_the_gateway_and_we_need(
    channel: Gateway, carrier: StandIn
) -> None:
    accepted = channel.send(TO, "Wash it & dry it.", "12.ab", FIVE_MINUTES)

    assert accepted.sid == carrier.taken[0].sid
    assert parse_qs(carrier.asked[0].body) == {
        "To": [TO],
        "From": [NUMBER],
        "Body": ["Wash it & dry it."],
        "StatusCallback": ["https://bot.example.org/status?ref=12.ab"],
        "ValidityPeriod": ["300"],
    }


@pytest.mark.parametrize(
    ("good_for", "asked_s"),
    [
        (timedelta(seconds=1), 60),
        (timedelta(seconds=61.9), 61),
        # Source: the gateway's OpenAPI description, ValidityPeriod: 36000 s at most.
        (timedelta(days=1), 36_000),
    ],
)
def test_every_text_has_a_time_after_which_it_is_not_delivered(
    channel: Gateway, carrier: StandIn, good_for: timedelta, asked_s: int
) -> None:
    channel.send(TO, "one", "1.ab", good_for)

    assert carrier.taken[0].validity_s == asked_s


def test_1600_characters_are_taken_and_one_more_never_leaves(
    channel: Gateway, carrier: StandIn
) -> None:
    """Source: the gateway's page on error 21617."""
    channel.send(TO, "x" * 1600, "1.ab", FIVE_MINUTES)

    refused = failure(channel, "x" * 1601)

    assert isinstance(refused, Never)
    assert len(carrier.asked) == 1


@pytest.mark.parametrize(
    ("fault", "kind", "code"),
    [
        (Refuse(400, 21211), Never, "21211"),
        (Refuse(400, 21610), Never, "21610"),
        (Refuse(403), Never, "403"),
        (Refuse(401, 20003), Later, "20003"),
        (Refuse(429, 20429), Later, "20429"),
        (Refuse(429), Later, "20429"),
        (Refuse(400, 21611), Later, "21611"),
        (Refuse(500, 20500), Unknown, "20500"),
        (Refuse(503), Unknown, "503"),
        (Drop(taken=True), Unknown, None),
        (Drop(taken=False), Unknown, None),
        (Garble(), Unknown, None),
    ],
    ids=repr,
)
def test_each_answer_means_later_or_never_or_that_nobody_knows(
    channel: Gateway, carrier: StandIn, fault: Fault, kind: type[NotSent], code: str | None
) -> None:
    carrier.fails(fault)

    refused = failure(channel)

    assert type(refused) is kind
    assert refused.code == code
    assert refused.reason


def test_a_gateway_that_hangs_is_not_waited_for_for_ever(carrier: StandIn) -> None:
    carrier.fails(Hang())
    impatient = Gateway(Account(ACCOUNT, TOKEN, NUMBER, carrier.url), "http://x/s", timeout_s=0.2)

    assert type(failure(impatient)) is Unknown


def test_a_gateway_that_is_not_there_has_certainly_taken_nothing() -> None:
    nobody = Gateway(Account(ACCOUNT, TOKEN, NUMBER, "http://127.0.0.1:9"), "http://x/s")

    assert type(failure(nobody)) is Later


@pytest.mark.parametrize(
    ("header", "wait"),
    [("30", timedelta(seconds=30)), ("soon", None), ("-1", None), ("", None)],
)
def test_how_long_a_429_asks_to_wait_is_heard(
    channel: Gateway, carrier: StandIn, header: str, wait: timedelta | None
) -> None:
    carrier.fails(Refuse(429, 20429, (("Retry-After", header),)))

    refused = failure(channel)

    assert isinstance(refused, Later)
    assert refused.retry_after == wait


def test_texts_that_the_webhook_missed_are_asked_for_oldest_first(
    channel: Gateway, carrier: StandIn
) -> None:
    carrier.is_texted(TO, "OUT 47", NINE + timedelta(minutes=13))
    carrier.is_texted(TO, "IN 21", NINE)
    carrier.is_texted(TO, "listed late", NINE - timedelta(hours=1))
    carrier.is_texted(TO, "long ago", NINE - timedelta(hours=1, seconds=1))
    channel.send(TO, "not one of theirs", "1.ab", FIVE_MINUTES)

    missed = channel.missed(NINE)

    assert [(text.body, text.sent_at) for text in missed] == [
        ("listed late", NINE - timedelta(hours=1)),
        ("IN 21", NINE),
        ("OUT 47", NINE + timedelta(minutes=13)),
    ]
    assert {text.number for text in missed} == {TO}


def test_what_another_number_of_the_account_sent_to_ours_has_not_come_in(
    channel: Gateway, carrier: StandIn
) -> None:
    """It is listed twice: as it went out there, and as it came in here."""
    carrier.messages.append(
        Message("SM" + "1" * 32, NUMBER, "+15550008888", "x", "outbound-api", NINE, NINE, "sent")
    )
    came_in = carrier.is_texted("+15550008888", "x", NINE)

    assert [text.sid for text in channel.missed(NINE)] == [came_in.sid]


def test_more_missed_texts_than_one_page_holds_are_all_found(
    channel: Gateway, carrier: StandIn
) -> None:
    for minute in range(130):
        carrier.is_texted(TO, f"text {minute}", NINE + timedelta(minutes=minute))

    missed = channel.missed(NINE)

    assert [text.body for text in missed] == [f"text {minute}" for minute in range(130)]


def test_a_text_without_words_is_missed_too(channel: Gateway, carrier: StandIn) -> None:
    carrier.messages.append(
        Message("SM" + "1" * 32, NUMBER, TO, "", "inbound", NINE, None, "received")
    )
    carrier.messages[0].sent_at = NINE

    assert channel.missed(NINE) == [Missed("SM" + "1" * 32, TO, "", NINE)]


def test_what_was_missed_cannot_be_asked_now_is_later(channel: Gateway) -> None:
    nobody = Gateway(Account(ACCOUNT, TOKEN, NUMBER, "http://127.0.0.1:9"), "http://x/s")

    with pytest.raises(Later):
        nobody.missed(NINE)
    assert channel.missed(datetime(2026, 3, 2, tzinfo=UTC)) == []


def test_a_text_sent_long_before_the_lost_one_is_not_taken_for_it(channel: Gateway) -> None:
    channel.send(TO, "one", "1.ab", FIVE_MINUTES)

    found = channel.look_up(TO, "one", "2.ab", NINE + FIVE_MINUTES, frozenset())

    assert found is None


def test_the_account_does_not_show_its_token() -> None:
    account = Account(ACCOUNT, TOKEN, NUMBER)

    assert TOKEN not in f"{account} {account!r}"
