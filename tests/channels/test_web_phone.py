"""A phone that is a page: what it shows, and how the page hears of news."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

from bot.channels.web_phone import WebPhone

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
