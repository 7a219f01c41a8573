"""S9, S10, S18: what is told of a cleaning that is over: of before, or a look-back of its uses."""

from datetime import timedelta

import pytest

from flows.parts.events import (
    AlertRaised,
    CaseOpened,
    CycleVoided,
    DeviceUsed,
    Immersed,
    Released,
)
from tests.kit.cycles import arrives, play_cycle
from tests.kit.talk import Talk, clinic
from tests.rules.test_s03_told_elsewhere import lapsed, released

SAID = [("MOVED", "moved"), ("STAINED", "stained"), ("OUT EARLY", "moved")]


def used() -> Talk:
    talk = released()
    talk.sends("USED V1 0412", after=60)
    return talk


def cases(talk: Talk) -> list[tuple[str, str, tuple[str, ...]]]:
    return [(each.cause, each.subject, each.cycles) for each in talk.happened(CaseOpened)]


def alerts(talk: Talk) -> list[tuple[str, str]]:
    return [(each.cause, each.subject) for each in talk.happened(AlertRaised)]


# -- once it has touched somebody ---------------------------------------------------------------


@pytest.mark.parametrize("phone", ["ph1", "ph2"])
@pytest.mark.parametrize(("body", "because"), SAID)
def test_S18_told_after_its_use_the_supervisor_hears_it_and_its_patients_are_looked_for(
    body: str, because: str, phone: str
) -> None:
    talk = used()
    (use,) = talk.happened(DeviceUsed)

    (text,) = talk.sends(f"V1 {body}", phone=phone, after=60)

    word = body.split(maxsplit=1)[0]
    assert text == (
        f"Noted: {word} for V1, which has been used since. Your contact is told now; "
        "thank you for saying it. Next: CLEAN V1."
    )
    assert [(each.cycle, each.device, each.because) for each in talk.happened(CycleVoided)] == [
        (use.cycle, "V1", because)
    ]
    assert cases(talk) == [("told_late", "V1", (use.cycle,))]
    assert alerts(talk) == [("told_late", "V1")]
    assert talk.last("ph9") == (
        "V1: a worker tells after its release that its soak or its state is in doubt. That "
        "cleaning is void; a look-back of its uses is open."
    )


@pytest.mark.parametrize(("body", "because"), SAID)
def test_S18_so_it_is_while_no_use_is_known_as_codes_may_come_later(
    body: str, because: str
) -> None:
    talk = released()

    talk.sends(f"V1 {body}", phone="ph2", after=60)

    assert lapsed(talk) == [("V1", because)]
    assert [each.cause for each in talk.happened(CaseOpened)] == ["told_late"]
    assert alerts(talk) == [("told_late", "V1")]


def test_S9_again_for_what_nobody_is_cleaning_only_asks_for_a_cleaning() -> None:
    ready, gone = released(), used()

    ready.sends("V1 AGAIN", phone="ph2", after=60)
    (text,) = gone.sends("V1 AGAIN", after=60)

    assert (lapsed(ready), cases(ready), alerts(ready)) == ([("V1", "again")], [], [])
    assert (cases(gone), alerts(gone)) == ([], [])
    assert text == "V1 NOT READY: used since. Do not use it. Clean it: CLEAN V1."


def test_S18_again_sent_before_its_release_is_told_of_that_cleaning() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="cover")
    sent = talk.now + timedelta(seconds=5)
    play_cycle(talk)
    talk.sends("USED V1 0412", after=60)

    arrives(talk, "V1 AGAIN", sent, phone="ph2")

    assert [cause for cause, _, _ in cases(talk)] == ["told_late"]


def test_S18_told_twice_it_is_looked_for_once() -> None:
    talk = used()
    talk.sends("V1 MOVED", after=60)

    (text,) = talk.sends("V1 STAINED", after=60)

    assert text.startswith("V1 NOT READY: used since.")
    assert len(cases(talk)) == len(alerts(talk)) == 1


@pytest.mark.parametrize("body", ["OUT", "IN 23"])
def test_S9_out_of_its_bath_and_in_one_after_its_use_say_nothing_of_its_cleaning(
    body: str,
) -> None:
    talk = used()

    talk.sends(f"V1 {body}", phone="ph2", after=60)

    assert (cases(talk), alerts(talk)) == ([], [])


def test_S8_of_a_cleaning_that_was_given_up_nobody_was_touched() -> None:
    talk = used()
    play_cycle(talk, until="wipe_water")
    talk.wait(minutes=70)

    talk.sends("V1 MOVED", after=60)

    assert cases(talk) == []


# -- of before ----------------------------------------------------------------------------------


def sent_before(body: str, step: str, *, use: bool = False, first: bool = True) -> Talk:
    """*body* is sent when V1 stands at *step* and brought by a carrier once it is released."""
    talk = clinic(devices=("V1", "V2"))
    if not first:
        play_cycle(talk, until="soaking")
        talk.sends("AGAIN", after=60)
    play_cycle(talk, until=step)
    sent = talk.now + timedelta(seconds=1)
    play_cycle(talk)
    if use:
        talk.sends("USED V1 0412", after=60)
    arrives(talk, f"V1 {body}", sent, phone="ph2")
    return talk


@pytest.mark.parametrize("use", [False, True])
@pytest.mark.parametrize("first", [False, True])
@pytest.mark.parametrize("body", ["IN 23", "MOVED", "OUT EARLY"])
def test_S10_of_a_soak_before_the_one_it_was_released_by_it_is_old(
    body: str, *, first: bool, use: bool
) -> None:
    talk = sent_before(body, "container", first=first, use=use)

    assert (lapsed(talk), cases(talk)) == ([], [])


@pytest.mark.parametrize("use", [False, True])
@pytest.mark.parametrize("body", ["STAINED", "AGAIN"])
def test_S10_of_the_cleaning_before_it_is_old(body: str, *, use: bool) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="soaking")
    sent = talk.now
    talk.sends("AGAIN", after=60)
    play_cycle(talk)
    if use:
        talk.sends("USED V1 0412", after=60)

    arrives(talk, f"V1 {body}", sent, phone="ph2")

    assert (lapsed(talk), cases(talk)) == ([], [])
    assert talk.last("ph2").startswith("V1 NOT READY: used" if use else "V1 READY UNTIL")


@pytest.mark.parametrize(
    ("body", "step"),
    [
        *(("STAINED", "container"), ("AGAIN", "container"), ("MOVED", "soaking")),
        *(("STAINED", "soaking"), ("IN 23", "soaking"), ("MOVED", "cover")),
    ],
)
def test_S3_sent_since_then_it_counts_however_late_it_comes(body: str, step: str) -> None:
    assert len(lapsed(sent_before(body, step))) == 1


def test_S3_moved_in_a_soak_that_was_broken_and_gone_on_with_counts() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="soaking")
    sent = talk.now + timedelta(seconds=5)
    talk.sends("OUT", after=60)
    play_cycle(talk)

    arrives(talk, "V1 MOVED", sent, phone="ph2")

    assert len(talk.happened(Immersed)) == 2
    assert len(talk.happened(Released)) == 1
    assert lapsed(talk) == [("V1", "moved")]


def test_S13_damage_is_never_old() -> None:
    talk = sent_before("DAMAGED", "container")

    assert ("quarantined", "V1") in alerts(talk)
