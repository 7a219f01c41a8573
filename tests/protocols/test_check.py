"""A protocol file loads whole, or every problem in it is named at once."""

import json
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.protocols.check import (
    check_chemistry,
    check_cover,
    check_detergent,
    check_device,
    check_strip,
)
from flows.protocols.fields import CHEMISTRY, COVER, DETERGENT, DEVICE, NO_SOURCE, STRIP
from flows.protocols.model import Chemistry, Cover, Detergent, DeviceModel, StripProduct
from tests.protocols import kit


def check_opa(parsed: dict[str, Any]) -> Chemistry | list[object]:
    outcome = check_chemistry(parsed, "opa_055.toml")
    return outcome if isinstance(outcome, Chemistry) else list(outcome)


def test_the_figures_of_a_file_come_with_their_sources() -> None:
    opa = check_opa(kit.file_with(kit.OPA))

    assert isinstance(opa, Chemistry)
    assert opa.contact_time == timedelta(minutes=12)
    assert opa.minimum_temperature_c == Decimal(20)
    assert "Table 4" in opa.source_of("contact_time")


def test_a_name_has_no_source() -> None:
    opa = check_opa(kit.file_with(kit.OPA))

    assert isinstance(opa, Chemistry)
    with pytest.raises(KeyError):
        opa.source_of("name")


@pytest.mark.parametrize(
    ("check", "path", "kind"),
    [
        (check_strip, kit.STRIP, StripProduct),
        (check_device, kit.PROBE, DeviceModel),
        (check_cover, kit.COVER, Cover),
        (check_detergent, kit.DETERGENT, Detergent),
    ],
)
def test_each_kind_of_product_has_its_own_check(check: Any, path: str, kind: type) -> None:
    outcome = check(kit.file_with(path), path.split("/")[1])

    assert isinstance(outcome, kind)


def test_three_faults_are_three_lines() -> None:
    parsed = kit.file_with(kit.OPA, contact_time="12", bell_margin="0 s")
    del parsed["maximum_soak"]

    assert kit.lines(check_opa(parsed)) == [
        "opa_055.toml: contact_time is written '12'; write it like 12 min.",
        "opa_055.toml: bell_margin is 0 s; it must be from 30 s to 10 min.",
        "opa_055.toml: maximum_soak is missing; add it, for example 12 min.",
    ]


def test_S2_a_bell_without_a_margin_does_not_load() -> None:
    outcome = check_opa(kit.file_with(kit.OPA, bell_margin="29 s"))

    assert kit.lines(outcome) == [
        "opa_055.toml: bell_margin is 29 s; it must be from 30 s to 10 min."
    ]


def test_S2_thirty_seconds_are_margin_enough() -> None:
    opa = check_opa(kit.file_with(kit.OPA, bell_margin="30 s"))

    assert isinstance(opa, Chemistry)
    assert opa.bell_margin == timedelta(seconds=30)


def test_S2_the_margin_is_a_minute_where_the_file_is_silent() -> None:
    parsed = kit.file_with(kit.OPA)
    del parsed["bell_margin"]

    opa = check_opa(parsed)

    assert isinstance(opa, Chemistry)
    assert opa.bell_margin == timedelta(minutes=1)
    assert opa.source_of("bell_margin") == NO_SOURCE


@pytest.mark.parametrize("written", ["12 min", {"source": "a label"}, ["12 min"]])
def test_a_bare_figure_is_asked_for_its_source(written: object) -> None:
    parsed = kit.file_with(kit.OPA) | {"contact_time": written}

    assert kit.lines(check_opa(parsed)) == [
        'opa_055.toml: contact_time needs both: { value = ..., source = "..." }.'
    ]


@pytest.mark.parametrize("source", ["", "  ", 7])
def test_an_empty_source_is_none(source: object) -> None:
    parsed = kit.file_with(kit.OPA)
    parsed["contact_time"]["source"] = source

    (line,) = kit.lines(check_opa(parsed))

    assert line == (
        'opa_055.toml: contact_time has no source; name the publication, "from memory" or '
        '"common practice, none published".'
    )


def test_an_unknown_key_is_a_problem_and_the_near_one_is_named() -> None:
    parsed = kit.file_with(kit.OPA) | {"contact_tme": "9 min", "zzz": 1}

    assert kit.lines(check_opa(parsed)) == [
        "opa_055.toml: contact_tme is not a key; contact_time is.",
        "opa_055.toml: zzz is not a key here.",
    ]


def test_an_unknown_word_inside_a_figure_is_a_problem() -> None:
    parsed = kit.file_with(kit.OPA)
    parsed["contact_time"]["sauce"] = "?"

    assert kit.lines(check_opa(parsed)) == [
        "opa_055.toml: contact_time has sauce beside its value and source."
    ]


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.dates(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=5,
)
NEAR_MISSES = st.sampled_from(
    [
        "none", "25 C: 20 min", "25 C: 20 min, 25 C: 19 min", "25 C: 20 min,", "99999 C: 1 day",
        "single_use_no_strip", "container", ["a", 1], [{"says": "x"}], [{"says": 1, "source": 2}],
        [{"says": "x", "source": "y"}], [{"says": "x", "source": "y", "more": "z"}],
        {"says": "x", "source": "y"},
    ]
)  # fmt: skip
KINDS = [
    (check_chemistry, Chemistry, CHEMISTRY, kit.OPA),
    (check_strip, StripProduct, STRIP, kit.STRIP),
    (check_device, DeviceModel, DEVICE, kit.PROBE),
    (check_cover, Cover, COVER, kit.COVER),
    (check_detergent, Detergent, DETERGENT, kit.DETERGENT),
]


@given(
    st.sampled_from(KINDS).flatmap(
        lambda kind: st.tuples(st.just(kind), st.sampled_from(sorted(kind[2])))
    ),
    ANYTHING | NEAR_MISSES,
)
def test_whatever_stands_in_a_file_is_a_problem_or_a_value_and_never_a_crash(
    chosen: Any, written: object
) -> None:
    (check, kind, _, path), key = chosen
    name = path.split("/")[1]

    bare = check(kit.file_with(path) | {key: written}, name)
    as_value = check(kit.file_with(path, **{key: written}), name)

    for outcome in (bare, as_value):
        assert isinstance(outcome, kind | list)
        if isinstance(outcome, kind):
            assert kind.from_mapping(json.loads(json.dumps(outcome.as_mapping()))) == outcome


@pytest.mark.parametrize(
    "written",
    [
        "HPV",
        [{"says": "HPV"}],
        [{"says": "HPV", "source": " "}],
        [{"says": 1, "source": "a journal"}],
        [{"says": "HPV", "source": "a journal", "by": "us"}],
    ],
)
def test_a_dispute_without_its_source_does_not_load(written: object) -> None:
    (line,) = kit.lines(check_opa(kit.file_with(kit.OPA) | {"disputes": written}))

    assert line.startswith("opa_055.toml: disputes is written ")
    assert line.endswith('; write it like [{ says = "...", source = "..." }].')


def test_a_dispute_keeps_what_is_said_and_by_whom() -> None:
    told = [{"says": "HPV", "source": "a journal"}]

    opa = check_opa(kit.file_with(kit.OPA) | {"disputes": told})

    assert isinstance(opa, Chemistry)
    assert opa.disputes == (("HPV", "a journal"),)


@pytest.mark.parametrize(
    "key", ["contact_time_warmer", "soaks", "strips_each_test", "single_use_evidence", "disputes"]
)
def test_what_older_files_do_not_have_is_as_it_was(key: str) -> None:
    parsed = kit.file_with(kit.OPA)
    del parsed[key]

    opa = check_opa(parsed)

    assert isinstance(opa, Chemistry)
    assert getattr(opa, key) in {None, "device", 1, ()}


def test_a_float_is_not_taken() -> None:
    (line,) = kit.lines(check_opa(kit.file_with(kit.OPA, rinse_count=3.0)))

    assert line == "opa_055.toml: rinse_count is written 3.0; write it like 3."


def test_a_soak_shorter_than_any_by_hand_is_a_machines() -> None:
    outcome = check_opa(kit.file_with(kit.OPA, contact_time="5 min"))

    (line,) = kit.lines(outcome)

    assert line == (
        "opa_055.toml: contact_time is shorter than any published soak by hand, 7 min; "
        "machines' figures are not taken."
    )


def test_seven_minutes_by_hand_load() -> None:
    assert isinstance(check_opa(kit.file_with(kit.OPA, contact_time="7 min")), Chemistry)


def test_a_bath_that_only_a_heated_machine_can_hold_does_not_load() -> None:
    outcome = check_opa(kit.file_with(kit.OPA, minimum_temperature_c="35 C"))

    assert kit.lines(outcome) == [
        "opa_055.toml: minimum_temperature_c is 35 C; it must be from 10 C to 30 C."
    ]


def test_a_file_bears_its_products_name() -> None:
    outcome = check_chemistry(kit.file_with(kit.OPA), "other.toml")

    assert kit.lines(outcome) == ["other.toml: name is opa_055; a file bears its product's name."]


@pytest.mark.parametrize(
    ("title", "why"),
    [
        ("fifteen letters", "it has 15 characters, at most 14 fit"),
        ("OPA 5 \u00b5g/l", "it has \u00b5; texts are made of A-Z a-z 0-9 and %.,:;+-/()'"),
        ("\u00b0C {OPA}", "it has \u00b0 { }; texts are made of A-Z a-z 0-9 and %.,:;+-/()'"),
        ("OPA\u00a05", "it has U+00A0; texts are made of A-Z a-z 0-9 and %.,:;+-/()'"),
        ("", "it is empty"),
        (" OPA ", "it begins or ends with a space"),
    ],
)
def test_words_that_cannot_stand_in_texts_do_not_load_and_it_is_said_why(
    title: str, why: str
) -> None:
    (line,) = kit.lines(check_opa(kit.file_with(kit.OPA, title=title)))

    assert line == f"opa_055.toml: title is written {title!r}; {why}."


def test_what_is_no_text_at_all_is_shown_how_to_write_it() -> None:
    (line,) = kit.lines(check_opa(kit.file_with(kit.OPA, title=7)))

    assert line == "opa_055.toml: title is written 7; write it like OPA 0.55 %."


@pytest.mark.parametrize(
    ("changed", "missing"),
    [
        ({"neutraliser": "none"}, ["neutraliser"]),
        ({"neutraliser_g_per_l": "none"}, ["neutraliser_g_per_l"]),
        ({"neutralise_for": "none"}, ["neutralise_for"]),
        (
            {"neutraliser": "none", "neutralise_for": "none"},
            ["neutraliser", "neutralise_for"],
        ),
    ],
)
def test_a_neutraliser_comes_with_its_amount_and_its_time_or_not_at_all(
    changed: dict[str, object], missing: list[str]
) -> None:
    lines = kit.lines(check_opa(kit.file_with(kit.OPA, **changed)))

    together = "neutraliser, neutraliser_g_per_l and neutralise_for go together"
    assert lines == [
        f"opa_055.toml: {key} is none; {together}, give all three or none." for key in missing
    ]


def test_a_product_that_nothing_neutralises_loads() -> None:
    none = {"neutraliser": "none", "neutraliser_g_per_l": "none", "neutralise_for": "none"}

    assert isinstance(check_opa(kit.file_with(kit.OPA, **none)), Chemistry)


@pytest.mark.parametrize(
    ("changed", "problem"),
    [
        ({"maximum_soak": "13 min"}, "maximum_soak is over before the bell; raise it"),
        (
            {"maximum_temperature_c": "20 C"},
            "maximum_temperature_c is not above the minimum; raise it",
        ),
        (
            {"activation_needed": True},
            "activated_life_days and activation_needed disagree; give both or neither",
        ),
        (
            {"activated_life_days": "14 days"},
            "activated_life_days and activation_needed disagree; give both or neither",
        ),
    ],
)
def test_two_figures_that_cannot_both_be_right(changed: dict[str, object], problem: str) -> None:
    outcome = check_opa(kit.file_with(kit.OPA, **changed))

    assert kit.lines(outcome) == [f"opa_055.toml: {problem}."]


def test_S4_a_fail_that_looks_like_a_pass_does_not_load() -> None:
    written = kit.file_with(kit.STRIP, fail_colour="all purple")

    problems = check_strip(written, "opa_strip_1s_90s.toml")

    assert isinstance(problems, list)
    assert [str(each) for each in problems] == [
        "opa_strip_1s_90s.toml: fail_colour is that of a pass too; nobody could tell them apart."
    ]


@pytest.mark.parametrize("key", ["chemistries", "covers"])
def test_a_device_that_no_cycle_could_be_led_with_does_not_load(key: str) -> None:
    problems = check_device(kit.file_with(kit.PROBE, **{key: []}), "handheld_probe.toml")

    assert isinstance(problems, list)
    assert [str(each) for each in problems] == [
        f"handheld_probe.toml: {key} names none; no cycle can be led, name at least one."
    ]


def test_a_name_twice_in_a_list_is_a_slip() -> None:
    doubled = ["opa_strip_1s_90s", "opa_strip_1s_90s"]

    (problem,) = check_opa(kit.file_with(kit.OPA, strips=doubled))

    assert str(problem).endswith("a name stands in it more than once.")


def test_a_warm_limit_above_the_minimum_loads() -> None:
    assert isinstance(check_opa(kit.file_with(kit.OPA, maximum_temperature_c="25 C")), Chemistry)


def test_a_detergent_that_contradicts_itself_does_not_load() -> None:
    parsed = kit.file_with(
        kit.DETERGENT, maximum_soak="2 min", water_minimum_c="30 C", water_maximum_c="30 C"
    )

    assert kit.lines(check_detergent(parsed, "enzymatic.toml")) == [
        "enzymatic.toml: maximum_soak is not longer than soak_for; raise it.",
        "enzymatic.toml: water_maximum_c is not above water_minimum_c; raise it.",
    ]


@pytest.mark.parametrize(
    ("kind", "table"),
    [
        (Chemistry, CHEMISTRY),
        (StripProduct, STRIP),
        (DeviceModel, DEVICE),
        (Cover, COVER),
        (Detergent, DETERGENT),
    ],
)
def test_the_table_of_keys_and_the_dataclass_hold_the_same(
    kind: type[Chemistry], table: dict[str, object]
) -> None:
    assert set(table) == set(kind.__dataclass_fields__) - {"sources", "table", "folder"}
    assert kind.table is table


@pytest.mark.parametrize(
    "mec", ["0.3 %", "6 %", "2000 ppm", "500 ppm peracetic", "none published"]
)
def test_a_strength_has_its_unit_or_is_said_not_to_be_published(mec: str) -> None:
    opa = check_opa(kit.file_with(kit.OPA, mec=mec))

    assert isinstance(opa, Chemistry)
    assert opa.mec == mec


@pytest.mark.parametrize(
    "mec", ["banana", "", "0.3", "%", "none", "high %", "0.3 % by a very long"]
)
def test_what_is_no_strength_is_not_taken_for_one(mec: str) -> None:
    (line,) = kit.lines(check_opa(kit.file_with(kit.OPA, mec=mec)))

    assert line == f"opa_055.toml: mec is written {mec!r}; write it like 0.3 %."


@pytest.mark.parametrize(
    ("check", "path", "key", "written", "like"),
    [
        (check_device, kit.PROBE, "bath_volume_ml", "150 ml", "50"),
        (check_cover, kit.COVER, "hang_time", "1 month", "1 day or none"),
        (check_chemistry, kit.OPA, "rinse_volume_l", "8", "8 l"),
    ],
)
def test_what_is_given_as_an_example_would_be_taken(
    check: Any, path: str, key: str, written: str, like: str
) -> None:
    file = path.split("/")[1]
    (line,) = kit.lines(check(kit.file_with(path, **{key: written}), file))
    example = like.removesuffix(" or none")

    assert line.endswith(f": {key} is written '{written}'; write it like {like}.")
    assert not isinstance(check(kit.file_with(path, **{key: example}), file), list)


def test_of_what_is_written_at_length_only_the_beginning_is_said_back() -> None:
    told = [{"says": "one thing or another, " * 20, "sauce": "a journal"}]

    (line,) = kit.lines(check_opa(kit.file_with(kit.OPA) | {"disputes": told}))

    assert line.startswith("opa_055.toml: disputes is written [{'says': 'one thing or another,")
    assert len(line) < 170
