"""What a watchman is told, and when he should come running."""

from datetime import timedelta

from bot.store.tables import bell
from flows.parts.events import BellSet
from tests.house.tree import ROOT
from tests.web.clinic import SITE, Clinic, text


def test_a_bot_with_nothing_to_do_is_well(clinic: Clinic) -> None:
    answer = clinic.web.get("/healthz")

    assert answer.status_code == 200
    assert answer.get_json() == {
        "database": clinic.bot.store.version,
        "oldest_overdue_bell_seconds": 0,
        "oldest_unsent_text_seconds": 0,
    }


def test_every_field_is_explained_in_the_readme(clinic: Clinic) -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")

    fields = clinic.web.get("/healthz").get_json()

    assert [name for name in fields if f"`{name}`" not in readme] == []


def test_a_bell_that_is_to_come_is_not_overdue(clinic: Clinic) -> None:
    due = clinic.clock.now() + timedelta(minutes=5)
    clinic.bot.exchange.fact(SITE, BellSet("bell-1", "contact", due))

    answer = clinic.web.get("/healthz")

    assert answer.status_code == 200
    assert answer.get_json()["oldest_overdue_bell_seconds"] == 0


def test_a_bell_that_nobody_rings_is_an_illness_after_a_minute(clinic: Clinic) -> None:
    clinic.bot.exchange.fact(SITE, BellSet("bell-1", "contact", clinic.clock.now()))

    clinic.clock.advance(timedelta(seconds=60))
    in_time = clinic.web.get("/healthz")
    clinic.clock.advance(timedelta(seconds=1))
    too_late = clinic.web.get("/healthz")

    assert in_time.status_code == 200
    assert too_late.status_code == 503
    assert too_late.get_json()["oldest_overdue_bell_seconds"] == 61


def test_a_text_that_waits_is_shown_and_is_no_illness(clinic: Clinic) -> None:
    clinic.knocks(text("MENU"))

    clinic.clock.advance(timedelta(minutes=30))
    answer = clinic.web.get("/healthz")

    assert answer.status_code == 200
    assert answer.get_json()["oldest_unsent_text_seconds"] == 30 * 60


def test_without_its_database_it_is_ill(clinic: Clinic) -> None:
    with clinic.bot.store.write() as connection:
        bell.drop(connection, checkfirst=False)

    answer = clinic.web.get("/healthz")

    assert answer.status_code == 500
    assert b"Traceback" not in answer.data


def test_figures_come_a_line_each(clinic: Clinic) -> None:
    clinic.knocks(text("MENU", "SM1"))
    clinic.engine.look()
    clinic.knocks(text("MENU", "SM2"))
    clinic.clock.advance(timedelta(seconds=7))

    answer = clinic.web.get("/metrics")

    assert answer.get_data(as_text=True).splitlines() == [
        "soakbell_overdue_bell_seconds 0",
        "soakbell_unsent_text_seconds 7",
        'soakbell_outbox_texts{state="pending"} 1',
        'soakbell_outbox_texts{state="sent"} 1',
    ]
