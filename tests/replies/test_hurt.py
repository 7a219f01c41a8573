"""S20: who may be hurt is heard in any words; what is denied is not."""

import pytest

from flows.replies.hurt import words_of_hurt
from flows.replies.typed import tidy


@pytest.mark.parametrize(
    "body",
    [
        *("splashed", "splash in my eye", "it got in my eye", "in my eyes", "OPA in eye"),
        *("my eye burns", "burning skin", "spilled", "spilled it", "I spilled T1", "spilt"),
        *("mixed bleach with acid", "smell of gas", "swallowed some", "I drank it", "fumes!"),
        "what if it gets in my eye?",
    ],
)
def test_S20_words_of_hurt_are_known(body: str) -> None:
    assert words_of_hurt(tidy(body)) != ()


@pytest.mark.parametrize(
    "body", ["no spill", "did not splash", "nothing burns", "covered", "bleach", "eyepiece", ""]
)
def test_S20_what_is_denied_or_tells_of_none_is_not(body: str) -> None:
    assert words_of_hurt(tidy(body)) == ()
