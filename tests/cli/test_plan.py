"""A day planned at the command line: verdict, timetable, packing list, and mistakes."""

from datetime import timedelta

import pytest

from bot.clock import machine_time
from bot.store.engine import open_store
from flows.parts.events import Quarantined, Released, Stamped
from tests.kit.desk import Desk, set_up
from tests.kit.record import write


@pytest.fixture
def desk(database: str) -> Desk:
    made = Desk(database)
    set_up(made)
    return made


def test_one_patient_from_exam_to_cover(desk: Desk) -> None:
    """By hand: exam to 08:10, in the bath 17:15, out 30:15, covered 34:15, told as 08:35."""
    told = desk.reads("plan", "--patients", "1").splitlines()

    assert told[0] == (
        "Patients 1, probes 1, baths 1, tubs 1, people 1, 10 min an exam, 08:00 to 17:00, "
        "OPA 0.55 %."
    )
    assert told[1] == "It fits: the last probe is ready at 08:35."
    assert told[5:7] == [
        "Probe 1",
        "  patient  1  exam 08:00  clean 08:10  in bath 1 08:18  out 08:31  ready 08:35",
    ]


def test_a_day_that_does_not_fit_is_told_with_what_would_help(desk: Desk) -> None:
    """By hand: two patients with one probe take 68:30; with two probes and two people 50:46."""
    told = desk.reads(
        "plan", "--patients", "2", "--people", "2", "--opens", "16:00", "--closes", "17:00"
    ).splitlines()

    assert told[1:3] == [
        "It does not fit: the last probe is ready at 17:09.",
        (
            "Each alone would make it fit: probes: 2, baths: none found up to 9, "
            "people: none found up to 9, tubs: none found up to 9. As it is, patients that fit: 1."
        ),
    ]
    assert "together" not in told[3]


def test_the_fewest_things_together_are_told_where_nothing_alone_would_help(desk: Desk) -> None:
    """By hand: two patients with two probes, baths and people 44:15, with less 50:46 at best."""
    hours = ("--opens", "16:00", "--closes", "16:45")

    told = desk.reads("plan", "--patients", "2", *hours).splitlines()
    none = desk.reads("plan", "--patients", "5", *hours).splitlines()

    assert told[3] == (
        "The fewest found that together would make it fit: probes: 2, people: 2, baths: 2."
    )
    assert none[3] == "Together up to 9 of each, none was found that would make it fit."


def test_tubs_are_tried_like_everything_else(desk: Desk) -> None:
    """60 patients in 6.5 h, nine of all but tubs. A tub is taken for 7:15 each: one is needed for
    60 x 7:15 = 7 h 15 min, two for half of that; the exams in one room take 5 h."""
    nine = ("--probes", "9", "--baths", "9", "--people", "9")
    told = desk.reads(
        "plan", "--patients", "60", *nine, "--exam-minutes", "5", "--closes", "14:30"
    ).splitlines()

    assert "people: none found up to 9, tubs: 2. As it is" in told[2]


def test_more_rooms_fit_what_one_does_not(desk: Desk) -> None:
    """120 exams of 10 min take 20 h one at a time, and 10 h in two rooms."""
    nine = ("--probes", "9", "--baths", "9", "--people", "9", "--tubs", "9")
    plan = ("plan", "--patients", "120", *nine, "--closes", "20:00")

    one = desk.reads(*plan)
    two = desk.reads(*plan, "--rooms", "2")

    assert "It does not fit" in one
    assert "; one room; " in one
    assert "It fits" in two
    assert "; 2 rooms; " in two


def test_S9_what_is_not_ready_by_the_record_is_named(desk: Desk) -> None:
    """Whether a probe is ready on the day is not known here: whoever plans can see to it."""
    desk.reads("device", "add", "V2", "handheld_probe")
    plan = ("plan", "--patients", "1")

    both = desk.reads(*plan).splitlines()
    made_ready(desk, "V2")
    one = desk.reads(*plan).splitlines()
    made_ready(desk, "V1")
    none = desk.reads(*plan)

    assert both[3] == "Not READY now: V1, V2. To clean one first takes 25 min."
    assert one[3] == "Not READY now: V1. To clean one first takes 25 min."
    assert "Not READY" not in none


def made_ready(desk: Desk, label: str) -> None:
    now = machine_time()
    until = now + timedelta(hours=1)
    released = Released("c0", label, f"{label}-K7P4", until, "sterile_drape")
    store = open_store(desk.url)
    write(store, [Stamped(released, now)], "hill")
    store.close()


def test_every_number_can_be_given(desk: Desk) -> None:
    numbers = ("--probes", "3", "--baths", "2", "--people", "4", "--tubs", "2")
    told = desk.reads("plan", "--patients", "9", *numbers, "--exam-minutes", "15").splitlines()

    assert told[0].startswith(
        "Patients 9, probes 3, baths 2, tubs 2, people 4, 15 min an exam, 08:00 to 17:00,"
    )
    assert [line for line in told if line.startswith("Probe ")] == [
        f"Probe {number}" for number in (1, 2, 3)
    ]


def test_what_to_pack_stands_with_its_reasons(desk: Desk) -> None:
    told = desk.reads("plan", "--patients", "12", "--bath-ml", "1000").split("To pack:\n")[1]

    assert told.splitlines()[0] == (
        "       96  lint-free towels: 8 a cycle, cycles: 12; 4 wipes of handle and cable, 1 of "
        "the probe, 2 dryings, 1 cover"
    )
    assert "  2120 ml  OPA 0.55 %: 1 x 1000 ml to fill baths to the line of a handheld " in told
    assert "     14 g  glycine: 7 g to each bath of 1000 ml before it is poured away" in told
    assert (
        "     24 l  clean water for detergent: 500 ml a batch, batches: 12, and 3 x 500 ml to "
        in told
    )
    assert "    288 l  rinse water, boiled and cooled, or sterile: after each soak 3 x 8 l" in told
    assert " 3 x 8 l, 3 min in all; cycles: 12\n" in told


def test_the_sites_own_figures_are_planned_with(desk: Desk) -> None:
    """Three minutes more of margin, and 34:15 becomes 37:15."""
    desk.reads("choose", "opa_055", "bell_margin", "4 min")

    assert "ready at 08:38." in desk.reads("plan", "--patients", "1", "--site", "hill")


def test_a_plan_past_midnight_names_the_day(desk: Desk) -> None:
    told = desk.reads("plan", "--patients", "2", "--opens", "23:00", "--closes", "23:30")

    assert "It does not fit: the last probe is ready at 00:09 +1 d." in told


def test_a_clinic_that_closes_after_midnight_is_open_until_the_next_day(desk: Desk) -> None:
    """From 20:00 to 02:00; two patients with one probe take 68:30."""
    told = desk.reads("plan", "--patients", "2", "--opens", "20:00", "--closes", "02:00")

    assert ", 20:00 to 02:00 +1 d, OPA 0.55 %." in told
    assert "It fits: the last probe is ready at 21:09." in told


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        (("--patients", "0"), "--patients is 0; give 1 to 300."),
        (("--patients", "301"), "--patients is 301; give 1 to 300."),
        (("--patients", "5", "--probes", "10"), "--probes is 10; give 1 to 9."),
        (("--patients", "5", "--exam-minutes", "0"), "--exam-minutes is 0; give 1 to 240."),
        (("--patients", "5", "--bath-ml", "-1"), "--bath-ml is -1; give 1 to 99999."),
        (("--patients", "5", "--opens", "8 am"), "--opens is 8 am; a time of day, like 08:00."),
        (
            ("--patients", "5", "--closes", "24:00"),
            "--closes is 24:00; a time of day, like 08:00.",
        ),
        (
            ("--patients", "5", "--opens", "15:00", "--closes", "14:00"),
            (
                "--opens is 15:00 and --closes is 14:00, which leaves it closed for less than 6 "
                "h; give a closing after that or well before, or the same time for day and night."
            ),
        ),
        (
            ("--patients", "5", "--site", "coast"),
            "There is no site coast here. There are: hill.",
        ),
    ],
)
def test_what_cannot_be_is_said_in_one_line(desk: Desk, typed: tuple[str, ...], line: str) -> None:
    assert desk.fails("plan", *typed) == [line]


def test_S13_a_probe_in_quarantine_is_not_counted(desk: Desk) -> None:
    desk.reads("device", "add", "V2", "handheld_probe")
    before = desk.reads("plan", "--patients", "1")
    store = open_store(desk.url)
    write(store, [Stamped(Quarantined("V1", "damaged"), machine_time())], "hill")
    after = desk.reads("plan", "--patients", "1")
    write(store, [Stamped(Quarantined("V2", "damaged"), machine_time())], "hill")
    store.close()

    assert "probes 2," in before
    assert "probes 1," in after
    assert desk.fails("plan", "--patients", "1") == [
        "No device here may be used. Enrol one: soakbell device add V1 handheld_probe"
    ]


def test_a_bath_takes_what_the_site_says_of_its_device(desk: Desk) -> None:
    desk.reads("choose", "handheld_probe", "bath_volume_ml", "400")

    told = desk.reads("plan", "--patients", "1")

    assert "  810 ml  OPA 0.55 %: 1 x 400 ml to fill baths" in told


def test_the_day_begins_when_the_site_opens_unless_another_time_is_given(desk: Desk) -> None:
    desk.reads("choose", "site", "opens_at", "10:00")

    assert "10:00 to 17:00" in desk.reads("plan", "--patients", "1")
    assert "07:00 to 17:00" in desk.reads("plan", "--patients", "1", "--opens", "07:00")


def test_S4_probes_in_another_disinfectant_are_named_and_planned_by_themselves(desk: Desk) -> None:
    desk.reads("device", "add", "V2", "sealed_probe")
    desk.reads("choose", "sealed_probe", "chemistry", "ga_30")

    of_first = desk.reads("plan", "--patients", "1").splitlines()
    of_v2 = desk.reads("plan", "--patients", "1", "--device", "V2").splitlines()

    assert "probes 1," in of_first[0]
    assert of_first[-1] == "Not counted: V2 soak in glutaral 3.0 %; --device."
    assert of_v2[-1] == "Not counted: V1 soak in OPA 0.55 %; --device."
    assert desk.fails("plan", "--patients", "1", "--device", "V9") == [
        "No device here is called V9; soakbell device list."
    ]


def test_S4_where_a_bath_is_mixed_for_each_soak_its_source_is_packed(desk: Desk) -> None:
    """12 soaks and one to spare of 150 ml with 3 ml of 5 %, and 3 ml for 120 ml to wipe."""
    desk.reads("device", "add", "V2", "plastic_probe")
    desk.reads("choose", "plastic_probe", "chemistry", "chlorine_01")
    plan = ("plan", "--patients", "12", "--device", "V2")

    none = desk.reads(*plan)
    desk.reads("choose", "site", "chlorine_source", "bleach 5 %")
    told = desk.reads(*plan)

    assert "  2070 ml  chlorine 0.1 %, mixed for each soak of bleach or powder: no bleach " in none
    assert "    42 ml  bleach 5 %: a bath of 150 ml with 3 ml for each soak, soaks: 12, " in told
    assert "     3 l  boiled, cooled water to mix with: for 2070 ml of chlorine 0.1 % in " in told
    assert "strip" not in told.split("To pack:")[1]


def test_detergent_is_packed_in_the_measure_that_the_site_takes_it_with(desk: Desk) -> None:
    """7.8 ml to a litre: 3.9 ml to half a litre, a cap of 5 ml for each of twelve."""
    desk.reads("choose", "site", "detergent_measure", "cap 5 ml")

    told = desk.reads("plan", "--patients", "12")

    assert "    60 ml  detergent concentrate: 7.8 ml to a litre, 500 ml of water a batch, " in told


def test_S12_a_day_that_keeps_bells_waiting_says_so(desk: Desk) -> None:
    """Exams of 30 min, two probes, one person: 17 min, by hand in `test_planning`."""
    more = ("--probes", "2", "--baths", "2", "--exam-minutes", "30")

    told = desk.reads("plan", "--patients", "3", *more)
    two = desk.reads("plan", "--patients", "3", *more, "--people", "2")

    assert (
        "A probe waits up to 17 min past its bell, for want of free hands; after 4 min other "
        "phones are called. Better: somebody free takes it out.\n"
    ) in told
    assert "past its bell" not in two


def test_all_that_is_out_of_range_is_named_at_once(desk: Desk) -> None:
    wrong = ("--patients", "0", "--probes", "0", "--people", "99", "--opens", "25:00")

    assert desk.fails("plan", *wrong) == [
        "--patients is 0; give 1 to 300.",
        "--probes is 0; give 1 to 9.",
        "--people is 99; give 1 to 9.",
        "--opens is 25:00; a time of day, like 08:00.",
    ]


def test_probes_that_are_named_are_planned_with_though_none_here_may_be_used(desk: Desk) -> None:
    quarantined = Stamped(Quarantined("V1", "damaged"), machine_time())
    store = open_store(desk.url)
    write(store, [quarantined], "hill")
    store.close()

    told = desk.reads("plan", "--patients", "2", "--probes", "2")

    assert told.startswith("Patients 2, probes 2, ")


def test_without_any_device_it_is_said_why_none_can_be_planned_with(database: str) -> None:
    desk = Desk(database)
    desk.reads("site", "open", "hill", "--zone", "Etc/GMT-3", "--closes-at", "17:00")

    assert desk.fails("plan", "--patients", "2", "--probes", "2") == [
        (
            "No device is enrolled here, and what it soaks in is not known without. Enrol one: "
            "soakbell device add V1 handheld_probe"
        )
    ]
