"""UNSURE just after GOOD, ACTIVE, FRESH or POURED: what no strip shows is vouched for no more.

The rules are S4, S6 and S8.
"""

from dataclasses import replace
from datetime import timedelta

from flows.calculations.strength import Impossible
from flows.containers.activate import in_doubt, was_active_before
from flows.containers.discarded import without_it
from flows.containers.doubts import is_in_doubt
from flows.containers.just_filled import is_unsure, poured_last, vessel_was_wet
from flows.containers.mixing_chlorine import exactly, is_amount_asked_for
from flows.containers.pour import is_poured_in
from flows.containers.strips import decided
from flows.parts.clinic import AT_HAND, Container, Kind, StripBottle
from flows.parts.decision import STAY, Decision, Move, Saying, call, go
from flows.parts.events import (
    EvidenceStated,
    JugActivated,
    Mixed,
    StripsChecked,
)
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import Situation
from flows.parts.text import say
from flows.protocols.model import StripProduct
from flows.replies import NotUnderstood
from flows.replies.amounts import Amounts, amounts
from flows.replies.typed import fold
from flows.rules.amount_words import shown
from flows.rules.container_life import NOT_VOUCHED_FOR
from flows.rules.found_unfit import never_good

LATELY = timedelta(minutes=2)
"""Later UNSURE may be of something else. Source: common practice, none published."""

_VOUCHED = (StripsChecked, JugActivated, EvidenceStated, Mixed)
_OF_THE_VESSEL = frozenset({"TUB", "BATH", "BOTTLE"})
_WET = frozenset({"WET", "DIRTY"})


def taken_back(situation: Situation, moment: Moment) -> Decision | None:
    """S4, S8: of two words from one phone the worse counts. None of any other text."""
    poured = poured_last(situation, moment)
    if poured and vessel_was_wet(situation, poured):
        return _not_for_use(situation, poured)
    thing = _vouched_for_last(situation, moment)
    if thing is not None:
        return _of_what_was_vouched_for(situation, thing, moment)
    return _not_for_use(situation, poured) if poured and is_unsure(situation) else None


def _of_what_was_vouched_for(
    situation: Situation, thing: Container | StripBottle, moment: Moment
) -> Decision | None:
    is_jug = isinstance(thing, Container) and thing.kind is Kind.JUG
    if is_jug and was_active_before(situation):
        return _asked_when(situation, thing.tag)
    if not _doubts(situation, thing):
        return None
    if isinstance(thing, StripBottle):
        strip = situation.product(thing.product)
        known = strip if isinstance(strip, StripProduct) else None
        return _not_tested(situation, thing, known, moment) if known else None
    if is_jug:
        pouring = (each for each in situation.threads_here if is_poured_in(each, thing.tag))
        moves = tuple(Move(each.id, go("fill")) for each in pouring)
        return replace(in_doubt(thing), then=STAY, moves=moves)
    return _not_for_use(situation, thing)


def _vouched_for_last(situation: Situation, moment: Moment) -> Container | StripBottle | None:
    """By this phone, just now, and still at hand."""
    mine = situation.told_here(_VOUCHED, moment.now - LATELY)
    if not mine:
        return None
    tag = str(getattr(mine[-1], "tag", "") or getattr(mine[-1], "bath", ""))
    clinic = situation.clinic
    thing = clinic.containers.get(tag) or clinic.strips.get(tag)
    return thing if thing and thing.fitness in AT_HAND else None


def _doubts(situation: Situation, thing: Container | StripBottle) -> bool:
    return is_in_doubt(situation, thing.tag) or _is_another_amount(situation, thing)


def _is_another_amount(situation: Situation, thing: Container | StripBottle) -> bool:
    """5% 4 L after FRESH for 5% 2 L: half as strong, and no strip shows it.

    Where the amount of another mixture is asked for, it is of that.
    """
    said = amounts(typed(situation))
    if isinstance(thing, StripBottle) or thing.kind is Kind.JUG or isinstance(said, NotUnderstood):
        return False
    if is_amount_asked_for(situation) or _is_of_another_probe(situation, thing):
        return False
    return bool(said.strengths) and not _is_as_noted(situation, said, thing)


def _is_of_another_probe(situation: Situation, bath: Container) -> bool:
    """V1 5% 1 L, where it is V2 that is about to soak in it."""
    clinic, words = situation.clinic, typed(situation).words
    named = [each for each in clinic.devices.values() if fold(each.label) in words]
    cycles = [clinic.cycles.get(each.cycle or "") for each in named]
    is_its = any(each and each.bath == bath.tag for each in cycles)
    return bath.kind is Kind.BATH and bool(named) and not is_its


def _is_as_noted(situation: Situation, said: Amounts, bath: Container) -> bool:
    """S10: the same amount once more is a double; of what is wiped with, by its volume alone."""
    vouched = situation.past((EvidenceStated,), bath.since)
    noted = [each.event for each in vouched if getattr(each.event, "bath", "") == bath.tag]
    strengths = {getattr(each, "strength", "") for each in noted} or {_source_of(situation, said)}
    return said.volume_ml == bath.volume_ml and strengths == {_source_of(situation, said)}


def _source_of(situation: Situation, said: Amounts) -> str:
    """As the record has it: `single_use`."""
    percent = exactly(said.strengths[0])
    is_powder = fold(situation.vocabulary.word("powder")) in typed(situation).words
    strength = "" if isinstance(percent, Impossible) else shown(percent)
    return f"{'powder' if is_powder else 'bleach'} {strength} %"


def _not_tested(
    situation: Situation, bottle: StripBottle, strip: StripProduct, moment: Moment
) -> Decision:
    dipping = tuple(
        Move(each.id, go("dip", number=each.top.number))
        for each in situation.threads_here
        if (each.top.step, each.top.memo.get("strips")) == ("dip", bottle.tag)
    )
    failed = decided(situation, bottle, strip, moment, passed=False)
    return replace(failed, then=STAY, moves=dipping)


def _asked_when(situation: Situation, jug: str) -> Decision | None:
    """S5: its day is asked for once more: of two that are told the earlier counts."""
    asked = call("containers", "activate", back_to="fill", source=jug, doubted="yes")
    moves = [Move(each.id, asked) for each in situation.threads_here if is_poured_in(each, jug)]
    text = say(
        "containers.taken_back.active",
        "{tag} is noted as activated just now. If that was before, its day counts:",
        tag=jug,
    )
    return Decision(says=(Saying(text),), moves=tuple(moves)) if moves else None


def _not_for_use(situation: Situation, mixed: Container) -> Decision:
    """Mixed new, for one soak or to wipe with: what went by it since falls."""
    text = say(
        "containers.taken_back",
        "Then {tag} is not for use: throw it away, rinse and dry what it was in. Whatever was "
        "soaked in it or wiped with it does not count.",
        tag=mixed.tag,
    )
    events = never_good(mixed, NOT_VOUCHED_FOR)
    return Decision(events, (Saying(text),), moves=without_it(situation, mixed.tag))
