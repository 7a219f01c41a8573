"""The published list of what a record of high-level disinfection holds, found in a played cycle.

Sources, by the key used below (all read at second hand but where it says otherwise):
CIHQ  what AAMI ST58 asks of a log, as listed by Nissen, CIHQ newsletter, March 2022.
GI    side-by-side summary of multisociety 2016, HICPAC 2016, AORN and ST91, giendoscopy.com.
ICT   Infection Control Today: Jenkins, May 2019, p. 27; Chobin, March 2019, p. 10. Read.
UW    UW Health policy 4.1.14, 26 May 2017. Read.
CMS   CMS infection control worksheet for outpatient surgery, Exhibit 351. From memory.

A field is in the record when the cycle's row says it, and the row is made of entries alone.
"""

import csv
import io
import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest

from bot.exports.as_csv import BOM, cycles_csv
from bot.exports.columns import COLUMNS
from bot.reports.facts import Facts
from bot.reports.timeline import timelines
from bot.store.engine import open_store
from tests.kit.played import SITE, one_cycle, written

FIELDS: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "unique id of the soak, and its date": (
        "CIHQ",
        {"began_at": "2026-03-02T12:01:20+03:00"},
    ),
    "description, quantity and department of the item": (
        "CIHQ",
        {"device_title": "handheld probe", "quantity": "1", "site": SITE},
    ),
    "id and model of the device": (
        "CIHQ; GI; ICT",
        {"device": "V1", "device_model": "handheld_probe"},
    ),
    "two-way trace to the patient": (
        "CIHQ; GI",
        {"patient_codes": "0412", "used_before_on": "0411"},
    ),
    "date and time of use, and of the start of manual cleaning": (
        "GI (HICPAC, AORN)",
        {
            "used_before_at": "2026-03-02T12:01:00+03:00",
            "cleaning_began_at": "2026-03-02T12:02:20+03:00",
        },
    ),
    "inspection before cleaning, and by whom": (
        "ICT",
        {"inspected_at": "2026-03-02T12:02:00+03:00", "inspected_by": "Ann"},
    ),
    "disinfectant, its lot and shelf-life date": (
        "CIHQ",
        {"disinfectant": "OPA 0.55 %", "disinfectant_lot": "L1", "jug_expires": "2027-03-31"},
    ),
    "when the original container was opened, and its life once open": (
        "CIHQ",
        {
            "jug_opened_at": "2026-02-24T12:00:00+03:00",
            "jug_discard_by": "2026-05-10T12:00:00+03:00",
        },
    ),
    "when poured into a secondary container, and the reuse-life date": (
        "CIHQ",
        {
            "bottle_poured_at": "2026-02-28T12:00:00+03:00",
            "bottle_discard_by": "2026-03-14T12:00:00+03:00",
            "bath_filled_at": "2026-03-01T12:00:00+03:00",
            "bath_discard_by": "2026-03-13T12:00:00+03:00",
        },
    ),
    "result of the strip before use": (
        "CIHQ (chemical concentration); ICT",
        {"strip_result": "pass", "strip_in": "T1", "mec": "0.3 %"},
    ),
    "expiry of the strips": ("ICT", {"strip_expires": "2026-12-31"}),
    "opening of the strip bottle, and its quality control": (
        "ICT (March 2019)",
        {
            "strip_opened_at": "2026-02-20T12:00:00+03:00",
            "strip_quality_control": "passed",
        },
    ),
    "lot of the strips": ("from memory", {"strip_lot": "L9"}),
    "exposure time and temperature": (
        "CIHQ",
        {
            "in_at": "2026-03-02T12:09:45+03:00",
            "out_at": "2026-03-02T12:23:05+03:00",
            "contact_s": "800",
            "contact_needed_s": "720",
            "in_celsius": "23",
            "minimum_celsius": "20",
        },
    ),
    "date and time of the cycle": (
        "CIHQ",
        {"began_at": "2026-03-02T12:01:20+03:00", "outcome_at": "2026-03-02T12:30:05+03:00"},
    ),
    "operator": ("CIHQ", {"began_by": "Ann", "taken_out_by": "Ann"}),
    "who cleaned it, and who disinfected it": (
        "GI (multisociety 2016)",
        {"cleaned_by": "Ann", "disinfected_by": "Ann"},
    ),
    "faults and critical events": ("GI (HICPAC)", {"trouble": "", "over_maximum": "no"}),
    "release: the cycle's parameters are reviewed before use": (
        "UW",
        {
            "outcome": "released",
            "released_at": "2026-03-02T12:30:05+03:00",
            "released_by": "Ann",
            "released_until": "2026-03-02T17:00:00+03:00",
        },
    ),
    "prepared per the maker, tested, dated, logged, dried, stored": (
        "CMS",
        {
            "detergent_ml_per_l": "7.8",
            "final_rinses": "3 x 8 l",
            "dried_at": "2026-03-02T12:26:35+03:00",
            "covered_at": "2026-03-02T12:30:05+03:00",
            "cover": "towel_cover",
        },
    ),
}
"""Each field: who asks for it, and the columns that hold it with what the cycle has there."""

NOT_APPLICABLE: Mapping[str, tuple[str, str]] = {
    "patient's name, procedure and clinician": (
        "CIHQ; GI",
        "patient codes only: the clinic's register holds the rest under that code and day (S16)",
    ),
    "leak check": ("ICT", "the probe has no channel; its inspection is for cracks and a wet plug"),
    "date activated or diluted": (
        "CIHQ",
        "a ready-to-use solution: activation_needed says no, and activated_at stands empty",
    ),
    "serial number": ("GI", "the label on the device is its id at the site"),
}
"""What the published lists ask for and a cycle's row leaves out, with why."""


@pytest.fixture(scope="module")
def row(tmp_path_factory: pytest.TempPathFactory, sqlite_template: Path) -> Mapping[str, str]:
    """The row of a cycle that was played once; what reads it has tests on both databases."""
    copied = shutil.copy(sqlite_template, tmp_path_factory.mktemp("played") / "soakbell.db")
    store = open_store(f"sqlite:///{copied}")
    written(store, one_cycle())
    with store.read() as connection:
        facts = [Facts(each) for each in timelines(connection, SITE)]
        text = cycles_csv(facts)
    (only,) = csv.DictReader(io.StringIO(text.removeprefix(BOM)))
    store.close()
    return only


@pytest.mark.parametrize("field", FIELDS)
def test_the_record_of_a_played_cycle_holds_the_published_field(
    field: str, row: Mapping[str, str]
) -> None:
    source, held = FIELDS[field]

    assert source != ""
    assert held == {column: row[column] for column in held}


def test_the_soak_has_an_id_of_its_own(row: Mapping[str, str]) -> None:
    """Unique id of the soak. Source: CIHQ."""
    assert len(row["cycle"]) == 10
    assert row["release_code"].startswith("V1-")


def test_what_needs_no_activation_says_so(row: Mapping[str, str]) -> None:
    """Date activated. Source: CIHQ; OPA needs none: CDC/HICPAC 2008, Table 4."""
    assert (row["activation_needed"], row["activated_at"]) == ("no", "")


def test_what_is_left_out_says_why() -> None:
    columns = {column.name for column in COLUMNS}

    assert columns.isdisjoint(NOT_APPLICABLE)
    assert [field for field, (source, why) in NOT_APPLICABLE.items() if not (source and why)] == []


def test_every_named_column_is_a_column() -> None:
    named = {column for _, held in FIELDS.values() for column in held}

    assert named - {column.name for column in COLUMNS} == set()
