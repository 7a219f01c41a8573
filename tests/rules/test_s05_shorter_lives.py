"""S5: a figure that a site makes shorter counts for what stands there already, never longer."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from flows.parts.clinic import Kind
from flows.parts.events import ContainerDiscarded, JugActivated, JugOpened, LifeShortened, Mixed
from flows.protocols.model import CycleProtocol, Selection
from flows.rules.shorter_lives import shorter_lives
from tests.kit.strips import pour
from tests.kit.talk import NINE, Talk, clinic

ZONE_MIDNIGHT = NINE.replace(hour=21)
"""The site is three hours ahead of UTC: the end of its 2 March."""
DAY = timedelta(days=1)
GLUTARAL = Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic")


def of(talk: Talk, **figures: object) -> CycleProtocol:
    chemistry = replace(talk.protocol.chemistry, **figures)  # type: ignore[arg-type]
    return replace(talk.protocol, chemistry=chemistry)


def shortened(talk: Talk, protocol: CycleProtocol) -> dict[str, LifeShortened]:
    zone = ZoneInfo("Etc/GMT-3")
    events = [
        each
        for product in protocol.products()
        for each in shorter_lives(talk.clinic, product, zone, talk.now)
    ]
    return {each.tag: each for each in events}


def test_S5_a_shorter_reuse_life_ends_bottles_and_baths_sooner_but_not_the_jug() -> None:
    """Three days from 2 March on: its end is that of 4 March. Arithmetic; day 1 counts."""
    talk = clinic()
    bath = replace(talk.clinic.containers["T1"], source="J1")
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "T1": bath})

    ends = shortened(talk, of(talk, reuse_life_days=3))

    assert set(ends) == {"B1", "T1"}
    assert {each.discard_by for each in ends.values()} == {ZONE_MIDNIGHT + 2 * DAY}
    assert {each.because for each in ends.values()} == {"reuse_life"}


def test_S5_a_shorter_life_once_open_ends_the_jug() -> None:
    talk = clinic()

    ends = shortened(talk, of(talk, jug_open_life_days=2))

    assert (ends["J1"].discard_by, ends["J1"].because) == (ZONE_MIDNIGHT + DAY, "jug_open_life")


def test_S5_a_shorter_life_once_activated_ends_the_jug_that_was() -> None:
    talk = clinic(selection=GLUTARAL, stocked=False)
    until = NINE + 30 * DAY
    talk.let(
        JugOpened("J1", "ga_30", "G1", date(2027, 3, 31), NINE, until, "maker_expiry"),
        JugOpened("J2", "ga_30", "G2", date(2027, 3, 31), NINE, until, "maker_expiry"),
        JugActivated("J1", NINE, until, "activated_life"),
    )

    ends = shortened(talk, of(talk, activated_life_days=2))

    assert (ends["J1"].discard_by, ends["J1"].because) == (ZONE_MIDNIGHT + DAY, "activated_life")
    assert "J2" not in ends


def test_S4_strips_that_keep_for_a_shorter_time_once_open_end_sooner() -> None:
    talk = clinic()
    strip = replace(talk.protocol.strip, open_life_days=2)

    ends = shortened(talk, replace(talk.protocol, strip=strip))

    assert (ends["S1"].discard_by, ends["S1"].because) == (ZONE_MIDNIGHT + DAY, "open_life")


def test_S5_what_would_have_ended_before_ends_now_and_what_was_done_with_it_stands() -> None:
    talk = clinic()
    talk.now += 5 * DAY

    ends = shortened(talk, of(talk, reuse_life_days=3))

    assert {each.discard_by for each in ends.values()} == {talk.now}


def test_S5_a_longer_figure_moves_nothing() -> None:
    talk = clinic()

    assert shortened(talk, of(talk, reuse_life_days=90, jug_open_life_days=400)) == {}


def test_S5_nor_does_it_what_is_gone_or_of_another_product() -> None:
    talk = clinic()
    pour(talk, "T2", Kind.BATH, "B1")
    talk.let(ContainerDiscarded("T2"))
    other = replace(talk.protocol.chemistry, name="other", reuse_life_days=1)
    strip = replace(talk.protocol.strip, name="other_strip", open_life_days=1)

    assert "T2" not in shortened(talk, of(talk, reuse_life_days=3))
    assert shortened(talk, replace(talk.protocol, chemistry=other, strip=strip)) == {}


def test_S5_what_is_mixed_here_has_no_life_that_a_figure_sets() -> None:
    talk = clinic()
    detergent = talk.protocol.detergent.name
    until = NINE + DAY
    talk.let(Mixed("M1", detergent, "", Decimal(5000), "D1", NINE, until, "mixed_life"))

    assert "M1" not in shortened(talk, talk.protocol)


# -- a release of the program whose figures are shorter ------------------------------------------


def test_S5_what_stands_here_goes_by_the_figures_of_a_newer_release_at_the_next_cleaning() -> None:
    talk = clinic()
    talk.protocol = of(talk, reuse_life_days=3)

    talk.sends("CLEAN V1")

    ends = {each.tag: each.discard_by for each in talk.happened(LifeShortened)}
    assert ends == dict.fromkeys(("B1", "T1"), ZONE_MIDNIGHT + 2 * DAY)
    assert talk.heard["ph2"] == [
        f"{tag}: its life has been made shorter. Write on its label: good to the end of "
        "4 Mar 2026 (its days of use). Strike the old date out."
        for tag in ("B1", "T1")
    ]


def test_S5_what_is_over_by_it_is_in_no_morning_text_and_no_cycle() -> None:
    talk = clinic()
    talk.protocol = of(talk, jug_open_life_days=1)
    talk.wait(minutes=24 * 60)

    assert talk.clinic.threads == {}
    assert talk.happened(LifeShortened)
    assert not any(text.startswith("In date: J1") for text in talk.heard["ph1"])


def test_S5_the_same_figures_make_nothing_shorter() -> None:
    talk = clinic()

    talk.sends("CLEAN V1")
    talk.wait(minutes=24 * 60)

    assert talk.happened(LifeShortened) == []
