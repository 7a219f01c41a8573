"""The shipped figures that no table of published ones can judge; each test names its source."""

from datetime import timedelta
from decimal import Decimal

import gsm0338
import pytest
import rfc8785

from flows.protocols import protocol_for, shipped
from flows.protocols.compare import LAXER
from flows.protocols.fields import NO_SOURCE
from flows.protocols.figures import GSM_SAFE
from flows.protocols.model import CycleProtocol, Product, Selection

OPA = shipped().chemistries["opa_055"]
STRIP = shipped().strips["opa_strip_1s_90s"]
PROBE = shipped().devices["handheld_probe"]
DETERGENT = shipped().detergents["enzymatic"]
GLUTARAL = shipped().chemistries["ga_30"]
PERACETIC = shipped().chemistries["paa_031"]


def test_detergent_is_one_fluid_ounce_per_gallon() -> None:
    """1 US fl oz per US gallon. Source: an instrument maker's care manual, p. 8; the units:
    NIST Handbook 44, Appendix C (1 gal = 3.785 412 l = 128 fl oz), from memory."""
    gallon_l = Decimal("3.785412")
    ounce_ml = gallon_l * 1000 / 128

    assert DETERGENT.ml_per_litre == (ounce_ml / gallon_l).quantize(Decimal("0.1"))


def test_detergent_soak_lies_within_what_labels_ask() -> None:
    """1 to 5 min. Source: a trade article on delayed cleaning; 2 min in it is common practice."""
    assert timedelta(minutes=1) <= DETERGENT.soak_for <= timedelta(minutes=5)


def test_one_rinse_is_at_least_two_gallons_for_a_minute() -> None:
    """7.6 l for at least 1 min. Source: an ultrasound transducer manual, p. 80."""
    assert OPA.rinse_volume_l >= Decimal("7.6")
    assert OPA.rinse_each_for >= timedelta(minutes=1)


@pytest.mark.parametrize(
    ("product", "key", "value"),
    [
        (OPA, "jug_open_life_days", 75),
        (OPA, "rinse_count", 3),
        (OPA, "rinse_volume_l", Decimal(8)),
        (STRIP, "read_after", timedelta(seconds=90)),
        (STRIP, "pass_colour", "all purple"),
        (STRIP, "fail_colour", "any blue"),
        (STRIP, "strips_per_test", 1),
    ],
)
def test_what_nobody_has_checked_against_a_label_says_from_memory(
    product: Product, key: str, value: object
) -> None:
    """From memory of product instructions; not seen in a published text."""
    assert getattr(product, key) == value
    assert "from memory" in product.source_of(key)


@pytest.mark.parametrize(
    ("product", "key", "value"),
    [
        (OPA, "bell_margin", timedelta(minutes=1)),
        (OPA, "recheck_within_c", Decimal(2)),
        (OPA, "maximum_soak", timedelta(minutes=60)),
        (OPA, "wipe_wet_time", timedelta(minutes=1)),
        (OPA, "jug_store_minimum_c", Decimal(20)),
        (STRIP, "read_within", timedelta(seconds=30)),
        (PROBE, "unplug_needed", True),
        (PROBE, "bath_volume_ml", 150),
        (DETERGENT, "soak_for", timedelta(minutes=2)),
        (DETERGENT, "soak_volume_ml", 500),
        (GLUTARAL, "activated_life_days", 28),
        (PERACETIC, "activated_life_days", 5),
        (shipped().strips["ga_strip_18"], "strips_per_test", 1),
        (shipped().strips["hp_strip_6"], "strips_per_test", 1),
        (shipped().strips["hp_strip_6"], "dip_for", timedelta(seconds=1)),
    ],
)
def test_what_no_publication_gives_says_common_practice(
    product: Product, key: str, value: object
) -> None:
    """Common practice, no source."""
    assert getattr(product, key) == value
    assert NO_SOURCE in product.source_of(key)


def test_no_machines_figure_is_shipped() -> None:
    """OPA for 5 min at 25 C is for an automated reprocessor only. Source: CDC/HICPAC 2008,
    Table 4. The shortest soak by hand is 7 min. Source: FDA, Cleared Sterilants and High Level
    Disinfectants, December 2023, K091210."""
    for chemistry in shipped().chemistries.values():
        assert chemistry.contact_time >= timedelta(minutes=7), chemistry.name
        assert chemistry.minimum_temperature_c <= Decimal(25), chemistry.name
        if "opa" in chemistry.name:
            assert chemistry.contact_time >= timedelta(minutes=12), chemistry.name


def test_every_figure_of_every_shipped_product_has_a_source() -> None:
    shelf = shipped()
    kinds = (shelf.chemistries, shelf.strips, shelf.devices, shelf.detergents, shelf.covers)

    for product in [product for kind in kinds for product in kind.values()]:
        figures = set(product.table) & set(LAXER)
        assert figures <= set(dict(product.sources)), product.name


def test_words_for_texts_are_one_septet_each() -> None:
    """Source: 3GPP TS 23.038, 6.2.1, as the gsm0338 codec has it."""
    encoded, _ = gsm0338.Codec().encode(GSM_SAFE)

    assert len(encoded) == len(GSM_SAFE)


def test_a_stored_protocol_is_canonical_json() -> None:
    """Source: RFC 8785, as the rfc8785 library has it."""
    selection = Selection("opa_055", "opa_strip_1s_90s", "handheld_probe", "enzymatic")
    protocol = protocol_for(selection)

    assert isinstance(protocol, CycleProtocol)
    assert protocol.canonical().encode() == rfc8785.dumps(protocol.as_mapping())
