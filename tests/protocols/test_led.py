"""What no cycle can be led with is refused by file, key and reason; and files know each other."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from flows.protocols import BadProtocols, protocol_for, shelf_of, shipped
from flows.protocols.check import check_chemistry, check_strip
from flows.protocols.crossed import crossed
from flows.protocols.model import (
    Chemistry,
    CycleProtocol,
    Selection,
    Shelf,
    SiteChoice,
    StripProduct,
)
from flows.protocols.read import laid_on
from tests.protocols import kit
from tests.protocols.test_shipped import shelf_folder

CHLORINE = "chemistries/chlorine_01.toml"


def refusals(chemistry: str, model: str = "sealed_probe", shelf: Shelf | None = None) -> list[str]:
    """Why a device of *model* is not led through a soak in *chemistry*."""
    strips = (shelf or shipped()).chemistries[chemistry].strips
    selection = Selection(chemistry, next(iter(strips), ""), model, "enzymatic")
    return kit.lines(protocol_for(selection, (), shelf))


@pytest.mark.parametrize("model", ["sealed_probe", "plastic_probe", "handheld_probe"])
def test_opa_is_led_on_every_device_whose_maker_allows_it(model: str) -> None:
    selection = Selection("opa_055", "opa_strip_1s_90s", model, "enzymatic")

    assert isinstance(protocol_for(selection), CycleProtocol)


@pytest.mark.parametrize("chemistry", ["ga_24", "hp_20", "paa_031", "hp_10_paa_008"])
def test_S4_without_a_strip_whose_times_are_known_nothing_is_led(chemistry: str) -> None:
    assert refusals(chemistry)[0] == (
        f"{chemistry}.toml: strips names none: no strip with published times was found; "
        "add that of the bottle in hand."
    )


def test_what_has_to_be_activated_is_led_where_its_makers_allow_it() -> None:
    selection = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")

    assert isinstance(protocol_for(selection), CycleProtocol)


def test_a_strip_that_is_not_laid_flat_is_led_as_its_file_says() -> None:
    selection = Selection("hp_75", "hp_strip_6", "sealed_probe", "enzymatic")

    assert isinstance(protocol_for(selection), CycleProtocol)


def test_S4_a_bath_without_a_strip_is_led_by_the_evidence_that_takes_its_place() -> None:
    selection = Selection("chlorine_01", "", "plastic_probe", "enzymatic")

    assert isinstance(protocol_for(selection), CycleProtocol)


def test_what_readies_a_container_is_never_a_devices_soak() -> None:
    named = replace(shipped().devices["plastic_probe"], chemistries=("chlorine_05",))

    first, *_ = refusals("chlorine_05", "plastic_probe", laid_on(shipped(), named))

    assert first == (
        "chlorine_05.toml: soaks is container: no source gives it as the soak of a device."
    )


def test_chlorine_on_a_device_whose_maker_has_not_allowed_it_is_refused_by_the_devices_file() -> (
    None
):
    first, *_ = refusals("chlorine_01", "sealed_probe")

    assert first == (
        "sealed_probe.toml: chemistries does not name chlorine_01; its maker has not allowed it."
    )


def test_a_strip_from_the_bottle_in_hand_lets_its_product_be_led() -> None:
    """The times here are invented."""
    strip = replace(
        shipped().strips["opa_strip_1s_90s"], name="hp_20_strip", chemistries=("hp_20",)
    )
    peroxide = replace(shipped().chemistries["hp_20"], strips=("hp_20_strip",))
    shelf = laid_on(laid_on(shipped(), strip), peroxide)
    selection = Selection("hp_20", "hp_20_strip", "sealed_probe", "enzymatic")

    assert list(crossed(shelf)) == []
    assert isinstance(protocol_for(selection, (), shelf), CycleProtocol)


# -- S4: no strip goes with single use and other evidence ---------------------------------------


def check_chlorine(**changed: object) -> list[str]:
    outcome = check_chemistry(kit.file_with(CHLORINE, **changed), "chlorine_01.toml")
    return [] if isinstance(outcome, Chemistry) else kit.lines(outcome)


@pytest.mark.parametrize(
    ("changed", "problem"),
    [
        (
            {"strips": ["opa_strip_1s_90s"]},
            "strip_policy is single_use_no_strip, yet a strip is named; use the strip",
        ),
        (
            {"bath_uses_max": 2},
            "bath_uses_max must be 1 where strip_policy is single_use_no_strip",
        ),
        (
            {"bath_uses_max": "none"},
            "bath_uses_max must be 1 where strip_policy is single_use_no_strip",
        ),
        (
            {"single_use_evidence": []},
            "single_use_evidence goes with strip_policy single_use_no_strip; give both or neither",
        ),
        (
            {"strip_policy": "bath_before_each_use"},
            "single_use_evidence goes with strip_policy single_use_no_strip; give both or neither",
        ),
    ],
)
def test_S4_a_bath_without_a_strip_is_for_one_soak_and_has_other_evidence(
    changed: dict[str, object], problem: str
) -> None:
    assert check_chlorine() == []
    assert check_chlorine(**changed) == [f"chlorine_01.toml: {problem}."]


def test_S4_a_site_cannot_choose_away_the_strip_of_a_product_that_has_one() -> None:
    choice = SiteChoice("opa_055", "strip_policy", "single_use_no_strip", "strips are dear")

    lines = kit.lines(protocol_for(kit.SELECTION, [choice]))

    assert (
        "opa_055.toml: strip_policy is single_use_no_strip, yet a strip is named; use the strip."
        in lines
    )


# -- files know each other ----------------------------------------------------------------------


def test_the_shipped_files_know_each_other() -> None:
    assert list(crossed(shipped())) == []


@pytest.mark.parametrize(
    ("kind", "name", "changed", "problem"),
    [
        ("chemistries", "opa_055", {"strips": ("x",)}, "opa_055.toml: strips names x; "),
        (
            "strips",
            "ga_strip_18",
            {"chemistries": ("ga_30", "x")},
            "ga_strip_18.toml: chemistries",
        ),
        (
            "devices",
            "sealed_probe",
            {"chemistries": ("x",)},
            "sealed_probe.toml: chemistries names",
        ),
        ("devices", "sealed_probe", {"covers": ("x",)}, "sealed_probe.toml: covers names x; "),
        ("strips", "ga_strip_18", {"chemistries": ()}, "ga_strip_18.toml: chemistries does not"),
        (
            "chemistries",
            "opa_055",
            {"strips_each_test": 3},
            "opa_strip_1s_90s.toml: strips_per_test is 1; opa_055 asks for 3 each test",
        ),
        (
            "devices",
            "plastic_probe",
            {"chemistries": ("chlorine_05",)},
            "plastic_probe.toml: chemistries names chlorine_05, which is for a container",
        ),
        (
            "devices",
            "handheld_probe",
            {"maximum_soak": timedelta(minutes=13)},
            "handheld_probe.toml: maximum_soak is over before the bell of opa_055",
        ),
    ],
)
def test_what_one_file_says_and_another_does_not_bear_out_is_named(
    kind: str, name: str, changed: dict[str, Any], problem: str
) -> None:
    product = replace(getattr(shipped(), kind)[name], **changed)

    lines = [str(each) for each in crossed(laid_on(shipped(), product))]

    assert any(line.startswith(problem) for line in lines), lines


def test_a_device_that_names_a_file_that_is_not_there_does_not_load(tmp_path: Any) -> None:
    probe = (
        'name = "probe"\ntitle = "probe"\nchemistries = { value = ["x"], source = "a label" }\n'
        'covers = { value = ["y"], source = "a label" }\n'
        'immersion_line = { value = "The line", source = "a label" }\n'
        'maximum_soak = { value = "none", source = "a label" }\n'
        'unplug_needed = { value = true, source = "a label" }\n'
    )

    with pytest.raises(BadProtocols) as raised:
        shelf_of(shelf_folder(tmp_path, devices__probe=probe))

    assert str(raised.value).splitlines() == [
        "probe.toml: chemistries names x; there is no such file.",
        "probe.toml: covers names y; there is no such file.",
    ]


def test_a_strip_stands_flat_where_its_file_says_nothing_else() -> None:
    parsed = kit.file_with(kit.STRIP)
    del parsed["handling"]

    strip = check_strip(parsed, "opa_strip_1s_90s.toml")

    assert isinstance(strip, StripProduct)
    assert strip.handling is None
