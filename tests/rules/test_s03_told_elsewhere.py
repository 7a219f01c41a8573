"""S3, S7, S9: what is told of a probe counts on whichever phone of the site it is told."""

import pytest

from flows.parts.clinic import Kind, Level, Standing
from flows.parts.events import (
    CleaningRestarted,
    CycleAbandoned,
    HolderSignedIn,
    Immersed,
    PhoneEnrolled,
    Poured,
    PutInBath,
    Quarantined,
    Released,
    ReleaseWithdrawn,
    SoakBroken,
)
from tests.kit.cycles import number_for, play_cycle, step_of, wait_for_bell
from tests.kit.talk import Talk, clinic


def soaking(*devices: str) -> Talk:
    """V1 has soaked in T1 for some minutes, led on ph1; T2 is poured and not tested."""
    talk = clinic(devices=devices or ("V1", "V2"))
    play_cycle(talk, until="soaking")
    ends = talk.clinic.containers["T1"].discard_by
    talk.let(
        Poured("T2", Kind.BATH, "B1", "opa_055", "L1", talk.now, ends, "bath", topped_up=False)
    )
    talk.wait(minutes=3)
    return talk


def taken(step: str = "stayed") -> Talk:
    """Somebody on ph2 has taken it over, and is asked whether it stayed in."""
    talk = soaking()
    talk.sends("TAKE V1", phone="ph2", after=20)
    play_cycle(talk, phone="ph2", until=step)
    return talk


def breaks(talk: Talk) -> list[tuple[str, str]]:
    return [(each.device, each.because) for each in talk.happened(SoakBroken)]


def was_in(talk: Talk) -> list[tuple[str, str, str]]:
    return [(each.device, each.bath, each.because) for each in talk.happened(PutInBath)]


def lapsed(talk: Talk) -> list[tuple[str, str]]:
    return [(each.device, each.because) for each in talk.happened(ReleaseWithdrawn)]


def new_on(talk: Talk, phone: str, heard: int) -> list[str]:
    return talk.heard[phone][heard:]


# -- of what soaks ------------------------------------------------------------------------------

SAID = [
    ("OUT", "early_out", "back_in"),
    ("IN 23", "second_in", "back_in"),
    ("IN T1 23", "second_in", "back_in"),
    ("IN T2 23", "second_in", "wipe_detergent"),
    ("MOVED", "moved", "wipe_detergent"),
    ("AGAIN", "again", "wipe_detergent"),
    ("STAINED", "stained", "wipe_detergent"),
]


@pytest.mark.parametrize("named", ["V1 ", ""])
@pytest.mark.parametrize("at", ["take_cautions", "stayed", "soaking"])
@pytest.mark.parametrize(("body", "because", "step"), SAID)
def test_S3_whoever_led_it_until_it_was_taken_is_believed(
    named: str, at: str, body: str, because: str, step: str
) -> None:
    talk = taken(at)
    heard = len(talk.heard["ph2"])

    answer = talk.sends(named + body, after=20)

    word = body.split(maxsplit=1)[0]
    assert breaks(talk) == [("V1", because)]
    assert step_of(talk) == ("take_cautions" if at == "take_cautions" else step)
    assert answer == [
        f"Noted: {word} for V1. Namep2, who is cleaning it, is told now. Thank you for saying it."
    ]
    assert new_on(talk, "ph2", heard)[0] == (
        f"Namep1 has just texted {word} for V1. Please go on as my next text says:"
    )
    assert len(new_on(talk, "ph2", heard)) > 1


@pytest.mark.parametrize(("body", "because", "step"), SAID)
def test_S3_so_is_anybody_who_names_it(body: str, because: str, step: str) -> None:
    talk = soaking()

    talk.sends(f"V1 {body}", phone="ph2", after=20)
    asked = step_of(talk)
    play_cycle(talk)

    assert breaks(talk)[0] == ("V1", because)
    assert asked == step
    assert talk.clinic.devices["V1"].standing is Standing.RELEASED


@pytest.mark.parametrize(
    ("body", "because"),
    [
        ("OUT", "early_out"),
        ("IN 23", "second_in"),
        ("MOVED", "moved"),
        ("it was out", "early_out"),
    ],
)
@pytest.mark.parametrize("aside", ["", "POUR"])
def test_S3_where_one_soaks_it_is_meant_without_its_name(
    aside: str, body: str, because: str
) -> None:
    talk = soaking()
    if aside:
        talk.sends(aside, phone="ph2")

    talk.sends(body, phone="ph2", after=20)

    assert breaks(talk) == [("V1", because)]


def test_S13_damaged_ends_it_wherever_it_is_said() -> None:
    talk = taken("soaking")
    heard = len(talk.heard["ph2"])

    talk.sends("DAMAGED", after=20)

    assert breaks(talk) == [("V1", "damaged")]
    assert [each.device for each in talk.happened(CycleAbandoned)] == ["V1"]
    assert talk.clinic.devices["V1"].standing is Standing.QUARANTINED
    _, why, take_it_out = new_on(talk, "ph2", heard)
    assert take_it_out == "V1: gloves on, take it out of T1 first."
    assert why.startswith("V1 is out of use: quarantine.")
    assert talk.clinic.containers["T1"].in_use_by is None


@pytest.mark.parametrize("body", ["V1 OUT", "V1 OUT {number}"])
def test_S2_an_out_after_the_bell_is_only_for_who_leads_it(body: str) -> None:
    talk = taken("soaking")
    wait_for_bell(talk)

    answer = talk.sends(body.format(number=number_for(talk, phone="ph2")), after=20)

    assert answer == ["V1 is being cleaned by Namep2. To carry on with it yourself: TAKE V1."]
    assert breaks(talk) == []
    assert step_of(talk) == "soaking"


def test_S8_after_its_soak_whoever_leads_it_is_asked_whether_it_was_in_again() -> None:
    talk = soaking()
    play_cycle(talk, until="final_rinse")

    talk.sends("V1 IN 23", phone="ph2", after=20)

    assert step_of(talk) == "in_again"
    assert talk.last().startswith("V1: its soak is over. Was it put in a bath again?")


@pytest.mark.parametrize(
    ("body", "put"),
    [
        ("IN T1 23", [("V1", "T1", "told")]),
        ("IN T2 23", [("V1", "T2", "no_strip")]),
        ("IN 23", [("V1", "T1", "told")]),
        ("IN 5 MIN", []),
    ],
)
def test_S4_what_is_about_to_soak_may_have_been_in_a_bath_already(
    body: str, put: list[tuple[str, str, str]]
) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="immerse")
    ends = talk.clinic.containers["T1"].discard_by
    talk.let(
        Poured("T2", Kind.BATH, "B1", "opa_055", "L1", talk.now, ends, "bath", topped_up=False)
    )

    talk.sends(f"V1 {body}", phone="ph2", after=20)

    assert talk.happened(Immersed) == []
    assert was_in(talk) == put
    assert step_of(talk) == "immerse"


@pytest.mark.parametrize("body", ["OUT", "MOVED", "STAINED"])
def test_S3_of_what_has_not_soaked_yet_nothing_is_contradicted(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="wipe_detergent")

    answer = talk.sends(f"V1 {body}", phone="ph2", after=20)

    assert answer == ["V1 is being cleaned by Namep1. To carry on with it yourself: TAKE V1."]
    assert talk.happened(CleaningRestarted) == []


def test_S3_another_named_at_a_question_about_ones_own_is_not_answered_for_it() -> None:
    talk = soaking()
    play_cycle(talk, "V2", phone="ph2", until="soaking")

    talk.sends("OUT V1", phone="ph2", after=20)

    assert breaks(talk) == [("V1", "early_out")]
    assert step_of(talk, "V2") == "soaking"


def test_S14_on_a_shared_phone_too() -> None:
    talk = clinic(devices=("V1", "V2"))
    talk.let(PhoneEnrolled("ph5", ("p1", "p2"), shared=True), HolderSignedIn("ph5", "p1"))
    play_cycle(talk, until="soaking", phone="ph5")
    talk.let(HolderSignedIn("ph5", "p2"))

    heard = talk.sends("OUT", phone="ph5", after=20)

    assert heard[0].startswith("Noted: OUT for V1. Namep1, who is cleaning it, is told now.")
    assert breaks(talk) == [("V1", "early_out")]


def test_S10_a_carriers_double_says_nothing_of_another() -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, "V2", Level.BRIEF, phone="ph2", until="soaking")
    play_cycle(talk, until="immerse")
    wait_for_bell(talk, "V2")
    out = f"OUT {number_for(talk, 'V2', 'ph2')}"
    talk.sends("IN 23", after=20)
    talk.sends(out, phone="ph2", after=20)
    play_cycle(talk, "V2", phone="ph2")

    (text,) = talk.sends(out, phone="ph2", after=20)

    assert step_of(talk) == "soaking"
    assert text.startswith("I did not understand that.")
    assert breaks(talk) == []


def test_S3_with_a_probe_of_ones_own_in_hand_what_has_no_name_is_said_of_that() -> None:
    talk = soaking()
    play_cycle(talk, "V2", phone="ph2", until="wipe_detergent")

    (text,) = talk.sends("OUT", phone="ph2", after=20)

    assert text.startswith("V2: ")
    assert breaks(talk) == []


# -- which one ----------------------------------------------------------------------------------


@pytest.mark.parametrize("body", ["OUT", "MOVED", "IN 23"])
def test_S10_where_two_soak_the_name_is_asked(body: str) -> None:
    talk = soaking()
    play_cycle(talk, "V2", phone="ph2", until="soaking")

    answer = talk.sends(body, phone="ph9", after=20)

    word = body.split(maxsplit=1)[0]
    assert answer == [
        f"Which probe is that? I note it as soon as you text its name first, like V1 {word}."
    ]
    assert breaks(talk) == []


@pytest.mark.parametrize("body", ["DAMAGED", "STAINED"])
def test_S13_what_may_lie_anywhere_is_asked_for_its_name(body: str) -> None:
    talk = soaking()

    (text,) = talk.sends(body, phone="ph2", after=20)

    assert text.startswith("Which probe is that?")
    assert talk.happened(Quarantined) == []


def test_S21_whichever_was_put_in_what_soaks_there_is_void() -> None:
    talk = soaking()
    heard = len(talk.heard["ph1"])

    answer = talk.sends("IN T1 23", phone="ph2", after=20)
    talk.sends("V2 IN T1 23", phone="ph2", after=20)

    assert "".join(answer) == (
        "T1 is in use for V1: one probe a bath. The soak of V1 is void. Which probe is in it now? "
        "Text its name first, like V2 IN T1."
    )
    assert breaks(talk) == [("V1", "second_device")]
    assert step_of(talk) == "wipe_detergent"
    assert new_on(talk, "ph1", heard)[0].startswith("V1: another probe was put in its bath.")
    assert was_in(talk) == [("V2", "T1", "elsewhere")]


def test_S4_of_another_bath_the_name_is_asked() -> None:
    talk = soaking()

    (text,) = talk.sends("IN T2 23", phone="ph2", after=20)

    assert text.endswith("like V1 IN T2.")
    assert breaks(talk) == []


def test_S14_of_a_stranger_nothing_is_heard() -> None:
    talk = clinic(devices=())

    (text,) = talk.sends("OUT", after=20)

    assert text.startswith("I did not understand that.")


# -- of what nobody is cleaning -----------------------------------------------------------------


def released(*devices: str) -> Talk:
    talk = clinic(devices=devices or ("V1", "V2"))
    play_cycle(talk)
    return talk


@pytest.mark.parametrize(
    ("body", "because", "reason"),
    [
        ("IN 23", "in_again", "it was in a bath since"),
        ("MOVED", "moved", "its soak is in doubt"),
        ("STAINED", "stained", "it was not clean"),
        ("AGAIN", "again", "clean it again"),
    ],
)
def test_S9_a_release_lapses_by_it_and_every_phone_hears_so(
    body: str, because: str, reason: str
) -> None:
    talk = released()

    answer = talk.sends(f"V1 {body}", phone="ph2", after=20)

    text = (
        f"V1 is NOT READY any more: {reason}. Do not use it on a patient. Clean it again: "
        "CLEAN V1."
    )
    assert lapsed(talk) == [("V1", because)]
    assert answer == [text]
    assert talk.last("ph1") == text
    assert text in talk.heard["ph9"]
    assert talk.sends("CHECK V1")[0].startswith(f"V1 NOT READY: {reason}.")


def test_S4_put_in_a_bath_its_strip_is_spent_too() -> None:
    talk = released()
    play_cycle(talk, "V2", phone="ph2", until="immerse")
    heard = len(talk.heard["ph2"])

    answer = talk.sends("V1 IN T1 23", after=20)
    play_cycle(talk, "V2", phone="ph2")

    assert answer[0] == (
        "Noted: V1 was put in T1, and that is no soak. Take it out. It is NOT READY; to clean "
        "it: CLEAN V1."
    )
    assert lapsed(talk) == [("V1", "in_again")]
    assert was_in(talk) == [("V1", "T1", "elsewhere")]
    assert any("V1 was put in T1 by mistake" in text for text in new_on(talk, "ph2", heard))
    assert [each.device for each in talk.happened(Released)] == ["V1", "V2"]


def test_S21_put_where_another_soaks_that_one_is_void() -> None:
    talk = soaking()

    answer = talk.sends("V2 IN T1 23", phone="ph2", after=20)

    assert answer[0].startswith("Noted: V2 was put in T1, and that is no soak.")
    assert breaks(talk) == [("V1", "second_device")]
    assert was_in(talk) == [("V2", "T1", "in_use")]
    assert step_of(talk) == "wipe_detergent"


def test_S13_damaged_it_is_in_quarantine() -> None:
    talk = released()

    (text,) = talk.sends("V1 DAMAGED", phone="ph2", after=20)

    assert text.startswith("V1 is out of use: quarantine.")
    assert talk.clinic.devices["V1"].standing is Standing.QUARANTINED


def test_S9_out_contradicts_no_release() -> None:
    talk = released()

    (text,) = talk.sends("V1 OUT", phone="ph2", after=20)

    assert text.startswith("V1 READY UNTIL")
    assert lapsed(talk) == []


@pytest.mark.parametrize("body", ["MOVED", "IN 23"])
def test_S9_where_no_release_stands_how_it_stands_is_said(body: str) -> None:
    talk = clinic(devices=("V1", "V2"))

    (text,) = talk.sends(f"V2 {body}", after=20)

    assert text.startswith("V2 NOT READY: not cleaned yet.")


def test_S9_where_a_site_has_one_probe_it_is_meant() -> None:
    talk = released("V1")

    talk.sends("STAINED", phone="ph2", after=20)

    assert lapsed(talk) == [("V1", "stained")]


@pytest.mark.parametrize("body", ["V1 OUT?", "out of strips", "in a meeting"])
def test_what_tells_of_no_one_probe_is_not_taken(body: str) -> None:
    talk = soaking()

    (text,) = talk.sends(body, phone="ph2", after=20)

    assert text.startswith("I did not understand that.")
    assert breaks(talk) == []
