"""Jugs, bottles, baths and strips that are there already: their dates by the one rule (S5)."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import partial
from typing import cast

from bot.protocols import as_chosen, choices_of, selection_for, today
from bot.registers.draft import Draft
from bot.registers.rows import (
    DAY_WANTED,
    DAYS_WANTED,
    LOT_OR_NONE_WANTED,
    MOMENT_WANTED,
    TAG_WANTED,
    Reading,
    Row,
    count,
    day,
    listed,
    lot,
    moment,
    one_of,
    tag,
    yes_no,
)
from flows.calculations.calendar import end_of_day, local_day
from flows.calculations.usage import volume_as_written
from flows.calculations.volumes import volume_of
from flows.parts.clinic import Batch, Container, Kind
from flows.parts.events import (
    ContainerHeld,
    JugActivated,
    JugOpened,
    LifeShortened,
    Poured,
    StripBottleOpened,
)
from flows.protocols.model import Chemistry, StripProduct
from flows.rules.container_life import (
    EXPIRY,
    LONGEST_SHELF,
    Decided,
    Limit,
    Refused,
    counts_from,
    is_active,
    is_good,
    life_of_bath,
    life_of_pour,
    life_of_strips,
    life_until_activated,
    life_when_activated,
)
from flows.rules.strip import KIN_FAILED, fell_by_a_strip, is_sound
from flows.rules.twins import Opened, end_after, ends_before, ends_no_later, is_twin, out_of_use

STRIPS = "strips"
LETTERS = {Kind.JUG.value: "J", Kind.BOTTLE.value: "B", Kind.BATH.value: "T", STRIPS: "S"}
CONTAINER = (
    "tag", "kind", "source", "product", "lot", "expires", "expires_in_days", "since", "days_ago",
    "checked", "volume", "activated", "activated_days_ago",
)  # fmt: skip

ACTIVATED = ("activated", "activated_days_ago")
VOLUME_WANTED = "litres, like 5 L"
_BEGINNING = datetime.fromisoformat("1970-01-01T00:00:00+00:00")
_WHY_NOT = {
    "future": "is still to come; give the day on which it was done",
    "before_source": "is before its source was opened or activated; look again",
}


def add_container(draft: Draft, row: Row) -> None:
    """A jug, a bottle, a bath or a bottle of strips, opened or poured some days ago.

    A pour is taken for one into an empty, washed, dry container: no other is for use (S6).
    """
    reading = Reading(row, CONTAINER)
    kind = reading.read("kind", one_of(LETTERS), listed(LETTERS))
    label = _tag(draft, reading, kind)
    if kind == STRIPS:
        _strips(draft, reading, label)
    elif kind == Kind.JUG:
        _jug(draft, reading, label)
    elif kind:
        _pour(draft, reading, label, Kind(kind))
    draft.problems += reading.problems


def _tag(draft: Draft, reading: Reading, kind: str | None) -> str:
    label = reading.read("tag", tag, TAG_WANTED)
    if label and kind and label[0] != LETTERS[kind]:
        reading.refuse("tag", f"is {label}, but the letter of a {kind} is {LETTERS[kind]}")
    if label in {*draft.clinic.containers, *draft.clinic.strips}:
        reading.refuse("tag", f"is {label}, which something here bears already; take another")
    return label


# -- what is opened -----------------------------------------------------------------------------


def _jug(draft: Draft, reading: Reading, label: str) -> None:
    chemistry = _chemistry(draft, reading)
    expires = _expires(draft, reading)
    opened = _since(draft, reading, _BEGINNING)
    activated = _activated(draft, reading, chemistry)
    if activated and opened and activated < opened:
        reading.refuse("activated", "is before it was opened: its activator goes in after that")
    from_lot = reading.read_if_there("lot", lot, LOT_OR_NONE_WANTED) or ""
    held = _volume(draft, reading, Kind.JUG, chemistry.name if chemistry else "")
    if reading.problems or chemistry is None or opened is None:
        return
    batch = Batch(chemistry.name, from_lot)
    _not_recalled(draft, reading, batch)
    jugs = [each for each in draft.clinic.containers.values() if each.kind is Kind.JUG]
    others = [each for each in jugs if is_twin(each, batch)]
    own = life_until_activated(expires, opened, chemistry, draft.zone)
    life = _no_later_than(draft, reading, others, own)
    active = life_when_activated(life, activated, chemistry, draft.zone) if activated else life
    if _in_date(draft, reading, active):
        draft.happen(
            JugOpened(
                tag=label,
                product=chemistry.name,
                lot=from_lot,
                expires=expires,
                opened=opened,
                discard_by=life.moment,
                because=life.because,
                volume_ml=held,
            )
        )
        _end_with_it(draft, expires, batch, others)
        if activated:
            _active(draft, JugActivated(label, activated, active.moment, active.because))
        if any(map(fell_by_a_strip, others)):
            draft.happen(ContainerHeld(label, KIN_FAILED))


def _active(draft: Draft, event: JugActivated) -> None:
    """S5: what may be that very jug is good no longer, though it was told of before."""
    for shortened in ends_no_later(draft.clinic, draft.clinic.containers[event.tag], event):
        draft.happen(shortened)
        draft.remarks.append(
            f"{shortened.tag} may be {event.tag}, no lot tells them apart: the earlier day of "
            f"activation counts, and {shortened.tag} is good no later than {event.tag} now. The "
            "phones are told what to write on its label."
        )
    draft.happen(event)


def _activated(draft: Draft, reading: Reading, chemistry: Chemistry | None) -> datetime | None:
    """S5: when it was activated or mixed; None where nobody says so, and nothing is poured yet."""
    told = next((key for key in ACTIVATED if reading.has(key)), None)
    if told is None or chemistry is None:
        return None
    if chemistry.is_single_use or not chemistry.activation_needed:
        reading.refuse(
            told, f"is not for {chemistry.name}, which needs no activation; leave it out"
        )
        return None
    return _counted(draft, reading, *ACTIVATED, _BEGINNING)


def _strips(draft: Draft, reading: Reading, label: str) -> None:
    for key in ("volume", *ACTIVATED):
        if reading.has(key):
            reading.refuse(key, "is of what flows; leave it out for strips")
    known = draft.shelf.strips
    product = reading.read("product", one_of(known), listed(known))
    expires = _expires(draft, reading)
    opened = _since(draft, reading, _BEGINNING)
    from_lot = reading.read_if_there("lot", lot, LOT_OR_NONE_WANTED) or ""
    checked = reading.read(
        "checked", yes_no, "yes if its test with good and diluted solution was passed, else no"
    )
    if reading.problems or opened is None:
        return
    batch = Batch(product, from_lot)
    _not_recalled(draft, reading, batch)
    others = [each for each in draft.clinic.strips.values() if is_twin(each, batch)]
    own = life_of_strips(expires, opened, _strip(draft, product), draft.zone)
    life = _no_later_than(draft, reading, others, own)
    if _in_date(draft, reading, life):
        draft.happen(
            StripBottleOpened(
                label, product, from_lot, expires, opened, life.moment, checked, life.because
            )
        )
        _end_with_it(draft, expires, batch, others)


def _not_recalled(draft: Draft, reading: Reading, batch: Batch) -> None:
    """S18: nor what has no lot and cannot be told from a recalled one."""
    recall = draft.clinic.recall_of(batch)
    if recall:
        said = batch.lot or "missing"
        reading.refuse("lot", f"is {said}; lot {recall.mark} is recalled, do not use it")


def _no_later_than(
    draft: Draft, reading: Reading, others: Sequence[Opened], own: Decided
) -> Decided:
    """S5: entered again it has no later date; what may be one out of use is not entered."""
    out = out_of_use(others, draft.clinic, draft.moment.now)
    if out:
        reading.refuse(
            "lot",
            f"may be that of {out.tag}, which is out of use; if {out.tag} is thrown away, text "
            f"DISCARD {out.tag} first",
        )
        return own
    first = ends_before(own, others)
    if first is None:
        return own
    draft.remarks.append(
        f"No lot tells it from {first.tag}, so it has the date of {first.tag}. Is {first.tag} "
        f"thrown away? Then text DISCARD {first.tag} before the next is entered."
    )
    return Decided(first.discard_by, first.because)


def _end_with_it(draft: Draft, expires: date, batch: Batch, others: Sequence[Opened]) -> None:
    """S5: a lot has one expiry, and the earlier that is read off it counts for all of it here."""
    printed = Limit(end_of_day(expires, draft.zone), EXPIRY)
    for each in end_after(printed, batch, others):
        draft.happen(LifeShortened(each.tag, printed.moment, printed.because))
        draft.remarks.append(
            f"{each.tag} is of the same lot, and a lot has one expiry: it is good to the end of "
            f"{expires} now, no later. The phones are told what to write on its label."
        )


# -- what is poured -----------------------------------------------------------------------------


def _pour(draft: Draft, reading: Reading, label: str, kind: Kind) -> None:
    source = _source(draft, reading, kind)
    for key in ("expires", "expires_in_days", "lot", "checked", *ACTIVATED):
        if reading.has(key):
            reading.refuse(key, "is inherited from what it was poured from; leave it out")
    poured = _since(draft, reading, _works_from(source) if source else _BEGINNING)
    held = _volume(draft, reading, kind, source.product if source else "")
    if reading.problems or source is None or poured is None:
        return
    chemistry = _as_chosen(draft, source.product)
    inherited = Decided(source.discard_by, source.because)
    life_of = life_of_bath if kind is Kind.BATH else life_of_pour
    life = life_of(inherited, poured, chemistry, draft.zone)
    if _in_date(draft, reading, life):
        draft.happen(
            Poured(
                tag=label,
                kind=kind,
                source=source.tag,
                product=source.product,
                lot=source.lot,
                poured=poured,
                discard_by=life.moment,
                because=life.because,
                topped_up=False,
                volume_ml=held,
            )
        )


def _works_from(source: Container) -> datetime:
    """S1: nothing was poured from it before it was opened, nor before its activator was in."""
    return max(source.since, source.activated_at or source.since)


def _source(draft: Draft, reading: Reading, kind: Kind) -> Container | None:
    """A bottle is poured from a jug, a bath from a jug or a bottle."""
    kinds = (Kind.JUG, Kind.BOTTLE) if kind is Kind.BATH else (Kind.JUG,)
    good = {
        each.tag: each
        for each in draft.clinic.containers.values()
        if each.kind in kinds and is_sound(each, draft.moment.now)
    }
    named = reading.read("source", lambda typed: tag(typed) or None, TAG_WANTED)
    source = good.get(named)
    if named and source is None:
        reading.refuse("source", f"is {named}, and no good {' or '.join(kinds)} here bears that")
    product = reading.row.cells.get("product", "").strip()
    if source and product and product != source.product:
        reading.refuse("product", f"is {product}, but {source.tag} holds {source.product}")
    if source:
        _may_be_poured(draft, reading, source)
    return source


def _may_be_poured(draft: Draft, reading: Reading, source: Container) -> None:
    """S4, S5: what is mixed for each soak is never poured ahead; what may be inactive, not yet."""
    chemistry = _as_chosen(draft, source.product)
    if chemistry.is_single_use:
        reason = f"is {source.tag}; {chemistry.title} is mixed for one soak, in its cleaning"
        reading.refuse("source", reason)
    elif not is_active(source, chemistry):
        reading.refuse(
            "source",
            f"is {source.tag}, and nobody has said that it was activated; text POUR {source.tag}, "
            f"which asks for the day",
        )


# -- dates --------------------------------------------------------------------------------------


def _expires(draft: Draft, reading: Reading) -> date:
    if reading.has("expires_in_days"):
        days = reading.read("expires_in_days", count, DAYS_WANTED)
        return local_day(draft.moment.now, draft.zone) + timedelta(days=days or 0)
    said: date = reading.read("expires", day, DAY_WANTED)
    if said and said - local_day(draft.moment.now, draft.zone) >= LONGEST_SHELF:
        reading.refuse("expires", f"is {said}, too far ahead to be right; look at the label again")
    return said


def _since(draft: Draft, reading: Reading, not_before: datetime) -> datetime | None:
    """S5: from when it counts: the earliest possible time of the day that is said."""
    return _counted(draft, reading, "since", "days_ago", not_before)


def _counted(
    draft: Draft, reading: Reading, key: str, in_days: str, not_before: datetime
) -> datetime | None:
    """The day or moment under *key*, or so many days ago under *in_days*."""
    said: date | datetime
    if reading.has(in_days):
        key = in_days
        days = reading.read(key, count, DAYS_WANTED)
        said = local_day(draft.moment.now, draft.zone) - timedelta(days=days or 0)
    else:
        said = reading.read(key, partial(moment, zone=draft.zone), MOMENT_WANTED)
    if reading.problems:
        return None
    counted = counts_from(said, not_before, draft.zone, draft.moment.now)
    if isinstance(counted, Refused):
        reading.refuse(key, _WHY_NOT[counted.because])
        return None
    return counted


def _in_date(draft: Draft, reading: Reading, life: Decided) -> bool:
    if is_good(life, draft.moment.now):
        return True
    until = life.moment.astimezone(draft.zone)
    reading.refuse(
        "tag", f"is out of date since {until:%Y-%m-%d %H:%M} ({life.because}); do not use it"
    )
    return False


# -- volumes ------------------------------------------------------------------------------------


def _volume(draft: Draft, reading: Reading, kind: Kind, product: str) -> Decimal | None:
    """As it stands in the row; else as the site or the device file has it."""
    if reading.has("volume"):
        millilitres = reading.read("volume", volume_as_written, VOLUME_WANTED)
        return Decimal(millilitres) if millilitres else None
    models = _soaked_in(draft, product)
    return volume_of(kind, draft.clinic.site, today(draft.clinic)(models[0])) if models else None


# -- products -----------------------------------------------------------------------------------


def _chemistry(draft: Draft, reading: Reading) -> Chemistry | None:
    known = draft.shelf.chemistries
    product = reading.read("product", one_of(known), listed(known))
    return _as_chosen(draft, product) if product else None


def _as_chosen(draft: Draft, product: str) -> Chemistry:
    """The product with the site's choices laid over it: a shorter life chosen counts here too."""
    return cast("Chemistry", as_chosen(draft.clinic, product))


def _soaked_in(draft: Draft, product: str) -> list[str]:
    """The models that the site soaks in it; those of its own devices first."""
    own = {each.model for each in draft.clinic.devices.values()}
    models = sorted(draft.shelf.devices, key=lambda each: each not in own)
    made = choices_of(draft.clinic)
    return [model for model in models if selection_for(model, made).chemistry == product]


def _strip(draft: Draft, product: str) -> StripProduct:
    return cast("StripProduct", as_chosen(draft.clinic, product))
