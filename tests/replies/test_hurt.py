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
        *("opa on my hand", "solution on my arm", "got some on my face", "it ran down my leg"),
        *("gloves on, opa on my hand", "opa on hand", "opa in my mouth", "wet sleeve with opa"),
        *("hand turned black", "cut my finger", "my hand itches", "got it on my clothes"),
        *("dizzy", "fainted", "coughing a lot", "headache from the smell"),
        *("opa on floor", "jug leaks on floor", "T1 tipped over", "tub fell over", "knocked over"),
        *("knocked the tub over", "opa on face", "red rash"),
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
        *("gloves on my hands", "new gloves are on both hands", "gown on over my arms"),
        *("black gloves on my hands", "soap on my hands", "towel on my arm", "washed my hands"),
        *("V1 in my hand", "strips on hand", "no more opa on hand", "have opa on hand"),
        *("no opa on my hand", "on the other hand", "hand over to Ann", "dried by hand"),
        *(
            "V1 fell over",
            "V1 on the floor",
            "B1 on the floor",
            "nothing on the floor",
            "no cough",
        ),
        *("opa on the face of V1", "sleeve cut"),
        *("crack on the face", "gel on the nose", "faint purple", "patient coughing", "cuts"),
    ],
)
def test_S20_what_is_denied_or_tells_of_none_is_not(body: str) -> None:
    assert words_of_hurt(tidy(body)) == ()
