"""A day at a small clinic, really played through the flows and written into a store."""

from datetime import date, datetime, timedelta

from bot.store.people import digest_of, keep_person, keep_text
from bot.store.transaction import Store
from flows.parts.clinic import Kind, Level
from flows.parts.events import JugOpened, Poured, SiteChoiceMade, StripBottleOpened
from flows.protocols import protocol_for
from flows.protocols.model import SiteChoice
from tests.kit.cycles import play_cycle
from tests.kit.record import write
from tests.kit.talk import SELECTION, Talk, clinic

SITE = "s1"


def one_cycle(level: Level = Level.COACH) -> Talk:
    """Used on 0411, cleaned, released, used on 0412."""
    talk = clinic(level=level, stocked=False)
    stock(talk)
    talk.sends("USED V1 0411", after=60)
    play_cycle(talk)
    talk.sends("USED V1 0412", after=600)
    return talk


def stock(talk: Talk) -> None:
    """Supplies that were opened, poured and filled at moments of their own: none is another's."""

    def days(count: int) -> datetime:
        return talk.now + timedelta(days=count)

    talk.let(
        JugOpened("J1", "opa_055", "L1", date(2027, 3, 31), days(-6), days(69), "jug_open_life"),
        Poured(
            "B1", Kind.BOTTLE, "J1", "opa_055", "L1", days(-2), days(12), "reuse_life",
            topped_up=False,
        ),
        Poured(
            "T1", Kind.BATH, "B1", "opa_055", "L1", days(-1), days(11), "bath_life",
            topped_up=False,
        ),
        StripBottleOpened(
            "S1", "opa_strip_1s_90s", "L9", date(2026, 12, 31), days(-10), days(80), checked=True
        ),
    )  # fmt: skip


def written(store: Store, talk: Talk) -> None:
    """Everything that happened so far, with the names of two of the three people."""
    write(store, talk.entries, SITE)
    with store.write() as connection:
        keep_person(connection, SITE, "p1", "Ann", None)
        keep_person(connection, SITE, "p9", "Ella", None)


def put_in(talk: Talk) -> None:
    """A cycle of V1 up to the soak."""
    play_cycle(talk, until="soaking")


def wait_for_the_bell(talk: Talk) -> None:
    talk.wait(minutes=(talk.protocol.bell_after + timedelta(seconds=1)) / timedelta(minutes=1))


def laxer(**figures: str) -> Talk:
    """A cycle of V1 begun with laxer figures, and a still laxer contact time chosen after."""
    talk = clinic()
    chosen = [SiteChoice("opa_055", key, value, "why") for key, value in figures.items()]
    protocol = protocol_for(SELECTION, chosen)
    assert not isinstance(protocol, list)
    talk.protocol = protocol
    talk.let(*(_chosen(key, value) for key, value in figures.items()))
    talk.sends("CLEAN V1")
    talk.let(_chosen("contact_time", "8 min"))
    return talk


def _chosen(key: str, value: str) -> SiteChoiceMade:
    return SiteChoiceMade("opa_055", key, value, digest_of("salt", f"Why {value}."))


def reasons_kept(store: Store, talk: Talk) -> None:
    """What was written, by one of the people: 'Why 10 min.'"""
    values = [each.event.value for each in talk.entries if isinstance(each.event, SiteChoiceMade)]
    with store.write() as connection:
        for value in values:
            keep_text(connection, SITE, "p1", talk.now, "salt", f"Why {value}.")
