"""PLAN 12: whether the day fits, what would make it fit, and the main things to pack.

The spans are those of `tests/calculations/test_planning.py`, worked by hand there.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from flows.parts.clinic import Kind
from flows.parts.events import DeviceUsed, Quarantined, Released, SiteChoiceMade
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle
from tests.kit.plans import EARLY, morning, ready
from tests.kit.strips import pour
from tests.kit.talk import Talk, clinic
from tests.kit.two_products import two_products


def test_a_day_that_fits_is_told_with_what_to_pack() -> None:
    """One patient: ready 34:15 after 08:00. Towels 8, gloves 3, a cover, and a drape after the
    last cycle; strips 1 and 1 to spare, 3 and 3 for a new bottle; two fillings of 150 ml with
    1.005 g each, and 10 ml; detergent 3.9 ml in 0.5 l; 3 rinses of 0.5 l, and 3 of 8 l."""
    assert morning().sends("PLAN 1") == [
        (
            "Patients 1, probes 1, baths 1, people 1, tubs 1, 10 min an exam, from 08:00: it "
            "fits. Last probe ready 08:35."
        ),
        (
            "Pack: towels 8, glove pairs 3, covers 1, drapes 1, strips 2 (new bottle: 6 more), "
            "310 mL OPA 0.55 %, 4 g glycine, 4 mL detergent."
        ),
        (
            "Rinse: 24 L boiled and cooled, or sterile (3 x 8 L a probe, 3 min). Detergent, and "
            "to rinse it off: 2 L. A bath takes 150 mL."
        ),
    ]


def test_a_day_that_does_not_fit_is_told_with_what_would() -> None:
    """Until 08:45 one patient fits, ready 34:15; for two nothing alone does, and two of all three
    do: 44:15."""
    told, *_ = morning(closes_at="08:45").sends("plan 2")

    assert told == (
        "Patients 2 (that fit: 1), people 1, from 08:00: too much, last probe ready 09:09. It "
        "fits with 2 probes, 2 baths and 2 people."
    )


def test_two_things_together_are_told_where_they_do() -> None:
    """Until 08:55: two probes with a second bath take 50:46, and with neither 58:30."""
    told, *_ = morning(closes_at="08:55").sends("plan 2")

    assert told.endswith("ready 09:09. It fits with 2 probes and 2 baths.")


def test_tubs_and_exams_are_planned_with_as_they_are_named_and_tubs_are_told_where_they_do() -> (
    None
):
    """Exams of 1 min: with one tub 32:30, with two 26:15."""
    talk = morning(closes_at="08:30")

    told, *_ = talk.sends("PLAN 2 probes 2 baths 2 people 3 exam 1")
    fits, *_ = talk.sends("PLAN 2 probes 2 baths 2 people 3 exam 1 tubs 2")

    assert told.endswith("ready 08:33. It fits with 2 detergent tubs.")
    assert fits == (
        "Patients 2, probes 2, baths 2, people 3, tubs 2, 1 min an exam, from 08:00: it fits. "
        "Last probe ready 08:27."
    )


def test_more_of_one_kind_is_named_where_it_does() -> None:
    """Until 09:00 two patients with one probe take 68:30. A second probe with one bath and one
    person: staying with the first, second exam 17:15 to 27:15, first out 30:15 to 34:15, second
    cleaned from 34:15, in 41:30, covered 58:30."""
    told, *_ = morning(closes_at="09:00").sends("PLAN 2")

    assert told.endswith("ready 09:09. It fits with 2 probes.")


def test_where_not_even_one_patient_fits_none_is_named() -> None:
    told, *_ = morning(closes_at="08:30").sends("PLAN 1")

    assert told == (
        "Patients 1 (that fit: 0), people 1, from 08:00: too much, last probe ready 08:35. Even "
        "9 of each do not make it fit, one exam at a time."
    )


@pytest.mark.parametrize(
    ("closes_at", "body", "patients", "ways"),
    [
        ("09:00", "PLAN 3 probes 3 baths 2", 2, "2 people."),
        ("10:00", "PLAN 5 2", 4, "2 baths or 2 people."),
        (
            "10:30",
            "PLAN 8 probes 2 people 2",
            7,
            "3 probes or 2 baths.",
        ),
    ],
)
def test_only_what_alone_makes_it_fit_is_named(
    closes_at: str, body: str, patients: int, ways: str
) -> None:
    told, *_ = morning(closes_at=closes_at).sends(body)

    assert f" (that fit: {patients}), " in told
    assert told.endswith(f"It fits with {ways}")


def test_three_ways_to_make_it_fit_are_told_together() -> None:
    talk = morning(closes_at="10:25")
    chemistry = replace(talk.protocol.chemistry, contact_time=timedelta(minutes=45))
    talk.protocol = replace(talk.protocol, chemistry=chemistry)

    told, *_ = talk.sends("PLAN 4 probes 3 baths 2")

    assert " (that fit: 3), " in told
    assert told.endswith("It fits with 4 probes, 3 baths or 2 people.")


def test_too_much_for_so_many_people_says_for_how_many() -> None:
    assert (
        morning(closes_at="08:30")
        .sends("PLAN 9 people 2")[0]
        .startswith("Patients 9 (that fit: 0), people 2, from 08:00: too much, ")
    )


def test_S13_a_probe_in_quarantine_is_not_planned_with() -> None:
    talk = clinic(devices=("V1", "V2"))
    talk.let(Quarantined("V1", "damaged"))
    one = talk.sends("PLAN 3")[0]
    talk.let(Quarantined("V2", "damaged"))

    assert one.startswith("Patients 3, probes 1, ")
    assert talk.sends("PLAN 3") == [
        (
            "All probes here that soak in OPA 0.55 % are in quarantine. To plan with 2 others: "
            "PLAN 3 2."
        )
    ]
    assert talk.sends("PLAN 3 2")[0].startswith("Patients 3, probes 2, ")


def test_nothing_is_recorded() -> None:
    talk = clinic()
    before = len(talk.entries)

    talk.sends("PLAN 12")

    assert len(talk.entries) == before


@pytest.mark.parametrize(
    ("now", "told"),
    [
        (EARLY, "from 08:00: it fits. Last probe ready 08:35."),
        (EARLY + timedelta(hours=1), "from 08:00: it fits. Last probe ready 08:35."),
        (EARLY + timedelta(hours=3, seconds=1), "from 10:01: it fits. Last probe ready 10:36."),
        (EARLY + timedelta(hours=10, seconds=-1), "from 17:00: too much"),
        (EARLY + timedelta(hours=10), "from Wed 08:00: it fits. Last probe ready Wed 08:35."),
    ],
    ids=["before opening", "opening", "in the day", "at closing", "after it"],
)
def test_what_is_left_of_today_is_planned_and_then_tomorrow(now: datetime, told: str) -> None:
    talk = morning()
    talk.now = now

    assert told in talk.sends("PLAN 1")[0]


def test_a_site_that_closes_after_midnight_is_open_until_then() -> None:
    """17 h from 08:00 to 01:00: 29 patients with one probe take 29 x 34:15 = 16:33:15."""
    talk = morning(closes_at="01:00")
    fits, too_much = talk.sends("PLAN 29")[0], talk.sends("PLAN 30")[0]

    assert "it fits. Last probe ready Wed 00:34." in fits
    assert "too much" in too_much


@pytest.mark.parametrize(
    ("now", "body", "told"),
    [
        (EARLY - timedelta(hours=6), "PLAN 3", ", from 01:00: it fits. Last probe ready 02:43."),
        (EARLY - timedelta(hours=3, seconds=1), "PLAN 1", ", from 04:00: too much, "),
        (EARLY - timedelta(hours=3), "PLAN 3", ", from 20:00: it fits. Last probe ready 21:43."),
        (EARLY - timedelta(hours=6), "PLAN 3 tomorrow", ", from 20:00: it fits. "),
        (EARLY + timedelta(hours=14), "PLAN 3 tomorrow", ", from Wed 20:00: it fits. "),
    ],
    ids=["night", "its end", "after it", "the night after", "the night after, before midnight"],
)
def test_a_shift_over_midnight_is_planned_as_what_is_left_of_it(
    now: datetime, body: str, told: str
) -> None:
    """Open from 20:00 to 04:00. Three patients with one probe take 3 x 34:15 = 1:42:45."""
    talk = morning(closes_at="04:00")
    talk.let(SiteChoiceMade("site", "opens_at", "20:00", ""))
    talk.now = now

    assert told in talk.sends(body)[0]


@pytest.mark.parametrize(
    ("opens", "closes"),
    [("15:00", "14:00"), ("08:00", "07:59"), ("20:00", "15:00"), ("08:00", "02:01")],
)
def test_hours_over_midnight_that_hardly_leave_it_closed_are_asked_back(
    opens: str, closes: str
) -> None:
    """Closed for less than six hours: one of the two times is more likely a slip."""
    talk = morning(closes_at=closes)
    talk.let(SiteChoiceMade("site", "opens_at", opens, ""))

    for body in ("PLAN 3", "PLAN 3 tomorrow"):
        assert talk.sends(body) == [
            (
                f"By what is set up this site opens at {opens} and closes at {closes}, so it is "
                "hardly ever closed: I plan nothing. Please ask your contact which time is right."
            )
        ]


@pytest.mark.parametrize(
    ("opens", "closes", "now"),
    [
        ("08:00", "02:00", "08:00"),
        ("20:00", "08:00", "20:00"),
        ("17:00", "08:00", "17:00"),
        ("08:00", "08:00", "08:00"),
    ],
    ids=["eighteen hours", "a night", "a long night", "day and night"],
)
def test_hours_over_midnight_that_may_be_so_are_planned(opens: str, closes: str, now: str) -> None:
    talk = morning(closes_at=closes)
    talk.let(SiteChoiceMade("site", "opens_at", opens, ""))

    assert f", from {now}: it fits. " in talk.sends("PLAN 1 tomorrow")[0].replace("Wed ", "")


def test_a_day_on_which_clocks_change_is_as_long_as_it_is() -> None:
    """New York, 8 March 2026: clocks go from 02:00 to 03:00, before opening. Source: IANA."""
    talk = morning(zone="America/New_York")
    talk.now = datetime(2026, 3, 8, 5, 30, tzinfo=UTC)  # 00:30 there

    told, *_ = talk.sends("PLAN 1")

    assert "from 08:00: it fits. Last probe ready 08:35." in told


def test_thirty_patients_are_planned_in_no_more_texts_than_three() -> None:
    talk = ready(clinic(devices=("V1", "V2")))

    assert [len(text) <= 160 for text in talk.sends("PLAN 30")] == [True] * 3


def test_no_device_no_plan() -> None:
    talk = clinic(devices=())

    assert talk.sends("PLAN 12") == ["No device is enrolled here yet. Please ask your contact."]


def test_the_day_begins_when_the_site_opens() -> None:
    talk = morning()
    talk.let(SiteChoiceMade("site", "opens_at", "09:30", ""))

    assert "from 09:30: it fits. Last probe ready 10:05." in talk.sends("PLAN 1")[0]


def test_rinse_water_goes_by_product_and_a_bath_by_device() -> None:
    """A sealed probe's own tube, and a product that is rinsed 4 times in 2.5 l for 30 s."""
    talk = morning()
    chemistry = replace(
        talk.protocol.chemistry,
        rinse_count=4,
        rinse_volume_l=Decimal("2.5"),
        rinse_each_for=timedelta(seconds=30),
    )
    model = replace(talk.protocol.device_model, bath_volume_ml=900)
    talk.protocol = replace(talk.protocol, chemistry=chemistry, device_model=model)

    _, pack, rinse = talk.sends("PLAN 2")

    assert "1820 mL OPA 0.55 %" in pack
    assert rinse.startswith("Rinse: 20 L ")
    assert "(4 x 2.5 L a probe, 2 min)" in rinse
    assert rinse.endswith("A bath takes 900 mL.")


@pytest.mark.parametrize(("most", "baths"), [(None, 2), (1, 1)])
def test_S5_a_bath_without_a_soak_left_is_no_bath_of_the_day(most: int | None, baths: int) -> None:
    """Two are filled; one probe has soaked, in one of them."""
    talk = clinic(devices=("V1",))
    pour(talk, "T2", Kind.BATH, "B1")
    chemistry = replace(talk.protocol.chemistry, bath_uses_max=most)
    talk.protocol = replace(talk.protocol, chemistry=chemistry)
    play_cycle(talk)

    told, *_ = talk.sends("PLAN 1")

    assert f"baths {baths}, " in told


def test_S4_a_probe_in_another_disinfectant_shares_no_bath_and_is_planned_by_itself() -> None:
    """One probe each: the second must not be counted into the first one's baths."""
    talk = ready(two_products())

    verdict, to_pack, _, others = talk.sends("PLAN 3")
    of_v2, to_pack_for_v2, _, first = talk.sends("PLAN 3 V2")

    assert verdict.startswith("Patients 3, probes 1, baths 1, ")
    assert of_v2.startswith("Patients 3, probes 1, baths 1, ")
    assert " mL OPA 0.55 %, " in to_pack
    assert " mL glutaral 3.0 %, " in to_pack_for_v2
    assert others == (
        "This is for the probes that soak in OPA 0.55 %. For those in glutaral 3.0 %: PLAN 12 V2."
    )
    assert first.endswith("For those in OPA 0.55 %: PLAN 12 V1.")


def used(label: str) -> DeviceUsed:
    return DeviceUsed(label, "0412", EARLY.date(), ready=True, cycle=None)


def not_ready(*labels: str) -> Talk:
    """Used since their last cycle; the rest of V1 to V3 are ready."""
    talk = morning("V1", "V2", "V3")
    talk.let(*map(used, labels))
    return talk


def test_S9_a_probe_that_is_not_ready_is_cleaned_before_it_is_planned_with() -> None:
    """The only one: cleaned in 24:15, and only then a patient of 34:15; 58:30 in all. Two cycles:
    16 towels, 2 x 2 pairs of gloves and one to examine, 2 covers, strips 3; one bath and one to
    spare, and 20 ml."""
    talk = morning()
    talk.let(used("V1"))

    verdict, first, pack, _ = talk.sends("PLAN 1")

    assert verdict.endswith("from 08:00: it fits. Last probe ready 08:59.")
    assert first == (
        "Not READY: V1. The plan begins with cleaning 1 of these, and packs for it. Any other "
        "probe counts as READY."
    )
    assert pack.startswith(
        "Pack: towels 16, glove pairs 5, covers 2, drapes 1, strips 3 (new bottle: 6 more), 320 mL"
    )


def test_S9_before_closing_there_is_no_time_for_a_probe_that_is_not_ready() -> None:
    """40 min are left: enough for one patient, 34:15, and too little to clean a probe before."""
    talk = morning()
    talk.now = EARLY + timedelta(hours=9, minutes=20)
    fits = talk.sends("PLAN 1")[0]
    talk.let(used("V1"))

    assert "it fits. Last probe ready 16:55." in fits
    assert (
        " (that fit: 0), people 1, from 16:20: too much, last probe ready 17:19."
        in (talk.sends("PLAN 1")[0])
    )


def test_S9_one_that_is_not_ready_is_left_where_the_day_is_over_sooner_without_it() -> None:
    """One patient, one probe that is ready: 34:15, with nothing cleaned first."""
    texts = not_ready("V2", "V3").sends("PLAN 1")

    assert texts[0].endswith("Last probe ready 08:35.")
    assert len(texts) == 3


def test_S9_fewer_probes_than_there_are_are_those_that_are_ready() -> None:
    verdict, *more = not_ready("V1", "V3").sends("PLAN 2 1")

    assert verdict.endswith("Last probe ready 09:09.")
    assert len(more) == 2


COUNTED_READY = "READY of your probes: {}. Any that you add to them I count as READY at the start."


@pytest.mark.parametrize(
    ("unready", "body", "ready_here"),
    [
        (("V1", "V2", "V3"), "PLAN 1 PROBES 4", 0),
        ((), "PLAN 1 PROBES 4", 3),
        ((), "PLAN 1 PROBES 4 tomorrow", 3),
    ],
)
def test_S9_that_a_borrowed_probe_counts_as_ready_is_said(
    unready: tuple[str, ...], body: str, ready_here: int
) -> None:
    """One patient, examined with the one that is borrowed: 34:15, and nothing cleaned first."""
    verdict, counted, *more = not_ready(*unready).sends(body)

    assert verdict.endswith("Last probe ready " + ("Wed 08:35." if "tom" in body else "08:35."))
    assert counted == COUNTED_READY.format(ready_here)
    assert len(more) == 2


def test_S9_that_another_probe_would_have_to_be_ready_is_said_where_it_would_make_it_fit() -> None:
    """Until 09:00 two patients fit with two probes that are ready: with one they do not, and to
    clean V2 first takes longer."""
    talk = morning("V1", "V2", closes_at="09:00")
    talk.let(used("V2"))

    verdict, counted, *more = talk.sends("PLAN 2")

    assert verdict.endswith("ready 09:09. It fits with 3 probes or 2 people.")
    assert counted == COUNTED_READY.format(1)
    assert len(more) == 2


def test_S9_a_release_that_lapses_before_opening_is_none() -> None:
    talk = morning()
    opening = talk.now + timedelta(hours=1)
    talk.let(Released("c1", "V1", "V1-K7P4", opening, "sterile_drape"))

    assert "Not READY: V1. " in talk.sends("PLAN 1")[1]


def test_S9_of_tomorrow_it_is_said_that_it_counts_on_ready_probes() -> None:
    talk = not_ready("V1", "V3")
    before, after = talk.sends("PLAN 1")[0], talk.sends("PLAN 1 tomorrow")

    assert before.startswith("Patients 1, probes 3, ")
    assert after[0].endswith("from Wed 08:00: it fits. Last probe ready Wed 08:35.")
    assert after[1] == (
        "I count on all probes being READY at opening. Not so by what I know: V1, V3. To clean "
        "one first takes 24 min 15 s."
    )


def test_S13_where_the_first_may_not_be_used_the_day_is_planned_with_those_that_may() -> None:
    talk = ready(two_products())
    talk.let(Quarantined("V1", "damaged"))

    texts = talk.sends("PLAN 3")

    assert len(texts) == 3
    assert " mL glutaral 3.0 %, " in texts[1]
    assert talk.sends("PLAN 3 V1")[0].startswith("All probes here that soak in OPA 0.55 % are in ")


@pytest.mark.parametrize(
    ("written", "packed"),
    [
        ("bleach 5 %", "42 mL bleach 5 %, 3 L boiled water to mix it, "),
        ("powder 70 %", "14 g powder 70 %, 10 L boiled water to mix it, "),
        ("", "bleach (none on file) for 2070 mL chlorine 0.1 %, 3 L boiled water, "),
        (
            "bleach 0.5 %",
            "bleach (yours too weak) for 2070 mL chlorine 0.1 %, 3 L boiled water, ",
        ),
    ],
)
def test_S4_what_is_mixed_for_each_soak_is_packed_as_it_is_bought(
    written: str, packed: str
) -> None:
    """The amounts: tests/calculations/test_packing.py."""
    talk = ready(clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic")))
    talk.let(SiteChoiceMade("site", "chlorine_source", written, ""))

    _, pack, water = talk.sends("PLAN 12")

    assert packed in pack
    assert "strip" not in pack
    assert pack.endswith(", 48 mL detergent.")
    assert water.startswith("Rinse: 288 L ")


@pytest.mark.parametrize(("written", "packed"), [("", 48), ("cap 5 ml", 60)])
def test_detergent_is_packed_as_mix_has_it_measured(written: str, packed: int) -> None:
    talk = morning()
    talk.let(SiteChoiceMade("site", "detergent_measure", written, ""))

    recipe = talk.sends("MIX 500 ML")[0]
    _, pack, *_ = talk.sends("PLAN 12")

    assert recipe.startswith("1 x cap (5 mL) " if written else "4 mL ")
    assert pack.endswith(f", {packed} mL detergent.")


def test_what_needs_nothing_to_make_it_harmless_is_packed_without() -> None:
    talk = morning()
    chemistry = replace(talk.protocol.chemistry, neutraliser=None, neutraliser_g_per_l=None)
    talk.protocol = replace(talk.protocol, chemistry=chemistry)

    assert talk.sends("PLAN 1")[1] == (
        "Pack: towels 8, glove pairs 3, covers 1, drapes 1, strips 2 (new bottle: 6 more), 310 mL "
        "OPA 0.55 %, 4 mL detergent."
    )
