"""What a site sets otherwise than published, and the reason it owes."""

from dataclasses import replace

import pytest

from bot.registers.add import NotSetUp, Row, Standing
from bot.registers.set_up import SetUp
from flows.parts.clinic import Clinic
from flows.parts.events import LifeShortened, SiteChoiceMade, Stamped, StripRead
from flows.parts.state import fold_all
from tests.kit.cycles import play_cycle
from tests.kit.sheets import JUG, NINE, STRIPS, added, row
from tests.kit.talk import Talk, clinic


def test_a_figure_laxer_than_published_needs_a_reason() -> None:
    """12 min. Source: CDC/HICPAC 2008, Table 4."""
    with pytest.raises(
        NotSetUp, match="contact_time is 8 min, the published figure is 12 min; add a reason"
    ):
        added(choices=(row(product="opa_055", key="contact_time", value="8 min"),))


SAYS_TOO_LITTLE = pytest.mark.parametrize(
    "reason", ["x", ".", "national", "why not", "no no no", "- - -"]
)


@SAYS_TOO_LITTLE
def test_a_sign_or_a_word_is_no_reason(reason: str) -> None:
    """12 min. Source: CDC/HICPAC 2008, Table 4."""
    choice = {"product": "opa_055", "key": "contact_time", "value": "8 min", "reason": reason}

    with pytest.raises(NotSetUp) as refused:
        added(choices=(row(**choice),))

    assert str(refused.value) == (
        "row: opa_055.contact_time is 8 min, the published figure is 12 min; its reason, "
        f'"{reason}", says too little; write three words or more, or raise it.'
    )


@SAYS_TOO_LITTLE
@pytest.mark.parametrize(
    ("product", "key", "value", "where"),
    [
        ("opa_055", "strip_policy", "bottle_daily", "opa_055.strip_policy is bottle_daily, "),
        ("site", "strip_timing", "own_watch", "reason is "),
    ],
)
def test_S4_nor_is_it_for_how_strips_are_used(
    product: str, key: str, value: str, where: str, reason: str
) -> None:
    choice = {"product": product, "key": key, "value": value, "reason": reason}

    with pytest.raises(NotSetUp) as refused:
        added(choices=(row(**choice),))

    assert str(refused.value).startswith(f"row: {where}")
    assert f'"{reason}", says too little; write three words or more' in str(refused.value)


def test_where_none_is_owed_a_word_will_do() -> None:
    choice = {"product": "opa_055", "key": "contact_time", "value": "15 min", "reason": "Safer."}

    made = added(choices=(row(**choice),))

    assert [each.words for each in made.texts] == ["Safer."]


def test_a_stricter_figure_needs_none() -> None:
    made = added(choices=(row(product="opa_055", key="contact_time", value="15 min"),))

    assert made.events[-1] == SiteChoiceMade("opa_055", "contact_time", "15 min", "")
    assert made.texts == ()


@pytest.mark.parametrize(
    ("cells", "told"),
    [
        ({"product": "opa", "key": "contact_time", "value": "15 min"}, "no such product"),
        ({"product": "opa_055", "key": "mec", "value": "0.1 %"}, "not for a site to choose"),
        ({"product": "opa_055", "key": "contact_time", "value": "soon"}, "write it like 12 min"),
        ({"product": "opa_055", "key": "contact_time", "value": "10 h"}, "it must be from"),
        (
            {
                "product": "opa_055",
                "key": "contact_time",
                "value": "5 min",
                "reason": "as its label says",
            },
            "shorter than any published soak by hand",
        ),
        ({"product": "opa_055", "key": "contact_time"}, "value is missing"),
    ],
)
def test_a_choice_that_cannot_be_is_named(cells: dict[str, str], told: str) -> None:
    with pytest.raises(NotSetUp, match=told):
        added(choices=(row(**cells),))


def test_two_choices_that_contradict_each_other_are_refused_together() -> None:
    first = row(product="opa_055", key="contact_time", value="60 min")
    second = row(product="opa_055", key="maximum_soak", value="30 min")

    with pytest.raises(NotSetUp, match="maximum_soak is over before the bell"):
        added(choices=(first, second))


def test_S4_trusting_the_workers_watch_is_a_choice_with_a_reason() -> None:
    way = {"product": "site", "key": "strip_timing", "value": "own_watch"}

    with pytest.raises(NotSetUp, match="reason is missing; add one or say proved"):
        added(choices=(row(**way),))
    made = added(choices=(row(**way, reason="The network holds texts back at noon."),))
    assert isinstance(made.events[-1], SiteChoiceMade)


@pytest.mark.parametrize(("key", "value"), [("speed", "high"), ("strip_timing", "guessed")])
def test_a_way_of_working_that_is_none_is_refused(key: str, value: str) -> None:
    with pytest.raises(NotSetUp, match="one of"):
        added(choices=(row(product="site", key=key, value=value, reason="Why."),))


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("chlorine_source", "bleach 3.5 %"),
        ("chlorine_source", "bleach 12 degrees"),
        ("chlorine_source", "powder 70 %"),
        ("chlorine_source", "bleach 1 %"),
        ("chlorine_source", "bleach 0.51 %"),
        ("chlorine_measure", "spoon 15 g"),
        ("detergent_measure", "cap 5 ml"),
    ],
)
def test_what_a_site_mixes_and_measures_with_needs_no_reason(key: str, value: str) -> None:
    made = added(choices=(row(product="site", key=key, value=value),))

    assert made.events[-1] == SiteChoiceMade("site", key, value, "")


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("chlorine_source", "bleach 0 %"),
        ("chlorine_source", "bleach 120 %"),
        ("chlorine_source", "bleach 70 %"),
        ("chlorine_source", "strong"),
        ("detergent_measure", "cap 0 ml"),
        ("detergent_measure", "cap 5 g"),
        ("chlorine_measure", "tablespoonful 15 g"),
    ],
)
def test_an_amount_that_cannot_be_read_is_refused_with_an_example(key: str, value: str) -> None:
    with pytest.raises(NotSetUp, match=f"is {value}; write it like"):
        added(choices=(row(product="site", key=key, value=value),))


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("opens_at", "07:45"),
        ("morning_text", "off"),
        ("strips_in_bottle", "50"),
        ("jug_volume", "5 L"),
        ("bottle_volume", "0.5 L"),
    ],
)
def test_a_site_says_when_its_day_begins_and_what_a_new_bottle_holds(key: str, value: str) -> None:
    made = added(choices=(row(product="site", key=key, value=value),))

    assert SiteChoiceMade("site", key, value, "") in made.events


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("opens_at", "8 am", "value is 8 am; write it like 08:00"),
        ("morning_text", "no", "value is no; write it like on or off"),
        ("strips_in_bottle", "many", "value is many; write it like 50"),
        ("jug_volume", "5", "value is 5; write it like 5 L"),
        ("bottle_volume", "half", "value is half; write it like 0.5 L"),
    ],
)
def test_what_cannot_be_read_of_its_day_is_named(key: str, value: str, told: str) -> None:
    with pytest.raises(NotSetUp, match=told):
        added(choices=(row(product="site", key=key, value=value),))


JUG_20 = JUG | {"since": "2026-02-20"}
BOTTLE = {"tag": "B1", "kind": "bottle", "source": "J1", "since": "2026-02-28"}


def after(made: SetUp) -> Standing:
    return Standing(fold_all(Clinic(), [Stamped(each, NINE) for each in made.events]))


def shortened(made: SetUp) -> dict[str, LifeShortened]:
    return {each.tag: each for each in made.events if isinstance(each, LifeShortened)}


@pytest.mark.parametrize("devices", [(), (row(label="V2", model="sealed_probe"),)])
def test_S5_a_shorter_life_counts_for_what_stands_here_whatever_devices_there_are(
    devices: tuple[Row, ...],
) -> None:
    """Four days from 20 February on are over on 23 February. Arithmetic; day 1 counts."""
    stands = after(added(devices=devices, containers=(row(**JUG_20), row(**BOTTLE))))

    made = added(
        stands, choices=(row(product="opa_055", key="jug_open_life_days", value="4 days"),)
    )

    assert {tag: each.discard_by for tag, each in shortened(made).items()} == {"J1": NINE}


def test_S5_so_it_does_for_what_is_entered_later_of_a_product_that_nothing_soaks_in_yet() -> None:
    choice = row(product="ga_24", key="jug_open_life_days", value="4 days")

    with pytest.raises(NotSetUp, match=r"tag is out of date since 2026-02-24 00:00"):
        added(choices=(choice,), containers=(row(**JUG_20 | {"product": "ga_24"}),))


def test_S4_a_shorter_life_of_strips_counts_for_those_that_stand_here() -> None:
    stands = after(added(containers=(row(**STRIPS),)))

    made = added(
        stands, choices=(row(product="opa_strip_1s_90s", key="open_life_days", value="10 days"),)
    )

    assert {*shortened(made)} == {"S1"}


def test_S5_what_ends_sooner_is_named_with_all_that_was_poured_from_it() -> None:
    stands = after(added(containers=(row(**JUG_20), row(**BOTTLE))))

    made = added(
        stands, choices=(row(product="opa_055", key="jug_open_life_days", value="12 days"),)
    )

    assert shortened(made)["J1"].chosen
    assert {*shortened(made)} == {"J1"}
    assert made.remarks == (
        "Good for a shorter time by it: J1, B1. The phones are told what to write on the labels.",
    )


def test_S5_what_is_over_by_it_is_named_as_over() -> None:
    jug_2 = JUG_20 | {"tag": "J2", "lot": "L8", "since": "2026-03-01"}
    stands = after(added(containers=(row(**JUG_20), row(**BOTTLE), row(**jug_2))))

    made = added(
        stands, choices=(row(product="opa_055", key="jug_open_life_days", value="4 days"),)
    )

    assert made.remarks == (
        "Over by it, from now on: J1, B1. The phones are told DO NOT USE.",
        "Good for a shorter time by it: J2. The phones are told what to write on the labels.",
    )


@pytest.mark.parametrize(
    "weak", ["bleach 0.05 %", "powder 0.05 %", "bleach 0.1 %", "bleach 0.5 %", "bleach 1 degrees"]
)
def test_of_what_was_mixed_before_no_bath_is_made(weak: str) -> None:
    """0.1 %. Source: Reference Manual hosted by the IARC Screening Group, Table C-1. What is mixed
    for use has 0.5 % at most. Source: CDC, Best Practices for Environmental Cleaning in Global
    Healthcare Facilities with Limited Resources, Appendix E."""
    with pytest.raises(NotSetUp) as refused:
        added(choices=(row(product="site", key="chlorine_source", value=weak),))

    assert str(refused.value) == (
        f"row: value is {weak}, weaker than any bleach or powder as bought: no bath of 0.1 % is "
        "made of what was mixed before; give the strength on the bottle as bought, like bleach "
        "3.5 %."
    )


def at_work(talk: Talk, key: str, value: str, product: str) -> tuple[str, ...]:
    """What is remarked at the desk of a choice that is made while somebody works."""
    choice = row(product=product, key=key, value=value, reason="The label says so.")
    return added(Standing(talk.clinic), choices=(choice,)).remarks


def test_S1_who_chooses_hears_which_cycle_no_work_makes_up_for_it() -> None:
    talk = clinic()
    play_cycle(talk, until="mix")

    (told,) = at_work(talk, "ml_per_litre", "16 ml/l", "enzymatic")

    assert told == (
        "V1 is being cleaned and will not be released: no work makes up for this change. Whoever "
        "cleans it hears so with the next text, and begins again."
    )


@pytest.mark.parametrize(
    ("key", "value"), [("contact_time", "20 min"), ("rinse_volume_l", "12 l")]
)
def test_a_stricter_figure_that_a_cycle_can_still_meet_is_not_remarked(
    key: str, value: str
) -> None:
    talk = clinic()
    play_cycle(talk, until="mix")

    assert at_work(talk, key, value, "opa_055") == ()


def test_nor_is_a_cleaning_for_repair() -> None:
    talk = clinic()
    talk.sends("FAULT V1", after=20)
    play_cycle(talk, until="mix")

    assert at_work(talk, "ml_per_litre", "16 ml/l", "enzymatic") == ()


def test_S4_who_chooses_how_strips_are_read_hears_what_is_tested_again() -> None:
    talk = clinic()
    play_cycle(talk, until="rinse")

    (told,) = at_work(talk, "strips_per_test", "3", "opa_strip_1s_90s")

    assert told == "Passed by the figure of before, and to be tested again: T1."


def test_S4_a_pass_that_is_over_is_not_named() -> None:
    talk = clinic()
    play_cycle(talk, until="rinse")
    read = next(each.event for each in talk.entries if isinstance(each.event, StripRead))
    talk.let(replace(read, good_until=talk.now))

    assert at_work(talk, "strips_per_test", "3", "opa_strip_1s_90s") == ()
