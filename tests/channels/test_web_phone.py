"""A phone that is a page: what it shows, and how the page hears of news."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

from bot.channels.web_phone import WebPhone
from bot.clock import HandClock

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
ONE, OTHER = "+15550000001", "+15550000002"
FIVE_MINUTES = timedelta(minutes=5)


def test_each_phone_shows_its_own_texts_in_order() -> None:
    phones = WebPhone()

    for number, body in ((ONE, "a"), (OTHER, "b"), (ONE, "c")):
        phones.send(number, body, "1.ab", FIVE_MINUTES)

    assert [shown.body for shown in phones.on(ONE)] == ["a", "c"]
    assert [shown.body for shown in phones.on(OTHER)] == ["b"]


def test_a_page_asks_only_for_what_it_has_not_shown() -> None:
    phones = WebPhone()
    phones.send(ONE, "a", "1.ab", FIVE_MINUTES)
    (shown,) = phones.on(ONE)
    phones.send(OTHER, "b", "2.ab", FIVE_MINUTES)
    phones.send(ONE, "c", "3.ab", FIVE_MINUTES)

    assert [text.body for text in phones.on(ONE, after=shown.place)] == ["c"]


def test_whoever_waits_is_woken_by_news_and_not_by_another_phone_s() -> None:
    phones = WebPhone()
    with ThreadPoolExecutor(1) as pool:
        waiting = pool.submit(phones.wait, ONE, 0, timedelta(seconds=30))
        phones.send(OTHER, "not for you", "1.ab", FIVE_MINUTES)
        phones.send(ONE, "news", "2.ab", FIVE_MINUTES)

        heard = waiting.result(timeout=30)

    assert [shown.body for shown in heard] == ["news"]


def test_whoever_waits_in_vain_goes_away_with_nothing() -> None:
    assert WebPhone().wait(ONE, 0, timedelta(0)) == []


def test_what_was_typed_stands_among_what_came_each_with_its_time() -> None:
    clock = HandClock(NINE)
    phones = WebPhone(clock.now)
    phones.typed(ONE, "CLEAN V1")
    clock.advance(FIVE_MINUTES)
    phones.send(ONE, "Gloves on.", "1.ab", FIVE_MINUTES)

    shown = phones.on(ONE)

    assert [(text.body, text.typed, text.at) for text in shown] == [
        ("CLEAN V1", True, NINE),
        ("Gloves on.", False, NINE + FIVE_MINUTES),
    ]


def test_a_page_that_counts_unread_texts_is_woken_by_any_phone() -> None:
    phones = WebPhone()
    with ThreadPoolExecutor(1) as pool:
        waiting = pool.submit(phones.wait_for_any, 0, timedelta(seconds=30))
        phones.send(OTHER, "an alert", "1.ab", FIVE_MINUTES)

        assert waiting.result(timeout=30) == 1
