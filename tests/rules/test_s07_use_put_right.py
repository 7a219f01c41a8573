"""S7, S16: a use that was told of the wrong probe or patient and is put right at once."""

import pytest

from flows.parts.clinic import Standing
from flows.parts.events import AlertRaised, CaseOpened, DeviceUsed, FreeText, UseWithoutCode
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic

TOLD_OF = (
    "A use of V1 is told otherwise than noted: its probe, patient or day. Please ask, and put the "
    "record right at the desk."
)


def both_ready() -> Talk:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1")
    play_cycle(talk, "V2")
    return talk


def uses(talk: Talk) -> list[tuple[str, str]]:
    return [(each.device, each.patient) for each in talk.happened(DeviceUsed)]


@pytest.mark.parametrize(
    "body", ["sorry V2 not V1", "sorry that was V2, not V1", "V2 not V1", "oops, I meant V2"]
)
def test_S7_the_probe_that_was_meant_is_used_too_and_the_contact_is_told(body: str) -> None:
    talk = both_ready()
    talk.sends("USED V1 0412", after=60)

    heard = talk.sends(body, after=20)

    assert uses(talk) == [("V1", "0412"), ("V2", "0412")]
    assert talk.clinic.devices["V2"].standing is Standing.NOT_READY
    assert heard[0].startswith("Noted: V2 on patient 0412.")
    assert heard[1].startswith("The use of V1 stays on the record, and it is not ready either.")
    assert talk.heard["ph9"][-1] == TOLD_OF
    assert talk.happened(CaseOpened) == []


def test_S10_its_double_notes_nothing_more() -> None:
    talk = both_ready()
    talk.sends("USED V1 0412", after=60)
    talk.sends("sorry V2 not V1", after=20)

    talk.sends("sorry V2 not V1", after=20)

    assert uses(talk) == [("V1", "0412"), ("V2", "0412")]
    assert talk.happened(CaseOpened) == []


@pytest.mark.parametrize(
    "body", ["sorry 0413 not 0412", "wrong code, 0413", "sorry, patient was 0413", "0413 not 0412"]
)
def test_S16_the_code_that_was_meant_is_looked_back_for_too(body: str) -> None:
    talk = both_ready()
    talk.sends("USED V1 0412", after=60)

    heard = talk.sends(body, after=20)

    first, second = talk.happened(DeviceUsed)
    assert (second.device, second.patient) == ("V1", "0413")
    assert (second.day, second.ready, second.cycle) == (first.day, first.ready, first.cycle)
    assert heard[0].startswith("Noted: V1 on patient 0413. 0412 stays on the record too;")
    assert talk.heard["ph9"][-1] == TOLD_OF
    assert talk.happened(CaseOpened) == []


def test_S7_without_a_code_it_is_asked_for_both() -> None:
    talk = both_ready()
    talk.sends("USED V1", after=60)

    talk.sends("sorry V2 not V1", after=20)

    assert [each.device for each in talk.happened(UseWithoutCode)] == ["V1", "V2"]


@pytest.mark.parametrize("body", ["wrong probe", "not V1", "sorry not V1", "wrong patient"])
def test_S8_which_it_was_is_asked_where_that_is_not_said(body: str) -> None:
    talk = both_ready()
    talk.sends("USED V1 0412", after=60)

    (text,) = talk.sends(body, after=20)

    assert text == (
        "Which was it? Text it as a use of its own, like USED V1 0412. The use of V1 that I have "
        "noted stays on the record."
    )


def test_S16_of_two_uses_it_is_asked_and_no_false_case_is_opened() -> None:
    talk = both_ready()
    talk.sends("USED V1 0412\nUSED V2 0413", after=60)

    (text,) = talk.sends("sorry V2 not V1", after=20)

    assert text.startswith("Which was it? Text it as a use of its own, like USED V2 0412.")
    assert uses(talk) == [("V1", "0412"), ("V2", "0413")]
    assert talk.happened(CaseOpened) == []


def test_S10_what_was_asked_since_may_be_what_it_is_said_of() -> None:
    talk = both_ready()
    talk.sends("USED V1 0412", after=60)
    talk.sends("CLEAN V1", after=20)

    (text,) = talk.sends("sorry V2 not V1", after=20)

    assert text.startswith("Which was it?")
    assert uses(talk) == [("V1", "0412")]


@pytest.mark.parametrize(
    ("body", "after"),
    [
        ("sorry V2 not V1", 901),
        ("V2 not V1?", 20),
        ("sorry V2 not ready", 20),
        ("sorry, late", 20),
        ("ok V2", 20),
        ("sorry, 0412", 20),
    ],
)
def test_S7_later_or_in_other_words_it_puts_no_use_right(body: str, after: int) -> None:
    talk = both_ready()
    talk.sends("USED V1 0412", after=60)

    talk.sends(body, after=after)

    assert uses(talk) == [("V1", "0412")]
    assert talk.happened(FreeText) == []


def test_S7_another_phone_puts_right_what_it_has_told_itself() -> None:
    talk = both_ready()
    talk.sends("USED V1 0412", after=60)

    talk.sends("sorry V2 not V1", phone="ph2", after=20)

    assert uses(talk) == [("V1", "0412")]
    assert talk.happened(AlertRaised) == []
