"""The detergent's bell asks a question, and is a bell all the same: it must arrive."""

from flows.parts.decision import Saying
from tests.kit.cycles import play_cycle, wait_for_bell
from tests.kit.talk import clinic


def test_the_question_that_the_detergent_bell_asks_is_sent_as_a_bell() -> None:
    talk = clinic()
    play_cycle(talk, until="await_detergent")

    wait_for_bell(talk)

    asked = _last_about(talk.said, "cycle.rinse")
    cycle = talk.clinic.devices["V1"].cycle
    assert asked.bell == f"{cycle}.detergent"


def test_a_question_that_no_bell_asked_is_no_bell() -> None:
    talk = clinic()

    play_cycle(talk, until="wipe_water")

    assert {saying.bell for saying in talk.said} == {None}


def _last_about(said: list[Saying], slug: str) -> Saying:
    return [saying for saying in said if saying.text.slug == slug][-1]
