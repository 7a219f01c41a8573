"""DISCARD T1, DISCARD S1: what somebody says was thrown away, and how it is made harmless."""

from datetime import timedelta
from itertools import pairwise

from flows.calculations.neutralising import neutraliser_g
from flows.containers.one_life import product_here
from flows.containers.pour import is_poured_in
from flows.containers.standing import unknown_here, was_here
from flows.containers.thrown_away import said_to_be_thrown_away
from flows.parts.clinic import Container, Cycle, Fitness, Role, StripBottle
from flows.parts.decision import BACK, Decision, Move, Saying, go, lacking, told
from flows.parts.events import ContainerDiscarded
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.reading import tags_named, typed
from flows.parts.situation import Situation, protocol_of
from flows.parts.state.dips import is_to_be_read
from flows.parts.text import Text, say
from flows.protocols.model import Chemistry
from flows.replies.denied import NOT_SO
from flows.replies.tags import TAG, tags_in
from flows.replies.typed import POLITE, fold
from flows.rules.amount_words import volume
from flows.rules.recall import recalled, set_aside
from flows.rules.soak import clock_time, is_out
from flows.rules.strip import BOTTLE_DAILY

NEEDS_A_BATH = frozenset({"container", "immerse"})
"""Steps of a cycle at which the device is about to go into the bath that was chosen."""

NEEDS_ITS_BATH = frozenset({"warm", "back_in"})
"""Steps at which it has been in it: no other bath takes it uncleaned, as those steps say (S3)."""


_SAID_BESIDE = POLITE | {
    *("AND", "ALSO", "BOTH", "THE", "OLD", "IS", "ARE", "IT", "OF", "WITH"),
    *("JUG", "JUGS", "BOTTLE", "BOTTLES", "BATH", "BATHS", "TUB", "TUBS", "STRIP", "STRIPS"),
    *("GONE", "DONE", "THROWN", "AWAY"),
}
"""What people say beside tags that leaves a discard what it is: a thing done."""

_VERBS, _TURNED = frozenset({"IS", "ARE"}), frozenset({"IT", "THE"})
"""Before what they are said of they ask: is J1 gone, is it gone."""


def discard(situation: Situation, _: Moment) -> Decision:
    """DISCARD T1 B1: what somebody says was thrown away; nothing is discarded that nobody said."""
    named = tags_named(situation)
    if not named:
        text = say("discard.which", "Which one was thrown away? Its tag, like {discard} T1.")
        return lacking(text)
    if _may_be_no_discard(situation):
        return told(_asked_whether(named[0]))
    unknown = [each for each in named if isinstance(each, str)]
    in_use = [each for each in named if isinstance(each, Container) and each.in_use_by]
    here = [each for each in named if not isinstance(each, str) and each not in in_use]
    gone = [each for each in here if each.fitness is not Fitness.DISCARDED]
    texts = (
        *_noted(situation, [each for each in here if not recalled(situation.clinic, each)]),
        *(_recalled(situation, each) for each in here if recalled(situation.clinic, each)),
        *(_is_in_it(situation, each) for each in in_use),
        *_not_known(situation, unknown, gone),
    )
    return Decision(
        events=tuple(
            ContainerDiscarded(each.tag, set_aside(situation.clinic, each)) for each in gone
        ),
        says=tuple(map(Saying, texts)),
        moves=tuple(move for each in gone for move in without_it(situation, each.tag)),
    )


def _may_be_no_discard(situation: Situation) -> bool:
    """S5, S6: a question, a plan, a denial, or a word that nobody has read.

    What is noted as gone gives way to the next one's later date, and nothing brings it back.
    """
    said = typed(situation)
    tags = {fold(each) for each in (*situation.clinic.containers, *situation.clinic.strips)}
    beside = [each for each in said.words[1:] if each not in tags and not TAG.fullmatch(each)]
    pairs = pairwise(said.words)
    is_turned = any(verb in _VERBS and of in _TURNED for verb, of in pairs)
    asks = said.asks or is_turned or not _VERBS.isdisjoint(said.words[1:2])
    return asks or not _SAID_BESIDE.issuperset(beside)


def _asked_whether(named: Container | StripBottle | str) -> Text:
    return say(
        "discard.whether",
        "Nothing is noted yet: I did not read all of that. Once it is thrown away, text {discard} "
        "and the tag alone, like {discard} {tag}.",
        tag=named if isinstance(named, str) else named.tag,
    )


def said_to_be_empty(situation: Situation) -> Text | None:
    """J1 IS EMPTY, or EMPTY: it is no discard yet, and nobody is left to guess what would be.

    T1 WAS NOT EMPTY tells the contrary.
    """
    words, empty = typed(situation).words, fold(situation.vocabulary.word("empty"))
    is_denied = any(each == empty and before in NOT_SO for before, each in pairwise(words))
    if empty not in words or is_denied:
        return said_to_be_thrown_away(situation)
    tags = [*tags_in(words).values()]
    if not tags:
        return say(
            "discard.empty.which",
            "What is empty? Once it is thrown away text {discard} and its tag, like {discard} "
            "J1. A new one: {open}, {pour} or {open} S.",
        )
    return say(
        "discard.empty",
        "Is {tag} empty? Nothing is noted of it yet. Once it is thrown away: {discard} {tag}.",
        tag=tags[0],
    )


def _is_in_it(situation: Situation, container: Container) -> Text:
    """S3: nobody is told to break a soak that goes on; what is out already is said so."""
    cycle = situation.clinic.cycles[container.in_use_by or ""]
    soak = cycle.contact
    if is_out(situation.clinic, cycle):
        return say(
            "discard.in_use.reading",
            "Nothing is noted of {tag} yet: its temperature is still asked for, as {device} came "
            "out. Answer that first, then {discard} {tag}.",
            device=cycle.device,
            tag=container.tag,
        )
    if soak is None or soak.rung:
        return say(
            "discard.in_use",
            "{device} is still in {tag}, so nothing is noted of it. Take it out first: text "
            "{out} and the number in the bell's text, then {discard} {tag}.",
            device=cycle.device,
            tag=container.tag,
        )
    return say(
        "discard.in_use.soaking",
        "{device} stays in {tag} until {until}, so nothing is noted of it. Out or moved already? "
        "Text {out}. Else leave it; {discard} {tag} once {device} is out.",
        device=cycle.device,
        tag=container.tag,
        until=clock_time(soak.due),
    )


def _not_known(
    situation: Situation, unknown: list[str], gone: list[Container | StripBottle]
) -> tuple[Text, ...]:
    """What has left already is said to be gone; else what stands here."""
    left = [each for each in unknown if was_here(situation, each)]
    strange = [each for each in unknown if each not in left]
    texts = [unknown_here(situation, each) for each in left[:1]]
    return (*texts, *([_stranger(situation, strange, gone)] if strange else ()))


def _stranger(
    situation: Situation, unknown: list[str], gone: list[Container | StripBottle]
) -> Text:
    """What bears the same letter first: a figure is misread more often than a letter."""
    clinic = situation.clinic
    things: list[Container | StripBottle] = [*clinic.containers.values(), *clinic.strips.values()]
    kept = [each for each in things if each.fitness is not Fitness.DISCARDED and each not in gone]
    here = [each.tag for each in kept]
    here.sort(key=lambda tag: tag[0] != unknown[0][0])
    return say(
        "discard.unknown",
        "Not known here, so nothing is noted of it: {listed}. There are: {tags}. Which one was "
        "thrown away? Like {discard} T1.",
        listed=listed(unknown),
        tags=listed(here),
    )


def _noted(situation: Situation, gone: list[Container | StripBottle]) -> list[Text]:
    """Where its product must be neutralised before it is poured away, who tells how much."""
    by_neutraliser: dict[str, list[str]] = {}
    if len(gone) == 1 and (how_much := _with_its_amount(situation, gone[0])):
        return [how_much]
    for each in gone:
        by_neutraliser.setdefault(_neutraliser(situation, each), []).append(each.tag)
    return [
        _harmless_first(tags, neutraliser) if neutraliser else _are_noted(tags)
        for neutraliser, tags in by_neutraliser.items()
    ]


def _with_its_amount(situation: Situation, one: Container | StripBottle) -> Text | None:
    """How much makes it harmless, where its volume is known and its product asks for it."""
    product = product_here(situation, one.product)
    if not isinstance(one, Container) or not isinstance(product, Chemistry):
        return None
    if one.volume_ml is None or product.neutraliser_g_per_l is None:
        return None
    grams = neutraliser_g(one.volume_ml, product.neutraliser_g_per_l)
    return say(
        "discard.done.neutralise.amount",
        "{tag} is noted as thrown away. Before it goes down the drain: {amount} g {neutraliser} "
        "to {volume}, wait {span}. Another amount: {mix} {waste} 2 L.",
        tag=one.tag,
        amount=grams if isinstance(grams, int) else 0,
        neutraliser=product.neutraliser or "",
        volume=volume(one.volume_ml),
        span=product.neutralise_for or timedelta(0),
    )


def _recalled(situation: Situation, one: Container | StripBottle) -> Text:
    """S7, S18: it is noted as said, though it was to be kept; a supervisor has seen to it."""
    tag = one.tag
    if one.fitness is Fitness.DISCARDED:
        return say(
            "discard.done.recalled.already",
            "{tag} is noted as gone already. It is recalled: if it still stands here do not pour "
            "it away; write RECALLED, DO NOT USE on it, set it aside.",
            tag=tag,
        )
    if situation.who.role is Role.SUPERVISOR:
        return say(
            "discard.done.recalled.contact",
            "{tag}, recalled, is noted as gone, on your word: sent back, or disposed of as its "
            "maker has said.",
            tag=tag,
        )
    return say(
        "discard.done.recalled",
        "{tag} is noted as gone. It is recalled: if it still stands here do not pour it away; "
        "write RECALLED, DO NOT USE on it, set it aside. Your contact is told.",
        tag=tag,
    )


def _neutraliser(situation: Situation, thing: Container | StripBottle) -> str:
    product = product_here(situation, thing.product)
    return (product.neutraliser or "") if isinstance(product, Chemistry) else ""


def _are_noted(tags: list[str]) -> Text:
    if len(tags) == 1:
        return say("discard.done", "{tag} is noted as thrown away.", tag=tags[0])
    return say("discard.done.all", "{tags} are noted as thrown away.", tags=listed(tags))


def _harmless_first(tags: list[str], neutraliser: str) -> Text:
    if len(tags) == 1:
        return say(
            "discard.done.neutralise",
            "{tag} is noted as thrown away. Before it goes down the drain {neutraliser} makes it "
            "harmless: {mix} {waste} 2 L says how much.",
            tag=tags[0],
            neutraliser=neutraliser,
        )
    return say(
        "discard.done.all.neutralise",
        "{tags} are noted as thrown away. Before they go down the drain {neutraliser} makes them "
        "harmless: {mix} {waste} 2 L says how much.",
        tags=listed(tags),
        neutraliser=neutraliser,
    )


def without_it(situation: Situation, tag: str) -> tuple[Move, ...]:
    """Whoever was about to dip in it or to use it is led to another at once.

    S4: a strip that was dipped still counts: what it shows is asked for once more.

    S6: of those who pour from it, or dip a strip of it, only the one who says so: what another has
    just poured from it must not be noted as poured from something else.
    """
    threads = situation.clinic.threads.values()
    pouring = [
        Move(thread.id, go("fill"))
        for thread in situation.threads_here
        if is_poured_in(thread, tag)
    ]
    testing = [
        Move(thread.id, go("read") if is_to_be_read(thread) else BACK)
        for thread in threads
        if thread.top.memo.get("container") == tag
    ]
    dipping = [
        Move(thread.id, go("dip", number=thread.top.number))
        for thread in situation.threads_here
        if (thread.top.step, thread.top.memo.get("strips")) == ("dip", tag)
    ]
    return (*testing, *pouring, *dipping, *without_its_bath(situation, tag))


def without_its_bath(situation: Situation, tag: str) -> tuple[Move, ...]:
    """S4, S5: whoever was about to put a device in it hears of another, or what it needs first."""
    threads, cycles = situation.clinic.threads.values(), situation.clinic.cycles
    of_it = [
        each
        for each in threads
        if each.top.flow == "cycle" and _rests_on(situation, cycles[each.cycle or ""], tag)
    ]
    choosing = [Move(each.id, go("bath")) for each in of_it if each.top.step in NEEDS_A_BATH]
    out_of_it = [
        Move(each.id, go(each.top.step, number=each.number))
        for each in of_it
        if each.top.step in NEEDS_ITS_BATH
    ]
    return (*choosing, *out_of_it)


def _rests_on(situation: Situation, cycle: Cycle, tag: str) -> bool:
    """S4: on that bath; or on the pass of that bottle, where the site tests its bottles."""
    bath = situation.clinic.containers.get(cycle.bath or "")
    tests_bottles = protocol_of(cycle).strip_policy == BOTTLE_DAILY
    return cycle.bath == tag or (tests_bottles and bath is not None and bath.source == tag)
