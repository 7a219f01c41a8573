"""What a cycle stores: whole, exact, recognised by its hash, and held to the stricter version."""

import json
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.protocols.compare import LAXER, Laxer, is_laxer
from flows.protocols.model import CycleProtocol, SiteChoice
from flows.protocols.versions import changed_since, disagreements, held_to, stricter_of
from tests.protocols import kit

CHOICES = st.lists(
    st.one_of(
        st.builds(
            lambda minutes: SiteChoice("opa_055", "contact_time", f"{minutes} min", "a reason"),
            st.integers(7, 29),
        ),
        st.builds(
            lambda key, count, unit: SiteChoice("opa_055", key, f"{count} {unit}", "a reason"),
            st.sampled_from(["wipe_wet_time", "rinse_each_for"]),
            st.integers(10, 29),
            st.sampled_from(["s", "min"]),
        ),
        st.builds(
            lambda key, days: SiteChoice("opa_055", key, f"{days} days", "a reason"),
            st.sampled_from(["reuse_life_days", "jug_open_life_days", "bath_life"]),
            st.integers(1, 90),
        ),
        st.builds(
            lambda key, tenths: SiteChoice("opa_055", key, f"{tenths / 10} C", "a reason"),
            st.sampled_from(["minimum_temperature_c", "jug_store_minimum_c"]),
            st.integers(100, 300),
        ),
        st.builds(
            lambda tenths: SiteChoice("enzymatic", "ml_per_litre", f"{tenths / 10} ml/l", "why"),
            st.integers(10, 500),
        ),
        st.sampled_from(
            [
                SiteChoice("opa_055", "strip_policy", "bottle_daily", "a reason"),
                SiteChoice("towel_cover", "hang_time", "7 days", "a reason"),
                SiteChoice("opa_055", "maximum_temperature_c", "31 C"),
                SiteChoice("handheld_probe", "maximum_soak", "45 min"),
                SiteChoice("enzymatic", "one_batch_per_device", "no", "a reason"),
            ]
        ),
    )
)
PROTOCOLS = CHOICES.map(lambda choices: kit.cycle_protocol(*choices))


@given(PROTOCOLS)
def test_what_is_stored_comes_back_the_same(protocol: CycleProtocol) -> None:
    stored = json.loads(protocol.canonical())

    assert CycleProtocol.from_mapping(stored) == protocol


@given(PROTOCOLS)
def test_nothing_stored_is_a_float(protocol: CycleProtocol) -> None:
    def refuse(written: str) -> None:
        raise AssertionError(written)

    json.loads(protocol.canonical(), parse_float=refuse)


def test_spans_are_seconds_and_temperatures_text() -> None:
    stored = kit.cycle_protocol().as_mapping()

    assert stored["chemistry"]["contact_time"] == 720
    assert stored["chemistry"]["minimum_temperature_c"] == "20"
    assert stored["chemistry"]["maximum_temperature_c"] is None
    assert stored["chemistry"]["strips"] == ["opa_strip_1s_90s"]


@given(PROTOCOLS, PROTOCOLS)
def test_equal_protocols_and_no_others_share_a_fingerprint(
    one: CycleProtocol, other: CycleProtocol
) -> None:
    assert (one.fingerprint() == other.fingerprint()) is (one.canonical() == other.canonical())
    assert one.fingerprint() == CycleProtocol.from_mapping(one.as_mapping()).fingerprint()


def test_one_second_of_difference_changes_the_fingerprint() -> None:
    published = kit.cycle_protocol()
    shorter = kit.cycle_protocol(SiteChoice("opa_055", "contact_time", "719 s", "a reason"))

    assert shorter.fingerprint() != published.fingerprint()


def test_a_record_older_than_a_defaulted_key_still_reads() -> None:
    stored = kit.cycle_protocol().as_mapping()
    del stored["chemistry"]["recheck_within_c"]

    assert CycleProtocol.from_mapping(stored).chemistry.recheck_within_c == Decimal(2)


def test_a_record_from_before_tables_policies_and_disputes_still_reads() -> None:
    stored = kit.cycle_protocol().as_mapping()
    for key in ("contact_time_warmer", "soaks", "strips_each_test", "single_use_evidence"):
        del stored["chemistry"][key]
    del stored["chemistry"]["disputes"]
    del stored["strip"]["handling"]

    read = CycleProtocol.from_mapping(stored)

    assert read.chemistry == replace(kit.cycle_protocol().chemistry, disputes=())
    assert stricter_of(read, kit.cycle_protocol()).chemistry == read.chemistry
    assert disagreements(read, kit.cycle_protocol()) == ()


def test_a_stored_protocol_without_a_contact_time_is_not_read() -> None:
    stored = kit.cycle_protocol().as_mapping()
    del stored["chemistry"]["contact_time"]

    with pytest.raises(KeyError, match="contact_time"):
        CycleProtocol.from_mapping(stored)


def test_S2_the_bell_is_due_after_contact_time_and_margin() -> None:
    assert kit.cycle_protocol().bell_after == timedelta(minutes=13)


def test_S12_the_shorter_maximum_of_device_and_disinfectant_holds() -> None:
    by_disinfectant = kit.cycle_protocol()
    by_device = kit.cycle_protocol(SiteChoice("handheld_probe", "maximum_soak", "45 min"))
    device_allows_more = kit.cycle_protocol(
        SiteChoice("handheld_probe", "maximum_soak", "90 min", "a reason")
    )

    assert by_disinfectant.maximum_soak == timedelta(minutes=60)
    assert by_device.maximum_soak == timedelta(minutes=45)
    assert device_allows_more.maximum_soak == timedelta(minutes=60)


@given(PROTOCOLS, PROTOCOLS)
def test_S1_the_stricter_of_two_is_laxer_than_neither(
    own: CycleProtocol, today: CycleProtocol
) -> None:
    stricter = stricter_of(own, today)

    for held, ours, theirs in zip(
        stricter.products(), own.products(), today.products(), strict=True
    ):
        for key in held.table:
            if LAXER.get(key, Laxer.EITHER) is not Laxer.EITHER:
                value = getattr(held, key)
                assert not is_laxer(key, value, getattr(ours, key)), key
                assert not is_laxer(key, value, getattr(theirs, key)), key
                assert value in {getattr(ours, key), getattr(theirs, key)}


@given(PROTOCOLS)
def test_the_stricter_of_one_and_itself_is_itself(protocol: CycleProtocol) -> None:
    assert stricter_of(protocol, protocol) == protocol


def test_what_makes_spent_solution_harmless_by_less_is_a_deviation_that_the_record_carries() -> (
    None
):
    """6.7 g/l. From memory: product instructions."""
    chosen = SiteChoice("opa_055", "neutraliser_g_per_l", "5 g/l", "Advice of the water office.")

    (deviation,) = kit.cycle_protocol(chosen).deviations

    assert deviation == ("opa_055.neutraliser_g_per_l is 5 g/l, the remembered figure is 6.7 g/l")


def test_the_stricter_figure_brings_its_source_and_both_deviations_stay() -> None:
    own = kit.cycle_protocol(SiteChoice("opa_055", "contact_time", "10 min", "a", "a label"))
    today = kit.cycle_protocol(SiteChoice("opa_055", "rinse_count", "2", "a"))

    stricter = stricter_of(own, today)

    assert stricter.chemistry.contact_time == timedelta(minutes=12)
    assert "Table 4" in stricter.chemistry.source_of("contact_time")
    assert stricter.chemistry.rinse_count == 3
    assert stricter.deviations == own.deviations + today.deviations


def test_where_neither_is_stricter_the_cycles_own_stands_and_is_named() -> None:
    own = kit.cycle_protocol(SiteChoice("opa_strip_1s_90s", "read_after", "100 s", "a"))
    today = kit.cycle_protocol()

    assert stricter_of(own, today).strip.read_after == timedelta(seconds=100)
    assert disagreements(own, today) == ("opa_strip_1s_90s.read_after",)


def test_a_fact_that_has_changed_since_is_named() -> None:
    own = kit.cycle_protocol()
    today = replace(own, device_model=replace(own.device_model, chemistries=("other",)))

    assert disagreements(own, today) == ("handheld_probe.chemistries",)
    assert disagreements(own, own) == ()


@pytest.mark.parametrize(
    ("product", "key", "value"),
    [
        ("chemistry", "soaks", "container"),
        ("chemistry", "strips_each_test", 3),
        ("chemistry", "single_use_evidence", ("mixed_today",)),
        ("strip", "handling", "Stand it upright"),
    ],
)
def test_what_a_step_already_done_rests_on_is_named_where_it_has_changed_since(
    product: str, key: str, value: object
) -> None:
    own = kit.cycle_protocol()
    changed = replace(getattr(own, product), **{key: value})
    today = replace(own, **{product: changed})

    assert disagreements(own, today) == (f"{changed.name}.{key}",)


@pytest.mark.parametrize("begun_with", ["bath_before_each_use", "bottle_daily"])
def test_S1_S4_the_stricter_way_of_testing_holds_whichever_version_has_it(begun_with: str) -> None:
    ways = {
        "bath_before_each_use": kit.cycle_protocol(),
        "bottle_daily": kit.cycle_protocol(
            SiteChoice("opa_055", "strip_policy", "bottle_daily", "a reason")
        ),
    }
    own = ways.pop(begun_with)
    (today,) = ways.values()

    held = stricter_of(own, today)

    assert held.strip_policy == "bath_before_each_use"
    assert held.deviations == own.deviations + today.deviations


def test_a_new_dispute_changes_nothing_that_a_release_is_held_to() -> None:
    own = kit.cycle_protocol()
    disputed = replace(own.chemistry, disputes=(("HPV", "a journal"),))
    today = replace(own, chemistry=disputed)

    assert stricter_of(own, today) == own
    assert disagreements(own, today) == ()


def test_of_a_version_without_a_neutraliser_the_other_says_what_is_stirred_in_too() -> None:
    """6.7 g/l of glycine, 1 h. From memory: product instructions."""
    today = kit.cycle_protocol()
    none = {"neutraliser": None, "neutraliser_g_per_l": None, "neutralise_for": None}
    own = replace(today, chemistry=replace(today.chemistry, **none))

    held = stricter_of(own, today).chemistry

    assert (held.neutraliser, held.neutraliser_g_per_l) == ("glycine", Decimal("6.7"))
    assert held.neutralise_for == timedelta(hours=1)


def test_a_stricter_figure_is_no_disagreement() -> None:
    own = kit.cycle_protocol()
    today = kit.cycle_protocol(SiteChoice("opa_055", "contact_time", "20 min"))

    assert disagreements(own, today) == ()


def test_S1_where_another_product_is_used_today_a_cycle_is_held_to_its_own() -> None:
    """It soaks in the one it began with, by that one's figures."""
    own = kit.cycle_protocol()
    hotter = replace(own.chemistry, name="other", minimum_temperature_c=Decimal(25))
    today = replace(own, chemistry=hotter)

    assert held_to(own, today) is own
    assert changed_since(own, today) == ()


def test_versions_of_different_products_have_no_stricter_one() -> None:
    own = kit.cycle_protocol()
    other = replace(own, strip=replace(own.strip, name="other_strip"))

    with pytest.raises(ValueError, match="other_strip"):
        stricter_of(own, other)
