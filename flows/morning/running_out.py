"""What runs out or ends soon, for the morning text: by date, and by the use of the last weeks."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from flows.calculations.at_hand import by_product
from flows.calculations.calendar import end_of_day, last_good_day, local_day
from flows.calculations.packing import WIPE_ML
from flows.calculations.usage import (
    LOOKED_AT,
    Left,
    Seen,
    fillings_left,
    strips_as_written,
    strips_left,
    volume_as_written,
)
from flows.parts.clinic import Container, Fitness, Kind, StripBottle
from flows.parts.events import Immersed, Poured, StripBottleOpened, StripDipped, StripsChecked
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.protocols.model import Chemistry, CycleProtocol
from flows.rules.container_life import has_uses_left
from flows.rules.strip import is_sound, is_usable

SOON = timedelta(days=7)
"""How long it takes to get more. Source: common practice, none published."""

SOON_DAYS = SOON.days
USES = (Poured, Immersed, StripBottleOpened, StripsChecked, StripDipped)


def running_out(situation: Situation, now: datetime) -> Text | None:
    """What to see to within the week, the most pressing first; None for nothing."""
    said = list(_all(situation, now))
    if not said:
        return None
    soon_a = said[0]
    soon_b, soon_c = (*said[1:], None, None)[:2]
    get_more = _get_more(said[:3])
    if soon_b and soon_c:
        return say(
            "soon.3",
            "Soon: {soon_a}; {soon_b}; {soon_c}. {get_more}",
            soon_a=soon_a,
            soon_b=soon_b,
            soon_c=soon_c,
            get_more=get_more,
        )
    if soon_b:
        return say(
            "soon.2",
            "Soon: {soon_a}; {soon_b}. {get_more}",
            soon_a=soon_a,
            soon_b=soon_b,
            get_more=get_more,
        )
    return say("soon.1", "Soon: {soon_a}. {get_more}", soon_a=soon_a, get_more=get_more)


NONE_LEFT = frozenset({"soon.strips.none", "soon.jugs.none"})


def _get_more(said: list[Text]) -> Text:
    """Once, and by when, whatever it is that is wanted first."""
    if any(each.slug in NONE_LEFT for each in said):
        return say("soon.today", "Get more today.")
    return say("soon.in_time", "Get more in time.")


def _all(situation: Situation, now: datetime) -> Iterator[Text]:
    """What use will end, what its date will end; what has ended already is said by `first`.

    Each kind of strips and each product once, however many models use it.
    """
    models = dict.fromkeys(each.model for each in situation.clinic.devices.values())
    protocols = [*map(situation.today, models)]
    products = [each.protocol for each in by_product(situation.clinic, situation.today)]
    seen = _seen(situation, now)
    for protocol in {each.strip.name: each for each in protocols}.values():
        yield from _strips_by_use(situation, protocol, seen)
    for protocol in products:
        yield from _jugs_by_use(situation, protocol, seen)
    for protocol in products:
        yield from _without_a_jug(situation, protocol.chemistry, now)
    yield from _by_date(situation, now)


def _seen(situation: Situation, now: datetime) -> Seen:
    """The record as far back as anything that is in use was opened, and four weeks at least."""
    clinic = situation.clinic
    filled = [each.since for each in (*_jugs(situation, now), *_bottles(situation, now))]
    opened = [each.opened for each in clinic.strips.values() if is_usable(each, now)]
    since = min((*filled, *opened, now - LOOKED_AT))
    return Seen(situation.past(USES, since), situation.zone, now)


def _jugs(situation: Situation, now: datetime) -> list[Container]:
    return _sound(situation, Kind.JUG, now)


def _bottles(situation: Situation, now: datetime) -> list[Container]:
    return _sound(situation, Kind.BOTTLE, now)


def _sound(situation: Situation, kind: Kind, now: datetime) -> list[Container]:
    containers = situation.clinic.containers.values()
    return [each for each in containers if each.kind is kind and is_sound(each, now)]


# -- by use -------------------------------------------------------------------------------------


def _strips_by_use(situation: Situation, protocol: CycleProtocol, seen: Seen) -> Iterator[Text]:
    """Where the site has said how many a bottle holds: `choose site strips_in_bottle 50`."""
    held = strips_as_written(situation.site.way("strips_in_bottle"))
    ours = [
        each for each in situation.clinic.strips.values() if each.product == protocol.strip.name
    ]
    bottles = [each for each in ours if is_usable(each, seen.now)]
    kin = {each.tag for each in ours}
    each_test = max(protocol.strip.strips_per_test, protocol.chemistry.strips_each_test)
    left = strips_left(bottles, kin, held, each_test, seen) if held else None
    if left and left.count == 0:
        yield say("soon.strips.none", "{tag}: strips left 0", tag=bottles[-1].tag)
    elif left and _is_soon(left):
        yield say(
            "soon.strips",
            "{tag}: strips left {strips}, days by use {count}",
            tag=bottles[-1].tag,
            strips=left.count,
            count=left.days or 0,
        )


def _jugs_by_use(situation: Situation, protocol: CycleProtocol, seen: Seen) -> Iterator[Text]:
    """Jugs of which the record says what they held, or else the site what a new one holds.

    It says so by `choose site jug_volume "5 L"`. What is in working bottles is left too.
    S4: what is mixed for each soak is not poured as it is: a bath takes a little bleach or powder,
    and the rest is water.
    """
    if protocol.chemistry.is_single_use:
        return
    jug_ml = volume_as_written(situation.site.way("jug_volume")) or 0
    jugs = [
        each
        for each in _jugs(situation, seen.now)
        if each.product == protocol.chemistry.name and (each.volume_ml or jug_ml)
    ]
    bath_ml = protocol.device_model.bath_volume_ml
    bottles = [
        each for each in _bottles(situation, seen.now) if each.product == protocol.chemistry.name
    ]
    left = fillings_left([*jugs, *bottles], jug_ml, bath_ml, WIPE_ML, seen)
    if left and left.count == 0:
        yield say("soon.jugs.none", "{tag}: baths left 0", tag=jugs[-1].tag)
    elif left and _is_soon(left):
        yield say(
            "soon.jugs",
            "{tag}: baths left {baths}, days by use {count}",
            tag=jugs[-1].tag,
            baths=left.count,
            count=left.days or 0,
        )


def _is_soon(left: Left) -> bool:
    return left.days is not None and left.days <= SOON_DAYS


# -- the last of it -----------------------------------------------------------------------------


def _without_a_jug(situation: Situation, chemistry: Chemistry, now: datetime) -> Iterator[Text]:
    """What was poured is the last of its product; of nothing at all `first` speaks.

    A jug on hold may come free again. Of jugs that nobody has opened yet the record knows nothing.
    """
    if chemistry.is_single_use:
        return
    ours = [
        each for each in situation.clinic.containers.values() if each.product == chemistry.name
    ]
    kept = {Fitness.GOOD, Fitness.HELD}
    if any(
        each.kind is Kind.JUG and each.fitness in kept and now < each.discard_by for each in ours
    ):
        return
    poured = [each for each in ours if is_sound(each, now) and _is_of_use(each, chemistry)]
    if poured:
        last = max(poured, key=lambda each: each.discard_by)
        yield say(
            "soon.no_jug",
            "{product}: no jug open, {tag} is last",
            product=chemistry.title,
            tag=last.tag,
        )


def _is_of_use(container: Container, chemistry: Chemistry) -> bool:
    """A bottle, or a bath that another device may soak in."""
    return container.kind is Kind.BOTTLE or (
        container.kind is Kind.BATH and has_uses_left(container.uses, chemistry)
    )


# -- by date ------------------------------------------------------------------------------------


def _by_date(situation: Situation, now: datetime) -> Iterator[Text]:
    """Jugs and strips that end within the week and not today, which the first text says."""
    today = end_of_day(local_day(now, situation.zone), situation.zone)
    strips = [each for each in situation.clinic.strips.values() if is_usable(each, now)]
    here: list[Container | StripBottle] = [*_jugs(situation, now), *strips]
    kept = [each for each in here if situation.uses(each.product)]
    for each in sorted(kept, key=lambda one: one.discard_by):
        later = [one for one in kept if one.product == each.product and one is not each]
        is_last = all(one.discard_by <= each.discard_by for one in later)
        if today < each.discard_by <= now + SOON and is_last:
            yield _ends(each, situation.zone)


def _ends(each: Container | StripBottle, zone: ZoneInfo) -> Text:
    day = last_good_day(each.discard_by, zone)
    if day:
        return say("soon.last_day", "{tag}: last day {day}", tag=each.tag, day=day)
    return say("soon.ends", "{tag} ends {until}", tag=each.tag, until=each.discard_by)
