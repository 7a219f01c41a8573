"""S18: a recalled lot, lot of strips or figure, and all that rests on it and falls with it."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from flows.parts.clinic import (
    AT_HAND,
    Batch,
    Clinic,
    Container,
    Fitness,
    Kind,
    Recall,
    Release,
    StripBottle,
)
from flows.parts.events import (
    CaseOpened,
    ContainerCondemned,
    ContainerHeld,
    CycleBegan,
    Event,
    JugOpened,
    Mixed,
    Poured,
    Recalled,
    StripBottleOpened,
)
from flows.parts.situation import Situation, parsed, protocol_of
from flows.parts.state.cleared import misreads
from flows.parts.state.oversight import key_of, recall_in
from flows.protocols.compare import LAXER, Laxer, is_laxer
from flows.protocols.model import CycleProtocol, Product
from flows.rules.strip import STRIPS_RECALLED, fallen_after_all, same_liquid, void

LOT, STRIP_LOT, FIGURE = "lot", "strip_lot", "figure"

BECAUSE = MappingProxyType(
    {LOT: "lot_recalled", STRIP_LOT: STRIPS_RECALLED, FIGURE: "figure_recalled"}
)
"""Why something fell, by what was recalled."""

_BATH, _POURED = frozenset({Kind.BATH}), frozenset({Kind.BOTTLE, Kind.BATH})
_OPENED = _POURED | {Kind.JUG}
LIVES: Mapping[str, frozenset[Kind]] = MappingProxyType(
    {
        "activated_life_days": _OPENED,
        "jug_open_life_days": _OPENED,
        "reuse_life_days": _POURED,
        "bath_life": _BATH,
        "bath_uses_max": _BATH,
        "open_life_days": frozenset(),
        "qc_positive": frozenset(),
        "qc_negative": frozenset(),
    }
)
"""Figures that dates on labels were reckoned with, or strips were checked by, and on which kinds
of containers they stand: no date is moved, so what stands there by them is not used any more (S5).
What is poured has no later date than its jug."""


def recall_made(event: Recalled, clinic: Clinic) -> Recall | None:
    """The recall that *event* has made; None where it only says again what stood before.

    Said again of what a correction has brought under it since, it is the first one that stands.
    """
    standing = clinic.recalls.get(key_of(recall_in(event)))
    is_first = standing is not None and standing.id == event.recall
    return standing if is_first or event.also else None


def set_aside(clinic: Clinic, one: Container | StripBottle) -> str:
    """S18: by which recall something is kept, marked, not poured away, as in `BECAUSE`; or empty.

    It goes back, or away, when its maker and the supervisor have said how. A wrong figure spoils
    no solution: what it dated is thrown away like the rest.
    """
    return recalled(clinic, one) if one.fitness is Fitness.CONDEMNED else ""


def recalled(clinic: Clinic, one: Container | StripBottle) -> str:
    """S18: by which recall something is not for use, though it be noted as gone; or empty."""
    if isinstance(one, Container) and one.why == BECAUSE[LOT]:
        return one.why
    recall = clinic.recall_of(Batch(one.product, one.lot))
    return BECAUSE[recall.what] if recall else ""


def rests_on(recall: Recall, batches: Iterable[Batch], protocol: CycleProtocol) -> bool:
    """Whether a cycle with these batches under this protocol rests on what is recalled."""
    return any(map(recall.covers, batches)) or is_as_lax(recall, protocol)


def is_as_lax(recall: Recall, protocol: CycleProtocol) -> bool:
    """Whether a recalled figure stands in *protocol*, or one that asks still less."""
    return recall.what == FIGURE and any(
        asks_no_more(recall, product)
        for product in protocol.products()
        if product.name == recall.product
    )


def asks_no_more(recall: Recall, product: Product) -> bool:
    """Whether *product* has the recalled figure, or one that asks even less than that."""
    key = recall.mark
    wrong, value = product.table[key].kind.reads(recall.value), getattr(product, key)
    return value == wrong or (LAXER[key] is not Laxer.EITHER and is_laxer(key, value, wrong))


def undercuts(recall: Recall, product: Product) -> bool:
    """Whether *product* asks less than the figure that a figure's recall has put in place.

    Of an entry that does not say which that was: less than the recalled one.
    """
    key = recall.mark
    floor = product.table[key].kind.reads(recall.instead or recall.value)
    return is_laxer(key, getattr(product, key), floor)


def fallen(situation: Situation, event: Recalled, recall: Recall, case: str) -> tuple[Event, ...]:
    """S18: what a recall does, all at once.

    What is of the lot is condemned for good; what recalled strips have passed is held for another
    strip; cycles that rest on it are void, at whatever step, and so are releases that nobody has
    used; a case is opened where the record knows of it at all.
    """
    clinic, because = situation.clinic, BECAUSE[recall.what]
    bad, doubted = condemned(clinic, recall, event.also), held(clinic, recall)
    running = _running(clinic, recall, {*bad, *doubted, *event.also})
    resting = (*running, *_released(situation, event, recall))
    cycles = tuple(dict.fromkeys((*resting, *fallen_after_all(clinic))))
    events = (
        *(ContainerCondemned(tag, because) for tag in bad if _is_at_hand(clinic, tag)),
        *(ContainerHeld(tag, because) for tag in doubted if _is_at_hand(clinic, tag)),
        *void(clinic, cycles, because),
    )
    if not events and event.since is None:
        return ()
    return (*events, CaseOpened(case, because, recall.mark, event.since, cycles))


def condemned(clinic: Clinic, recall: Recall, also: tuple[str, ...] = ()) -> tuple[str, ...]:
    """The containers and bottles of strips here that may not be used for anything any more."""
    things: list[Container | StripBottle] = [*clinic.containers.values(), *clinic.strips.values()]
    known = [tag for tag in also if tag in clinic.containers]
    poured = {each.tag for tag in known for each in same_liquid(clinic, tag)}
    return tuple(
        each.tag
        for each in things
        if each.tag in {*also, *poured}
        or recall.covers(Batch(each.product, each.lot))
        or _is_dated_by(recall, each.product, getattr(each, "kind", None))
    )


def held(clinic: Clinic, recall: Recall) -> tuple[str, ...]:
    """S4: what the recalled strips have passed; a strip of another lot will show what it is."""
    return tuple(
        each.tag
        for each in clinic.containers.values()
        if each.passed and each.passed.strips and misreads(recall, each.passed.strips)
    )


def _is_dated_by(recall: Recall, product: str, kind: Kind | None) -> bool:
    """Whether the recalled figure stands on a label of that *kind*; None for strips."""
    kinds = LIVES.get(recall.mark)
    return product == recall.product and kinds is not None and (kind is None or kind in kinds)


def shows_it(recall: Recall, event: JugOpened | Mixed | Poured | StripBottleOpened) -> bool:
    """Whether what comes into use is of the lot, or was dated, or is read, by the figure."""
    if recall.what != FIGURE:
        return recall.covers(Batch(event.product, event.lot))
    if isinstance(event, StripBottleOpened):
        return recall.product == event.product
    opened = Kind.JUG if isinstance(event, JugOpened) else Kind.MIXED
    return _is_dated_by(recall, event.product, getattr(event, "kind", opened))


def _is_at_hand(clinic: Clinic, tag: str) -> bool:
    thing = clinic.strips.get(tag) or clinic.containers[tag]
    return thing.fitness in AT_HAND


def _running(clinic: Clinic, recall: Recall, named: set[str]) -> tuple[str, ...]:
    """Cycles that soak, have soaked, or are about to soak in what is recalled."""
    return tuple(
        each.id
        for each in clinic.cycles.values()
        if not named.isdisjoint((each.id, each.bath))
        or rests_on(recall, each.batches, protocol_of(each))
    )


def _released(situation: Situation, event: Recalled, recall: Recall) -> tuple[str, ...]:
    """Cycles whose release stands, used by nobody yet."""
    standing = [each.release for each in situation.clinic.devices.values() if each.release]
    return tuple(
        each.cycle
        for each in standing
        if each.cycle in event.also or rests_on(recall, each.batches, _began_with(situation, each))
    )


def _began_with(situation: Situation, release: Release) -> CycleProtocol:
    (began,) = (
        each.event
        for each in situation.history(release.cycle)
        if isinstance(each.event, CycleBegan)
    )
    return parsed(began.protocol)
