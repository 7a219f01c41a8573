"""A jug is opened: its dates, its lot, its tag (S5)."""

from dataclasses import replace
from datetime import date

from flows.calculations.volumes import volume_of
from flows.containers.contents import contents
from flows.containers.how_much import noted
from flows.containers.label import label, next_tag
from flows.containers.one_life import held_for_a_strip, in_a_jug
from flows.containers.opened import (
    earlier_for_twins,
    expiry_step,
    lot_step,
    no_later_than_twins,
    refuse_recalled,
    refuse_twin,
)
from flows.parts.clinic import Batch, Kind
from flows.parts.decision import BACK, Decision, Saying
from flows.parts.events import ContainerHeld, JugOpened
from flows.parts.moment import Moment
from flows.parts.situation import Situation
from flows.parts.text import Text, say
from flows.rules.container_life import life_until_activated
from flows.rules.strip import KIN_FAILED, fell_by_a_strip
from flows.rules.twins import is_twin


def _ask_jug_expiry(situation: Situation) -> Text:
    held = situation.frame.memo.get("held")
    if held:
        return say(
            "containers.jug.held",
            "{tag} is on hold: {test} {tag} may clear it. Or open a new jug of {product}: its "
            "expiry date, like 270331? Neither: {empty}.",
            tag=held,
            product=situation.protocol_here.chemistry.title,
        )
    if situation.protocol_here.chemistry.is_single_use:
        return say(
            "containers.jug.source",
            "New bottle of bleach or powder for {product}, opened now: its expiry date? Like "
            "270331. None to open: {empty}.",
            product=situation.protocol_here.chemistry.title,
        )
    return say(
        "containers.jug.expiry",
        "New jug of {product}, opened now: its expiry date? Year, month, day, like 270331. None "
        "to open: {empty}.",
        product=situation.protocol_here.chemistry.title,
    )


def _after_jug_lot(situation: Situation, lot: str, moment: Moment) -> Decision:
    chemistry = situation.protocol_here.chemistry
    batch = Batch(chemistry.name, lot)
    known = situation.clinic.containers.values()
    others = [each for each in known if each.kind is Kind.JUG and is_twin(each, batch)]
    refused = refuse_recalled(situation, batch, "jug")
    refused = refused or refuse_twin(situation, others, moment)
    if refused:
        return refused
    expires = date.fromisoformat(situation.frame.memo["expires"])
    opened = situation.first_asked
    own = life_until_activated(expires, opened, chemistry, situation.zone)
    tag = next_tag(situation, "J")
    life, why = no_later_than_twins(tag, own, others)
    shortened, told = earlier_for_twins(tag, life, batch, others)
    jug = JugOpened(
        tag=tag,
        product=chemistry.name,
        lot=lot,
        expires=expires,
        opened=opened,
        discard_by=life.moment,
        because=life.because,
        volume_ml=volume_of(
            Kind.JUG, situation.site, situation.protocol_here, noted(situation.frame.memo)
        ),
    )
    words = label(tag, contents(in_a_jug(chemistry), jug.volume_ml), lot, life, situation.zone)
    is_inactive = chemistry.activation_needed and not chemistry.is_single_use
    inactive = (Saying(_not_active(tag)),) if is_inactive else ()
    labelled = Decision((jug, *shortened), (*why, *told, Saying(words), *inactive), then=BACK)
    return _on_hold(labelled, tag) if any(map(fell_by_a_strip, others)) else labelled


def _not_active(tag: str) -> Text:
    """S5: its printed date is not until when it is good once it is active."""
    return say(
        "containers.jug.not_active",
        "Write NOT ACTIVE on {tag} too: nothing is poured from it before {pour} {tag}, which "
        "leads through its activator.",
        tag=tag,
    )


def _on_hold(labelled: Decision, tag: str) -> Decision:
    """S4: it may be the very jug that failed, under a new tag: a strip of its own will show."""
    return replace(
        labelled,
        events=(*labelled.events, ContainerHeld(tag, KIN_FAILED)),
        says=(*labelled.says, Saying(held_for_a_strip(tag))),
    )


JUG = expiry_step("jug", _ask_jug_expiry, "jug_lot")
JUG_LOT = lot_step("jug_lot", _after_jug_lot, "jug")
