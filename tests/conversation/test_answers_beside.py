"""What hands say beside an answer: what changes nothing is let be, and what is not noted is told.

Source: common practice, none published, for what people say; a strip is read at its own time after
the dip, and a soak is proved by the number of its bell, as in the rules.
"""

import pytest

from flows.parts.events import (
    DetergentSoakEnded,
    Immersed,
    PutInBath,
    SoakBroken,
    StripDipped,
    StripRead,
    TakenOut,
)
from tests.kit.cycles import number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def at(step: str) -> Talk:
    talk = clinic()
    play_cycle(talk, until=step)
    if step == "soaking":
        talk.wait(minutes=13.1)
    return talk


# -- let be -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "body", ["it is dry", "dry done", "yes, dry", "all dry", "fully dry", "its dry", "done, dry"]
)
def test_yes_and_done_turn_no_answer(body: str) -> None:
    talk = at("dry")

    talk.sends(body, after=20)

    assert step_of(talk) == "container"


@pytest.mark.parametrize(
    "body",
    [
        *("almost dry", "all dry but the tip", "all but dry", "is it dry", "is dry", "not dry"),
        *("dry except the tip", "only half dry", "done", "yes", "it is", "V1 is dry"),
    ],
)
def test_what_may_turn_it_is_asked_back(body: str) -> None:
    """V1 IS DRY and IS V1 DRY are the same words once its name is read."""
    talk = at("dry")

    talk.sends(body, after=20)

    assert step_of(talk) == "dry"


@pytest.mark.parametrize(
    "body", ["1 all purple", "1\nall purple", "1 purple", "it is 1", "1 for T1", "1 done", "yes 1"]
)
def test_S4_a_strip_is_read_in_the_words_of_its_question(body: str) -> None:
    talk = at("read")

    talk.sends(body, after=95)

    assert [each.outcome for each in talk.happened(StripRead)] == ["pass"]


@pytest.mark.parametrize(
    "body",
    ["1 not purple", "1 blue", "1 purple and blue", "1 almost purple", "is it 1", "2 purple"],
)
def test_S4_of_two_colours_none_is_taken(body: str) -> None:
    talk = at("read")

    talk.sends(body, after=95)

    assert talk.happened(StripRead) == []


@pytest.mark.parametrize(
    "body",
    [
        *(
            "DIP T1 for V1",
            "DIP T1 done",
            "DIP T1 right now",
            "DIP T1 1 s",
            "DIP T1 1s",
            "DIP T1 again",
        ),
        *("dip new strip T1", "T1 dip", "done dip T1", "ok dip T1"),
    ],
)
def test_S4_a_dip_of_now_is_one_in_more_words_too(body: str) -> None:
    talk = at("dip")

    talk.sends(body, after=20)

    assert [each.container for each in talk.happened(StripDipped)] == ["T1"]


@pytest.mark.parametrize(
    "body", ["T2 dip", "DIP T1 1 s ago", "not dip T1", "dip T1 for 3 min", "done dip T1 earlier"]
)
def test_S4_a_dip_of_before_or_elsewhere_is_none(body: str) -> None:
    talk = at("dip")

    talk.sends(body, after=20)

    assert talk.happened(StripDipped) == []


@pytest.mark.parametrize(
    "body",
    [
        "rinsed 3 times {n}",
        "RINSED {n} 3x",
        "RINSED {n} all 3",
        "RINSED {n} done",
        "yes rinsed {n}",
    ],
)
def test_S2_rinsed_in_the_words_of_its_question(body: str) -> None:
    talk = at("rinse")

    talk.sends(body.format(n=number_for(talk)), after=20)

    assert len(talk.happened(DetergentSoakEnded)) == 1


@pytest.mark.parametrize("body", ["yes IN 23", "now in 23", "IN 23 done", "it is in 23"])
def test_S2_in_with_yes_and_done(body: str) -> None:
    talk = at("immerse")

    talk.sends(body, after=20)

    assert len(talk.happened(Immersed)) == 1


LET_BE = (
    "OUT {n} T1",
    "OUT of T1 {n}",
    "OUT no. {n}",
    "OUT nr {n}",
    "OUT {n} late",
    "OUT {n} 2 min late",
    "OUT {n} 12:31",
    "yes OUT {n}",
    "ok out {n}",
    "its out {n}",
    "OUT {n} done",
)


@pytest.mark.parametrize("body", LET_BE)
def test_S2_beside_the_number_of_the_bell_what_says_nothing_is_let_be(body: str) -> None:
    talk = at("soaking")

    talk.sends(body.format(n=number_for(talk)), after=20)

    assert len(talk.happened(TakenOut)) == 1
    assert talk.happened(SoakBroken) == []


@pytest.mark.parametrize(
    "body",
    [
        *("OUT {n} early", "OUT {n} 2 min early", "OUT {n} T2", "OUT {n} 12:10", "OUT {n} no"),
        *("is it out {n}", "OUT late", "OUT 12:31"),
    ],
)
def test_S3_what_may_tell_of_a_break_is_asked_about(body: str) -> None:
    talk = at("soaking")

    *_, heard = talk.sends(body.format(n=number_for(talk)), after=20)

    assert talk.happened(TakenOut) == []
    assert heard.startswith("V1: was it in until the bell?")


# -- not noted, and told ------------------------------------------------------------------------


@pytest.mark.parametrize("body", ["rinsed", "rinsed 3 times", "RINSED done"])
def test_S2_a_number_that_is_missing_is_said_to_be(body: str) -> None:
    talk = at("rinse")

    heard = talk.sends(body, after=20)

    assert heard == [f"The number is missing: RINSED {number_for(talk)}"]


@pytest.mark.parametrize("word", ["DRY", "TUB"])
def test_S10_a_word_of_the_next_step_is_told_to_be_not_noted(word: str) -> None:
    """RINSED was not heard, and nobody saw it: IN then meant a cleaning from the start."""
    talk = at("rinse")

    heard = talk.sends(word, after=20)

    assert heard == [
        f"Your {word} is not noted yet. This comes first:",
        f"V1: rinsed 3 times? Reply RINSED {number_for(talk)}.",
    ]


@pytest.mark.parametrize("word", ["UNDER", "SOAPED", "COVERED"])
def test_S10_one_of_before_or_far_ahead_is_an_old_answer(word: str) -> None:
    talk = at("rinse")

    heard = talk.sends(word, after=20)

    assert heard == [f"V1: rinsed 3 times? Reply RINSED {number_for(talk)}."]


@pytest.mark.parametrize(
    ("step", "body", "answer"),
    [
        ("immerse", "IN 23?", "IN 23"),
        ("immerse", "IN T1 23, ok?", "IN T1 23"),
        ("immerse", "IN 23\nwhen out?", "IN 23"),
        ("soaking", "OUT {n} ok?", "OUT {n}"),
        ("read", "1 ok?", "1"),
        ("cover", "covered\nwhere do I put it?", "COVERED"),
        ("dry", "dry?", "DRY"),
    ],
)
def test_a_question_mark_behind_an_answer_is_told_to_note_nothing(
    step: str, body: str, answer: str
) -> None:
    talk = at(step)
    number = number_for(talk) if "{n}" in body else ""

    (heard,) = talk.sends(body.format(n=number), after=190 if step == "cover" else 20)

    expected = f"Is that a question? Nothing is noted yet. If it is so, reply {answer}"
    assert heard == expected.format(n=number)
    assert step_of(talk) == step


@pytest.mark.parametrize(
    ("step", "body"), [("immerse", "in?"), ("soaking", "out?"), ("soaking", "again?")]
)
def test_what_only_asks_when_is_told_to_send_nothing(step: str, body: str) -> None:
    talk = at(step)

    heard = talk.sends(body, after=20)

    assert all("If it is so" not in each for each in heard)
    assert talk.happened(PutInBath) == talk.happened(SoakBroken) == []


# -- no near miss -------------------------------------------------------------------------------


@pytest.mark.parametrize("body", ["put on gloves", "I put gloves on", "our patient is waiting"])
def test_S3_one_word_of_many_is_no_near_miss_of_out(body: str) -> None:
    """Who followed it broke the soak."""
    talk = clinic()
    play_cycle(talk, until="soaking")

    heard = talk.sends(body, after=60)

    assert "Did you mean" not in "".join(heard)


@pytest.mark.parametrize(
    ("body", "word"), [("otu", "OUT"), ("OTU 95", "OUT"), ("spil on the floor", "SPILL")]
)
def test_a_word_by_itself_and_a_spill_still_are(body: str, word: str) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking")

    (heard,) = talk.sends(body, after=60)

    assert heard.startswith(f"Did you mean {word}?")


@pytest.mark.parametrize("body", ["", "  ", "...", "\n"])
def test_S17_a_text_of_nothing_gets_the_question_at_every_step_that_has_others_ahead(
    body: str,
) -> None:
    talk = clinic()
    play_cycle(talk, until="rinse")

    assert talk.sends(body, after=20)
