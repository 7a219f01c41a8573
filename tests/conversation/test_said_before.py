"""S10: what has just been answered elsewhere is asked about before it answers here."""

from flows.parts.events import DeviceUsed, JugOpened, Poured, SaidBefore
from tests.kit.cycles import play_cycle, step_of
from tests.kit.talk import Talk, clinic


def opening() -> Talk:
    talk = clinic(stocked=False)
    play_cycle(talk, until="jug")
    return talk


def test_S10_a_date_doubled_is_no_lot() -> None:
    talk = opening()
    talk.sends("270331", after=10)

    (said,) = talk.sends("270331")

    assert said.startswith("Its lot, ")
    assert talk.happened(JugOpened) == []


def test_S10_an_answer_to_another_question_is_no_lot() -> None:
    talk = opening()
    talk.sends("270331", after=10)

    for late in ("1", "DIP T1", "IN 24", "OUT 88", "V1 COVERED 1"):
        talk.sends(late)

    assert talk.happened(JugOpened) == []


def test_S10_a_bottle_and_the_bath_after_it_take_words_of_their_own() -> None:
    talk = clinic(bath=False)
    talk.sends("DISCARD B1", after=20)
    play_cycle(talk, until="fill")

    talk.sends("filled", after=20)
    talk.sends("filled", after=1)

    assert [event.tag for event in talk.happened(Poured)] == ["B1", "B2"]  # one was stocked
    assert talk.last().startswith("This is the bath, no bottle. Was the tub empty, ")


def test_S10_a_doubled_topped_condemns_one_mixture_and_is_asked_about() -> None:
    talk = clinic(bath=False)
    play_cycle(talk, until="fill")
    talk.sends("topped", after=20)

    first, second = talk.sends("topped", after=5)

    assert first.startswith("I have just had that text. If you mean it for this question too")
    assert second.startswith("No bath is ready.")
    assert len(talk.happened(Poured)) == 1 + 1  # the bottle that was stocked


def test_S10_meant_for_this_question_too_it_is_sent_once_more_and_taken() -> None:
    talk = clinic(bath=False)
    play_cycle(talk, until="fill")
    talk.sends("topped", after=20)
    talk.sends("topped", after=60)

    talk.sends("topped", after=20)

    assert len(talk.happened(Poured)) == 1 + 2
    assert len(talk.happened(SaidBefore)) == 1


def test_S10_after_a_while_nothing_is_a_double_any_more() -> None:
    talk = clinic(bath=False)
    play_cycle(talk, until="fill")
    talk.sends("topped", after=20)

    talk.sends("topped", after=15 * 60)

    assert talk.happened(SaidBefore) == []


def test_S10_a_strip_after_no_result_is_dipped_under_a_number() -> None:
    talk = clinic()
    play_cycle(talk, until="read")
    talk.sends("1", after=10)

    (said,) = talk.sends("dip T1", after=10)

    assert said.startswith("The number in my last text is missing")
    assert step_of(talk) == "dip"


def test_S10_a_use_doubled_at_once_is_one_use_and_no_alarm() -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("USED V1 0412", after=60)

    (said,) = talk.sends("USED V1 0412", after=5)

    assert said == "Noted: V1 on patient 0412."
    assert [use.ready for use in talk.happened(DeviceUsed)] == [True]
    assert "ph9" not in talk.heard


def test_S7_another_patient_at_once_is_another_use() -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("USED V1 0412", after=60)

    talk.sends("USED V1 0413", after=5)

    assert [use.ready for use in talk.happened(DeviceUsed)] == [True, False]
