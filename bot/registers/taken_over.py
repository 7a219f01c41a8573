"""A site that is opened takes over what was recalled before: it may be brought there too (S18)."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from bot.record.seal import PROGRAMME
from bot.record.written import of_kinds, sites_in
from bot.registers.draft import Standing
from bot.registers.recall import Wish, recalled
from bot.registers.set_up import SetUp
from bot.reports.recalled import Touched
from bot.store.live import load
from bot.store.people import text_of
from bot.store.transaction import Store
from flows.parts.clinic import Choice, Clinic, Recall
from flows.parts.events import Recalled, Stamped
from flows.parts.moment import Moment
from flows.parts.state import fold
from flows.parts.stock import CHLORINE
from flows.protocols import shipped

UNKNOWN_REASON = "recalled before this site was opened"
"""Where the words of the reason have been erased."""


@dataclass(frozen=True, slots=True)
class _Told:
    """A recall as one site knows it. *is_own*: the figure there is not what came with it."""

    key: str
    wish: Wish
    is_own: bool


def standing_recalls(store: Store) -> tuple[Wish, ...]:
    """What the sites here have been told of, each once, with its reason.

    Of a product that has left the shelf nothing can be opened any more.
    """
    with store.read() as connection:
        sites = [each for each in sites_in(connection) if each != PROGRAMME]
        told = [each for site in sites for each in _told_at(connection, site)]
    wishes: dict[str, Wish] = {}
    for each in sorted(told, key=lambda one: one.is_own):
        wishes.setdefault(each.key, each.wish)
    return tuple(each for each in wishes.values() if _is_on_the_shelf(each.product))


def _is_on_the_shelf(product: str) -> bool:
    return product == CHLORINE or shipped().product(product) is not None


def _told_at(connection: Any, site: str) -> Iterator[_Told]:
    """What stands instead of a figure is in the recall.

    Where an older entry does not say: a site that knows of it has none as lax, by its own choice
    or by the shelf's.
    """
    clinic = load(connection, site).clinic
    events = [each.stamped.event for each in of_kinds(connection, site, [Recalled.__name__])]
    digests = {each.recall: each.reason_digest for each in events if isinstance(each, Recalled)}
    for key, recall in clinic.recalls.items():
        reason = text_of(connection, site, digests[recall.id]) or UNKNOWN_REASON
        choice = _choice(clinic, recall)
        with_it = choice is not None and text_of(connection, site, choice.reason) == reason
        is_own = not recall.instead and not with_it
        instead = recall.instead or (choice.value if choice else "")
        wish = Wish(recall.what, recall.product, recall.mark, recall.value, instead, reason)
        yield _Told(key, wish, is_own)


def _choice(clinic: Clinic, recall: Recall) -> Choice | None:
    choices = clinic.site.choices if clinic.site else ()
    return next((each for each in choices if each.of == (recall.product, recall.mark)), None)


def taken_over(made: SetUp, wishes: Sequence[Wish], moment: Moment) -> SetUp:
    """The set-up of a new site, and after it all that was recalled before."""
    clinic = _folded(Clinic(), made)
    for wish in wishes:
        of = (wish.what, wish.product, wish.mark, wish.value)
        ident = moment.ident("/".join(("recall", *of)))
        recall = Recall(ident, *of, moment.now, wish.instead)
        more = recalled(made.site, recall, wish, Touched(), Standing(clinic))
        clinic = _folded(clinic, more)
        made = replace(made, events=(*made.events, *more.events), texts=(*made.texts, *more.texts))
    return made


def _folded(clinic: Clinic, made: SetUp) -> Clinic:
    for event in made.events:
        clinic = fold(clinic, Stamped(event, made.at))
    return clinic
