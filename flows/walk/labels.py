"""What is read off a label, rightly and wrongly: dates and lots."""

from collections.abc import Iterator
from itertools import count

from flows.parts.clinic import Fitness, Kind, Thread
from flows.rules.twins import Opened
from flows.walk.room import Room
from flows.words import ENGLISH

Answers = Iterator[tuple[int, str]]

DATES = ("270331", "200101", "nonsense")


def dates(_: Room, __: Thread) -> Answers:
    """An expiry that is to come, one that is over, and none."""
    yield from ((min(place, 1), date) for place, date in enumerate(DATES))


def activations(_: Room, __: Thread) -> Answers:
    """That its activator went in, now or on a day."""
    yield 0, ENGLISH.word("activated")
    yield from ((1, said) for said in ("260301", "270331", "200101", ENGLISH.word("unsure")))


def lots(room: Room, _: Thread) -> Answers:
    """A lot that nobody has recalled and of which nothing here is unfit; there is always one.

    But first what is unfit and has no lot is thrown away: no lot can be told from it.
    """
    jugs = [each for each in room.clinic.containers.values() if each.kind is Kind.JUG]
    opened: list[Opened] = [*jugs, *room.clinic.strips.values()]
    unfit = [each for each in opened if _is_unfit(room, each)]
    bad = {each.mark for each in room.clinic.recalls.values()} | {each.lot for each in unfit}
    good = next(lot for at in count(7) if (lot := f"L{at}") not in bad)
    nameless = [each.tag for each in unfit if not each.lot]
    yield from ((0, f"DISCARD {nameless[0]}" if nameless else good), (1, "NONE"), (1, "270331"))


def _is_unfit(room: Room, one: Opened) -> bool:
    is_here = one.fitness is not Fitness.DISCARDED
    return is_here and (one.fitness is not Fitness.GOOD or one.discard_by <= room.now)
