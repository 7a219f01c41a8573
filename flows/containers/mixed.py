"""MIXED and a lot: what was mixed is a container of its own, with a label (S5, S6)."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from zoneinfo import ZoneInfo

from flows.calculations.check_code import labelled_tag
from flows.calculations.chlorine import MIXED_LIFE_DAYS
from flows.containers.contents import contents
from flows.containers.label import lot_on_label, next_tag
from flows.containers.opened import lot_in
from flows.parts.clinic import Batch, Container, Fitness, Frame, Kind, Thread, bare_lot
from flows.parts.decision import BACK, DONE, STAY, Decision, Move, Opening, Saying, told
from flows.parts.events import Mixed
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.reading import typed
from flows.parts.situation import SINCE, Situation
from flows.parts.step import Step, hands
from flows.parts.stock import CHLORINE, stock_of
from flows.parts.text import Text, Value, say
from flows.replies import NotUnderstood
from flows.replies.choice import choose
from flows.replies.lots import NAMED
from flows.replies.typed import fold
from flows.rules.amount_words import volume
from flows.rules.container_life import Decided, discard_by, life_of_mix
from flows.rules.good_to import good_to_on_label
from flows.rules.strip import is_sound

DETERGENT = "detergent"
SOAK = "soak"
"""Chlorine that a device may soak in, once."""


@dataclass(frozen=True, slots=True)
class Batchwise:
    """What is to be mixed: *use* is 'detergent', 'chlorine' or 'soak'; *lot_of* what it is of."""

    use: str
    product: str
    strength: str
    volume_ml: Decimal
    lot_of: str
    wanted: str = ""
    """As it was asked for, where measuring makes it a little otherwise."""


def mixing(situation: Situation, recipe: Text, label: Text, batch: Batchwise) -> Decision:
    """The recipe; then that it was mixed is asked for, unless a cycle on this phone asks it."""
    if _is_in_a_cycle(situation):
        return told(recipe, label)
    memo = {
        "use": batch.use,
        "product": batch.product,
        "strength": batch.strength,
        "volume_ml": str(batch.volume_ml),
        "lot_of": batch.lot_of,
        "wanted": batch.wanted,
    }
    return Decision(
        says=(Saying(recipe),),
        opens=Opening((Frame("containers", "mixed", memo),)),
        moves=tuple(Move(each.id, DONE) for each in _put_right(situation, memo)),
    )


def _put_right(situation: Situation, memo: Mapping[str, str]) -> list[Thread]:
    """What was asked for just the same, but for how much: that amount was a slip.

    The very same once more is not: it counts from the first time (S5).
    """
    same = {key: memo[key] for key in ("use", "product", "lot_of")}
    if memo["use"] != DETERGENT:
        same["wanted"] = memo["wanted"]
    return [
        each
        for each in situation.threads_here
        if each.top.step == MIXED.name
        and same.items() <= each.top.memo.items()
        and {**each.top.memo, SINCE: ""} != {**memo, SINCE: ""}
    ]


def _is_in_a_cycle(situation: Situation) -> bool:
    threads = situation.clinic.threads.values()
    return any(each.phone == situation.phone.id and each.cycle for each in threads)


def _ask_mixed(situation: Situation) -> Text:
    """Which of them: two may be asked about at once."""
    memo = situation.frame.memo
    return say(
        "containers.mixed",
        "Mixed {volume} of {strength}? Reply {mixed} and the lot of the {product}, like {mixed} "
        "L77, or {mixed} {none}: I answer with the label. Not mixing it: {later}.",
        volume=volume(Decimal(memo["volume_ml"])),
        strength=memo["strength"],
        product=memo["lot_of"],
    )


def _ask_mixed_again(situation: Situation) -> Text:
    return say(
        "containers.mixed.again",
        "Mixed {volume} of {strength}? Reply {mixed} and its {product} lot alone: {mixed} {word} "
        "L77; {mixed} {none} if none can be read. Not mixing it: {later}.",
        volume=volume(Decimal(situation.frame.memo["volume_ml"])),
        strength=situation.frame.memo["strength"],
        product=situation.frame.memo["lot_of"],
        word=NAMED,
    )


@dataclass(frozen=True, slots=True)
class Done:
    """It was mixed, of that lot; of none that is known where that is empty."""

    lot: str
    named: frozenset[str] = frozenset()
    """By what it was told of which mixture, where two are asked about."""


def _read_mixed(situation: Situation) -> Done | str | NotUnderstood:
    """MIXED and a lot, or NONE for no lot; LATER where nothing was mixed."""
    said, words = typed(situation), situation.vocabulary
    first = choose(
        said.without(*said.words[1:]), {words.word(slug): slug for slug in ("mixed", "later")}
    )
    if isinstance(first, NotUnderstood) or first == "later":
        return first
    asked = _asked_about(situation)
    named = frozenset().union(*map(_called, asked)) if len(asked) > 1 else frozenset()
    rest = said.after(1).without(*named)
    named &= {*said.words}
    none = fold(words.word("none"))
    if none in rest.words:
        is_none = choose(rest, {none: none}) == none
        return Done("", named) if is_none else NotUnderstood("word")
    lot = lot_in(situation, rest)
    return Done(lot, named) if isinstance(lot, str) else NotUnderstood("word")


def _asked_about(situation: Situation) -> list[Thread]:
    """The mixtures that are asked about here, each other than the rest; its own first."""
    others = [
        each
        for each in situation.threads_here
        if each.top.step == MIXED.name and each.id != situation.open.id
    ]
    return [situation.open, *(each for each in others if _what(each) != _what(situation.open))]


def _what(thread: Thread) -> tuple[str, ...]:
    return tuple(thread.top.memo.get(key, "") for key in ("use", "lot_of", "strength"))


def _called(thread: Thread) -> frozenset[str]:
    """DETERGENT, or CHLORINE, BLEACH, 0.1%."""
    memo = thread.top.memo
    kind = DETERGENT if memo["use"] == DETERGENT else CHLORINE
    strength = memo["strength"].replace(" ", "")
    return frozenset({*fold(memo["lot_of"]).split(), fold(kind), fold(strength)})


def _after_mixed(situation: Situation, said: Done | str, moment: Moment) -> Decision:
    """S6, S10: of two that are asked about it is told which was mixed; a lot decides none."""
    if isinstance(said, str):
        return Decision(says=(Saying(_not_yet()),), then=BACK)
    asked = _asked_about(situation)
    meant = [each for each in asked if not said.named or said.named & _called(each)]
    if len(meant) != 1:
        return told(_which_of_both(situation, said, asked))
    if meant[0].id == situation.open.id:
        return _is_mixed(situation, said, moment)
    mixed = _is_mixed(replace(situation, thread=meant[0]), said, moment)
    return replace(mixed, then=STAY, moves=(Move(meant[0].id, DONE),))


def _which_of_both(situation: Situation, said: Done, asked: list[Thread]) -> Text:
    first, second = (_as_called(each, asked) for each in asked[:2])
    return say(
        "containers.mixed.which",
        "Which of the two is mixed? Reply {mixed} {mixture_a} {lot}, or {mixed} {mixture_b} "
        "{lot}. Nothing is noted yet.",
        mixture_a=first,
        mixture_b=second,
        lot=said.lot or situation.vocabulary.word("none"),
    )


def _as_called(thread: Thread, asked: list[Thread]) -> str:
    kinds = [each.top.memo["use"] == DETERGENT for each in asked]
    memo = thread.top.memo
    if kinds.count(memo["use"] == DETERGENT) > 1:
        return memo["strength"].replace(" ", "")
    return DETERGENT.upper() if memo["use"] == DETERGENT else CHLORINE.upper()


def _is_mixed(situation: Situation, said: Done, moment: Moment) -> Decision:
    """S5: it counts from the question, the earliest that it can have been mixed."""
    memo = situation.frame.memo
    at = situation.first_asked
    bottles = _bottles(situation, said.lot)
    good = [each for each in bottles if is_sound(each, moment.now)]
    recalled = situation.clinic.recall_of(Batch(memo["product"], said.lot))
    if bottles and not good and not recalled:
        return Decision(says=(Saying(_of_what_is_over(bottles)),), then=BACK)
    own = life_of_mix(at, MIXED_LIFE_DAYS, situation.zone)
    life = discard_by([own, *(Decided(each.discard_by, each.because) for each in good)])
    if life.moment <= moment.now:
        return Decision(says=(Saying(_over_already()),), then=BACK)
    mixed = Mixed(
        tag=next_tag(situation, "M"),
        product=memo["product"],
        strength=memo["strength"],
        volume_ml=Decimal(memo["volume_ml"]),
        lot=said.lot,
        mixed=at,
        discard_by=life.moment,
        because=life.because,
        source=good[0].tag if said.lot and len(good) == 1 else "",
    )
    words = (
        _recalled(mixed)
        if recalled
        else label_of_mix(mixed, memo["use"], memo["lot_of"], situation.zone)
    )
    return Decision(events=(mixed,), says=(Saying(words),), then=BACK)


def _bottles(situation: Situation, lot: str) -> list[Container]:
    """S5: what it can have been mixed from, by its lot; of none that was read, whatever stands."""
    batch = Batch(situation.frame.memo["product"], lot)
    jugs = [each for each in situation.clinic.containers.values() if each.kind is Kind.JUG]
    return [
        each
        for each in jugs
        if stock_of(each.product) == batch.product
        and each.fitness is not Fitness.DISCARDED
        and (not lot or bare_lot(each.lot) == bare_lot(lot))
    ]


def _of_what_is_over(bottles: list[Container]) -> Text:
    """S5: nothing outlives what it is made of."""
    return say(
        "containers.mixed.of_what_is_over",
        "{listed}: not for use any more, so nor is what is mixed from it: throw that away too. "
        "From another bottle? {open} it, mix anew: {mix}.",
        listed=listed([each.tag for each in bottles]),
    )


def _over_already() -> Text:
    """S5: mixed before midnight, told after it: no label for what its day is over."""
    return say(
        "containers.mixed.over",
        "It was mixed before midnight, or its time is up: its day is over. Throw it away, mix it "
        "anew: {mix}.",
    )


def _not_yet() -> Text:
    return say("containers.mixed.later", "All right, nothing is noted as mixed. Later: {mix} 2 L.")


def _recalled(mixed: Mixed) -> Text:
    return say(
        "containers.mixed.recalled",
        "A lot of that is recalled: {tag} is not for use. Write RECALLED, DO NOT USE on it, set "
        "it aside, mix from another lot.",
        tag=mixed.tag,
    )


def label_of_mix(mixed: Mixed, use: str, title: str, zone: ZoneInfo) -> Text:
    """What to write on a batch: *use* is what it is for, *title* what it is of."""
    values: dict[str, Value] = {
        "label": labelled_tag(mixed.tag),
        "strength": mixed.strength,
        "lot": lot_on_label(mixed.lot),
        "time": mixed.mixed,
        "good_to": good_to_on_label(mixed.discard_by, zone),
    }
    if use == DETERGENT:
        return say(
            "containers.mixed.detergent",
            "Write on it: {label} {contents} {strength}, lot {lot}, mixed {time}, good to "
            "{good_to}, one probe only. Name too.",
            contents=contents(title, mixed.volume_ml),
            **values,
        )
    values["volume"] = volume(mixed.volume_ml)
    if use == SOAK:
        return say(
            "containers.mixed.soak",
            "Write on it: {label} {volume} chlorine {strength}, lot {lot}, mixed {time}, good to "
            "{good_to}, to wipe, NOT to soak. Name and date too.",
            **values,
        )
    return say(
        "containers.mixed.chlorine",
        "Write on it: {label} {volume} chlorine {strength}, lot {lot}, mixed {time}, good to "
        "{good_to}, NOT for a probe. Name and date too.",
        **values,
    )


MIXED = Step(
    name="mixed",
    asks=_ask_mixed,
    again=_ask_mixed_again,
    asks_brief=_ask_mixed,
    reads=_read_mixed,
    decides=_after_mixed,
    answers=("mixed", "none", "later"),
    at_least=hands(10),
    anew=True,
    ages=True,
)
