"""Recalls by the programme officer: shown first, for a reason, at every site, and once."""

import re
from datetime import timedelta

import pytest

from bot.clock import machine_time
from bot.store.engine import open_store
from bot.store.live import load
from flows.parts.clinic import Clinic, Fitness, Standing
from tests.kit.cycles import play_cycle
from tests.kit.desk import Desk
from tests.kit.played import SITE, one_cycle, written


def clinic_of(desk: Desk, site: str) -> Clinic:
    store = open_store(desk.url)
    with store.read() as connection:
        clinic = load(connection, site).clinic
    store.close()
    return clinic


IN_A_YEAR = f"{machine_time() + timedelta(days=365):%Y-%m-%d}"
WHY = ("--reason", "maker's letter")


@pytest.fixture
def desk(database: str) -> Desk:
    """A clinic whose V1 was used on 0412, 0413 and somebody else, cleaned again and released."""
    store = open_store(database)
    talk = one_cycle()
    talk.sends("USED V1 Mary", after=600)
    talk.sends("0413", after=20)
    talk.sends("USED V1 John", after=600)
    play_cycle(talk)
    written(store, talk)
    store.close()
    desk = Desk(database)
    desk.reads("site", "open", "hill", "--zone", "Etc/GMT-3", "--closes-at", "17:00")
    return desk


def test_S18_a_recall_is_first_a_dry_run_that_changes_nothing(desk: Desk) -> None:
    before = desk.reads("record", "verify")

    told = desk.reads("recall", "lot", "opa_055", "l1", *WHY).splitlines()

    assert desk.reads("record", "verify") == before
    assert told[-1].startswith("Dry run: nothing is changed")
    assert told[0] == "hill: nothing of it in the record. Its phones are warned of it."
    assert told[1] == (
        f"{SITE}: since 2026-02-24 12:00. Containers and strips: J1, B1, T1. Open cycles: none. "
        "Releases not used: V1. Uses to look back for: 3."
    )
    assert re.fullmatch(r"  2026-03-02 12:\d\d  V1    patient 0412  cycle \w+", told[2])
    assert "patient 0413" in told[3]
    assert "code pending" in told[4]


def test_S18_carried_out_it_falls_at_every_site_and_the_record_holds(desk: Desk) -> None:
    desk.reads("recall", "lot", "opa_055", "L1", *WHY, "--carry-out")

    clinic = clinic_of(desk, SITE)
    assert {each.fitness for each in clinic.containers.values()} == {Fitness.CONDEMNED}
    assert clinic.devices["V1"].standing is Standing.NOT_READY
    assert clinic.devices["V1"].why == "lot_recalled"
    assert [case.cause for case in clinic.cases.values()].count("lot_recalled") == 1
    assert clinic_of(desk, "hill").cases == {}
    assert [*clinic_of(desk, "hill").recalls] == ["lot/opa_055/1/"]
    told = desk.reads("record", "show", "V1", "--site", SITE)
    assert "RECALLED: lot L1 of opa_055" in told
    assert "cycle VOID: lot_recalled" in told
    assert "s1: whole" in desk.reads("record", "verify")
    assert "every row says what the record says" in desk.reads("record", "rebuild", "--check")


def test_S18_carried_out_twice_it_changes_nothing(desk: Desk) -> None:
    desk.reads("recall", "lot", "opa_055", "L1", *WHY, "--carry-out")
    before = desk.reads("record", "verify")

    told = desk.reads("recall", "lot", "opa_055", "l1", *WHY, "--carry-out").splitlines()

    assert told[:2] == [f"{site}: recalled before; nothing to do." for site in ("hill", SITE)]
    assert desk.reads("record", "verify") == before


def test_S18_recalls_are_listed_with_the_uses_to_look_back_for(desk: Desk) -> None:
    desk.reads("recall", "strip-lot", "opa_strip_1s_90s", "L9", *WHY, "--carry-out")

    told = desk.reads("recall", "list").splitlines()

    assert told[0].startswith("hill: strip lot L9 of opa_strip_1s_90s, recalled ")
    assert told[1].startswith(f"{SITE}: strip lot L9 of opa_strip_1s_90s, recalled ")
    assert len(told) == 5
    assert "patient 0412" in told[2]


def test_S15_a_lot_that_was_corrected_is_found_under_what_it_should_have_been(desk: Desk) -> None:
    exported = desk.reads("record", "export", "--format", "json", "--site", SITE)
    lines = exported.splitlines()
    number = next(n for n, line in enumerate(lines, 1) if "JugOpened" in line)
    desk.reads(
        "record", "correct", str(number), "lot", "L8", "--reason", "misread", "--site", SITE
    )

    desk.reads("recall", "lot", "opa_055", "L8", *WHY, "--carry-out")

    clinic = clinic_of(desk, SITE)
    assert {each.fitness for each in clinic.containers.values()} == {Fitness.CONDEMNED}
    assert clinic.devices["V1"].standing is Standing.NOT_READY


def entry_of(desk: Desk, kind: str) -> str:
    """The number of the first entry of that *kind*."""
    exported = desk.reads("record", "export", "--format", "json", "--site", SITE)
    return str(next(n for n, line in enumerate(exported.splitlines(), 1) if kind in line))


def adds(desk: Desk, *words: str) -> None:
    since = f"{machine_time() - timedelta(days=1):%Y-%m-%d}"
    desk.reads("container", "add", *words, "--since", since, "--site", SITE)


def corrects(desk: Desk, kind: str, name: str, value: str) -> str:
    said = ("--reason", "looked again", "--site", SITE)
    return desk.reads("record", "correct", entry_of(desk, kind), name, value, *said)


def touched_by(desk: Desk, *words: str) -> str:
    """What a recall would touch at the site with the record."""
    found = desk.reads("recall", *words, *WHY).splitlines()
    return next(each for each in found if each.startswith(f"{SITE}: "))


def test_S18_a_bath_that_it_was_soaked_in_after_all_leads_to_its_lot(desk: Desk) -> None:
    of_it = ("--product", "opa_055", "--lot", "D2", "--expires", IN_A_YEAR)
    adds(desk, "J2", "jug", *of_it)
    adds(desk, "T2", "bath", "--source", "J2")

    told = corrects(desk, "Immersed", "bath", "T2")

    assert "Nothing that stands changes by it. If it is not for use by what is said now" in told
    assert "text DISCARD T2 and clean again what was soaked" in told
    assert "Uses to look back for: 3." in touched_by(desk, "lot", "opa_055", "D2")


@pytest.mark.parametrize("corrected", [("strips", "S2"), ("lot", "K8")])
def test_S18_so_do_the_strips_that_were_used_and_their_lot(
    desk: Desk, corrected: tuple[str, str]
) -> None:
    of_it = ("--product", "opa_strip_1s_90s", "--lot", "K8", "--expires", IN_A_YEAR)
    adds(desk, "S2", "strips", *of_it, "--checked")
    corrects(desk, "StripRead", *corrected)

    told = touched_by(desk, "strip-lot", "opa_strip_1s_90s", "K8")

    assert "Uses to look back for: 3." in told


def test_S18_a_product_that_was_another_is_recalled_with_all_that_was_poured(desk: Desk) -> None:
    corrects(desk, "JugOpened", "product", "hp_75")

    desk.reads("recall", "lot", "hp_75", "L1", *WHY, "--carry-out")

    clinic = clinic_of(desk, SITE)
    assert {each.fitness for each in clinic.containers.values()} == {Fitness.CONDEMNED}
    assert clinic.devices["V1"].standing is Standing.NOT_READY


@pytest.mark.parametrize("typed", ["nope", "OPA_055"])
def test_S18_a_product_that_nobody_knows_hides_nothing_from_a_recall(
    desk: Desk, typed: str
) -> None:
    said = ("--reason", "looked again", "--site", SITE)

    (refused,) = desk.fails(
        "record", "correct", entry_of(desk, "JugOpened"), "product", typed, *said
    )

    assert "is no product here; one of " in refused
    assert "Uses to look back for: 3." in touched_by(desk, "lot", "opa_055", "L1")


def corrects_the_lot(desk: Desk, lot: str) -> str:
    """The jug's lot, as it should have been read."""
    exported = desk.reads("record", "export", "--format", "json", "--site", SITE)
    lines = exported.splitlines()
    number = next(n for n, line in enumerate(lines, 1) if "JugOpened" in line)
    said = ("--reason", "misread", "--site", SITE)
    return desk.reads("record", "correct", str(number), "lot", lot, *said)


def test_S18_what_a_correction_brings_under_a_recall_falls_when_it_is_said_again(
    desk: Desk,
) -> None:
    recall = ("recall", "lot", "opa_055", "L8", *WHY, "--carry-out")
    desk.reads(*recall)
    assert clinic_of(desk, SITE).devices["V1"].standing is Standing.RELEASED
    told = corrects_the_lot(desk, "L8")

    again = desk.reads(*recall).splitlines()
    once_more = desk.reads(*recall).splitlines()

    clinic = clinic_of(desk, SITE)
    assert "Lot L8 of opa_055 is recalled, and what stands here of it is still for use" in told
    assert again[0] == "hill: recalled before; nothing to do."
    assert again[1] == f"{SITE}: recalled before; a correction has brought more under it."
    assert "Releases not used: V1. Uses to look back for: 3." in again[2]
    assert once_more[1] == f"{SITE}: recalled before; nothing to do."
    assert {each.fitness for each in clinic.containers.values()} == {Fitness.CONDEMNED}
    assert clinic.devices["V1"].why == "lot_recalled"
    assert "every row says what the record says" in desk.reads("record", "rebuild", "--check")


@pytest.mark.parametrize(("lot", "uses"), [("NONE", 3), ("L5", 0)])
def test_S18_a_corrected_lot_takes_nothing_out_of_a_recall_that_falls_by_it(
    desk: Desk, lot: str, uses: int
) -> None:
    """A lot that cannot be read is any lot; what the entry says falls whatever it should say."""
    corrects_the_lot(desk, lot)
    recall = ("recall", "lot", "opa_055", "L1", *WHY)

    told = desk.reads(*recall).splitlines()
    desk.reads(*recall, "--carry-out")

    clinic = clinic_of(desk, SITE)
    assert told[1] == (
        f"{SITE}: since 2026-02-24 12:00. Containers and strips: J1, B1, T1. Open cycles: none. "
        f"Releases not used: V1. Uses to look back for: {uses}."
    )
    assert {each.fitness for each in clinic.containers.values()} == {Fitness.CONDEMNED}
    assert clinic.devices["V1"].standing is Standing.NOT_READY
    assert desk.reads("recall", "list").count("patient 0412") == min(uses, 1)


def test_S18_a_figure_that_dated_what_stands_here_is_known_since_that_was_poured(
    desk: Desk,
) -> None:
    figure = ("opa_055", "reuse_life_days", "14 days", "--instead", "10 days")

    told = desk.reads("recall", "protocol", *figure, *WHY).splitlines()

    assert told[1].startswith(f"{SITE}: since 2026-02-28 12:00. Containers and strips: B1, T1.")


def test_S18_strips_that_were_read_by_a_wrong_figure_are_known_since_they_were_opened(
    desk: Desk,
) -> None:
    figure = ("opa_strip_1s_90s", "read_within", "30 s", "--instead", "20 s")

    told = desk.reads("recall", "protocol", *figure, *WHY).splitlines()

    assert told[1].startswith(f"{SITE}: since 2026-0")


def test_S18_a_recalled_figure_is_put_right_at_every_site_at_the_same_time(desk: Desk) -> None:
    desk.reads("choose", "opa_055", "contact_time", "20 min", "--site", "hill")

    told = desk.reads(
        "recall", "protocol", "opa_055", "contact_time", "12 min", "--instead", "15 min", *WHY,
        "--carry-out",
    )  # fmt: skip

    chosen = {
        site: [each.value for each in clinic_of(desk, site).site.choices]  # type: ignore[union-attr]
        for site in ("hill", SITE)
    }
    assert chosen == {"hill": ["20 min"], SITE: ["15 min"]}
    assert clinic_of(desk, SITE).devices["V1"].why == "figure_recalled"
    assert "Uses to look back for: 3." in told


def test_S18_a_recalled_figure_cannot_be_chosen_again(desk: Desk) -> None:
    recall = ("recall", "protocol", "opa_055", "contact_time", "12 min", "--instead", "15 min")
    desk.reads(*recall, *WHY, "--carry-out")

    (line,) = desk.fails("choose", "opa_055", "contact_time", "12 min", *WHY, "--site", SITE)

    assert line == ("choice: value is 12 min, which is recalled or laxer than what is; ask more.")


def test_S18_what_is_of_a_recalled_lot_is_not_entered(desk: Desk) -> None:
    desk.reads("recall", "lot", "opa_055", "D44", *WHY, "--carry-out")
    desk.reads("recall", "strip-lot", "opa_strip_1s_90s", "K2", *WHY, "--carry-out")
    jug = ("J1", "jug", "--product", "opa_055", "--expires", IN_A_YEAR, "--since")
    strips = (
        "S1",
        "strips",
        "--product",
        "opa_strip_1s_90s",
        "--expires",
        IN_A_YEAR,
        "--since",
    )

    for words, lot in ((jug, "d44"), (strips, "K2")):
        (line,) = desk.fails(
            "container", "add", *words, "2026-11-01", "--lot", lot, "--site", "hill",
            *(("--checked",) if words is strips else ()),
        )  # fmt: skip
        assert f"lot is {lot}; lot {lot.upper()} is recalled, do not use it" in line


@pytest.mark.parametrize("lot", ["NONE", "UNKNOWN"])
def test_S18_no_word_in_place_of_a_lot_gets_round_a_recall(desk: Desk, lot: str) -> None:
    desk.reads("recall", "lot", "opa_055", "D1", *WHY, "--carry-out")
    jug = ("J8", "jug", "--product", "opa_055", "--expires", IN_A_YEAR, "--since", "2026-11-01")

    (line,) = desk.fails("container", "add", *jug, "--lot", lot, "--site", "hill")

    why = {"NONE": "missing; lot D1 is recalled, do not use it", "UNKNOWN": "UNKNOWN; letters and"}
    assert f"lot is {why[lot]}" in line


def opens(desk: Desk, site: str) -> str:
    return desk.reads("site", "open", site, "--zone", "Etc/GMT-3", "--closes-at", "17:00")


def adds_jug(lot: str) -> tuple[str, ...]:
    return (
        *("container", "add", "J1", "jug", "--product", "opa_055", "--expires", IN_A_YEAR),
        *("--since", "2026-11-01", "--lot", lot, "--site", "dale"),
    )


def test_S18_a_site_opened_later_takes_over_what_was_recalled_before(desk: Desk) -> None:
    desk.reads("recall", "lot", "opa_055", "D44", *WHY, "--carry-out")
    desk.reads("recall", "strip-lot", "opa_strip_1s_90s", "K2", *WHY, "--carry-out")

    told = opens(desk, "dale").splitlines()

    assert told[1] == "Recalled before and known there too: 2; soakbell recall list."
    assert [*clinic_of(desk, "dale").recalls] == [*clinic_of(desk, "hill").recalls]
    (line,) = desk.fails(*adds_jug("d44"))
    assert "lot is d44; lot D44 is recalled, do not use it" in line
    desk.reads(*adds_jug("D45"))
    listed = desk.reads("recall", "list")
    assert "dale: lot D44 of opa_055, recalled " in listed
    assert "dale: whole" in desk.reads("record", "verify")
    assert "every row says what the record says" in desk.reads("record", "rebuild", "--check")


def test_S18_a_recalled_figure_is_put_right_at_a_site_opened_later(desk: Desk) -> None:
    desk.reads("choose", "opa_055", "contact_time", "20 min", "--site", "hill")
    figure = ("recall", "protocol", "opa_055", "contact_time", "12 min", "--instead", "15 min")
    desk.reads(*figure, *WHY, "--carry-out")

    opens(desk, "dale")

    (choice,) = clinic_of(desk, "dale").site.choices  # type: ignore[union-attr]
    assert (choice.of, choice.value) == (("opa_055", "contact_time"), "15 min")
    assert choice.reason
    (line,) = desk.fails("choose", "opa_055", "contact_time", "12 min", *WHY, "--site", "dale")
    assert "which is recalled" in line


def test_S18_nobody_chooses_less_than_what_a_recall_put_in_place(desk: Desk) -> None:
    recall = ("recall", "protocol", "opa_055", "contact_time", "12 min", "--instead", "20 min")
    desk.reads("choose", "opa_055", "contact_time", "13 min", "--site", "hill")
    desk.reads(*recall, *WHY, "--carry-out")

    (line,) = desk.fails("choose", "opa_055", "contact_time", "13 min", *WHY, "--site", SITE)
    desk.reads("choose", "opa_055", "contact_time", "25 min", "--site", SITE)
    opens(desk, "dale")

    assert line == (
        "choice: value is 13 min, laxer than 20 min, which a recall put in place; ask as much."
    )
    chosen = {
        site: [each.value for each in clinic_of(desk, site).site.choices]  # type: ignore[union-attr]
        for site in ("hill", SITE, "dale")
    }
    assert chosen == {"hill": ["20 min"], SITE: ["25 min"], "dale": ["20 min"]}


@pytest.mark.parametrize("product", ["enzymatic", "chlorine"])
def test_S18_a_lot_of_detergent_or_of_bleach_is_recalled_and_taken_over(
    desk: Desk, product: str
) -> None:
    desk.reads("recall", "lot", product, "C1", *WHY, "--carry-out")

    opens(desk, "dale")

    assert [*clinic_of(desk, "dale").recalls] == [f"lot/{product}/C1/"]


def test_S18_of_a_detergent_the_desk_says_that_no_cycle_notes_its_lot(desk: Desk) -> None:
    told = desk.reads("recall", "lot", "enzymatic", "L79", *WHY).splitlines()

    assert told[-2] == (
        "  No cycle notes its detergent's lot: look back for all cleaned since its first use, "
        "which nobody noted."
    )


def test_S18_a_site_that_is_there_already_keeps_what_it_knows(desk: Desk) -> None:
    desk.reads("recall", "lot", "opa_055", "D44", *WHY, "--carry-out")
    before = clinic_of(desk, "hill").recalls

    told = opens(desk, "hill").splitlines()

    assert len(told) == 1
    assert clinic_of(desk, "hill").recalls == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("lot", "opa", "L1", *WHY), "recall: product is opa; "),
        (("lot", "opa_055", "L 1!", *WHY), "recall: lot is L 1!; "),
        (
            ("lot", "opa_055", "NONE", *WHY),
            "recall: lot is NONE; letters and figures as on the label, a figure at least; of more",
        ),
        (("lot", "opa_055", "L1"), "recall: reason is missing; say who recalls it, and why."),
        (("strip-lot", "opa_055", "L1", *WHY), "recall: product is opa_055; "),
        (("protocol", "opa", "mec", "1", *WHY), "recall: product is opa; soakbell protocol list"),
        (("protocol", "opa_055", "mec", "0.3 %", *WHY), "recall: key is mec; "),
        (
            ("protocol", "opa_055", "neutralise_for", "1 h", "--instead", "2 h", *WHY),
            "recall: key is neutralise_for; ",  # no cycle rests on it, so none would be void
        ),
        (("protocol", "opa_055", "contact_time", "12", *WHY), "recall: value is 12; like 12 min"),
        (
            ("protocol", "opa_055", "contact_time", "12 min", *WHY),
            "recall: instead is missing; like 12 min",
        ),
        (
            ("protocol", "opa_055", "contact_time", "12 min", "--instead", "12 min", *WHY),
            "recall: instead is 12 min, no stricter than what is recalled",
        ),
    ],
)
def test_a_recall_that_cannot_be_meant_says_why(
    desk: Desk, words: tuple[str, ...], said: str
) -> None:
    (line,) = desk.fails("recall", *words)

    assert line.startswith(said)
