"""A day at a small clinic, really played through the flows and written into a store."""

from datetime import timedelta

from bot.store.people import keep_person
from bot.store.transaction import Store
from flows.parts.clinic import Level
from tests.kit.cycles import play_cycle
from tests.kit.record import write
from tests.kit.talk import Talk, clinic

SITE = "s1"


def one_cycle(level: Level = Level.COACH) -> Talk:
    """Used on 0411, cleaned, released, used on 0412."""
    talk = clinic(level=level)
    talk.sends("USED V1 0411", after=60)
    play_cycle(talk)
    talk.sends("USED V1 0412", after=600)
    return talk


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
