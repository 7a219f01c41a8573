"""A site may be stricter without a word; laxer only with a written reason, and it shows."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from flows.protocols import protocol_for, shipped
from flows.protocols.compare import LAXER, check_choices, is_laxer
from flows.protocols.fields import CHEMISTRY, COVER, DETERGENT, DEVICE, STRIP
from flows.protocols.model import Selection, Shelf, SiteChoice
from flows.protocols.reasons import is_reason
from tests.protocols import kit


def refusals(*choices: SiteChoice) -> list[str]:
    return kit.lines(protocol_for(kit.SELECTION, choices))


def test_without_a_choice_a_cycle_is_held_to_what_is_published() -> None:
    protocol = kit.cycle_protocol()

    assert protocol.chemistry == shipped().chemistries["opa_055"]
    assert protocol.strip_policy == "bath_before_each_use"
    assert protocol.deviations == ()


def test_a_laxer_figure_without_a_reason_is_refused_in_good_words() -> None:
    (line,) = refusals(SiteChoice("opa_055", "contact_time", "5 min"))

    assert line == (
        "opa_055.toml: contact_time is 5 min, the published figure is 12 min; "
        "add a reason or raise it."
    )


def test_spaces_are_no_reason() -> None:
    (line,) = refusals(SiteChoice("opa_055", "reuse_life_days", "28 days", reason="  "))

    assert line == (
        "opa_055.toml: reuse_life_days is 28 days, the published figure is 14 days; "
        "add a reason or lower it."
    )


@pytest.mark.parametrize(
    ("choice", "sentence"),
    [
        (SiteChoice("opa_055", "wipe_wet_time", "30 s"), "the usual figure is 1 min"),
        (SiteChoice("opa_055", "rinse_count", "2"), "the remembered figure is 3"),
    ],
)
def test_a_figure_that_nobody_published_is_not_called_published(
    choice: SiteChoice, sentence: str
) -> None:
    (line,) = refusals(choice)

    assert sentence in line


def test_a_laxer_figure_with_a_reason_is_a_deviation_that_shows_and_the_reason_does_not() -> None:
    protocol = kit.cycle_protocol(
        SiteChoice("opa_055", "contact_time", "10 min", "national label", "a label of 2020")
    )

    assert protocol.chemistry.contact_time == timedelta(minutes=10)
    assert protocol.chemistry.source_of("contact_time") == "a label of 2020"
    assert protocol.deviations == (
        "opa_055.contact_time is 10 min, the published figure is 12 min",
    )
    assert "national" not in protocol.canonical()


def test_a_stricter_figure_needs_no_reason_and_is_no_deviation() -> None:
    protocol = kit.cycle_protocol(SiteChoice("opa_055", "contact_time", "20 min"))

    assert protocol.chemistry.contact_time == timedelta(minutes=20)
    assert protocol.deviations == ()


def test_every_kind_of_product_takes_its_choices() -> None:
    protocol = kit.cycle_protocol(
        SiteChoice("opa_strip_1s_90s", "read_within", "20 s"),
        SiteChoice("handheld_probe", "maximum_soak", "45 min"),
        SiteChoice("enzymatic", "soak_for", "5 min"),
        SiteChoice("towel_cover", "hang_time", "7 days", "risk assessment of the site"),
        SiteChoice("enzymatic", "one_batch_per_device", "no", "one batch a morning"),
    )

    assert protocol.strip.read_within == timedelta(seconds=20)
    assert protocol.maximum_soak == timedelta(minutes=45)
    assert protocol.detergent.soak_for == timedelta(minutes=5)
    assert protocol.covers[0].hang_time == timedelta(days=7)
    assert protocol.deviations == (
        "towel_cover.hang_time is 7 days, the usual figure is none",
        "enzymatic.one_batch_per_device is no, the published figure is yes",
    )


def test_S4_testing_the_bottle_once_a_day_needs_a_written_reason() -> None:
    (line,) = refusals(SiteChoice("opa_055", "strip_policy", "bottle_daily"))

    assert line.endswith("add a reason or lower it.")


def test_S4_with_its_reason_the_bottle_may_be_tested_daily_and_it_shows() -> None:
    protocol = kit.cycle_protocol(
        SiteChoice("opa_055", "strip_policy", "bottle_daily", "strips are short")
    )

    assert protocol.strip_policy == "bottle_daily"
    assert len(protocol.deviations) == 1


def test_a_later_choice_takes_the_place_of_an_earlier_one() -> None:
    protocol = kit.cycle_protocol(
        SiteChoice("opa_055", "contact_time", "10 min", "a national label"),
        SiteChoice("opa_055", "contact_time", "15 min"),
    )

    assert protocol.chemistry.contact_time == timedelta(minutes=15)
    assert protocol.deviations == ()


def test_all_refusals_come_together() -> None:
    assert refusals(
        SiteChoice("opa_055", "bell_margin", "0 s", "in a hurry"),
        SiteChoice("opa_055", "mec", "0.2 %", "why not"),
        SiteChoice("opa_055", "read_after", "60 s", "why not"),
        SiteChoice("opa_55", "contact_time", "12 min"),
    ) == [
        "opa_055.toml: bell_margin is 0 s; it must be from 30 s to 10 min.",
        "opa_055.toml: mec is not for a site to choose.",
        "opa_055.toml: read_after is not for a site to choose.",
        "opa_55.toml: contact_time is set, but no such product is known here.",
    ]


def test_choices_that_contradict_each_other_are_refused_after_all() -> None:
    assert refusals(SiteChoice("opa_055", "contact_time", "60 min")) == [
        "handheld_probe.toml: maximum_soak is over before the bell.",
        "opa_055.toml: maximum_soak is over before the bell; raise it.",
    ]


def test_a_device_that_must_be_out_before_the_bell_is_refused() -> None:
    assert refusals(SiteChoice("handheld_probe", "maximum_soak", "13 min")) == [
        "handheld_probe.toml: maximum_soak is over before the bell."
    ]


def test_a_choice_for_another_product_of_the_shelf_is_left_alone() -> None:
    other = replace(shipped().devices["handheld_probe"], name="other_probe")
    shelf = replace(shipped(), devices={**shipped().devices, "other_probe": other})
    choice = SiteChoice("other_probe", "unplug_needed", "no", "it has no plug")

    assert protocol_for(kit.SELECTION, [choice], shelf) == kit.cycle_protocol()


def test_a_product_nobody_knows_is_named_with_those_that_are() -> None:
    selection = Selection("opa_55", "strip", "probe", "soap")

    assert kit.lines(protocol_for(selection)) == [
        "site: chemistry is opa_55; known are: " + ", ".join(sorted(shipped().chemistries)) + ".",
        "site: strip is strip; known are: ga_strip_18, hp_strip_6, opa_strip_1s_90s.",
        "site: device_model is probe; known are: handheld_probe, plastic_probe, sealed_probe.",
        "site: detergent is soap; known are: enzymatic.",
    ]


def shelf_with(**changed: object) -> Shelf:
    """The shipped shelf with another device model, strip or chemistry of the same name."""
    return replace(shipped(), **changed)  # type: ignore[arg-type]


def test_products_that_do_not_name_each_other_are_no_protocol() -> None:
    shelf = shelf_with(
        chemistries={"opa_055": replace(shipped().chemistries["opa_055"], strips=("other",))},
        strips={"opa_strip_1s_90s": replace(shipped().strips["opa_strip_1s_90s"], chemistries=())},
    )

    assert kit.lines(protocol_for(kit.SELECTION, (), shelf)) == [
        "opa_055.toml: strips does not name opa_strip_1s_90s.",
        "opa_strip_1s_90s.toml: chemistries does not name opa_055.",
    ]


def test_a_disinfectant_that_the_devices_maker_has_not_allowed_is_refused() -> None:
    selection = Selection("hp_75", "hp_strip_6", "handheld_probe", "enzymatic")

    first, *_ = kit.lines(protocol_for(selection))

    assert first == (
        "handheld_probe.toml: chemistries does not name hp_75; its maker has not allowed it."
    )


def test_a_cover_without_a_file_is_named() -> None:
    assert kit.lines(protocol_for(kit.SELECTION, (), shelf_with(covers={}))) == [
        "handheld_probe.toml: covers has towel_cover; known are: .",
        "handheld_probe.toml: covers has sterile_drape; known are: .",
    ]


@pytest.mark.parametrize(
    ("key", "value", "published", "laxer"),
    [
        ("contact_time", timedelta(minutes=11), timedelta(minutes=12), True),
        ("contact_time", timedelta(minutes=12), timedelta(minutes=12), False),
        ("contact_time", timedelta(minutes=13), timedelta(minutes=12), False),
        ("minimum_temperature_c", Decimal("19.9"), Decimal(20), True),
        ("reuse_life_days", 15, 14, True),
        ("reuse_life_days", 13, 14, False),
        ("ml_per_litre", Decimal("7.7"), Decimal("7.8"), True),
        ("ml_per_litre", Decimal("7.9"), Decimal("7.8"), True),
        ("ml_per_litre", Decimal("7.80"), Decimal("7.8"), False),
        ("maximum_temperature_c", None, Decimal(25), True),
        ("maximum_temperature_c", Decimal(25), None, False),
        ("maximum_temperature_c", None, None, False),
        ("hang_time", timedelta(days=1), None, True),
        ("hang_time", None, timedelta(days=1), False),
        ("strip_policy", "bottle_daily", "bath_before_each_use", True),
        ("strip_policy", "bath_before_each_use", "bottle_daily", False),
        ("unplug_needed", False, True, True),
        ("unplug_needed", True, False, False),
        ("neutraliser_g_per_l", Decimal("6.6"), Decimal("6.7"), True),
        ("neutraliser_g_per_l", Decimal("6.8"), Decimal("6.7"), False),
        ("neutraliser_g_per_l", None, Decimal("6.7"), True),
        ("neutraliser_g_per_l", Decimal("6.7"), None, False),
        ("neutralise_for", timedelta(minutes=59), timedelta(hours=1), True),
        ("neutralise_for", timedelta(hours=1), timedelta(hours=1), False),
        ("neutralise_for", None, timedelta(hours=1), True),
    ],
)
def test_which_way_is_laxer(key: str, value: object, published: object, *, laxer: bool) -> None:
    assert is_laxer(key, value, published) is laxer


def test_every_figure_a_site_may_choose_is_a_figure_of_some_product() -> None:
    assert set(LAXER) <= {*CHEMISTRY, *STRIP, *DEVICE, *COVER, *DETERGENT}


def test_a_sites_own_file_becomes_choices() -> None:
    parsed = {
        "contact_time": {
            "value": "10 min",
            "source": "a national label",
            "reason": "label used here",
        },
        "rinse_count": {"value": 4, "source": "the site's own choice"},
        "maximum_temperature_c": {"value": "30 C", "source": "a label"},
    }

    assert check_choices(parsed, "opa_055.toml", shipped()) == (
        SiteChoice("opa_055", "contact_time", "10 min", "label used here", "a national label"),
        SiteChoice("opa_055", "rinse_count", "4", "", "the site's own choice"),
        SiteChoice("opa_055", "maximum_temperature_c", "30 C", "", "a label"),
    )


def test_a_word_is_no_reason_in_a_file() -> None:
    parsed = {"contact_time": {"value": "8 min", "source": "a label", "reason": "national"}}

    (line,) = kit.lines(check_choices(parsed, "opa_055.toml", shipped()))

    assert line == (
        "opa_055.toml: contact_time is 8 min, the published figure is 12 min; its reason, "
        '"national", says too little; write three words or more, or raise it.'
    )


def test_what_the_record_holds_by_its_digest_was_read_when_it_was_chosen() -> None:
    """S15: the words are kept where they can be erased."""
    chosen = SiteChoice("opa_055", "contact_time", "8 min", "9f2c")

    assert len(kit.cycle_protocol(chosen).deviations) == 1


@pytest.mark.parametrize("reason", ["Label of Velmara", "il le faut", "по местным правилам"])
def test_three_words_are_a_reason_in_whatever_language(reason: str) -> None:
    assert is_reason(reason)


def test_every_problem_of_a_sites_own_file_is_named() -> None:
    parsed = {
        "contact_time": {"value": "5 min", "source": "a label"},
        "rinses": 3,
        "rinse_water": {"value": "tap", "source": ""},
    }

    unknown, unsourced, laxer = kit.lines(check_choices(parsed, "opa_055.toml", shipped()))

    assert unknown == "opa_055.toml: rinses is not a key here."
    assert unsourced.startswith("opa_055.toml: rinse_water has no source; ")
    assert laxer.startswith("opa_055.toml: contact_time is 5 min, the published figure is 12 min")


def test_a_sites_own_file_for_a_product_nobody_knows_is_refused() -> None:
    assert kit.lines(check_choices({}, "opa_55.toml", shipped())) == [
        "opa_55.toml: name is not that of a product known here."
    ]


def test_a_key_that_is_mistyped_is_told_the_one_it_is_like() -> None:
    assert refusals(
        SiteChoice("opa_055", "contact_tme", "12 min"),
        SiteChoice("opa_055", "speed", "high"),
    ) == [
        "opa_055.toml: contact_tme is not a key; contact_time is.",
        "opa_055.toml: speed is not for a site to choose.",
    ]
