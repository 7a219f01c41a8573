"""Texts, their answers, news, and what other phones have to be read."""

import re

from tests.web.phone.browser import ADIRA, BENNU, ELMAR, SHARED, Browser


def test_an_empty_phone_says_what_to_text_first(browser: Browser) -> None:
    page = browser.opens()

    assert "No texts yet. To begin, text CLEAN V1." in page
    assert "Practice only. The maker's instructions and local rules overrule this bot." in page


def test_a_text_and_its_answer_stand_on_the_phone_and_on_no_other(browser: Browser) -> None:
    browser.texts("CLEAN V1")

    typed, heard = browser.shown(ADIRA)
    assert typed == "CLEAN V1"
    assert heard.endswith("Reply READY.")
    assert browser.shown(BENNU) == []


def test_each_text_bears_its_time_its_septets_and_its_segments(browser: Browser) -> None:
    browser.waits(minutes=5)
    browser.texts("x" * 161)

    page = " ".join(browser.opens().split())

    assert '<span class="unseen">You, at</span> 09:05:00' in page
    assert '161/160<span class="unseen"> characters</span>, 2 SMS' in page


def test_without_a_script_the_same_phone_comes_back(browser: Browser) -> None:
    answer = browser.texts("STATE", BENNU)

    assert (answer.status_code, answer.headers["Location"]) == (303, "/?phone=2")


def test_an_empty_text_is_not_sent(browser: Browser) -> None:
    browser.texts("   ")

    assert browser.shown() == []


def test_news_are_what_came_behind_a_place(browser: Browser) -> None:
    browser.texts("CLEAN V1")
    browser.texts("READY")

    news = browser.news(ADIRA, after=2)

    assert re.findall(r'id="text-(\d+)"', str(news["lines"])) == ["3", "4"]
    assert news["last"] == 4


def test_a_script_is_told_what_changed_beside_the_texts(browser: Browser) -> None:
    answer = browser.posts("/text", script=True, phone=ADIRA, body="CLEAN V1")

    assert answer.json == {
        "clock": {
            "day": "Monday 2 March",
            "milliseconds": 9 * 60 * 60 * 1000,
            "rate": "1x",
            "time": "09:00:00",
        },
        "cycle": "V1",
        "due": {"at": "09:10:00", "what": "a reminder"},
        "unread": [0, 0, 0, 0],
    }


def test_S7_an_alert_is_counted_on_the_supervisor_s_phone_until_it_is_opened(
    browser: Browser,
) -> None:
    browser.texts("USED V1 0412")

    before = browser.news(ADIRA, after=0)["unread"]
    browser.opens(ELMAR)
    after = browser.news(ADIRA, after=0)["unread"]

    assert isinstance(before, list)
    assert before[ELMAR - 1] > 0
    assert after == [0, 0, 0, 0]


def test_S14_a_pin_does_not_stay_on_a_shared_phone(browser: Browser) -> None:
    browser.texts("3 3141", SHARED)

    typed, heard = browser.shown(SHARED)
    assert typed == "3 ****"
    assert heard.startswith("Hello Chalo.")


def test_a_phone_that_is_not_there_is_not_found(browser: Browser) -> None:
    assert [browser.web.get(f"/?phone={place}").status_code for place in (0, 5)] == [404, 404]
