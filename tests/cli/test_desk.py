"""Sites, people, phones, devices and containers, set up from the command line."""

from datetime import timedelta

import pytest

from bot.clock import machine_time
from bot.record.rebuild import rebuild
from bot.store.engine import open_store
from bot.store.live import load
from bot.store.people import names_of
from flows.calculations.check_code import labelled_tag
from flows.parts.clinic import Clinic, Fitness, Level, Standing
from flows.parts.events import ContainerCondemned, Quarantined, Stamped
from tests.kit.desk import Desk, set_up
from tests.kit.record import write

YESTERDAY = f"{machine_time() - timedelta(days=1):%Y-%m-%d}"
IN_A_WEEK = f"{machine_time() + timedelta(days=7):%Y-%m-%d}"
IN_A_MONTH = f"{machine_time() + timedelta(days=30):%Y-%m-%d}"
IN_A_YEAR = f"{machine_time() + timedelta(days=365):%Y-%m-%d}"


@pytest.fixture
def desk(database: str) -> Desk:
    made = Desk(database)
    set_up(made)
    return made


def clinic(desk: Desk) -> Clinic:
    store = open_store(desk.url)
    with store.read() as connection:
        loaded = load(connection, "hill").clinic
    store.close()
    return loaded


def test_a_site_is_set_up_and_its_rows_say_what_its_record_says(desk: Desk) -> None:
    store = open_store(desk.url)
    differences = rebuild(store, "hill", check=True)
    store.close()

    assert differences == []
    assert desk.reads("site", "list") == (
        "hill  Etc/GMT-3, closes 17:00, 1 people, 1 phones, 1 devices\n"
    )
    assert desk.reads("device", "list") == "V1    handheld_probe  NOT READY: enrolled\n"
    assert desk.reads("person", "list") == (
        " 1  Ann           worker, coach, may release, en, phones: 1\n"
    )


def test_a_site_has_a_title_that_stays_until_another_is_given(desk: Desk) -> None:
    again = ("site", "open", "hill", "--zone", "UTC", "--closes-at", "18:00")
    desk.reads(*again, "--title", " Hill  House ")
    desk.reads(*again)

    assert desk.reads("site", "list") == (
        "hill  Hill House, UTC, closes 18:00, 1 people, 1 phones, 1 devices\n"
    )
    assert desk.fails(*again, "--title", "x" * 41) == [
        f"hill: title is {'x' * 41}; what people call it, in a line of at most 40 characters."
    ]


def test_solutions_are_entered_and_their_date_is_told(desk: Desk) -> None:
    jug = ("--product", "opa_055", "--lot", "L7", "--expires", IN_A_YEAR, "--since", YESTERDAY)
    strips = ("--product", "opa_strip_1s_90s", "--expires", IN_A_YEAR, "--since", YESTERDAY)
    bath = ("--source", "B1", "--since", YESTERDAY, "--volume", "2 L")
    desk.reads("choose", "site", "bottle_volume", "0.5 L")

    told = [
        desk.reads("container", "add", "J1", "jug", *jug),
        desk.reads("container", "add", "B1", "bottle", "--source", "J1", "--since", YESTERDAY),
        desk.reads("container", "add", "T1", "bath", *bath),
        desk.reads("container", "add", "T2", "bath", *bath[:-2]),
        desk.reads("container", "add", "S1", "strips", *strips, "--checked"),
        desk.reads("container", "add", "S2", "strips", *strips, "--not-checked"),
    ]

    assert [line.split(". ")[0] for line in told] == [
        f"{tag} is entered" for tag in ("J1", "B1", "T1", "T2", "S1", "S2")
    ]
    words = [line.split(". ")[1].split(", good to the end of 20")[0] for line in told[:5]]
    assert words == [
        f"Write on it: {labelled_tag('J1')} OPA 0.55 %, lot L7",
        f"Write on it: {labelled_tag('B1')} 0.5 L OPA 0.55 %, lot L7",
        f"Write on it: {labelled_tag('T1')} 2 L OPA 0.55 %, lot L7",
        f"Write on it: {labelled_tag('T2')} OPA 0.55 %, lot L7",
        f"Write on it: {labelled_tag('S1')} OPA strip, lot not noted",
    ]
    assert told[1].endswith(" (its days of use).\n")
    held = {each.tag: each.volume_ml for each in clinic(desk).containers.values()}
    assert held == {"J1": None, "B1": 500, "T1": 2000, "T2": 150}
    assert clinic(desk).strips["S1"].checked
    assert [line.endswith("Before it is used: TEST S2 by text.\n") for line in told] == [
        False, False, False, False, False, True,
    ]  # fmt: skip


def test_what_a_bath_is_mixed_from_is_no_disinfectant_on_its_label(desk: Desk) -> None:
    bleach = ("--product", "chlorine_01", "--lot", "C1", "--expires", IN_A_YEAR)

    told = desk.reads("container", "add", "J1", "jug", *bleach, "--since", YESTERDAY)

    assert f"Write on it: {labelled_tag('J1')} bleach/powder, lot C1, good to " in told


def test_S4_a_jug_that_may_be_one_that_failed_is_entered_on_hold(desk: Desk) -> None:
    jug = ("--product", "opa_055", "--expires", IN_A_YEAR, "--since", YESTERDAY)
    desk.reads("container", "add", "J1", "jug", *jug, "--lot", "L7")
    store = open_store(desk.url)
    write(store, [Stamped(ContainerCondemned("J1", "strip_failed"), machine_time())], "hill")
    store.close()

    told = desk.reads("container", "add", "J2", "jug", *jug)

    assert told.endswith(
        " It is ON HOLD: it may be one that failed. Before it is used: TEST J2 by text.\n"
    )
    assert clinic(desk).containers["J2"].fitness is Fitness.HELD


def test_S14_a_pin_is_asked_for_and_never_stands_on_the_command_line(desk: Desk) -> None:
    told = desk.reads("person", "add", "2", "Bo", "--pin", answers="2718\n2718\n")
    desk.reads("person", "add", "3", "Cy", "--pin", answers="3141\n3141\n")
    desk.reads("phone", "add", "+12025550102", "2", "3")

    assert "2718" not in told
    assert [phone.shared for phone in clinic(desk).phones.values()] == [False, True]
    assert desk.types("person", "add", "4", "Dee", "--pin", "2718").exit_code == 2


def test_a_level_is_changed(desk: Desk) -> None:
    desk.reads("person", "level", "1", "brief")

    (ann,) = clinic(desk).people.values()
    assert ann.level is Level.BRIEF


def test_S15_a_person_is_erased_once_it_is_confirmed(desk: Desk) -> None:
    refused = desk.types("person", "erase", "1", answers="n\n")
    store = open_store(desk.url)
    with store.read() as connection:
        still = len(names_of(connection, "hill"))
    store.close()

    desk.reads("person", "erase", "1", answers="y\n")

    assert (refused.exit_code, still) == (1, 1)
    assert "(erased)" in desk.reads("person", "list")


def test_S13_a_device_comes_out_of_quarantine_with_a_supervisor(desk: Desk) -> None:
    desk.reads("person", "add", "9", "Ella", "--role", "supervisor")
    store = open_store(desk.url)
    write(store, [Stamped(Quarantined("V1", "damaged"), machine_time())], "hill")
    store.close()

    assert desk.fails("device", "return", "V1") == [
        "hill: checked-with is missing: V1 is in quarantine; name the supervisor who checked it."
    ]
    desk.reads("device", "return", "v1", "--checked-with", "9")
    assert clinic(desk).devices["V1"].standing is Standing.NOT_READY


def test_a_laxer_figure_needs_its_reason(desk: Desk) -> None:
    (line,) = desk.fails("choose", "opa_055", "contact_time", "8 min")

    desk.reads("choose", "opa_055", "contact_time", "8 min", "--reason", "A national label.")

    assert line.endswith("is 8 min, the published figure is 12 min; add a reason or raise it.")
    (choice,) = clinic(desk).site.choices  # type: ignore[union-attr]
    assert (choice.key, choice.value, len(choice.reason)) == ("contact_time", "8 min", 64)


def test_every_problem_is_a_line_and_nothing_has_changed(desk: Desk) -> None:
    before = clinic(desk)

    lines = desk.fails("person", "add", "1", "Maximiliane Long", "--phone", "12")

    assert [line.split(";")[0] for line in lines] == [
        "person 1: name is Maximiliane Long",
        "person 1: phone is 12",
        "person 1: number is 1, which somebody has or had",
    ]
    assert clinic(desk) == before


def test_with_two_sites_one_has_to_be_named(desk: Desk) -> None:
    desk.reads("site", "open", "valley", "--zone", "UTC", "--closes-at", "16:00")

    assert desk.fails("device", "list") == ["Say which site with --site. There are: hill, valley."]
    assert desk.fails("device", "list", "--site", "coast") == [
        "There is no site coast here. There are: hill, valley."
    ]
    assert desk.reads("device", "list", "--site", "valley") == ""


def test_a_phone_has_one_site(desk: Desk) -> None:
    desk.reads("site", "open", "valley", "--zone", "UTC", "--closes-at", "16:00")
    desk.reads("person", "add", "1", "Vic", "--site", "valley")

    assert desk.fails("phone", "add", "+12025550101", "1", "--site", "valley") == [
        "phone +12025550101: phone is enrolled at hill; a number has one site."
    ]


def test_S5_what_may_be_another_of_its_lot_has_that_ones_date_and_is_told_why(desk: Desk) -> None:
    jug = ("--product", "opa_055", "--since", YESTERDAY)
    desk.reads("container", "add", "J1", "jug", *jug, "--expires", IN_A_MONTH)

    told = desk.reads("container", "add", "J2", "jug", *jug, "--expires", IN_A_YEAR)

    entered, remark = told.splitlines()
    assert f"good to the end of {IN_A_MONTH}" in entered
    assert remark == (
        "No lot tells it from J1, so it has the date of J1. Is J1 thrown away? Then text DISCARD "
        "J1 before the next is entered."
    )


def test_S5_an_expiry_too_far_ahead_to_be_right_is_refused(desk: Desk) -> None:
    jug = ("--product", "opa_055", "--since", YESTERDAY, "--expires", "2099-03-31")

    assert desk.fails("container", "add", "J1", "jug", *jug) == [
        "container J1: expires is 2099-03-31, too far ahead to be right; look at the label again."
    ]


def test_S5_a_jug_is_entered_with_its_day_of_activation_or_asked_for_it(desk: Desk) -> None:
    jug = ("--product", "ga_30", "--lot", "G1", "--expires", IN_A_YEAR, "--since", YESTERDAY)

    told = desk.reads("container", "add", "J1", "jug", *jug, "--activated", YESTERDAY)
    desk.reads("container", "add", "J2", "jug", *jug[:2], "--lot", "G2", *jug[4:])
    (refused,) = desk.fails(
        "container", "add", "B2", "bottle", "--source", "J2", "--since", YESTERDAY
    )

    assert f" glutaral 3.0 %, lot G1, activated {YESTERDAY}, good to the end of 20" in told
    assert told.endswith(" (its life once activated).\n")
    assert refused == (
        "container B2: source is J2, and nobody has said that it was activated; text POUR J2, "
        "which asks for the day."
    )


def test_S5_a_shorter_life_that_is_chosen_counts_for_what_stands_there(desk: Desk) -> None:
    jug = ("--product", "opa_055", "--lot", "L7", "--expires", IN_A_YEAR, "--since", YESTERDAY)
    desk.reads("container", "add", "J1", "jug", *jug)
    desk.reads("container", "add", "B1", "bottle", "--source", "J1", "--since", YESTERDAY)
    before = clinic(desk).containers

    told = desk.reads("choose", "opa_055", "reuse_life_days", "3 days")

    after = clinic(desk).containers
    assert told.splitlines()[0] == (
        "opa_055.reuse_life_days is 3 days from the next cycle on, in a running one if stricter."
    )
    assert told.splitlines()[1] == (
        "Good for a shorter time by it: B1. The phones are told what to write on the labels."
    )
    assert after["B1"].discard_by < before["B1"].discard_by
    assert after["J1"] == before["J1"]


def test_S5_of_one_lot_the_earlier_expiry_counts_for_what_was_entered_before(desk: Desk) -> None:
    jug = ("--product", "opa_055", "--lot", "L7", "--since", YESTERDAY)
    desk.reads("container", "add", "J1", "jug", *jug, "--expires", IN_A_YEAR)
    desk.reads("container", "add", "B1", "bottle", "--source", "J1", "--since", YESTERDAY)

    told = desk.reads("container", "add", "J2", "jug", *jug, "--expires", IN_A_WEEK)

    known = clinic(desk).containers
    assert told.splitlines()[1] == (
        f"J1 is of the same lot, and a lot has one expiry: it is good to the end of {IN_A_WEEK} "
        "now, no later. The phones are told what to write on its label."
    )
    assert known["J1"].discard_by == known["J2"].discard_by == known["B1"].discard_by


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("opens_at", "07:30"),
        ("morning_text", "off"),
        ("jug_volume", "5L"),
        ("bottle_volume", "1L"),
    ],
)
def test_how_a_site_works_is_so_at_once(desk: Desk, key: str, value: str) -> None:
    told = desk.reads("choose", "site", key, value).splitlines()

    assert told == [f"site.{key} is {value} from now on."]


def test_S5_where_something_is_over_by_a_choice_it_counts_from_now_on(desk: Desk) -> None:
    ten_days_ago = f"{machine_time() - timedelta(days=10):%Y-%m-%d}"
    jug = ("--product", "opa_055", "--lot", "L7", "--expires", IN_A_YEAR, "--since", ten_days_ago)
    desk.reads("container", "add", "J1", "jug", *jug)

    told = desk.reads("choose", "opa_055", "jug_open_life_days", "4 days").splitlines()

    assert told == [
        "opa_055.jug_open_life_days is 4 days from now on.",
        "Over by it, from now on: J1. The phones are told DO NOT USE.",
    ]


def test_a_site_that_is_not_opened_is_not_asked_to_be_opened_first(desk: Desk) -> None:
    (line,) = desk.fails("site", "open", "mill", "--zone", "Nowhere", "--closes-at", "17:00")

    assert "zone" in line
