"""S4, S5, S21: a probe that was in a bath has used it, though that was no soak."""

from dataclasses import replace
from datetime import timedelta

import pytest

from flows.parts.clinic import Fitness, Kind, Level, Standing
from flows.parts.events import (
    BathTooCold,
    CleaningRestarted,
    ContainerCondemned,
    ContainerHeld,
    Immersed,
    Poured,
    PutInBath,
    SoakBroken,
    StripRead,
)
from tests.kit.cycles import cycle_of, number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic


def pours(talk: Talk, tag: str, product: str = "opa_055") -> None:
    ends = talk.clinic.containers["T1"].discard_by
    talk.let(
        Poured(tag, Kind.BATH, "B1", product, "L2", talk.now, ends, "reuse_life", topped_up=False)
    )


def holds_uses(talk: Talk, most: int) -> None:
    """A product whose bath takes so many soaks and no more."""
    chemistry = replace(talk.protocol.chemistry, bath_uses_max=most)
    talk.protocol = replace(talk.protocol, chemistry=chemistry)


def was_in(talk: Talk) -> list[tuple[str, str, str]]:
    return [(each.device, each.bath, each.because) for each in talk.happened(PutInBath)]


def two_at_their_baths(level: Level = Level.COACH, until: str = "immerse") -> Talk:
    """V1 is about to go into T1; V2, on the other phone, into T2."""
    talk = clinic(devices=("V1", "V2"), level=level)
    play_cycle(talk, "V1", until=until)
    play_cycle(talk, "V2", phone="ph2", until="immerse")
    assert (cycle_of(talk, "V1").bath, cycle_of(talk, "V2").bath) == ("T1", "T2")
    return talk


# -- the bath of another probe ------------------------------------------------------------------


def test_S21_what_was_in_the_bath_of_another_is_cleaned_and_that_ones_strip_is_spent() -> None:
    talk = two_at_their_baths()
    before = len(talk.heard["ph1"])

    heard = talk.sends("IN T1 23", phone="ph2", after=20)

    assert heard[0].startswith("T1 was made ready for V1, and its strip does not count")
    assert heard[1].startswith("V2: wipe handle and cable")
    told, asked = talk.heard["ph1"][before:]
    assert told.startswith("V2 was put in T1 by mistake: the strip of T1 does not count for V1")
    assert asked.startswith("T2: its tub never held detergent")
    assert was_in(talk) == [("V2", "T1", "taken")]


@pytest.mark.parametrize(
    ("level", "until"),
    [
        *((Level.COACH, step) for step in ("rinse", "container", "immerse", "warm", "back_in")),
        *((Level.BRIEF, step) for step in ("immerse", "warm", "back_in")),
    ],
)
def test_S4_nothing_soaks_on_the_strip_from_before_another_was_in(
    level: Level, until: str
) -> None:
    """The other bath is thrown away, so that it must be that one again."""
    talk = two_at_their_baths(level, {"warm": "immerse", "back_in": "soaking"}.get(until, until))
    if until == "back_in":
        talk.sends("OUT", after=20)
    if until == "warm":
        talk.sends(f"IN {number_for(talk) if level is Level.BRIEF else ''} 19", after=20)

    talk.sends("IN T1 23", phone="ph2", after=20)
    talk.sends("DISCARD T2", phone="ph2", after=20)
    spent = len(talk.entries)
    play_cycle(talk, "V1")

    later = [each.event for each in talk.entries[spent:]]
    assert any(isinstance(each, StripRead) and each.container == "T1" for each in later)
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED
    assert ("not_back" in [e.because for e in talk.happened(CleaningRestarted)]) == (
        until in {"warm", "back_in"}
    )


def test_S4_who_is_asked_to_fill_another_bath_goes_on_with_that() -> None:
    talk = two_at_their_baths()
    bath = replace(talk.clinic.containers["T1"], discard_by=talk.now + timedelta(minutes=5))
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "T1": bath})
    talk.sends("what now", after=5)
    before = len(talk.heard["ph1"])

    talk.sends("IN T1 23", phone="ph2", after=20)

    (told,) = talk.heard["ph1"][before:]
    assert told.startswith("V2 was put in T1 by mistake")
    assert step_of(talk, "V1") == "fill"


def test_S4_a_strip_that_fails_there_voids_the_one_that_was_in_by_mistake() -> None:
    talk = two_at_their_baths()
    talk.sends("IN T1 23", phone="ph2", after=20)
    talk.sends("DISCARD T2", phone="ph2", after=20)

    talk.sends("DIP T1", after=20)
    talk.sends("5", after=95)

    assert talk.happened(StripRead)[-1].outcome == "fail"
    assert talk.clinic.devices["V2"].cycle is None


# -- another liquid -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("spoil", "reason", "because"),
    [
        ("product", "T9 does not hold OPA 0.55 %. Take V1 out: it must be", "other_product"),
        ("condemned", "T9 is NOT FOR USE. Take V1 out: it must be", "not_for_use"),
        ("held", "T9 is NOT FOR USE. Take V1 out: it must be", "not_for_use"),
        ("out of date", "T9 is NOT FOR USE. Take V1 out: it must be", "not_for_use"),
        ("unknown", "T9 is not known here: nobody can say what it holds. Take V1", "unknown"),
    ],
)
@pytest.mark.parametrize("text", ["IN T9 23", "IN T9", "IN 23 T9", "IN T9 68"])
def test_S3_what_was_in_another_liquid_is_cleaned_from_the_start(
    spoil: str, reason: str, because: str, text: str
) -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    if spoil != "unknown":
        pours(talk, "T9", "ga_30" if spoil == "product" else "opa_055")
    if spoil == "condemned":
        talk.let(ContainerCondemned("T9", "strip_failed"))
    if spoil == "held":
        talk.let(ContainerHeld("T9", "no_result"))
    if spoil == "out of date":
        bath = replace(talk.clinic.containers["T9"], discard_by=talk.now)
        talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "T9": bath})

    heard = talk.sends(text, after=20)

    assert heard[0].startswith(reason)
    assert heard[1].startswith("V1: wipe handle and cable")
    assert was_in(talk) == [("V1", "T9", because)]
    assert cycle_of(talk).done == {"inspect"}


def test_S3_so_is_what_was_put_in_a_working_bottle() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")

    heard = talk.sends("IN B1 23", after=20)

    assert heard[0].startswith("B1 is no bath. Take V1 out")
    assert step_of(talk) == "wipe_detergent"


def test_S4_its_own_bath_condemned_meanwhile_is_another_liquid_too() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    talk.let(ContainerCondemned("T1", "strip_failed"))

    heard = talk.sends("IN 23", after=20)

    assert heard[0].startswith("T1 is NOT FOR USE. Take V1 out")
    assert step_of(talk) == "wipe_detergent"


@pytest.mark.parametrize("step", ["warm", "back_in"])
def test_S3_what_was_in_its_bath_does_not_go_on_in_another(step: str) -> None:
    talk = clinic()
    play_cycle(talk, until="immerse" if step == "warm" else "soaking")
    pours(talk, "T9")
    talk.sends("IN 19" if step == "warm" else "OUT", after=20)

    heard = talk.sends(f"IN T9 {number_for(talk)} 23", after=20)

    assert heard[0].startswith("V1 was in T1 and is in T9 now: that is no whole soak.")
    assert step_of(talk) == "wipe_detergent"


def test_S3_another_bath_is_heard_though_the_text_lacks_its_number() -> None:
    """Asked for the number alone, its soak was put down in the bath where it was not."""
    talk = clinic()
    play_cycle(talk, until="immerse")
    talk.sends("IN 19", after=20)

    heard = talk.sends("IN T9 23", after=20)

    assert heard[0].startswith("T9 is not known here")
    assert step_of(talk) == "wipe_detergent"


# -- a free bath of the right liquid ------------------------------------------------------------


def test_S4_in_a_bath_without_a_strip_it_is_taken_out_and_the_strip_comes_first() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    pours(talk, "T9")

    heard = talk.sends("IN T9 23", after=20)

    assert heard[0].startswith("T9 may not be used for V1 yet: it has no strip that counts")
    assert was_in(talk) == [("V1", "T9", "no_strip")]
    assert talk.happened(Immersed) == talk.happened(CleaningRestarted) == []
    assert talk.clinic.containers["T9"].uses == 1
    assert talk.clinic.containers["T9"].cycles == (cycle_of(talk).id,)


def test_S4_in_another_bath_that_is_as_good_it_is_asked_what_is_missing() -> None:
    talk = clinic()
    play_cycle(talk, until="immerse")
    pours(talk, "T9")
    talk.sends("TEST T9", phone="ph2")
    talk.sends("DIP T9", phone="ph2", after=20)
    talk.sends("1", phone="ph2", after=95)

    heard = talk.sends("IN T9 23", after=20)
    step = step_of(talk)
    play_cycle(talk, until="soaking")

    assert heard[0].startswith("V1 was to go in another bath than T9. Take V1 out again")
    assert step == "container"
    assert talk.happened(Immersed)[0].bath == "T9"
    assert talk.clinic.containers["T9"].uses == 1


# -- its own bath, too cold ---------------------------------------------------------------------


def test_S4_what_was_put_in_too_cold_has_used_the_strip() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="immerse")
    talk.sends("IN 19", after=20)
    talk.sends("AGAIN", after=20)
    talk.sends("FAULT V1", after=20)

    read = len(talk.happened(StripRead))
    play_cycle(talk, "V2", phone="ph2")

    assert len(talk.happened(StripRead)) == read + 1
    assert talk.clinic.devices["V2"].standing is Standing.RELEASED


@pytest.mark.parametrize("ends", ["FAULT V1", "AGAIN"])
def test_S5_what_was_put_in_too_cold_has_used_the_bath(ends: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    holds_uses(talk, 1)
    play_cycle(talk, "V1", until="immerse")
    talk.sends("IN 19", after=20)

    talk.sends(ends, after=20)
    play_cycle(talk, "V2", phone="ph2", until="fill")

    assert talk.clinic.containers["T1"].uses == 1
    assert step_of(talk, "V2") == "fill"


def test_S5_warmed_and_put_in_again_it_is_the_same_use() -> None:
    talk = clinic()
    holds_uses(talk, 1)
    play_cycle(talk, until="immerse")
    talk.sends("IN 19", after=20)
    talk.sends(f"IN {number_for(talk)} 19", after=20)

    talk.sends(f"IN {number_for(talk)} 23", after=20)

    assert len(talk.happened(BathTooCold)) == 2
    assert len(talk.happened(Immersed)) == 1
    assert talk.clinic.containers["T1"].uses == 1
    assert step_of(talk) == "soaking"


def test_S5_two_in_one_bath_have_used_it_twice() -> None:
    talk = two_at_their_baths()
    holds_uses(talk, 2)
    talk.sends("IN 23", after=20)

    talk.sends("IN T1 23", phone="ph2", after=20)

    assert [each.because for each in talk.happened(SoakBroken)] == ["second_device"]
    assert was_in(talk) == [("V2", "T1", "in_use")]
    assert talk.clinic.containers["T1"].uses == 2
    assert talk.clinic.containers["T1"].fitness is Fitness.GOOD


def test_S7_in_before_its_detergent_time_it_has_used_the_bath_all_the_same() -> None:
    talk = clinic(level=Level.BRIEF)
    play_cycle(talk, until="immerse")
    cycle = cycle_of(talk)
    assert cycle.detergent
    talk.clinic = replace(
        talk.clinic,
        cycles={cycle.id: replace(cycle, detergent=replace(cycle.detergent, began=talk.now))},
    )

    talk.sends(f"IN {number_for(talk)} 23", after=20)

    assert was_in(talk) == [("V1", "T1", "no_detergent")]
    assert step_of(talk) == "under"


@pytest.mark.parametrize("phone", ["ph1", "ph2"])
def test_S4_a_pass_that_another_has_soaked_on_is_nobodys_once_a_probe_was_in(phone: str) -> None:
    """V2 has soaked in T2 and is ready; V1 gets there by mistake, and T2 has no strip for it."""
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V1", until="immerse")
    pours(talk, "T2")
    play_cycle(talk, "V2", phone=phone, named=phone == "ph1")
    dips = len(talk.happened(StripRead))

    talk.sends("V1 IN T2 23" if phone == "ph1" else "IN T2 23", after=20)
    play_cycle(talk, "V1")

    on = [each.strip_test for each in talk.happened(Immersed)]
    assert len(set(on)) == len(on)
    assert len(talk.happened(StripRead)) >= dips
