"""S12: left in too long is not silent, and past the maximum the device is inspected."""

from datetime import timedelta

import pytest

from flows.parts.clinic import Level, Standing
from flows.parts.events import (
    AlertRaised,
    CleaningRestarted,
    CycleAbandoned,
    LifeShortened,
    PhoneOptedOut,
    PhoneReachable,
    Released,
    StepDone,
    TakenOut,
    TextUndelivered,
)
from tests.kit.cycles import cycle_of, number_for, play_cycle, step_of
from tests.kit.talk import Talk, clinic

MICROSECOND = timedelta(microseconds=1)
MAXIMUM = timedelta(minutes=60)


def soaking(level: Level = Level.COACH) -> Talk:
    talk = clinic(level=level)
    play_cycle(talk, until="soaking")
    return talk


def heard_after(talk: Talk, minutes: float) -> dict[str, list[str]]:
    """What each phone hears in so many minutes."""
    before = {phone: len(texts) for phone, texts in talk.heard.items()}
    talk.wait(minutes=minutes)
    new = {phone: texts[before.get(phone, 0) :] for phone, texts in talk.heard.items()}
    return {phone: [text[:24] for text in texts] for phone, texts in new.items() if texts}


def causes(talk: Talk) -> list[str]:
    return [event.cause for event in talk.happened(AlertRaised)]


def test_S12_the_climb_a_bell_another_a_second_phone_the_supervisor_the_maximum() -> None:
    talk = soaking()

    bell = heard_after(talk, 13)
    second = heard_after(talk, 2)
    elsewhere = heard_after(talk, 2)
    supervisor = heard_after(talk, 2)
    nothing = heard_after(talk, 40)
    maximum = heard_after(talk, 1)
    ever_after = heard_after(talk, 600)

    again = ["V1: soak complete. Clean"]
    assert bell == {"ph1": again}
    assert second == {"ph1": again}
    others = ["V1: its bell rang at 12:"]
    assert elsewhere == {"ph1": again, "ph2": others, "ph9": others}
    assert supervisor == {"ph1": again, "ph9": ["V1 has been in T1 past i"]}
    assert nothing == {}
    assert maximum == {"ph1": ["V1 has been in too long."]}
    assert ever_after == {}


def test_S12_an_out_ends_the_climb() -> None:
    talk = soaking()
    talk.wait(minutes=15)

    talk.sends(f"OUT {number_for(talk)}", after=20)

    assert not [bell for bell in talk.clinic.bells.values() if bell.kind == "overdue"]
    assert heard_after(talk, 9) == {}


@pytest.mark.parametrize(
    "event", [TextUndelivered("ph2", "o1", "off"), PhoneOptedOut("ph2")], ids=["off", "opted out"]
)
def test_S12_a_phone_that_cannot_be_reached_is_not_the_second_phone(
    event: TextUndelivered | PhoneOptedOut,
) -> None:
    talk = soaking()
    talk.let(event)
    talk.heard.pop("ph2", None)

    talk.wait(minutes=17)

    assert "ph2" not in talk.heard
    assert "V1: its bell rang" in talk.heard["ph9"][-1]


def test_S12_a_phone_that_texts_again_can_be_reached_again() -> None:
    talk = soaking()
    talk.let(TextUndelivered("ph2", "o1", "off"), PhoneOptedOut("ph2"))

    talk.sends("STATE", phone="ph2")
    talk.sends("STATE", phone="ph2")

    phone = talk.clinic.phones["ph2"]
    assert (phone.reachable, phone.opted_out) == (True, False)
    assert talk.happened(PhoneReachable) == [PhoneReachable("ph2")]


@pytest.mark.parametrize(
    ("event", "cause"),
    [(TextUndelivered("ph1", "o1", "off"), "unreachable"), (PhoneOptedOut("ph1"), "opted_out")],
)
def test_S12_a_bell_that_does_not_reach_its_phone_rings_on_the_others_at_once(
    event: TextUndelivered | PhoneOptedOut, cause: str
) -> None:
    talk = soaking()
    talk.wait(minutes=13)
    talk.heard.clear()

    talk.let(event)

    assert causes(talk) == [cause]
    assert [text[:17] for text in talk.heard["ph2"]] == ["V1: its bell rang"]
    assert len(talk.heard["ph9"]) == 2


def test_S12_before_its_bell_nothing_rings_on_the_others() -> None:
    talk = soaking()

    talk.let(TextUndelivered("ph1", "o1", "off"))

    assert causes(talk) == ["unreachable"]
    assert "ph2" not in talk.heard


def test_S12_of_another_phones_cycle_nothing_rings() -> None:
    talk = soaking()
    talk.wait(minutes=13)

    talk.let(TextUndelivered("ph2", "o1", "off"))

    assert "ph2" not in talk.heard


def test_S12_whoever_hears_of_it_may_take_over_and_end_the_soak() -> None:
    talk = soaking()
    talk.wait(minutes=18)

    talk.sends("TAKE V1", phone="ph2")
    play_cycle(talk, phone="ph2", until="soaking")
    (text,) = talk.sends("LEFT", phone="ph2")
    talk.sends(f"OUT {number_for(talk, phone='ph2')}", phone="ph2", after=20)

    assert "its time is up" in text
    assert step_of(talk) == "final_rinse"
    assert talk.last("ph1").startswith("V1 has been taken over by Namep2.")


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize(("lasted", "over"), [(MAXIMUM, False), (MAXIMUM + MICROSECOND, True)])
def test_S12_past_the_maximum_it_is_inspected_before_anything_else(
    level: Level, lasted: timedelta, *, over: bool
) -> None:
    talk = soaking(level)
    talk.wait(seconds=lasted.total_seconds())

    talk.sends(f"OUT {number_for(talk)}")

    (out,) = talk.happened(TakenOut)
    after = "final_rinse" if level is Level.COACH else "cover"
    assert out.over_maximum is over
    assert step_of(talk) == ("inspect_after" if over else after)
    assert cycle_of(talk).inspect_again is over
    assert causes(talk) == ["over_soaked"] * over


def test_S12_sound_it_goes_on_and_is_released_with_that_on_record() -> None:
    talk = soaking()
    talk.wait(minutes=61)

    heard = play_cycle(talk).heard

    assert heard[-1].startswith("V1 READY until ")
    assert "inspect_after" in [event.what for event in talk.happened(StepDone)]


def test_S12_without_that_inspection_nothing_is_earned() -> None:
    talk = soaking()
    talk.wait(minutes=61)
    play_cycle(talk, until="cover")
    talk.entries = [
        each for each in talk.entries if getattr(each.event, "what", "") != "inspect_after"
    ]

    play_cycle(talk)

    assert talk.happened(Released) == []
    assert talk.happened(CycleAbandoned)[0].because == "not_proved:inspect_after"


def test_S12_damaged_by_it_the_device_goes_to_quarantine() -> None:
    talk = soaking()
    talk.wait(minutes=61)
    talk.sends(f"OUT {number_for(talk)}")

    talk.sends("damaged", after=20)

    assert talk.clinic.devices["V1"].standing is Standing.QUARANTINED
    assert talk.clinic.devices["V1"].why == "over_soaked"


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize(
    ("body", "because"),
    [("again", "asked"), ("IN 23", "second_in"), ("moved", "moved")],
)
def test_S12_cleaned_again_after_the_maximum_it_is_inspected_again_first(
    level: Level, body: str, because: str
) -> None:
    talk = soaking(level)
    talk.wait(minutes=61)
    if body == "moved":
        talk.sends("TAKE V1")

    talk.sends(body, after=5)

    (restarted,) = talk.happened(CleaningRestarted)
    first = "inspect" if level is Level.COACH else "under"
    assert (restarted.because, restarted.inspect_again) == (because, True)
    assert step_of(talk) == first
    assert cycle_of(talk).done == frozenset()
    assert causes(talk) == ["over_soaked"]


@pytest.mark.parametrize("level", list(Level))
@pytest.mark.parametrize("said", [("again",), ("stained",), ("moved",), ("IN", "again")])
def test_S12_cleaned_again_before_it_has_been_looked_over_it_is_inspected_first(
    level: Level, said: tuple[str, ...]
) -> None:
    talk = soaking(level)
    talk.wait(minutes=62)
    talk.sends(f"OUT {number_for(talk)}")
    assert step_of(talk) == "inspect_after"

    for body in said:
        talk.sends(body, after=20 * 60)
    asked, owed = step_of(talk), cycle_of(talk).inspect_again
    play_cycle(talk, until="soaking")
    talk.sends("again", after=20)

    assert asked == ("inspect" if level is Level.COACH else "under")
    assert [each.inspect_again for each in talk.happened(CleaningRestarted)] == [True, False]
    assert (owed, cycle_of(talk).inspect_again) == (False, False)


@pytest.mark.parametrize(("minutes", "step"), [(30, "wipe_detergent"), (62, "inspect")])
def test_S12_disturbed_past_its_maximum_it_is_inspected_first(minutes: int, step: str) -> None:
    talk = clinic(devices=("V1", "V2"))
    play_cycle(talk, until="soaking")
    talk.wait(minutes=minutes)
    play_cycle(talk, "V2", phone="ph2", until="inspect")
    heard = len(talk.heard["ph1"])

    talk.sends("IN T1 23", phone="ph2")

    assert step_of(talk) == step
    assert cycle_of(talk).done == (frozenset() if step == "inspect" else {"inspect"})
    assert talk.heard["ph1"][heard].startswith("V1: another probe was put in its bath.")
    assert ("over_soaked" in causes(talk)) is (step == "inspect")


def test_S12_found_cold_after_the_maximum_it_is_inspected_again_too() -> None:
    talk = clinic()
    play_cycle(talk, until="soaking", celsius="20")
    talk.wait(minutes=61)

    talk.sends(f"OUT {number_for(talk)} 19")

    assert step_of(talk) == "inspect"
    assert talk.happened(CleaningRestarted)[0].because == "too_cold"


def test_S12_cleaned_again_at_the_maximum_it_need_not_be() -> None:
    talk = soaking()
    talk.wait(minutes=60)

    talk.sends("again")

    assert step_of(talk) == "wipe_detergent"
    assert causes(talk) == []


def test_S12_an_inspection_before_it_was_left_in_earns_nothing_after() -> None:
    talk = soaking()
    talk.wait(minutes=61)
    talk.sends("again")
    play_cycle(talk, until="cover")
    inspections = [each for each in talk.entries if getattr(each.event, "what", "") == "inspect"]
    talk.entries.remove(inspections[-1])

    play_cycle(talk)

    assert len(inspections) == 2
    assert talk.happened(CycleAbandoned)[0].because == "not_proved:inspect"


def test_S12_bells_of_a_soak_that_is_gone_say_nothing() -> None:
    talk = soaking()
    talk.wait(minutes=13)
    bells = dict(talk.clinic.bells)
    talk.sends("OUT hm", after=5)
    talk.sends(f"OUT {number_for(talk)}", after=5)

    assert [bell.kind for bell in bells.values() if bell.cycle] == ["overdue"]
    assert heard_after(talk, 9) == {}


# -- out, and its temperature still asked for ---------------------------------------------------


@pytest.mark.parametrize(("celsius", "reading"), [("23", "64"), ("21", "")])
def test_S12_what_is_said_to_be_out_is_nobody_elses_to_take_out(
    celsius: str, reading: str
) -> None:
    talk = clinic()
    play_cycle(talk, until="soaking", celsius=celsius)
    talk.wait(minutes=14)
    (asked,) = talk.sends(f"OUT {number_for(talk)} {reading}".strip())

    heard = heard_after(talk, 90)
    answer = talk.sends(f"OUT {number_for(talk)} 23 C", after=20)

    assert heard == {"ph1": [asked[:24]] * 4, "ph9": ["V1 is out of T1, and nob"]}
    assert answer[0].startswith("V1: measured so long after it came out")
    assert talk.happened(TakenOut) == []
    assert not any(each.inspect_again for each in talk.happened(CleaningRestarted))


def test_S12_whoever_takes_it_over_is_asked_for_the_temperature() -> None:
    talk = soaking()
    talk.wait(minutes=14)
    number = number_for(talk)
    talk.sends(f"OUT {number} 64")
    talk.sends("TAKE V1", phone="ph2", after=20)
    talk.sends("ready", phone="ph2", after=20)

    heard = heard_after(talk, 2)
    (text,) = talk.sends("stayed", phone="ph2", after=20)
    talk.sends(f"OUT {number} 23 C", phone="ph2", after=20)

    assert heard == {"ph2": ["V1: was that C or F? If "]}
    assert text.startswith("V1: was that C or F?")
    assert step_of(talk) == "final_rinse"


def is_out_unread() -> Talk:
    """It came out at the bell, and its temperature is still asked for."""
    talk = clinic()
    play_cycle(talk, until="soaking")
    talk.wait(minutes=14)
    talk.sends(f"OUT {number_for(talk)} 64")
    return talk


def test_S12_a_bath_thrown_away_before_its_reading_is_not_said_to_hold_it() -> None:
    talk = is_out_unread()

    (answer,) = talk.sends("DISCARD T1", after=20)
    talk.sends(f"OUT {number_for(talk)} 23 C", after=20)
    gone = talk.sends("DISCARD T1", after=20)

    assert answer == (
        "Nothing is noted of T1 yet: its temperature is still asked for, as V1 came out. Answer "
        "that first, then DISCARD T1."
    )
    assert gone[0].startswith("T1 is noted as thrown away.")


def test_S12_nor_is_anybody_told_to_take_it_out_of_a_bath_that_is_over() -> None:
    talk = is_out_unread()
    over = talk.now + timedelta(minutes=1)
    talk.now += timedelta(minutes=2)

    talk.let(LifeShortened("T1", over, "reuse_life", chosen=True))
    heard = [text for text in talk.heard["ph1"] if "take V1 out now and reply OUT." in text]
    talk.sends(f"OUT {number_for(talk)} 23 C", after=20)

    assert heard == []
    assert len(talk.happened(TakenOut)) == 1
