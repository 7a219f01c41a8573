"""A figure chosen at the desk while somebody works, through the bot's own door."""

from datetime import timedelta

from bot.record.rebuild import rebuild
from bot.store.transaction import Store
from flows.parts.events import CycleAbandoned, SiteChoiceMade, StripRead
from tests.kit.shell import ANN, SITE, Shell, shell


def passed(store: Store) -> Shell:
    clinic = shell(store)
    clinic.sends(ANN, "TEST T1")
    clinic.wait(timedelta(seconds=30))
    clinic.sends(ANN, "DIP T1")
    clinic.wait(timedelta(seconds=95))
    clinic.sends(ANN, "1")
    return clinic


def choose(clinic: Shell, product: str, key: str, value: str) -> None:
    clinic.exchange.facts(SITE, [SiteChoiceMade(product, key, value, "digest of a reason")])


def test_S4_the_rows_say_that_a_pass_is_over_and_are_made_again_from_the_record(
    store: Store,
) -> None:
    clinic = passed(store)
    choose(clinic, "opa_strip_1s_90s", "strips_per_test", "3")

    bath = clinic.clinic.containers["T1"]

    assert len(clinic.entries(StripRead)) == 1
    assert bath.passed is not None
    assert bath.passed.good_until <= clinic.clock.now()
    assert rebuild(store, SITE) == []


def test_S1_what_is_chosen_since_is_read_from_the_record_at_the_next_text(store: Store) -> None:
    clinic = shell(store)
    clinic.sends(ANN, "CLEAN V1")
    clinic.wait(timedelta(seconds=30))
    choose(clinic, "enzymatic", "ml_per_litre", "16 ml/l")

    clinic.sends(ANN, "READY")

    (ended,) = clinic.entries(CycleAbandoned)
    assert ended.event.because == "not_todays:enzymatic.ml_per_litre"  # type: ignore[attr-defined]
    assert "(ml_per_litre)" in clinic.heard(ANN)[-1]
    assert rebuild(store, SITE) == []
