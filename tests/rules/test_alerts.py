"""S4, S7, S12-S14, S20: what a supervisor is told of, in which words, and how grave it is."""

import pytest

from flows.parts.text import Text
from flows.rules.alerts import ALERTS

CRITICAL = {
    "clock_back", "figure_none_void", "figure_recalled", "found_unfit", "lot_recalled",
    "recalled_none_void", "strip_failed", "strips_recalled", "text_failed", "told_late",
    "used_not_ready",
}  # fmt: skip

ABOUT = {
    "strip_failed": "tag",
    "lot_recalled": "lot",
    "strips_recalled": "lot",
    "figure_recalled": "product",
    "found_unfit": "tag",
    "recalled_gone": "tag",
    "recalled_not_here": "lot",
    "recalled_none_void": "lot",
    "figure_none_void": "product",
    "figure_not_here": "product",
    "second_no_result": "tag",
    "abandoned": "device",
    "no_answer": "device",
    "code_owed": "device",
    "not_understood": "device",
    "used_not_ready": "device",
    "quarantined": "device",
    "told_late": "device",
    "clock_back": "",
    "unreachable": "",
    "opted_out": "",
    "locked": "",
    "unverified": "subject",
    "unverified_about": "subject",
    "unknown_device": "",
    "label_in_doubt": "tag",
    "use_in_doubt": "device",
    "spill": "",
    "text_failed": "",
    "over_soaked": "device",
}
"""What each alert names: a phone is not named, a supervisor cannot tell them by their ids."""

SAYS = {
    "strip_failed": "failed its strip",
    "lot_recalled": "is recalled: keep it",
    "strips_recalled": "is recalled: keep it aside",
    "figure_recalled": "was wrong and is recalled",
    "found_unfit": "was no good when it was used",
    "recalled_gone": "was to be kept",
    "recalled_not_here": "shows nothing of it, so nothing is void",
    "recalled_none_void": "nothing open or READY is of it",
    "figure_none_void": "Nothing open or READY rests on it, so nothing is void.",
    "figure_not_here": "Nothing here rests on it, so nothing is void",
    "second_no_result": "two strips without a result",
    "abandoned": "was not finished",
    "no_answer": "nobody answers",
    "code_owed": "its patient code is still missing",
    "not_understood": "needs a hand",
    "used_not_ready": "used on a patient while it was NOT READY",
    "quarantined": "is in quarantine",
    "told_late": "a look-back of its uses is open",
    "clock_back": "clock was put back",
    "unreachable": "cannot be reached",
    "opted_out": "cut itself off",
    "locked": "is locked: wrong PINs",
    "unverified": "nobody has signed in on",
    "unverified_about": "signed in on that phone",
    "unknown_device": "a device that I do not know",
    "label_in_doubt": "may be otherwise than noted",
    "use_in_doubt": "is told otherwise than noted",
    "spill": "spill or splash",
    "text_failed": "could not deal with a text",
    "over_soaked": "longer than its maximum",
}


def told(cause: str) -> Text:
    return ALERTS[cause].tells("X7")


def test_S18_every_cause_of_an_alert_is_listed_here() -> None:
    assert set(ALERTS) == set(ABOUT) == set(SAYS)


def test_S7_a_use_of_what_was_not_ready_is_critical_like_a_failed_strip() -> None:
    assert {name for name, cause in ALERTS.items() if cause.critical} == CRITICAL


@pytest.mark.parametrize("cause", sorted(ABOUT))
def test_S18_an_alert_says_what_it_is_about_and_no_more(cause: str) -> None:
    expected = {ABOUT[cause]: "X7"} if ABOUT[cause] else {}

    assert dict(told(cause).values) == expected
    assert told(cause).slug == f"alert.{cause}"
    assert SAYS[cause] in told(cause).english
    assert told(cause).english.endswith(".")


def test_S17_where_no_device_is_known_the_alert_names_none() -> None:
    told_of_nothing = ALERTS["not_understood"].tells("")

    assert told_of_nothing.slug == "alert.not_understood.nothing"
    assert dict(told_of_nothing.values) == {}
    assert "Somebody at your site" in told_of_nothing.english
