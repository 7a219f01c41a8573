"""S18: what was recalled before a site was opened is refused there, by text and by register."""

from datetime import timedelta

import pytest
from sqlalchemy import delete

from bot.registers.add import NotSetUp, Standing, add
from bot.registers.recall import Wish, recall_of, recalled
from bot.registers.rows import Wanted
from bot.registers.set_up import SetUp
from bot.registers.taken_over import UNKNOWN_REASON, standing_recalls, taken_over
from bot.reports.recalled import Touched
from bot.store.people import keep_number
from bot.store.tables import free_text
from bot.store.transaction import Store
from flows.parts.clinic import Clinic, Level, Role
from flows.parts.events import (
    DeviceEnrolled,
    JugOpened,
    PersonEnrolled,
    PhoneEnrolled,
    Recalled,
    SiteChoiceMade,
    SiteOpened,
    Stamped,
)
from flows.parts.moment import Moment
from flows.parts.state import fold
from tests.kit.sheets import JUG, row
from tests.kit.shell import NINE, SITE, Shell, shell

LOT = Wish("lot", "opa_055", "D44", reason="maker's letter")
STRIPS = Wish("strip_lot", "opa_strip_1s_90s", "K2", reason="maker's letter")
FIGURE = Wish("figure", "opa_055", "contact_time", "12 min", "15 min", reason="a misprint")
DALE = "dale"
BO = "+12025550177"


def recalls(clinic: Shell, *wishes: Wish, site: str = SITE) -> None:
    """As the programme officer does it, at one site."""
    for at, wish in enumerate(wishes):
        moment = Moment(NINE, f"recall {at} at {site}")
        stands = Standing(clinic.clinic)
        made = recalled(site, recall_of(wish, moment), wish, Touched(), stands)
        clinic.exchange.set_up(site, made.events, made.keep)


def opens(store: Store, site: str = DALE) -> SetUp:
    cells = {"site": site, "zone": "Etc/UTC", "closes_at": "17:00", "language": "en"}
    moment = Moment(NINE + timedelta(days=1), f"opening {site}")
    made = add(site, Wanted(site=row(**cells)), moment)
    return taken_over(made, standing_recalls(store), moment)


def folded(made: SetUp) -> Clinic:
    clinic = Clinic()
    for event in made.events:
        clinic = fold(clinic, Stamped(event, made.at))
    return clinic


def test_S18_a_new_site_refuses_by_text_what_was_recalled_before(store: Store) -> None:
    clinic = shell(store)
    recalls(clinic, LOT)
    made = opens(store)
    clinic.exchange.set_up(DALE, made.events, made.keep)
    clinic.exchange.set_up(
        DALE,
        (
            PersonEnrolled("p7", 7, Role.WORKER, Level.COACH, may_release=True, language="en"),
            PhoneEnrolled("f7", ("p7",), shared=False),
            DeviceEnrolled("V7", "handheld_probe"),
        ),
        lambda connection: keep_number(connection, DALE, "f7", BO),
    )

    for body in ("OPEN", "270331"):
        clinic.answers(BO, body)
    said, asked = clinic.answers(BO, "lot d44")

    assert said.startswith("Lot D44 is recalled: do not take it into use.")
    assert asked.startswith("New jug of OPA 0.55 %")


def test_S18_by_register_too(store: Store) -> None:
    recalls(shell(store), LOT)
    stands = Standing(folded(opens(store)))

    with pytest.raises(NotSetUp, match="lot D44 is recalled"):
        add(DALE, Wanted(containers=(row(**JUG | {"lot": "d44"}),)), Moment(NINE, "a"), stands)
    made = add(DALE, Wanted(containers=(row(**JUG),)), Moment(NINE, "b"), stands)

    assert [type(each) for each in made.events] == [JugOpened]


def test_S18_each_is_taken_over_once_with_its_reason_kept_apart(store: Store) -> None:
    clinic = shell(store)
    clinic.exchange.set_up("hill-2", (SiteOpened("hill-2", "Etc/UTC", "17:00", "en"),))
    for site in (SITE, "hill-2"):
        recalls(clinic, LOT, STRIPS, site=site)

    made = opens(store)

    events = [each for each in made.events if isinstance(each, Recalled)]
    assert [(each.what, each.mark, each.since) for each in events] == [
        ("lot", "D44", None),
        ("strip_lot", "K2", None),
    ]
    assert [each.words for each in made.texts] == ["maker's letter"] * 2
    assert [each.digest for each in made.texts] == [each.reason_digest for each in events]
    assert len({each.recall for each in events}) == 2


def test_S18_the_figure_that_came_with_a_recall_stands_at_a_new_site_too(store: Store) -> None:
    """Not the one that a site had chosen for itself before."""
    clinic = shell(store)
    own = (
        SiteOpened("dell", "Etc/UTC", "17:00", "en"),
        SiteChoiceMade("opa_055", "contact_time", "20 min", ""),
    )
    clinic.exchange.set_up("dell", own)
    event = Recalled("r9", "figure", "opa_055", "contact_time", "12 min", "none", None)
    clinic.exchange.set_up("dell", (event,))
    recalls(clinic, FIGURE)

    chosen = [each for each in opens(store).events if isinstance(each, SiteChoiceMade)]

    assert [(each.key, each.value) for each in chosen] == [("contact_time", "15 min")]


def test_S15_a_reason_that_was_erased_is_not_made_up(store: Store) -> None:
    clinic = shell(store)
    recalls(clinic, LOT)
    with store.write() as connection:
        connection.execute(delete(free_text))

    assert [each.words for each in opens(store).texts] == [UNKNOWN_REASON]


def test_S18_of_a_product_that_has_left_the_shelf_nothing_is_taken_over(store: Store) -> None:
    clinic = shell(store)
    clinic.exchange.set_up(SITE, (Recalled("r1", "lot", "of_old", "D1", "", "none", None),))

    assert [type(each) for each in opens(store).events] == [SiteOpened]


def test_where_nothing_was_recalled_nothing_is_taken_over(store: Store) -> None:
    shell(store)

    assert [type(each) for each in opens(store).events] == [SiteOpened]
