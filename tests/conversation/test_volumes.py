"""Every container has its volume on the record: nobody is asked for it, and STATE tells it."""

from dataclasses import replace
from decimal import Decimal

import pytest

from flows.parts.clinic import Container
from flows.parts.encoding import decode, encode
from flows.parts.events import JugOpened, Poured, SiteChoiceMade
from flows.protocols.model import Selection
from tests.kit.cycles import play_cycle
from tests.kit.talk import Talk, clinic


def site(*ways: tuple[str, str], stocked: bool = False) -> Talk:
    talk = clinic(stocked=stocked)
    talk.let(*(SiteChoiceMade("site", key, value, "") for key, value in ways))
    return talk


def stocks(talk: Talk) -> None:
    """A jug opened, a bottle filled from it and a bath from that, text by text."""
    for body in ("OPEN", "270331", "L5", "POUR J1", "filled", "POUR", "poured"):
        talk.sends(body, after=20)


def volumes(talk: Talk) -> dict[str, Decimal | None]:
    return {each.tag: each.volume_ml for each in talk.clinic.containers.values()}


def test_a_jug_and_a_bottle_hold_what_the_site_has_said_and_a_bath_what_the_device_file_says() -> (
    None
):
    """150 ml of a bath: common practice, none published, as the device file says."""
    talk = site(("jug_volume", "5 L"), ("bottle_volume", "0.5 L"))

    stocks(talk)

    assert [each.volume_ml for each in talk.happened(JugOpened)] == [5000]
    assert [each.volume_ml for each in talk.happened(Poured)] == [500, 150]
    assert volumes(talk) == {"J1": 5000, "B1": 500, "T1": 150}
    assert [talk.sends(f"STATE {tag}")[0].split(",")[0] for tag in volumes(talk)] == [
        "J1: 5 L jug of OPA 0.55 %",
        "B1: 500 mL bottle of OPA 0.55 %",
        "T1: 150 mL bath of OPA 0.55 %",
    ]


def labels(talk: Talk) -> list[str]:
    heard = [each for each in talk.heard["ph1"] if each.startswith("Write on it: ")]
    return [each.removeprefix("Write on it: ").split(",")[0] for each in heard]


def test_the_label_bears_the_volume_that_the_site_has_said() -> None:
    """What a bath takes is a figure of the device file: it is filled to its line."""
    talk = site(("jug_volume", "3.785 L"), ("bottle_volume", "0.5 L"))

    stocks(talk)

    assert labels(talk) == ["J1-Q 3.785 L OPA 0.55 %", "B1-V 500 mL OPA 0.55 %", "T1-D OPA 0.55 %"]


def test_the_label_bears_no_volume_that_nobody_has_said() -> None:
    talk = site()

    stocks(talk)

    assert labels(talk) == ["J1-Q OPA 0.55 %", "B1-V OPA 0.55 %", "T1-D OPA 0.55 %"]


def test_a_jug_that_is_activated_bears_its_volume_on_that_label_too() -> None:
    talk = clinic(selection=Selection("ga_30", "ga_strip_18", "sealed_probe", "enzymatic"))
    talk.let(SiteChoiceMade("site", "jug_volume", "5 L", ""))

    for body in ("OPEN", "270331", "L5", "POUR J1", "active"):
        talk.sends(body, after=20)

    assert labels(talk) == ["J1-Q 5 L glutaral 3.0 %"] * 2


def test_what_a_site_has_not_said_is_not_made_up() -> None:
    talk = site()

    stocks(talk)

    assert volumes(talk) == {"J1": None, "B1": None, "T1": 150}
    assert talk.sends("STATE J1")[0].startswith("J1: jug of OPA 0.55 %, ")


def test_a_site_that_fills_its_baths_otherwise_has_that_on_the_record() -> None:
    talk = site()
    model = replace(talk.protocol.device_model, bath_volume_ml=2000)
    talk.protocol = replace(talk.protocol, device_model=model)

    stocks(talk)

    assert volumes(talk)["T1"] == 2000
    assert talk.sends("STATE T1")[0].startswith("T1: 2 L bath of OPA 0.55 %, ")


def test_what_was_opened_before_keeps_its_volume_when_the_site_says_another() -> None:
    talk = site(("jug_volume", "5 L"))
    stocks(talk)

    talk.let(SiteChoiceMade("site", "jug_volume", "1 L", ""))

    assert volumes(talk)["J1"] == 5000


def test_what_was_mixed_holds_what_mix_was_asked_for() -> None:
    talk = site()
    talk.sends("MIX 2 L")
    talk.sends("mixed K208", after=60)

    assert volumes(talk) == {"M1": 2000}
    assert talk.sends("STATE M1")[0].startswith("M1: 2 L batch of detergent 8 mL/L, lot K208, ")


# -- mixed for one soak -------------------------------------------------------------------------


def chlorine() -> Talk:
    talk = clinic(selection=Selection("chlorine_01", "", "plastic_probe", "enzymatic"))
    talk.let(SiteChoiceMade("site", "jug_volume", "5 L", ""))
    play_cycle(talk, until="single_use")
    talk.sends("5% 1.5 L", after=20)
    return talk


def test_S4_a_bath_for_one_soak_holds_what_was_mixed_and_its_source_may_be_powder() -> None:
    talk = chlorine()

    talk.sends("fresh", after=60)

    assert volumes(talk) == {"J1": None, "M1": 1000, "T1": 1500}
    assert labels(talk)[-1] == "T1-D 1.5 L chlorine 0.1 %"
    assert talk.sends("STATE T1")[0].startswith("T1: 1.5 L bath of chlorine 0.1 %, ")


def test_S4_a_question_that_an_older_release_asked_can_still_be_answered() -> None:
    talk = chlorine()
    (thread,) = talk.clinic.threads.values()
    kept = {key: value for key, value in thread.top.memo.items() if key != "volume_ml"}
    older = replace(thread, frames=(*thread.frames[:-1], replace(thread.top, memo=kept)))
    talk.clinic = replace(talk.clinic, threads={older.id: older})

    talk.sends("fresh", after=60)

    assert volumes(talk)["T1"] is None


# -- older entries ------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", [JugOpened, Poured])
def test_an_entry_from_before_volumes_were_kept_still_reads(kind: type) -> None:
    talk = site(("jug_volume", "5 L"))
    stocks(talk)
    written = encode(talk.happened(kind)[0])
    del written["volume_ml"]

    assert decode(kind, written) == replace(talk.happened(kind)[0], volume_ml=None)
    assert decode(Container, encode(talk.clinic.containers["J1"])).volume_ml == 5000


@pytest.mark.parametrize(
    ("litres", "told"), [("5", "34 g glycine to 5 L"), ("0.15", "2 g glycine to 150 mL")]
)
def test_what_is_thrown_away_is_told_how_much_makes_it_harmless(litres: str, told: str) -> None:
    """OPA: 25 g of glycine to a US gallon, 6.61 g/l, for an hour: 6.7 in its file.

    Source: product instructions, from memory; see the protocol file.
    """
    talk = clinic()
    jug = replace(talk.clinic.containers["J1"], volume_ml=Decimal(litres) * 1000)
    talk.clinic = replace(talk.clinic, containers={**talk.clinic.containers, "J1": jug})

    (said,) = talk.sends("DISCARD J1")

    assert said == (
        f"J1 is noted as thrown away. Before it goes down the drain: {told}, wait 60 min. Another "
        "amount: MIX WASTE 2 L."
    )
