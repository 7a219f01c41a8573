"""OPEN and POUR as commands of their own, outside a cycle."""

from collections.abc import Sequence

from flows.containers.behind_open import TOLD
from flows.containers.how_much import VOLUME, said_with_pour, taken_out
from flows.containers.one_life import (
    held_for_a_strip,
    is_for_use,
    not_for_use,
    title_here,
)
from flows.containers.other_label import that_date_stays, told_otherwise
from flows.containers.pour import lasts_its_soak
from flows.containers.which_product import meant, of_no_use, told_apart
from flows.parts.clinic import Container, Cycle, Fitness, Frame, Kind, StripBottle, Thread
from flows.parts.decision import Decision, Move, Next, Opening, Turn, told
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.reading import tags_named, typed
from flows.parts.situation import Situation, protocol_of
from flows.parts.text import Text, say
from flows.protocols.model import CycleProtocol
from flows.replies.choice import is_one_slip
from flows.replies.gone_by import tells_of_before, tells_of_before_beside_a_date
from flows.replies.tags import TAG
from flows.replies.typed import POLITE, fold
from flows.rules.good_to import good_to
from flows.rules.strip import is_sound, is_usable, may_be_tested, none_exists

_KINDS = frozenset({"JUG", "NEW", "ANOTHER", "THE", "BOTTLE", "OF", "WITH"})
"""What people call what they open."""
_UNREAD = "?"
"""A question opens nothing: that is no date and no lot."""
_PARTS = frozenset({"%", "-", "/", ",", ".", ":"})
"""Signs that part what is written in order."""
_STRIPS = "STRIPS"
_SHORTEST_BEGUN = 3
SOURCES = frozenset({Kind.JUG, Kind.BOTTLE})


def open_command(situation: Situation, moment: Moment) -> Decision:
    """OPEN: a new jug; OPEN S: a new bottle of strips; OPEN J1: since when J1 is open."""
    known = _tag_behind_it(situation)
    if known:
        return _opened_before(situation, known, moment)
    if tells_of_before_beside_a_date(typed(situation).words[1:]):
        return told(_was_opened_before())
    elsewhere = of_no_use(situation)
    if elsewhere:
        return told(elsewhere)
    step = "strips" if any(map(_means_strips, typed(situation).words[1:])) else "jug"
    word = situation.vocabulary.word("open")
    of = meant(situation, example=f"{word} S {{}}" if step == "strips" else f"{word} {{}}")
    if isinstance(of, Text):
        return told(of)
    if step == "strips" and of.chemistry.is_single_use:
        return told(none_exists(of.chemistry))
    product = told_apart(situation, of)
    began = _at_the_lot(situation, f"{step}_lot")
    told_with_it = _behind_it(situation, of, step)
    anew = tuple(
        Move(each.id, Next(Turn.GO, step, memo={**product, **told_with_it})) for each in began
    )
    frame = Frame("containers", step, {"kind": step, **product, **told_with_it})
    return Decision(moves=anew, opens=None if anew else Opening((frame,)))


def _tag_behind_it(situation: Situation) -> Container | StripBottle | str | None:
    """A tag only where it stands first: behind a date, B77 may be a lot."""
    words = [each for each in typed(situation).words[1:] if each not in _KINDS]
    named = next(iter(tags_named(situation)), None)
    tag = named if isinstance(named, str) else named.tag if named else None
    return named if tag and words[0].startswith(fold(tag)) else None


def _behind_it(situation: Situation, of: CycleProtocol, step: str) -> dict[str, str]:
    """All that is no name of what is opened; it is read, or asked for, whole.

    A jug has a volume, and that is no part of its date or its lot.
    """
    names = {each.strip("%") for each in fold(of.chemistry.title).split()}
    names |= {*map(fold, situation.clinic.devices), *POLITE, *_KINDS}
    said = typed(situation)
    words: Sequence[str] = [each for each in said.words[1:] if each.strip("%") not in names]
    words = [each for each in words if not _means_strips(each)]
    if _has_a_figure(words) and (said.asks or _has_a_lone_sign(said.text)):
        return {TOLD: _UNREAD, VOLUME: ""}
    ml, words = taken_out(words) if step == "jug" else (None, words)
    return {
        TOLD: " ".join(words) if _has_a_figure(words) else "",
        VOLUME: str(ml) if ml else "",
    }


def _has_a_figure(words: Sequence[str]) -> bool:
    return any(letter.isdecimal() for word in words for letter in word)


def _has_a_lone_sign(text: str) -> bool:
    """S18: D44 ? 7: what stands alone and is no word may be what nobody could read."""
    bare = (each for each in text.split() if not any(map(str.isalnum, each)))
    return any(each not in _PARTS for each in bare)


def _opened_before(
    situation: Situation, known: Container | StripBottle | str, moment: Moment
) -> Decision:
    """S5: what bears a tag has been opened before: it is no new one, with a later date."""
    if isinstance(known, str):
        return told(_not_here(known))
    if isinstance(known, Container) and not is_for_use(situation, known, moment):
        return told(not_for_use(situation, known, moment))
    words = [each for each in typed(situation).words[1:] if not TAG.fullmatch(each)]
    of_a_label = isinstance(known, StripBottle) or known.kind is Kind.JUG
    otherwise = told_otherwise(situation, known, words, moment) if of_a_label else None
    if otherwise:
        return otherwise
    if isinstance(known, StripBottle) and not is_usable(known, moment.now):
        return told(_strips_not_for_use(known))
    return told(that_date_stays(situation, known))


def _means_strips(word: str) -> bool:
    """S, STRIPS, one slip of it, or cut short; wherever it stands: OPEN OPA STRIPS."""
    is_begun = len(word) >= _SHORTEST_BEGUN and _STRIPS.startswith(word)
    return word in {"S", "STRIP"} or is_begun or is_one_slip(word, _STRIPS)


def _not_here(tag: str) -> Text:
    return say(
        "containers.open.unknown",
        "There is no {tag} here, so nothing is opened. The tag comes from me: for a new jug text "
        "{open}, for new strips {open} S.",
        tag=tag,
    )


def _strips_not_for_use(bottle: StripBottle) -> Text:
    return say(
        "containers.open.strips",
        "{tag} is not for use: {state} {tag} says why. For new strips text {open} S.",
        tag=bottle.tag,
    )


def _was_opened_before() -> Text:
    """S5: its open life runs from then: by text it would be new."""
    return say(
        "containers.open.before",
        "By text only what is opened just now, so nothing is noted. Was it before? Then your "
        "contact enters it with its day. Opened now: {open}, for strips {open} S.",
    )


def _at_the_lot(situation: Situation, step: str) -> list[Thread]:
    """S10: where one is being opened already, its expiry is asked for again, and nothing twice."""
    mine = situation.threads_here
    return [each for each in mine if (each.top.flow, each.top.step) == ("containers", step)][-1:]


def pour_command(situation: Situation, moment: Moment) -> Decision:
    """POUR: a bath from the working bottle; POUR J1: a working bottle from that jug."""
    if tells_of_before(typed(situation).words[1:]):
        return told(_was_poured_before(next(iter(tags_named(situation)), None)))
    return _pours(situation, moment)


def _pours(situation: Situation, moment: Moment) -> Decision:
    """What is named is never replaced by another."""
    named, into = (*tags_named(situation), None, None)[:2]
    if named is None:
        example = f"{situation.vocabulary.word('pour')} {{}}"
        of = of_no_use(situation) or meant(situation, example=example)
        if isinstance(of, Text):
            return told(of)
        return _asks_to_pour(situation, Kind.BATH, of, **told_apart(situation, of))
    if not isinstance(named, Container) or named.kind not in SOURCES:
        return told(_nothing_from(situation, named, moment))
    why_not = _why_not(situation, named, moment)
    if why_not:
        return told(why_not)
    if isinstance(into, Container) and into.fitness is not Fitness.DISCARDED:
        return told(_stands_already(named, into))
    kind = Kind.BOTTLE if named.kind is Kind.JUG else Kind.BATH
    protocol = situation.protocol_for(named.product) or situation.todays
    return _asks_to_pour(situation, kind, protocol, source=named.tag, product=named.product)


def _was_poured_before(named: Container | StripBottle | str | None) -> Text:
    """S5: nobody can say by text how old it is: the desk enters it with its day."""
    tag = "" if named is None else named if isinstance(named, str) else named.tag
    if not tag:
        return say(
            "containers.pour.before",
            "By text only what is poured just now, so nothing is noted. Was it before? Then your "
            "contact enters it with its day; until then do not use it. To pour now: {pour}.",
        )
    return say(
        "containers.pour.before.of",
        "By text only what is poured just now, so nothing is noted. Was it before? Then your "
        "contact enters it with its day; until then do not use it. Now: {pour} {source}.",
        source=tag,
    )


def _stands_already(source: Container, into: Container) -> Text:
    """S6: what is poured onto a rest is not for use, nor is the rest."""
    return say(
        "containers.pour.onto",
        "{tag} stands here: nothing is poured onto what is in it. Is {tag} empty and thrown away? "
        "Text {discard} {tag}, then {pour} {source}: it gets a tag of its own.",
        tag=into.tag,
        source=source.tag,
    )


def _asks_to_pour(
    situation: Situation, kind: Kind, protocol: CycleProtocol, **source: str
) -> Decision:
    said = said_with_pour(situation, kind, protocol)
    if isinstance(said, Text):
        return told(said)
    held = {VOLUME: str(said)} if said else {}
    memo = {"kind": kind.value, **source, **held}
    return Decision(opens=Opening((Frame("containers", "fill", memo),)))


def _nothing_from(
    situation: Situation, named: Container | StripBottle | str, moment: Moment
) -> Text:
    """A tag that nothing here bears, or one of a bath, of strips or of what was mixed."""
    good = [each for each in situation.clinic.containers.values() if is_sound(each, moment.now)]
    jugs = listed([each.tag for each in good if each.kind is Kind.JUG])
    bottles = listed([each.tag for each in good if each.kind is Kind.BOTTLE])
    if isinstance(named, str):
        return say(
            "containers.pour.unknown",
            "There is no {tag} here. To pour from: jugs {listed}; bottles {tags}.",
            tag=named,
            listed=jugs,
            tags=bottles,
        )
    return say(
        "containers.pour.no_source",
        "{tag} is no jug and no bottle: nothing is poured from it. To pour from: jugs {listed}; "
        "bottles {tags}.",
        tag=named.tag,
        listed=jugs,
        tags=bottles,
    )


def _why_not(situation: Situation, source: Container, moment: Moment) -> Text | None:
    """S4, S5: it is not for use, of what is poured elsewhere, or ends before a soak would."""
    if not is_sound(source, moment.now):
        if may_be_tested(source, moment.now):
            return held_for_a_strip(source.tag)
        return say(
            "containers.pour.not_from",
            "{tag} is not for use: {state} {tag} says why. {pour} alone takes what is in date.",
            tag=source.tag,
        )
    poured = _poured_here(situation, source.product)
    if poured is None:
        return say(
            "containers.pour.other_product",
            "{tag} holds {product}, and no probe here is soaked in that. {pour} alone takes what "
            "is poured here.",
            tag=source.tag,
            product=title_here(situation, source.product),
        )
    if lasts_its_soak(source, *poured, moment):
        return None
    return say(
        "containers.pour.ends",
        "{tag} is good to {good_to} only: too short for a soak, so nothing is poured from it. "
        "{pour} alone takes another.",
        tag=source.tag,
        good_to=good_to(source.discard_by, situation.zone),
    )


def _poured_here(situation: Situation, product: str) -> tuple[Cycle | None, CycleProtocol] | None:
    """By what it is poured on this phone: the cycle that soaks in it, if any, and its protocol."""
    protocol = situation.protocol_for(product)
    if protocol is None:
        return None
    mine = situation.cycles_on_phone
    soaks = (each for each in mine if protocol_of(each).chemistry.name == product)
    return next(soaks, None), protocol
