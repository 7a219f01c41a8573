"""A phone that cuts itself off is noticed, and a person is told (design, section 4)."""

import pytest

from flows.parts.events import AlertRaised, PhoneOptedOut, PhoneReachable
from flows.words import CUT_OFF
from tests.kit.talk import clinic


@pytest.mark.parametrize("word", sorted(CUT_OFF))
def test_an_opt_out_is_noticed_and_told_and_not_answered(word: str) -> None:
    talk = clinic()

    heard = talk.sends(word.lower())

    assert heard == []
    assert talk.happened(PhoneOptedOut) == [PhoneOptedOut("ph1")]
    assert [alert.cause for alert in talk.happened(AlertRaised)] == ["opted_out"]
    assert "cut itself off" in talk.last("ph9")


def test_a_word_of_theirs_among_others_is_no_opt_out() -> None:
    talk = clinic()

    talk.sends("stop the bath please")

    assert talk.happened(PhoneOptedOut) == []


def test_any_later_text_shows_that_the_phone_is_back() -> None:
    talk = clinic()
    talk.sends("STOP")

    talk.sends("MENU", after=60)

    assert talk.happened(PhoneReachable) == [PhoneReachable("ph1")]
    assert not talk.clinic.phones["ph1"].opted_out
