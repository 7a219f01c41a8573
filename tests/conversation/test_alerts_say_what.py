"""An alert says what it is about, also where that is no cleaning (S7, S17)."""

from flows.parts.clinic import Level, Role
from flows.parts.events import PersonEnrolled, Quarantined, QuarantineLifted, Released
from tests.kit.cycles import play_cycle
from tests.kit.talk import clinic


def test_S17_somebody_who_is_not_cleaning_needs_a_hand_too() -> None:
    talk = clinic()
    talk.sends("OPEN")

    for muddle in ("zzz", "zzz", "zzz"):
        talk.sends(muddle, after=5)

    assert talk.last("ph9") == "Somebody at your site needs a hand with my questions. Please call."


def test_S7_a_code_that_is_still_owed_is_chased_as_one() -> None:
    talk = clinic()
    play_cycle(talk)
    talk.sends("USED V1", after=60)

    talk.wait(minutes=21)

    assert talk.last("ph9") == (
        "V1 was used and its patient code is still missing. Please get it from the register."
    )


def test_S13_a_quarantine_from_elsewhere_makes_a_cleaning_one_for_repair() -> None:
    talk = clinic()
    play_cycle(talk, until="final_dry")
    talk.let(Quarantined("V1", "board"))
    talk.let(QuarantineLifted("V1"))

    play_cycle(talk)

    assert talk.happened(Released) == []
    assert talk.last().startswith("V1 is cleaned for repair and NOT READY.")


def test_S13_so_it_is_where_only_a_signature_was_missing() -> None:
    talk = clinic()
    play_cycle(talk, until="cover")
    learner = PersonEnrolled("p1", 1, Role.TRAINEE, Level.COACH, may_release=False, language="en")
    talk.let(learner)
    talk.sends("covered", after=20)
    talk.let(Quarantined("V1", "board"), QuarantineLifted("V1"))

    talk.sends("TAKE V1", phone="ph2", after=20)
    talk.sends("ready", phone="ph2", after=20)

    assert talk.happened(Released) == []
