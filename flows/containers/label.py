"""A new container's label: its expiry, its lot, its tag, and the words to write on it."""

from datetime import date, datetime
from itertools import chain, count

from flows.parts.clinic import Fitness
from flows.parts.decision import DONE, Decision, Saying
from flows.parts.events import CycleAbandoned
from flows.parts.moment import Moment
from flows.parts.reading import typed, word_of
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols.model import CycleProtocol
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.dates import Order, printed_date
from flows.replies.typed import fold
from flows.rules.container_life import Decided

SHORTEST_LOT, LONGEST_LOT = 2, 12

HIGHEST = 99
"""Tags of two figures are short enough for every text and every label."""


def protocol_here(situation: Situation) -> CycleProtocol:
    """The cycle's own protocol, where there is a cycle; else today's."""
    if situation.open.cycle in situation.clinic.cycles:
        return situation.protocol
    return situation.today(next(iter(situation.clinic.devices.values())).model)


def next_tag(situation: Situation, letter: str) -> str:
    """The first free tag of that letter; a tag is never given twice while anything bears it.

    What has been thrown away bears its tag on until the two-digit ones are used up.
    """
    taken = {*situation.clinic.containers, *situation.clinic.strips}
    free = (tag for n in range(1, HIGHEST + 1) if (tag := f"{letter}{n}") not in taken)
    gone = (
        each.tag
        for each in sorted(situation.clinic.containers.values(), key=lambda each: each.since)
        if each.tag.startswith(letter) and each.fitness is Fitness.DISCARDED
    )
    more = (tag for n in count(HIGHEST + 1) if (tag := f"{letter}{n}") not in taken)
    return next(chain(free, gone, more))


def is_expired(situation: Situation, day: date, moment: Moment) -> bool:
    """Whether its last good day has gone by at the site."""
    return day < situation.local_day(moment.now)


def refuse_expired(day: date) -> Decision:
    """S5: what is out of date is not taken into use; its discard is asked for, not claimed."""
    text = say(
        "containers.expired",
        "Expired {day}: do not take it into use. Put it aside for disposal and take another; its "
        "date, please?",
        day=day,
    )
    return Decision(says=(Saying(text),))


def read_expiry(situation: Situation) -> date | str | NotUnderstood:
    """A date as printed on a label, or EMPTY where there is nothing to open.

    Where two dates are possible the site's habit decides, or nobody.
    """
    if word_of(situation, ("empty",)) == "empty":
        return "empty"
    orders: dict[str | None, Order] = {"dmy": "dmy", "mdy": "mdy"}
    return printed_date(typed(situation), orders.get(situation.site.day_order))


def read_lot(situation: Situation) -> str | NotUnderstood:
    """A lot as printed; NONE where there is none.

    S10: an answer to another question is no lot, nor is the date that has just been given.
    """
    said = typed(situation)
    if choose(said, {situation.vocabulary.word("none"): "none"}) == "none":
        return ""
    lot = "".join(said.words)
    fits = lot.isascii() and lot.isalnum() and SHORTEST_LOT <= len(lot) <= LONGEST_LOT
    if not fits or not any(each.isdecimal() for each in lot) or _answers_another(situation):
        return NotUnderstood("word")
    return lot


def _answers_another(situation: Situation) -> bool:
    """Whether it begins with a word of ours or a device's name, or is the expiry said again."""
    first = typed(situation).words[0]
    ours = {*situation.vocabulary.words.values(), *situation.clinic.devices}
    day = read_expiry(situation)
    said_again = isinstance(day, date) and day.isoformat() == situation.frame.memo.get("expires")
    return said_again or first in map(fold, ours)


def nothing_to_open(situation: Situation) -> Decision:
    """S8: without supplies a cycle cannot be finished: it is given up, and both people know."""
    cycle = situation.clinic.cycles.get(situation.open.cycle or "")
    if cycle is None:
        return Decision(then=DONE)
    text = say(
        "containers.nothing",
        "Then {device} cannot be finished now: rinse it, keep it apart. It is NOT READY. Your "
        "contact is told. When there is solution: {clean} {device}.",
        device=cycle.device,
    )
    given_up = CycleAbandoned(cycle.id, cycle.device, "no_supplies")
    return Decision(events=(given_up,), says=(Saying(text),), then=DONE)


def ask_lot(_: Situation) -> Text:
    """The lot is asked for in the same words for jugs and strips."""
    return say(
        "containers.lot",
        "Its lot number from the label? Letters and figures only, or {none} if there is none.",
    )


def since(situation: Situation, moment: Moment) -> datetime:
    """From when it counts as open: when it was first asked about, the earliest (S5)."""
    said = situation.frame.memo.get("since")
    return datetime.fromisoformat(said) if said else moment.now


def label(tag: str, product: str, life: Decided) -> Text:
    """The words to write on it."""
    return say(
        "containers.label",
        "Write on it: {tag} {product}, discard by {until}. Name and today's date too.",
        tag=tag,
        product=product,
        until=life.moment,
    )
