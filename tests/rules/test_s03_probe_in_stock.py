"""S3: a bottle or a jug that a probe was put into is for nothing any more, on every phone."""

import pytest

from flows.parts.clinic import Fitness
from flows.parts.events import CleaningRestarted, ContainerCondemned, Poured
from tests.kit.cycles import play_cycle, step_of
from tests.kit.strips import fails
from tests.kit.talk import Talk, clinic


def was_in(tag: str, step: str = "under") -> Talk:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until=step)
    talk.sends(f"IN {tag} 23", after=20)
    return talk


def condemned(talk: Talk) -> list[tuple[str, str]]:
    return [(each.tag, each.because) for each in talk.happened(ContainerCondemned)]


@pytest.mark.parametrize("tag", ["B1", "J1"])
def test_S3_it_is_out_of_use_at_once_and_every_other_phone_hears_it(tag: str) -> None:
    talk = was_in(tag)

    do_not_use = (
        f"DO NOT USE {tag}: as has turned out, no good any more. Label it, throw it away, then "
        f"text DISCARD and its tag."
    )
    assert condemned(talk) == [(tag, "probe_in_it")]
    assert [talk.heard[phone].count(do_not_use) for phone in ("ph2", "ph9")] == [1, 1]
    assert do_not_use not in talk.heard["ph1"]
    assert [each.device for each in talk.happened(CleaningRestarted)] == ["V1"]


def test_S3_nothing_is_wiped_with_it_or_poured_from_it() -> None:
    talk = was_in("B1")
    poured = len(talk.happened(Poured))

    state = talk.sends("STATE B1", phone="ph2")
    talk.sends("POUR B1", phone="ph2", after=20)
    talk.sends("POURED", phone="ph2", after=60)
    play_cycle(talk, "V1", until="wipe_disinfectant")

    assert any(text.startswith("B1: NOT FOR USE: a probe was in it.") for text in state)
    assert "B1" not in [each.source for each in talk.happened(Poured)[poured:]]
    assert "B1" not in talk.last()


def test_S3_whoever_pours_from_it_is_led_on() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="under")
    talk.sends("POUR B1", phone="ph2", after=5)
    assert "Pour B1" in talk.last("ph2")

    talk.sends("V1 IN B1 23", after=20)

    assert any("B1" in text for text in talk.heard["ph2"][-2:])
    assert not any(each.top.memo.get("source") == "B1" for each in talk.clinic.threads.values())


def test_S3_told_from_another_phone_at_rest_it_is_so_too() -> None:
    talk = clinic(devices=("V1", "V2"))

    talk.sends("V1 IN B1 23", phone="ph2", after=20)

    assert condemned(talk) == [("B1", "probe_in_it")]


def test_S3_a_probe_that_is_led_there_begins_anew_though_its_own_strip_is_of_that_bottle() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="dip")

    talk.sends("IN B1 23", after=20)

    assert step_of(talk) == "wipe_detergent"


@pytest.mark.parametrize("tag", ["T1", "T9"])
def test_S3_of_a_bath_or_what_nobody_knows_nothing_else_follows(tag: str) -> None:
    assert condemned(was_in(tag)) == []


def test_S3_what_is_out_of_use_already_is_so_for_its_own_reason() -> None:
    talk = clinic(devices=("V1", "V2"))
    fails(talk, "B1", phone="ph2")
    before = condemned(talk)
    play_cycle(talk, until="wipe_detergent")

    talk.sends("IN B1 23", after=20)

    assert condemned(talk) == before
    assert talk.clinic.containers["B1"].fitness is Fitness.CONDEMNED
