"""What a correction does to what is so now: a date moves earlier by it, never later (S5, S15).

Whoever corrects hears what has changed, or what still stands and how it is put right.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, cast
from zoneinfo import ZoneInfo

from bot.protocols import as_chosen
from bot.record.correction import as_meant
from bot.registers.one_lot import ends_with_its_lot
from bot.reports.recalled import OF_A_LOT
from flows.calculations.calendar import end_of_day, last_good_day
from flows.calculations.chlorine import MIXED_LIFE_DAYS
from flows.parts.clinic import AT_HAND, Batch, Clinic, Container, Fitness, Kind, StripBottle
from flows.parts.events import (
    BathChosen,
    ContainerCondemned,
    ContainerDiscarded,
    DetergentSoakEnded,
    Event,
    EvidenceStated,
    Immersed,
    JugActivated,
    JugOpened,
    LifeShortened,
    Mixed,
    Poured,
    Released,
    StepDone,
    StripBottleOpened,
    StripDipped,
    StripRead,
    StripsChecked,
    TakenOut,
)
from flows.parts.moment import Moment
from flows.protocols import shipped
from flows.protocols.model import Chemistry, StripProduct
from flows.rules.container_life import (
    EXPIRY,
    NOT_CHECKED,
    TOPPED_UP,
    Decided,
    Limit,
    discard_by,
    is_active,
    life_of_bath,
    life_of_mix,
    life_of_pour,
    life_of_strips,
    life_until_activated,
    life_when_activated,
)
from flows.rules.failed_after_all import may_fail
from flows.rules.found_unfit import NOT_ACTIVE, begun, poured_inactive
from flows.rules.strip import FAIL, PASS, same_liquid
from flows.rules.twins import ends_no_later

LOT_SAYS = frozenset({"lot", "expires"})
"""What is printed on every label of a lot."""

DATES = frozenset({"expires", "opened", "activated", "poured", "mixed", "discard_by"})
"""What a life is reckoned from, and its end itself."""

NEVER_GOOD = frozenset({"topped_up", "checked", "passed"})
"""S4, S6: by which what an entry tells of may have been no good from its first moment on."""

_IN_DOUBT = (OF_A_LOT - {"lot", "source"}) | {"kind", "outcome", "seen", "celsius"}
"""By which something may be unfit that goes on being used."""

_EVIDENCE = (
    *(BathChosen, ContainerDiscarded, DetergentSoakEnded, EvidenceStated, Immersed, Mixed, Poured),
    *(Released, StepDone, StripDipped, StripRead, StripsChecked, TakenOut),
)
"""S1: of what a release rests on, or what is for use, no field is put right without a word."""

_SINCE: Mapping[type[Event], tuple[str, str, str]] = {
    JugOpened: ("containers", "since", "opened"),
    JugActivated: ("containers", "activated_at", "activated"),
    Poured: ("containers", "since", "poured"),
    Mixed: ("containers", "since", "mixed"),
    StripBottleOpened: ("strips", "opened", "opened"),
    StripsChecked: ("strips", "lot", "lot"),
}
"""Where what an entry tells of stands, and by what it is known to be that very one."""


@dataclass(frozen=True, slots=True)
class Corrections:
    """An entry's event, and each of its fields that was corrected, as the record writes it."""

    event: Event
    said: Mapping[str, str]
    """The field in hand last."""

    @property
    def name(self) -> str:
        """The field in hand."""
        return [*self.said][-1]

    @property
    def meant(self) -> Any:
        """The event as it should have read."""
        fields: dict[str, Any] = {
            name: as_meant(self.event, name, value) for name, value in self.said.items()
        }
        event: Any = self.event
        return replace(event, **fields)


def follows(
    made: Corrections, clinic: Clinic, zone: ZoneInfo, at: Moment
) -> tuple[tuple[Event, ...], tuple[str, ...]]:
    """What happens by a correction, and what its writer should know."""
    name = made.name
    recalled = _of_lot(made, name, clinic) if name in OF_A_LOT else ()
    failed = _failed(made)
    if failed:
        return (failed,), (*recalled, _told_of_fail(failed, clinic))
    moves = {"lot", "source", *DATES, *NEVER_GOOD}
    if name not in moves or type(made.event) not in _SINCE:
        is_in_doubt = name in _IN_DOUBT or isinstance(made.event, _EVIDENCE)
        in_doubt = _in_doubt(made.meant, clinic) if is_in_doubt else ()
        return (), (*recalled, *in_doubt)
    one = _that_one(made.event, clinic)
    own = _own(made, one, clinic, zone) if one and name != "lot" else ()
    with_lot = _with_its_lot(made, name, one, clinic, zone)
    may_be_it = _may_be_it(made, one, own, zone, clinic) if one else ()
    ends = _earliest((*own, *with_lot, *may_be_it))
    why = dict.fromkeys(may_be_it, f": no lot tells it from {made.event.tag}")  # type: ignore[attr-defined]
    why |= {**dict.fromkeys(with_lot, ": a lot has one expiry"), **dict.fromkeys(own, "")}
    told = tuple(_told(each, clinic, zone, at, why[each]) for each in ends)
    kept = () if ends or name == "lot" else (_kept(made.event, one, zone),)
    inactive = _inactive(made, clinic) if one else ()
    unfit = tuple(ContainerCondemned(tag, NOT_ACTIVE) for tag in inactive)
    if one and name == "topped_up" and own:
        unfit = (*unfit, ContainerCondemned(one.tag, TOPPED_UP))
    idle = _told_of_inactive(inactive, made.meant, clinic)
    if one and name == "source":
        return (*ends, *unfit), _of_source(made, clinic, (*recalled, *told, *kept, *idle))
    return (*ends, *unfit), (*recalled, *told, *kept, *idle)


def _failed(made: Corrections) -> StripRead | None:
    """S4: a strip that is said now to have failed, or to have failed in another container."""
    read, meant = made.event, made.meant
    if not isinstance(read, StripRead) or made.name not in {"outcome", "seen", "container"}:
        return None
    by_colour = made.name == "seen" and meant.seen != PASS and may_fail(meant)
    is_known = (read.outcome, read.container) == (FAIL, meant.container)
    if is_known or not (by_colour or meant.outcome == FAIL):
        return None
    seen = FAIL if meant.seen == PASS else meant.seen
    because = "" if seen == FAIL else seen
    fails = replace(read, container=meant.container, outcome=FAIL, seen=seen, because=because)
    return replace(fails, good_until=None)


def _own(
    made: Corrections, one: Container | StripBottle, clinic: Clinic, zone: ZoneInfo
) -> tuple[LifeShortened, ...]:
    life = _life(made, one, clinic, zone)
    is_earlier = life.moment < one.discard_by
    return (LifeShortened(one.tag, life.moment, life.because),) if is_earlier else ()


def _with_its_lot(
    made: Corrections,
    name: str,
    one: Container | StripBottle | None,
    clinic: Clinic,
    zone: ZoneInfo,
) -> tuple[LifeShortened, ...]:
    """S5: what was read off one label counts for all of its lot; another may bear its tag now."""
    meant = made.meant
    if name not in LOT_SAYS or not isinstance(meant, JugOpened | StripBottleOpened):
        return ()
    ends = ends_with_its_lot(meant, clinic, zone)
    return tuple(each for each in ends if one or each.tag != meant.tag)


def _may_be_it(
    made: Corrections,
    one: Container | StripBottle,
    own: tuple[LifeShortened, ...],
    zone: ZoneInfo,
    clinic: Clinic,
) -> tuple[LifeShortened, ...]:
    """S5: under another tag, and of no other lot, it may be that very jug, or those strips."""
    is_opened = isinstance(one, StripBottle) or one.kind is Kind.JUG
    if made.name not in DATES or not is_opened:
        return ()
    meant, told = made.meant, own
    if made.name == "expires":
        told = (LifeShortened(one.tag, end_of_day(meant.expires, zone), EXPIRY),)
    this = replace(one, lot=getattr(meant, "lot", one.lot))
    return tuple(each for ends in told for each in ends_no_later(clinic, this, ends))


def _earliest(shortened: Iterable[LifeShortened]) -> tuple[LifeShortened, ...]:
    """Of each tag one; the first of two that end alike."""
    ends: dict[str, LifeShortened] = {}
    for each in shortened:
        ends[each.tag] = min(ends.get(each.tag, each), each, key=lambda one: one.discard_by)
    return tuple(ends.values())


def _inactive(made: Corrections, clinic: Clinic) -> tuple[str, ...]:
    """S1: what was poured from a jug before it was activated, by what is said now."""
    meant = made.meant
    if isinstance(meant, JugActivated):
        return tuple(each.tag for each in poured_inactive(clinic, meant.tag, meant.activated))
    source = _poured_from(meant, clinic)
    if source is None:
        return ()
    product = shipped().chemistries.get(source.product)
    never = "source" in made.said and product is not None and not is_active(source, product)
    too_soon = source.activated_at is not None and meant.poured < source.activated_at
    return (meant.tag,) if never or too_soon else ()


def _poured_from(meant: Any, clinic: Clinic) -> Container | None:
    """What it should have been said to be poured from, while that is here."""
    return clinic.containers.get(getattr(meant, "source", ""))


def _that_one(event: Event, clinic: Clinic) -> Container | StripBottle | None:
    """What the entry tells of, while it is here; another may bear its tag by now."""
    if type(event) not in _SINCE:
        return None
    room, since, began = _SINCE[type(event)]
    one = getattr(clinic, room).get(getattr(event, "tag", ""))
    return one if one is not None and getattr(one, since) == getattr(event, began) else None


def _life(
    made: Corrections, one: Container | StripBottle, clinic: Clinic, zone: ZoneInfo
) -> Decided:
    """S5: the earliest of what stands, what is said now, and what follows from what is said."""
    meant, stands = made.meant, Decided(one.discard_by, one.because)
    limits = [stands, *_never_good(made, one)]
    if "discard_by" in made.said:
        limits.append(Decided(meant.discard_by, meant.because))
    source = _poured_from(meant, clinic) if "source" in made.said else None
    if source:
        limits.append(Decided(source.discard_by, source.because))
    if isinstance(meant, Mixed):
        limits.append(life_of_mix(meant.mixed, MIXED_LIFE_DAYS, zone))
    elif shipped().product(one.product) and not isinstance(meant, StripsChecked):
        limits.append(_by_its_product(meant, stands, as_chosen(clinic, one.product), zone))
    return discard_by(limits)


def _never_good(made: Corrections, one: Container | StripBottle) -> Iterator[Limit]:
    """S4, S6: onto a rest it ends as it is poured; strips that passed no control judge nothing."""
    meant, said = made.meant, made.said
    if "topped_up" in said and meant.topped_up:
        yield Limit(meant.poured, TOPPED_UP)
    if any(name in said and not getattr(meant, name) for name in ("checked", "passed")):
        yield Limit(begun(one), NOT_CHECKED)


def _by_its_product(meant: Any, stands: Decided, product: object, zone: ZoneInfo) -> Decided:
    if isinstance(meant, StripBottleOpened):
        return life_of_strips(meant.expires, meant.opened, cast("StripProduct", product), zone)
    chemistry = cast("Chemistry", product)
    if isinstance(meant, JugOpened):
        return life_until_activated(meant.expires, meant.opened, chemistry, zone)
    if isinstance(meant, JugActivated):
        return life_when_activated(stands, meant.activated, chemistry, zone)
    life_of = life_of_bath if meant.kind is Kind.BATH else life_of_pour
    return life_of(stands, meant.poured, chemistry, zone)


# -- what is said -------------------------------------------------------------------------------


def _kept(event: Event, one: Container | StripBottle | None, zone: ZoneInfo) -> str:
    """S18: what is gone has no date to move; what rests on it is looked back for by a recall."""
    if one is None:
        of_strips = isinstance(event, StripBottleOpened | StripsChecked)
        kind = "strip-lot" if of_strips else "lot"
        return (
            "What it tells of is not here any more: no date changes by it, and nothing is void. "
            f"If it was used past its true date, soakbell recall {kind} looks back for what rests "
            "on its lot."
        )
    return f"{one.tag} is good to {_end(one, zone)}, as before: no date moves later."


def _told(shortened: LifeShortened, clinic: Clinic, zone: ZoneInfo, at: Moment, why: str) -> str:
    poured = same_liquid(clinic, shortened.tag)[1:]
    with_it = [
        each.tag
        for each in poured
        if each.discard_by > shortened.discard_by and each.fitness is not Fitness.DISCARDED
    ]
    tags = ", ".join((shortened.tag, *with_it))
    ends = _end(shortened, zone)
    if shortened.discard_by > at.now:
        return f"{tags}: good to {ends} now, no later{why}. The phones of the site are told."
    return (
        f"{tags}: good to {ends} only, and over{why}. What was soaked, wiped or tested with it "
        "since is void. The phones of the site are told DO NOT USE."
    )


def _told_of_fail(read: StripRead, clinic: Clinic) -> str:
    is_here = "It is not for use, nor is what was poured from it."
    now = is_here if read.container in clinic.containers else "It is not here any more."
    return (
        f"{read.container}: its strip failed by what is said now. {now} What was soaked in it or "
        "wiped with it since the last pass before is void, and a look-back is open. The phones "
        "of the site are told."
    )


def _told_of_inactive(tags: tuple[str, ...], meant: Any, clinic: Clinic) -> tuple[str, ...]:
    if not tags:
        return ()
    jug = getattr(meant, "source", meant.tag)
    with_it = (each.tag for tag in tags for each in same_liquid(clinic, tag))
    said = (
        f"{', '.join(dict.fromkeys(with_it))}: poured before {jug} was activated, so not for "
        "use. What was soaked or wiped with it is void. The phones of the site are told DO NOT "
        "USE."
    )
    return (said,)


def _end(one: Container | StripBottle | LifeShortened, zone: ZoneInfo) -> str:
    day = last_good_day(one.discard_by, zone)
    return f"the end of {day}" if day else f"{one.discard_by.astimezone(zone):%Y-%m-%d %H:%M}"


def _of_source(made: Corrections, clinic: Clinic, told: tuple[str, ...]) -> tuple[str, ...]:
    """S4, S5: the containers here stay as they were poured: what that means for a strip."""
    tag, was, source = made.meant.tag, made.event.source, made.meant.source  # type: ignore[attr-defined]
    if _poured_from(made.meant, clinic) is None:
        unknown = (
            f"No {source} is here, so no date changes by it. If nobody can say how long {source} "
            f"was good and of which lot it was, text DISCARD {tag}."
        )
        return (unknown,)
    still = (
        f"The phones go by {was} still: if a strip fails in {source}, text DISCARD {tag} and "
        "clean again what was soaked in it."
    )
    return (*told, still)


def _of_lot(made: Corrections, name: str, clinic: Clinic) -> tuple[str, ...]:
    """S18: what a correction brings under a recall falls once that is said again."""
    batch = _batch(made.meant, name, clinic)
    recall = clinic.recall_of(batch) if batch else None
    if recall is None:
        return ()
    kind = "strip-lot" if recall.what == "strip_lot" else "lot"
    said = (
        f"Lot {recall.mark} of {recall.product} is recalled, and what stands here of it is still "
        f"for use. Recall it once more: soakbell recall {kind} {recall.product} {recall.mark} "
        "--reason ... --carry-out"
    )
    return (said,)


def _batch(meant: Any, name: str, clinic: Clinic) -> Batch | None:
    """Which lot of what it is of, by the field that is put right; of a strip by its bottle."""
    if name in {"lot", "product"}:
        bottle = clinic.strips.get(getattr(meant, "strips", ""))
        product = getattr(meant, "product", bottle.product if bottle else "")
        return Batch(product, getattr(meant, "lot", ""))
    things: Mapping[str, Container | StripBottle] = {**clinic.containers, **clinic.strips}
    thing = things.get(getattr(meant, name))
    return Batch(thing.product, thing.lot) if thing else None


def _in_doubt(meant: Any, clinic: Clinic) -> tuple[str, ...]:
    """S8: what may be unfit by what is said now, and how it is taken out of use."""
    named = (getattr(meant, name, "") for name in ("tag", "bath", "container"))
    tag = next((each for each in named if each), "")
    one = clinic.strips.get(tag)
    things = (one,) if one else same_liquid(clinic, tag)
    tags = " ".join(each.tag for each in things if each.fitness in AT_HAND)
    thrown = (
        f"If it is not for use by what is said now, text DISCARD {tags} and clean again what was "
        "soaked, wiped or tested with it. "
    )
    quarantined = "A device that must not be used: FAULT and its label."
    return (f"Nothing that stands changes by it. {thrown if tags else ''}{quarantined}",)


def of_entry(said: Collection[tuple[int, Any]], seq: int) -> dict[str, str]:
    """The corrections of entry *seq*, the latest of each field."""
    return {each.field: each.value for _, each in said if each.entry == seq}
