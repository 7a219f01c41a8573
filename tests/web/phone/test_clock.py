"""The demo's clock in its user's hands, and the record of what was done."""

from datetime import timedelta

import pytest

from tests.web.phone.browser import ADIRA, BENNU, Browser


def test_to_next_bell_rings_it_at_its_own_moment(browser: Browser) -> None:
    browser.texts("CLEAN V1")

    browser.posts("/clock", phone=ADIRA, step="bell")

    assert browser.shown()[-1] == "Gloves, goggles and gown on, air moving? Reply READY."
    assert browser.news(ADIRA, after=0)["clock"]["time"] == "09:10:00"  # type: ignore[index]


def test_a_minute_on_goes_no_further_than_the_next_bell(browser: Browser) -> None:
    browser.texts("CLEAN V1")
    browser.waits(minutes=9, seconds=30)

    browser.posts("/clock", phone=ADIRA, step="minute")

    assert browser.news(ADIRA, after=0)["clock"]["time"] == "09:10:00"  # type: ignore[index]


@pytest.mark.parametrize(("step", "passes"), [("1x", 1), ("10x", 10), ("60x", 60)])
def test_the_clock_runs_as_fast_as_it_is_told(browser: Browser, step: str, passes: int) -> None:
    began = browser.phones.clock.now()
    browser.posts("/clock", phone=ADIRA, step=step)

    browser.waits(seconds=1)

    assert browser.phones.clock.now() - began == timedelta(seconds=passes)
    assert f'value="{step}" aria-pressed="true"' in browser.opens()


def test_a_step_that_is_none_is_refused(browser: Browser) -> None:
    assert browser.posts("/clock", phone=ADIRA, step="100x").status_code == 400


def test_the_record_of_the_last_cycle_can_be_read(browser: Browser) -> None:
    before = browser.web.get("/record").text
    browser.texts("CLEAN V1")
    browser.texts("CLEAN V2", BENNU)

    record = browser.web.get("/record")

    assert before == "No cycle has begun yet.\n"
    assert record.mimetype == "text/plain"
    assert "cleaning of V2 began" in record.text
    assert "cleaning of V1 began" not in record.text
