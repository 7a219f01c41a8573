"""A recall at one site: what is to be written, with the reason, and the figure put right (S18)."""

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime

from bot.protocols import as_chosen
from bot.registers.add import add
from bot.registers.draft import NotSetUp, Standing
from bot.registers.rows import LOT_WANTED, Row, Wanted, listed, lot
from bot.registers.set_up import SetUp
from bot.reports.recalled import Touched
from bot.store.people import digest_of
from flows.parts.clinic import Clinic, Container, Fitness, Recall, StripBottle
from flows.parts.decision import KeptText
from flows.parts.events import Recalled
from flows.parts.moment import Moment
from flows.parts.state.oversight import key_of
from flows.parts.stock import CHLORINE
from flows.protocols import shipped
from flows.protocols.compare import LAXER, POURED_AWAY
from flows.protocols.model import Problem, Product
from flows.rules.recall import FIGURE, LOT, asks_no_more, undercuts

_NEVER = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Wish:
    """What somebody typed. *instead* is the figure that is to stand from now on."""

    what: str
    product: str
    mark: str
    value: str = ""
    instead: str = ""
    reason: str = field(default="", repr=False)


def recall_of(wish: Wish, at: Moment) -> Recall:
    """The recall that is wished for. Raises NotSetUp with all that is wrong with it."""
    problems = [*_against(wish)]
    if not wish.reason.strip():
        problems.append(Problem("recall", "reason", "is missing; say who recalls it, and why"))
    if problems:
        raise NotSetUp(tuple(problems))
    return _meant(wish, at)


def _meant(wish: Wish, at: Moment) -> Recall:
    return Recall(
        at.ident("recall"), wish.what, wish.product, wish.mark, wish.value, at.now, wish.instead
    )


def still_standing(clinic: Clinic, touched: Touched) -> tuple[str, ...]:
    """S15, S18: what a correction has brought under a recall since, and is not fallen yet."""
    things: tuple[Container | StripBottle, ...] = (
        *clinic.containers.values(),
        *clinic.strips.values(),
    )
    at_hand = {each.tag for each in things if each.fitness in {Fitness.GOOD, Fitness.HELD}}
    standing = {*at_hand, *touched.running, *touched.released}
    return tuple(each for each in touched.also if each in standing)


def is_known(clinic: Clinic, recall: Recall) -> bool:
    """Whether the site has been told of it before."""
    return key_of(recall) in clinic.recalls


def recalled(site: str, recall: Recall, wish: Wish, touched: Touched, stands: Standing) -> SetUp:
    """What is to be written at one site. Raises NotSetUp where the new figure cannot stand."""
    at = Moment(recall.at, recall.id)
    chosen = _put_right(site, wish, recall, at, stands)
    reason = " ".join(wish.reason.split())
    salt = at.ident("salt")
    digest = digest_of(salt, reason)
    event = Recalled(
        recall=recall.id,
        what=recall.what,
        product=recall.product,
        mark=recall.mark,
        value=recall.value,
        reason_digest=digest,
        since=touched.since,
        also=touched.also,
        instead=recall.instead,
    )
    kept = KeptText(digest, salt, reason)
    return replace(chosen, events=(*chosen.events, event), texts=(*chosen.texts, kept))


def _put_right(site: str, wish: Wish, recall: Recall, at: Moment, stands: Standing) -> SetUp:
    """S18: no cycle begins with a recalled figure: the new one is chosen in the same breath.

    A site that asks as much already, or more, is let be.
    """
    if recall.what != FIGURE or not _is_wrong_there(recall, stands.clinic):
        return SetUp(site, at.now)
    row = Row(
        "instead",
        {
            "product": wish.product,
            "key": wish.mark,
            "value": wish.instead,
            "reason": wish.reason,
        },
    )
    return add(site, Wanted(choices=(row,)), at, stands)


def _is_wrong_there(recall: Recall, clinic: Clinic) -> bool:
    own = as_chosen(clinic, recall.product)
    return asks_no_more(recall, own) or undercuts(recall, own)


# -- what is wrong with it ----------------------------------------------------------------------


def _against(wish: Wish) -> list[Problem]:
    shelf = shipped()
    if wish.what == FIGURE:
        product = shelf.product(wish.product)
        return _against_figure(wish, product) if product else [_unknown(wish, [])]
    lots = (*shelf.chemistries, CHLORINE, *shelf.detergents)
    known = lots if wish.what == LOT else shelf.strips
    problems = [] if wish.product in known else [_unknown(wish, [*known])]
    if not lot(wish.mark):
        problems.append(Problem("recall", "lot", f"is {wish.mark}; {LOT_WANTED}"))
    return problems


def _unknown(wish: Wish, known: list[str]) -> Problem:
    told = listed(known) if known else "soakbell protocol list shows them"
    return Problem("recall", "product", f"is {wish.product}; {told}")


def _against_figure(wish: Wish, product: Product) -> list[Problem]:
    keys = [key for key in product.table if key in LAXER and key not in POURED_AWAY]
    if wish.mark not in keys:
        return [Problem("recall", "key", f"is {wish.mark}; {listed(keys)}")]
    kind = product.table[wish.mark].kind
    for option, typed in (("value", wish.value), ("instead", wish.instead)):
        try:
            kind.reads(typed)
        except ValueError:
            return [Problem("recall", option, f"is {typed or 'missing'}; like {kind.example}")]
    return _still_as_lax(wish, product)


def _still_as_lax(wish: Wish, product: Product) -> list[Problem]:
    """What is to stand instead must not be the recalled figure again, or a laxer one."""
    recall = Recall("", wish.what, wish.product, wish.mark, wish.value, _NEVER)
    new = replace(product, **{wish.mark: product.table[wish.mark].kind.reads(wish.instead)})
    if not asks_no_more(recall, new):
        return []
    return [Problem("recall", "instead", f"is {wish.instead}, no stricter than what is recalled")]
