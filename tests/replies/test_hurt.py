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
        *(
            "what if it gets in my eye?",
            "goggles on, eye burns",
            "goggles off, eye",
            "eye shield off",
        ),
        *("on my skin", "got on skin, gloves on", "is my eye ok?", "fumes", "gas!", "ok, my eye"),
        *("fumes, mask on", "fumes, need mask", "goggles open, eye", "burnt", "burns", "burned"),
        *("eye", "gas in the room?", "my skin is not ok", "no gloves, skin wet", "skin itches ok"),
    ],
)
def test_S20_words_of_hurt_are_known(body: str) -> None:
    assert words_of_hurt(tidy(body)) != ()


@pytest.mark.parametrize(
    "body",
    [
        *("no spill", "did not splash", "nothing burns", "covered", "bleach", "eyepiece", ""),
        *("eye shield on, ready", "EYE SHIELD ON", "goggles on eyes", "do I need eye cover?"),
        *("skin ok", "skin is ok", "fumes ok window open", "burner off", "burners off", "gas?"),
        *("nothing spilled", "eyes covered", "do I need goggles for my eyes?", "gloves on skin"),
        *("should I wear a mask against fumes?", "fumes?"),
    ],
)
def test_S20_what_is_denied_or_tells_of_none_is_not(body: str) -> None:
    assert words_of_hurt(tidy(body)) == ()
