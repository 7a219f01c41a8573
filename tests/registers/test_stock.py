"""S5: what is entered late counts from the earliest it can have been, and inherits its date."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest

from bot.registers.add import NotSetUp, Row
from flows.parts.events import JugActivated, JugOpened, Poured, StripBottleOpened
from tests.kit.sheets import JUG, STRIPS, added, row

BOTTLE = {"tag": "B1", "kind": "bottle", "source": "J1", "since": "2026-02-28"}
BATH = {"tag": "T1", "kind": "bath", "source": "B1", "since": "2026-03-02"}


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)  # type: ignore[arg-type, misc]


def test_S5_a_jug_opened_on_a_day_counts_from_its_first_minute_at_the_site() -> None:
    """75 days once open: FDA 510(k) K991487 (1999). The 75th of them is the 9th of May."""
    made = added(containers=(row(**JUG),))

    jug = made.events[-1]
    assert jug == JugOpened(
        tag="J1",
        product="opa_055",
        lot="L7",
        expires=datetime(2027, 3, 31).date(),  # noqa: DTZ001 - a day
        opened=utc(2026, 2, 23, 21),
        discard_by=utc(2026, 5, 9, 21),
        because="jug_open_life",
    )


def test_S5_a_pour_inherits_lot_and_product_and_lives_fourteen_days_at_most() -> None:
    """14 days of reuse: CDC/HICPAC 2008, Table 4. The 14th of them is the 13th of March."""
    made = added(containers=(row(**JUG), row(**BOTTLE), row(**BATH)))

    bottle, bath = made.events[-2:]
    assert isinstance(bottle, Poured)
    assert isinstance(bath, Poured)
    assert (bottle.product, bottle.lot) == ("opa_055", "L7")
    assert bottle.discard_by == utc(2026, 3, 13, 21)
    assert bath.discard_by == bottle.discard_by


def test_S5_a_pour_from_a_jug_that_soon_expires_ends_with_it() -> None:
    made = added(containers=(row(**(JUG | {"expires": "2026-03-04"})), row(**BOTTLE)))

    bottle = made.events[-1]
    assert isinstance(bottle, Poured)
    assert (bottle.discard_by, bottle.because) == (utc(2026, 3, 4, 21), "maker_expiry")


def test_S5_a_bath_with_a_shorter_life_of_its_own_ends_before_its_bottle() -> None:
    made = added(
        choices=(row(product="opa_055", key="bath_life", value="24 h"),),
        containers=(row(**JUG), row(**BOTTLE), row(**BATH)),
    )

    bottle, bath = made.events[-2:]
    assert isinstance(bottle, Poured)
    assert isinstance(bath, Poured)
    assert (bottle.because, bath.because) == ("reuse_life", "bath_life")
    assert bath.discard_by == utc(2026, 3, 2, 21)


def test_S5_a_pour_cannot_be_older_than_its_source() -> None:
    made = added(containers=(row(**JUG), row(**(BOTTLE | {"since": "2026-02-24"}))))

    with pytest.raises(NotSetUp, match="since is before its source was opened"):
        added(containers=(row(**JUG), row(**(BOTTLE | {"since": "2026-02-23"}))))
    bottle = made.events[-1]
    assert isinstance(bottle, Poured)
    assert bottle.poured == utc(2026, 2, 23, 21)


def test_S5_a_day_to_come_is_refused() -> None:
    with pytest.raises(NotSetUp, match="since is still to come"):
        added(containers=(row(**(JUG | {"since": "2026-03-03"})),))


@pytest.mark.parametrize(
    "late",
    [JUG | {"since": "2025-12-01"}, JUG | {"expires": "2026-03-01"}],
    ids=["open too long", "expired"],
)
def test_S5_what_is_out_of_date_is_not_entered(late: dict[str, str]) -> None:
    with pytest.raises(NotSetUp, match="out of date since"):
        added(containers=(row(**late),))


def test_days_ago_and_days_to_come_are_days_of_the_site() -> None:
    bare = {key: cell for key, cell in JUG.items() if key not in {"expires", "since"}}
    made = added(containers=(row(**bare, expires_in_days="394", days_ago="6"),))

    assert made.events[-1] == added(containers=(row(**JUG),)).events[-1]


def test_a_time_of_day_is_the_sites_own() -> None:
    made = added(containers=(row(**(JUG | {"since": "2026-03-02 08:30"})),))

    jug = made.events[-1]
    assert isinstance(jug, JugOpened)
    assert jug.opened == utc(2026, 3, 2, 5, 30)


@pytest.mark.parametrize("key", ["lot", "expires", "checked"])
def test_S5_a_pour_has_no_date_or_lot_of_its_own(key: str) -> None:
    with pytest.raises(NotSetUp, match=f"{key} is inherited"):
        added(containers=(row(**JUG), row(**BOTTLE, **{key: "2027-03-31"})))


def test_a_pour_comes_from_something_good_that_is_there() -> None:
    with pytest.raises(NotSetUp, match="source is J2, and no good jug here bears that"):
        added(containers=(row(**JUG), row(**(BOTTLE | {"source": "J2"}))))


def test_a_bottle_is_not_poured_from_a_bottle() -> None:
    with pytest.raises(NotSetUp, match="source is B1, and no good jug"):
        added(
            containers=(row(**JUG), row(**BOTTLE), row(**(BOTTLE | {"tag": "B2", "source": "B1"})))
        )


def test_a_tag_is_given_once_and_fits_its_kind() -> None:
    with pytest.raises(NotSetUp) as refused:
        added(containers=(row(**JUG), row(**JUG), row(**(JUG | {"tag": "B2"}))))

    assert [each.reason.split(";")[0] for each in refused.value.problems] == [
        "is J1, which something here bears already",
        "is B2, but the letter of a jug is J",
    ]


def test_S4_nobody_says_for_a_strip_bottle_that_its_test_was_passed() -> None:
    silent = {key: cell for key, cell in STRIPS.items() if key != "checked"}

    with pytest.raises(NotSetUp, match="checked is missing"):
        added(containers=(row(**silent),))


def test_a_strip_bottle_lives_as_long_as_its_print_or_its_open_life() -> None:
    """90 days once open: from memory, a strip's instructions."""
    made = added(containers=(row(**STRIPS),))

    strips = made.events[-1]
    assert isinstance(strips, StripBottleOpened)
    assert strips.discard_by == utc(2026, 5, 24, 21)


def test_S5_a_shorter_life_that_the_site_has_chosen_counts_here_too() -> None:
    made = added(
        choices=(row(product="opa_055", key="reuse_life_days", value="7 days"),),
        containers=(row(**JUG), row(**BOTTLE)),
    )

    bottle = made.events[-1]
    assert isinstance(bottle, Poured)
    assert bottle.discard_by == utc(2026, 3, 6, 21)


# -- volumes ------------------------------------------------------------------------------------


def volumes(*containers: dict[str, str], **rooms: tuple[Row, ...]) -> list[Decimal | None]:
    made = added(containers=tuple(row(**each) for each in containers), **rooms)
    return [each.volume_ml for each in made.events if isinstance(each, JugOpened | Poured)]


def test_a_container_holds_what_its_row_says() -> None:
    given = [
        each | {"volume": litres}
        for each, litres in zip((JUG, BOTTLE, BATH), ("3.785 L", "0.5 l", "2 L"), strict=True)
    ]

    assert volumes(*given) == [3785, 500, 2000]


def test_a_container_whose_row_says_nothing_holds_what_the_site_and_the_device_file_say() -> None:
    """150 ml of a bath, as the device file says."""
    said = tuple(
        row(product="site", key=key, value=value)
        for key, value in (("jug_volume", "5 L"), ("bottle_volume", "0.5 L"))
    )

    assert volumes(JUG, BOTTLE, BATH) == [None, None, 150]
    assert volumes(JUG, BOTTLE, BATH, choices=said) == [5000, 500, 150]


def test_a_bath_is_filled_as_the_sites_own_device_wants_it() -> None:
    own = (row(label="V1", model="sealed_probe"),)
    said = (row(product="sealed_probe", key="bath_volume_ml", value="300"),)

    assert volumes(JUG, BOTTLE, BATH, devices=own, choices=said) == [None, None, 300]


@pytest.mark.parametrize("typed", ["5", "much", "0 L", "500 ml"])
def test_a_volume_that_cannot_be_read_is_asked_for_in_litres(typed: str) -> None:
    with pytest.raises(NotSetUp, match=f"volume is {typed}; litres, like 5 L"):
        added(containers=(row(**(JUG | {"volume": typed})),))


def test_strips_have_no_volume() -> None:
    with pytest.raises(NotSetUp, match="volume is of what flows; leave it out for strips"):
        added(containers=(row(**(STRIPS | {"volume": "5 L"})),))


GLUTARAL = JUG | {"product": "ga_30", "lot": "G1"}


def test_S5_a_jug_that_needs_activation_lives_from_the_day_it_was_activated() -> None:
    """28 days once activated: FDA 510(k) K974062, 1998. The 28th of them is the 27th of March."""
    made = added(containers=(row(**GLUTARAL, activated="2026-02-28"), row(**BOTTLE)))

    jug, activated, bottle = made.events[-3:]
    assert isinstance(jug, JugOpened)
    assert activated == JugActivated(
        "J1", utc(2026, 2, 27, 21), utc(2026, 3, 27, 21), "activated_life"
    )
    assert isinstance(bottle, Poured)
    assert bottle.discard_by <= activated.discard_by


def test_S5_the_day_of_activation_may_be_so_many_days_ago() -> None:
    made = added(containers=(row(**GLUTARAL, activated_days_ago="2"),))

    assert made.events[-1] == JugActivated(
        "J1", utc(2026, 2, 27, 21), utc(2026, 3, 27, 21), "activated_life"
    )


def test_S5_what_was_activated_too_long_ago_is_not_entered() -> None:
    with pytest.raises(NotSetUp, match=r"out of date since 2026-03-01 00:00 \(activated_life\)"):
        added(containers=(row(**GLUTARAL | {"since": "2026-02-01", "activated": "2026-02-01"}),))


def test_S5_none_was_activated_before_it_was_opened() -> None:
    with pytest.raises(NotSetUp, match="activated is before it was opened"):
        added(containers=(row(**GLUTARAL | {"since": "2026-02-28", "activated": "2026-02-27"}),))


def test_S1_nothing_is_poured_from_a_jug_that_nobody_says_was_activated() -> None:
    with pytest.raises(NotSetUp, match="nobody has said that it was activated; text POUR J1"):
        added(containers=(row(**GLUTARAL), row(**BOTTLE)))


def test_S4_what_is_mixed_for_each_soak_is_not_poured_ahead() -> None:
    bleach = row(**JUG | {"product": "chlorine_01"})

    with pytest.raises(NotSetUp, match=r"chlorine 0\.1 % is mixed for one soak"):
        added(containers=(bleach, row(**BOTTLE)))


@pytest.mark.parametrize("key", ["activated", "activated_days_ago"])
def test_S5_only_what_needs_it_has_a_day_of_activation(key: str) -> None:
    for rows in (
        (row(**JUG, **{key: "1"}),),
        (row(**JUG | {"product": "chlorine_01"}, **{key: "1"}),),
    ):
        with pytest.raises(NotSetUp, match=f"{key} is not for"):
            added(containers=rows)
    with pytest.raises(NotSetUp, match=f"{key} is of what flows"):
        added(containers=(row(**STRIPS, **{key: "1"}),))
    with pytest.raises(NotSetUp, match=f"{key} is inherited"):
        added(containers=(row(**JUG), row(**BOTTLE, **{key: "1"})))


def test_S5_a_day_of_activation_to_come_is_refused() -> None:
    with pytest.raises(NotSetUp, match="activated is still to come"):
        added(containers=(row(**GLUTARAL, activated="2026-03-03"),))


def test_S1_nothing_is_poured_from_a_jug_before_it_was_activated() -> None:
    """Until its activator is in, it disinfects nothing. Source: FDA 510(k) K974062, 1998."""
    jug = row(**GLUTARAL, activated="2026-02-28 08:00")
    bath = {"tag": "T1", "kind": "bath", "source": "J1"}

    for poured in (BOTTLE | {"since": "2026-02-27"}, bath | {"since": "2026-02-28 07:59"}):
        with pytest.raises(NotSetUp, match="since is before its source was opened or activated"):
            added(containers=(jug, row(**poured)))
    bottle = added(containers=(jug, row(**BOTTLE))).events[-1]
    assert isinstance(bottle, Poured)
    assert bottle.poured == utc(2026, 2, 28, 5)
