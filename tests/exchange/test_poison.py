"""An unexpected error is kept, told and answered; it never loops."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

from bot.exchange import Handled
from bot.exchange.doors import LEASE
from bot.protocols import Today, today
from bot.record.chain import verify
from bot.record.rebuild import rebuild
from bot.store.errors import SiteUnknown
from bot.store.transaction import Store
from bot.texts.render import Renderer
from flows.parts.clinic import Clinic
from flows.parts.events import (
    AlertRaised,
    BellRang,
    BellSet,
    CycleBegan,
    FreeText,
    Nudged,
    TextFailed,
)
from flows.parts.text import Text
from tests.kit.shell import ANN, ELLA, NINE, SHARED, SITE, shell

MINUTE = timedelta(minutes=1)


class Broken(Exception):
    """What nobody has thought of."""


def breaks(_: Clinic) -> Today:
    def look_up(_: str) -> object:
        raise Broken("with words of a patient in it")

    return look_up  # type: ignore[return-value]


def breaks_for_good(_: Clinic) -> Today:
    raise Broken


def breaks_while(broken: Callable[[], bool]) -> Callable[[Clinic], Today]:
    def protocols(clinic: Clinic) -> Today:
        if broken():
            raise Broken
        return today(clinic)

    return protocols


@pytest.mark.parametrize("protocols", [breaks, breaks_for_good])
def test_a_text_that_breaks_is_kept_told_and_answered(
    store: Store, protocols: Callable[[Clinic], Today]
) -> None:
    clinic = shell(store).without(protocols=protocols)

    done = clinic.sends(ANN, "clean v1", sid="SM9")

    (failed,) = clinic.entries(TextFailed)
    assert done is Handled.FAILED
    assert failed.event == TextFailed("SM9", "Broken")
    assert (failed.phone, failed.cause) == ("f1", "SM9")
    assert clinic.entries(CycleBegan) == []
    assert clinic.rows("SELECT sid, state, error FROM inbox") == [("SM9", "failed", "Broken")]
    assert "wrong with me, not with you" in clinic.heard(ANN)[-1]


def test_the_supervisor_hears_of_it(store: Store) -> None:
    clinic = shell(store).without(protocols=breaks)

    clinic.sends(ANN, "clean v1")

    (alert,) = clinic.entries(AlertRaised)
    assert alert.event.cause == "text_failed"  # type: ignore[attr-defined]
    assert len(clinic.heard(ELLA)) == 1


def test_a_text_that_broke_is_not_tried_again_when_it_is_brought_again(store: Store) -> None:
    mended = shell(store)
    clinic = mended.without(protocols=breaks)
    clinic.sends(ANN, "clean v1", sid="SM9")
    before = clinic.entries()

    again = mended.sends(ANN, "clean v1", sid="SM9")

    assert again is Handled.SEEN
    assert clinic.entries() == before


def test_the_words_of_the_error_are_kept_nowhere(store: Store) -> None:
    clinic = shell(store).without(protocols=breaks)

    clinic.sends(ANN, "clean v1")

    assert "patient" not in clinic.everything_kept()


def test_after_poison_the_record_is_whole(store: Store) -> None:
    clinic = shell(store).without(protocols=breaks_for_good)

    clinic.sends(ANN, "clean v1")

    with store.read() as connection:
        assert verify(connection, SITE) == []
    assert rebuild(store, SITE) == []


def test_S14_a_pin_in_a_text_that_breaks_is_masked_too(store: Store) -> None:
    clinic = shell(store).without(protocols=breaks_for_good)

    clinic.sends(SHARED, "4 271828")

    assert clinic.rows("SELECT body, state FROM inbox") == [("4 ****", "failed")]
    assert "271828" not in clinic.everything_kept()


def test_when_the_database_is_gone_the_error_goes_up_and_nothing_is_half_done(
    store: Store,
) -> None:
    clinic = shell(store)

    with pytest.raises(SiteUnknown):
        clinic.exchange.facts("nowhere", (FreeText("x", "y"),))


class NoWords(Renderer):
    def render(self, *_: object) -> str:
        raise Broken


def test_even_texts_that_cannot_be_written_do_not_loop(store: Store) -> None:
    clinic = shell(store).without(renderer=NoWords())

    with pytest.raises(Broken):
        clinic.sends(ANN, "clean v1", sid="SM9")

    assert clinic.rows("SELECT sid FROM inbox") == []


class NoAlerts(Renderer):
    def render(self, text: Text, *more: Any) -> str:
        if text.slug.startswith("alert."):
            raise Broken
        return super().render(text, *more)


def test_an_alert_that_cannot_be_written_leaves_the_bare_fact_and_a_whole_record(
    store: Store,
) -> None:
    clinic = shell(store).without(renderer=NoAlerts(), protocols=breaks)

    done = clinic.sends(ANN, "clean v1")

    assert done is Handled.FAILED
    assert len(clinic.entries(TextFailed)) == 1
    assert clinic.entries(AlertRaised) == []
    with store.read() as connection:
        assert verify(connection, SITE) == []
    assert rebuild(store, SITE) == []


def test_a_bell_that_breaks_is_put_off_ever_longer_and_rings_in_the_end(store: Store) -> None:
    broken = [True]
    clinic = shell(store)
    clinic.sends(ANN, "clean v1")
    clinic = clinic.without(protocols=breaks_while(lambda: broken[0]))
    clinic.clock.advance(11 * MINUTE)

    tries = [clinic.exchange.ring_due()]
    for _ in range(4):
        clinic.clock.advance(LEASE)
        tries.append(clinic.exchange.ring_due())
    broken[0] = False
    clinic.clock.advance(2 * MINUTE)
    clinic.exchange.ring_due()

    assert tries == [1, 1, 0, 1, 0]
    assert len(clinic.entries(Nudged)) == 1


def test_people_are_told_of_a_bell_that_breaks_the_first_time_only(store: Store) -> None:
    clinic = shell(store)
    clinic.sends(ANN, "clean v1")
    clinic = clinic.without(protocols=breaks_for_good)
    clinic.clock.advance(11 * MINUTE)

    for _ in range(3):
        clinic.exchange.ring_due()
        clinic.clock.advance(3 * MINUTE)

    (alert,) = clinic.entries(AlertRaised)
    assert alert.event.cause == "bell_failed"  # type: ignore[attr-defined]
    assert [text for text in clinic.heard(ANN) if "own timer" in text] == clinic.heard(ANN)[-1:]
    assert len(clinic.heard(ELLA)) == 1


def test_a_bell_that_breaks_does_not_keep_the_others_waiting(store: Store) -> None:
    clinic = shell(store)
    clinic.exchange.facts(SITE, (BellSet("odd", "of no known kind", NINE, thread="t"),))
    clinic.sends(ANN, "clean v1")
    thread = next(iter(clinic.clinic.threads))
    clinic.exchange.facts(SITE, (BellSet("odd", "of no known kind", NINE, thread=thread),))
    clinic.clock.advance(11 * MINUTE)

    clinic.exchange.ring_due()

    assert len(clinic.entries(Nudged)) == 1
    assert clinic.entries(BellRang) == []
    assert "odd" in clinic.clinic.bells
