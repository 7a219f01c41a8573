"""A contact time may fall with the bath's temperature, by a table that must be monotone (S2).

The tables here are invented: no published one for a soak by hand was found.
"""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flows.protocols import protocol_for, shipped
from flows.protocols.check import check_chemistry
from flows.protocols.compare import is_laxer
from flows.protocols.model import Chemistry, CycleProtocol, SiteChoice
from flows.protocols.versions import stricter_of
from tests.protocols import kit

OPA = shipped().chemistries["opa_055"]


def minutes(count: int) -> timedelta:
    return timedelta(minutes=count)


def from_file(**changed: object) -> Chemistry | list[str]:
    outcome = check_chemistry(kit.file_with(kit.OPA, **changed), "opa_055.toml")
    return outcome if isinstance(outcome, Chemistry) else kit.lines(outcome)


def with_table(table: str, contact_time: str = "45 min") -> Chemistry:
    made = from_file(contact_time=contact_time, contact_time_warmer=table)
    assert isinstance(made, Chemistry), made
    return made


@pytest.mark.parametrize(
    ("celsius", "expected"),
    [
        ("19.9", 45),
        ("20", 45),
        ("24.9", 45),
        ("24.999", 45),
        ("25", 20),
        ("27.9", 20),
        ("28", 15),
        ("40", 15),
    ],
)
def test_S2_between_two_temperatures_the_longer_time_holds(celsius: str, expected: int) -> None:
    chemistry = with_table("25 C: 20 min, 28 C: 15 min")

    assert chemistry.contact_time_at(Decimal(celsius)) == minutes(expected)


@given(st.decimals(0, 60, places=1))
def test_without_a_table_warmth_earns_nothing(celsius: Decimal) -> None:
    assert OPA.contact_time_at(celsius) == OPA.contact_time


def test_S2_the_bell_in_a_warmer_bath_keeps_its_margin() -> None:
    protocol = replace(kit.cycle_protocol(), chemistry=with_table("25 C: 20 min"))

    assert protocol.bell_after_at(Decimal(25)) == minutes(21)
    assert protocol.bell_after_at(Decimal(24)) == protocol.bell_after == minutes(46)


@pytest.mark.parametrize(
    ("table", "reason"),
    [
        ("20 C: 15 min", "gives 15 min from 20 C, after 20 C; each must be warmer than the last"),
        (
            "25 C: 20 min, 24 C: 15 min",
            "gives 15 min from 24 C, after 25 C; each must be warmer than the last",
        ),
        (
            "25 C: 45 min",
            "gives 45 min from 25 C, after 45 min; each must be shorter than the last",
        ),
        (
            "25 C: 20 min, 28 C: 30 min",
            "gives 30 min from 28 C, after 20 min; each must be shorter than the last",
        ),
        ("25 C: 5 min", "gives 5 min from 25 C; machines' figures are not taken"),
        ("35 C: 10 min", "gives 10 min from 35 C; machines' figures are not taken"),
        (
            "25 C 20 min",
            "is written '25 C 20 min'; write it like 25 C: 20 min, 30 C: 15 min or none",
        ),
        ("", "is written ''; write it like 25 C: 20 min, 30 C: 15 min or none"),
    ],
)
def test_a_table_that_cannot_be_does_not_load(table: str, reason: str) -> None:
    outcome = from_file(contact_time="45 min", contact_time_warmer=table)

    assert outcome == [f"opa_055.toml: contact_time_warmer {reason}."]


ROWS = st.lists(st.tuples(st.integers(15, 40), st.integers(1, 90)), min_size=1, max_size=4).map(
    lambda rows: ", ".join(f"{celsius} C: {span} min" for celsius, span in rows)
)


@given(ROWS, st.decimals(15, 40, places=1), st.decimals(15, 40, places=1))
def test_S2_what_loads_never_asks_less_of_a_colder_bath(
    table: str, one: Decimal, other: Decimal
) -> None:
    chemistry = from_file(contact_time="45 min", contact_time_warmer=table)
    colder, warmer = sorted((one, other))

    if isinstance(chemistry, Chemistry):
        assert chemistry.contact_time_at(colder) >= chemistry.contact_time_at(warmer)
        assert chemistry.contact_time_at(warmer) >= minutes(7)
        assert Chemistry.from_mapping(chemistry.as_mapping()) == chemistry


TABLES = st.lists(
    st.tuples(st.integers(21, 30), st.integers(7, 44)),
    max_size=3,
    unique_by=(lambda row: row[0], lambda row: row[1]),
).map(
    lambda rows: (
        tuple(
            (Decimal(celsius), minutes(span))
            for celsius, span in zip(
                sorted(celsius for celsius, _ in rows),
                sorted((span for _, span in rows), reverse=True),
                strict=True,
            )
        )
        or None
    )
)
VERSIONS = st.builds(
    lambda table, longest: replace(
        kit.cycle_protocol(),
        chemistry=replace(OPA, contact_time=minutes(longest), contact_time_warmer=table),
    ),
    TABLES,
    st.integers(45, 60),
)


@given(VERSIONS, VERSIONS, st.decimals(20, 40, places=1))
def test_S1_in_a_bath_of_any_warmth_the_longer_time_of_both_versions_is_owed(
    own: CycleProtocol, today: CycleProtocol, celsius: Decimal
) -> None:
    both = stricter_of(own, today).chemistry

    owed = max(each.chemistry.contact_time_at(celsius) for each in (own, today))
    assert both.contact_time_at(celsius) == owed


def test_S1_a_table_that_came_since_shortens_no_cycle_begun_without_it() -> None:
    own = kit.cycle_protocol()
    today = replace(
        own,
        chemistry=replace(OPA, contact_time_warmer=((Decimal(25), minutes(8)),)),
    )

    for both in (stricter_of(own, today), stricter_of(today, own)):
        assert both.chemistry.contact_time_at(Decimal(25)) == minutes(12)


def test_S1_a_minimum_raised_since_brings_the_time_of_its_own_temperature() -> None:
    own = replace(kit.cycle_protocol(), chemistry=with_table("25 C: 20 min"))
    today = replace(
        own,
        chemistry=replace(OPA, minimum_temperature_c=Decimal(25), contact_time=minutes(22)),
    )

    both = stricter_of(own, today).chemistry

    assert both.minimum_temperature_c == Decimal(25)
    assert both.contact_time_at(Decimal(25)) == minutes(22)


@pytest.mark.parametrize(
    ("value", "published", "laxer"),
    [
        (None, None, False),
        (None, ((Decimal(25), minutes(20)),), False),
        (((Decimal(25), minutes(20)),), None, True),
        (((Decimal(25), minutes(19)),), ((Decimal(25), minutes(20)),), True),
        (((Decimal(24), minutes(20)),), ((Decimal(25), minutes(20)),), True),
        (((Decimal(26), minutes(20)),), ((Decimal(25), minutes(20)),), False),
    ],
)
def test_shorter_at_any_warmth_is_laxer(value: object, published: object, *, laxer: bool) -> None:
    assert is_laxer("contact_time_warmer", value, published) is laxer


def test_a_site_needs_a_reason_for_a_table_that_nobody_published() -> None:
    table = SiteChoice("opa_055", "contact_time_warmer", "25 C: 8 min")

    (line,) = kit.lines(protocol_for(kit.SELECTION, [table]))

    assert line == (
        "opa_055.toml: contact_time_warmer is 25 C: 8 min, the published figure is none; "
        "add a reason or raise it."
    )
