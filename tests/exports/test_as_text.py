"""A cycle to read aloud: who, what, when, to the second; nobody who was erased."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from bot.exports.as_text import as_text
from bot.exports.in_words import in_words
from bot.reports.cycles import find_cycle
from bot.reports.timeline import timeline
from bot.store.people import erase
from bot.store.transaction import Store
from flows.parts.clinic import Clinic, Level
from flows.parts.events import (
    SiteChoiceMade,
    SiteOpened,
    Stamped,
    StripBottleOpened,
    StripsChecked,
)
from flows.parts.state import fold_all
from flows.protocols.model import Selection
from tests.house.tree import ROOT
from tests.kit.cycles import arrives, number_for, play_cycle
from tests.kit.played import SITE, laxer, one_cycle, put_in, reasons_kept, stock, written
from tests.kit.record import write
from tests.kit.talk import Talk, clinic


def told(store: Store, talk: Talk, device: str = "V1") -> str:
    written(store, talk)
    return shown(store, device)


def shown(store: Store, device: str = "V1") -> str:
    with store.read() as connection:
        return as_text(timeline(connection, SITE, find_cycle(connection, SITE, device)))


def said(text: str, label: str) -> str:
    """What stands beside a label."""
    line = next(line for line in text.splitlines() if line.startswith(label))
    return line.removeprefix(label).strip()


def test_a_release_is_told_with_all_that_it_rests_on(store: Store) -> None:
    text = told(store, one_cycle())

    assert said(text, "Device") == "V1, handheld probe (handheld_probe)"
    assert said(text, "Outcome") == "RELEASED, 2 Mar 2026 12:30:05 by Ann"
    assert said(text, "Protocol") == "OPA 0.55 %: 12 min 00 s at 20 C or more, MEC 0.3 %"
    assert len(said(text, "Fingerprint")) == 64
    assert said(text, "Deviations") == "none"
    assert said(text, "Bath").startswith(
        "T1, lot L1, filled 1 Mar 2026 12:00:00, discard by 13 Mar"
    )
    assert said(text, "Strip").startswith("PASS in T1, 2 Mar 2026 12:08:05 by Ann; 1 min 35 s")
    assert said(text, "IN") == "2 Mar 2026 12:09:45 by Ann, bath 23 C"
    assert said(text, "Contact time") == "13 min 20 s; needed 12 min 00 s"
    assert said(text, "Release").endswith("good until 2 Mar 2026 17:00:00")
    assert said(text, "Used") == "on patient 0412, told 2 Mar 2026 12:40:05"


def test_a_site_is_told_by_its_id_and_by_its_title_where_it_has_one(store: Store) -> None:
    talk = one_cycle()
    assert "site s1, time zone" in told(store, talk)

    write(
        store,
        [Stamped(SiteOpened(SITE, "UTC", "17:00", "en", title="Hill House"), talk.now)],
        SITE,
    )
    with store.read() as connection:
        text = as_text(timeline(connection, SITE, find_cycle(connection, SITE, "V1")))

    assert "site s1 (Hill House), time zone UTC" in text


def test_every_entry_of_the_cycle_has_its_line_its_number_and_its_time(store: Store) -> None:
    talk = one_cycle()
    text = told(store, talk)
    with store.read() as connection:
        found = timeline(connection, SITE, find_cycle(connection, SITE, "V1"))

    numbers = [line.split()[0] for line in text.splitlines() if line[:6].strip().isdecimal()]
    assert numbers == [str(each.seq) for each in found.entries]
    own = [each for each in talk.entries if getattr(each.event, "cycle", None) == found.cycle]
    told_of = [each.stamped.event for each in found.entries]
    assert [each.event for each in own if each.event not in told_of] == []


def test_somebody_erased_is_nobody(store: Store) -> None:
    talk = one_cycle()
    written(store, talk)
    with store.write() as connection:
        erase(connection, SITE, "p1", ())

    with store.read() as connection:
        text = as_text(timeline(connection, SITE, find_cycle(connection, SITE, "V1")))

    assert "Ann" not in text
    assert said(text, "Began").endswith("by (erased)")


TEN_MINUTES = "opa_055.contact_time is 10 min, the published figure is 12 min"
ONE_RINSE = "opa_055.rinse_count is 1, the remembered figure is 3"


def test_a_deviation_is_said_with_the_reason_that_the_site_wrote_for_it(store: Store) -> None:
    talk = laxer(contact_time="10 min", rinse_count="1")
    written(store, talk)
    reasons_kept(store, talk)

    text = shown(store)

    deviations = [line for line in text.splitlines() if line.startswith("Deviations")]
    assert [each.split(maxsplit=1)[1] for each in deviations] == [
        f"{TEN_MINUTES}; because: Why 10 min.",
        f"{ONE_RINSE}; because: Why 1.",
    ]
    assert said(text, "Outcome") == "open"
    assert said(text, "Contact time") == "not reached; needed 10 min 00 s"


def test_S15_where_the_reason_of_a_deviation_is_erased_that_is_said(store: Store) -> None:
    talk = laxer(contact_time="10 min")
    written(store, talk)
    reasons_kept(store, talk)
    with store.write() as connection:
        erase(connection, SITE, "p1", ())

    assert said(shown(store), "Deviations") == f"{TEN_MINUTES}; because: (erased)"


def test_what_is_needed_goes_by_the_warmth_of_the_bath(store: Store) -> None:
    """The table is invented: none for a soak by hand was found published."""
    talk = clinic()
    rows = ((Decimal(25), timedelta(minutes=8)),)
    warmer = replace(talk.protocol.chemistry, contact_time_warmer=rows)
    talk.protocol = replace(talk.protocol, chemistry=warmer)
    play_cycle(talk, celsius="25.5")

    text = told(store, talk)

    assert said(text, "Contact time") == "9 min 20 s; needed 8 min 00 s"


def test_what_takes_a_strips_place_is_told(store: Store) -> None:
    talk = clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"))
    play_cycle(talk)
    write(store, talk.entries, SITE)

    with store.read() as connection:
        text = as_text(timeline(connection, SITE, find_cycle(connection, SITE, "V1")))

    assert said(text, "Evidence").startswith("no strip exists; source in date, source strength")
    assert "used once; from bleach 5 %, 2 Mar 2026 12:0" in said(text, "Evidence")
    assert "bath T1 from bleach 5 %, no strip exists for it; stated: source in date" in text
    assert not [line for line in text.splitlines() if line.startswith("Strip")]


def test_a_broken_soak_stays_on_the_page_and_earns_no_contact_time(store: Store) -> None:
    talk = clinic()
    put_in(talk)
    talk.sends("OUT", after=300)

    text = told(store, talk)

    assert said(text, "Trouble") == "soak broken: early_out"
    assert said(text, "Contact time") == "not complete; needed 12 min 00 s"
    assert "soak BROKEN after 5 min 00 s: early_out" in text


def test_what_was_soaked_again_after_all_has_no_contact_time_until_it_comes_out(
    store: Store,
) -> None:
    talk = clinic()
    play_cycle(talk, until="final_inspect")
    talk.sends("stained", after=20)
    put_in(talk)

    assert said(told(store, talk), "Contact time") == "not complete; needed 12 min 00 s"


def test_a_strips_bell_is_of_the_cycle_though_its_entry_names_none(store: Store) -> None:
    assert "strip bell rang, 0 min 00 s late" in told(store, one_cycle())


def test_a_span_is_cut_off_and_never_rounded_up(store: Store) -> None:
    talk = clinic()
    put_in(talk)
    talk.wait(minutes=13)
    talk.sends(f"OUT {number_for(talk)}", after=0.999)

    assert said(told(store, talk), "Contact time") == "13 min 00 s; needed 12 min 00 s"


def test_what_one_answer_covered_for_somebody_on_brief_texts_is_told(store: Store) -> None:
    text = told(store, one_cycle(Level.BRIEF))

    assert "rinsed of detergent (stated with immerse)" in text
    assert "final rinses done (stated with cover)" in text


def test_a_cycle_told_of_two_devices_is_told_apart(store: Store) -> None:
    talk = clinic(devices=("V1", "V2"))
    talk.sends("CLEAN V1")
    talk.sends("CLEAN V2", phone="ph2", after=5)
    talk.sends("ready", after=20)

    one, other = told(store, talk), ""
    with store.read() as connection:
        other = as_text(timeline(connection, SITE, find_cycle(connection, SITE, "V2")))

    assert "V2" not in one
    assert "V1" not in other


def test_no_export_calls_a_probe_sterile() -> None:
    """HLD is not sterilisation. Source: CDC/HICPAC 2008, Spaulding's classes."""
    room = ROOT / "bot" / "exports"

    assert [file.name for file in room.glob("*.py") if "steril" in file.read_text()] == []


def checked_later() -> Talk:
    """A bottle of strips that came without its quality control, and has had it since."""
    talk = clinic(stocked=False)
    stock(talk)
    talk.entries = [
        replace(each, event=replace(each.event, checked=False))
        if isinstance(each.event, StripBottleOpened)
        else each
        for each in talk.entries
    ]
    talk.clinic = fold_all(Clinic(), talk.entries)
    talk.sends("TEST S1", after=60)
    talk.sends("good", after=100)
    play_cycle(talk)
    return talk


def test_a_quality_control_that_came_later_is_told(store: Store) -> None:
    talk = checked_later()

    text = told(store, talk)

    assert said(text, "strip bottle").endswith("quality control passed")
    with store.read() as connection:
        line = timeline(connection, SITE, find_cycle(connection, SITE, "V1"))
    (checked,) = [each for each in line.grounds if isinstance(each.stamped.event, StripsChecked)]
    assert in_words(line, checked) == (
        "strips S1 tested, lot L9: 3 in good and 3 in diluted solution, passed"
    )


def test_the_lot_of_the_strips_stands_beside_each_test(store: Store) -> None:
    text = told(store, one_cycle())

    assert "strip from S1, lot L9, dipped in T1" in text
    assert "strip from S1, lot L9, in T1: pass, read 1 min 35 s after the dip" in text


def test_S4_between_which_ages_a_strip_was_read_is_told_where_its_dip_came_late(
    store: Store,
) -> None:
    talk = clinic(stocked=False)
    stock(talk)
    talk.let(SiteChoiceMade("site", "strip_timing", "own_watch", "digest"))
    play_cycle(talk, until="dip")
    talk.wait(seconds=240)
    arrives(talk, "dip T1", talk.now - timedelta(seconds=220))
    play_cycle(talk)

    text = told(store, talk)

    ages = "1 min 35 s to 5 min 15 s after the dip"
    assert f"read {ages}; the time between dip and reading is not proved" in text
    assert said(text, "Strip").endswith(f"{ages}, NOT proved")


def test_S4_a_strip_that_nobody_read_is_told_as_such(store: Store) -> None:
    talk = clinic(stocked=False)
    stock(talk)
    play_cycle(talk, until="read")
    talk.wait(seconds=300)
    talk.sends("TEST T1", phone="ph2")
    talk.sends("DIP T1", phone="ph2", after=20)
    play_cycle(talk, until="dip")

    text = told(store, talk)

    read = "no_result, never read; 5 min 20 s after its dip another was dipped"
    assert f"strip from S1, lot L9, in T1: {read}" in text
