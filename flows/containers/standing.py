"""STATE: which devices are ready, and how every container stands; STATE T1: one of them."""

from collections.abc import Sequence

from flows.containers.one_life import (
    has_pass,
    is_for_use,
    lacks_its_activator,
    life_of,
    life_of_strips,
)
from flows.parts.clinic import Container, Fitness, Kind, StripBottle
from flows.parts.decision import Decision, told
from flows.parts.listed import listed
from flows.parts.moment import Moment
from flows.parts.reading import tags_named, typed
from flows.parts.situation import Situation
from flows.parts.state.solutions import last_given
from flows.parts.text import Text, say
from flows.replies.tags import TAG
from flows.replies.typed import POLITE, fold
from flows.rules.good_to import good_to_in_row
from flows.rules.recall import set_aside
from flows.rules.release import is_ready
from flows.rules.soak import is_out
from flows.rules.strip import is_usable

ROWS = 4
"""So many containers fit one text."""
MOST_ROWS = 8
"""What else there is, is counted: STATE is three texts at most."""
MOST_LIVES = 2
"""Of what is named: each is told in two texts."""

_ORDER = {Kind.BATH: 0, Kind.BOTTLE: 1, Kind.JUG: 2, Kind.MIXED: 4}
_STRIPS = 3


def state(situation: Situation, moment: Moment) -> Decision:
    """How everything stands, or what is named: STATE, STATE V1, STATE T1, STATE S1 J1."""
    named = tags_named(situation)
    if any(not isinstance(each, str) for each in named):
        lives = (text for each in named[:MOST_LIVES] for text in _life(situation, each, moment))
        return told(*lives, *_and_the_rest(named[MOST_LIVES:]))
    words = [each for each in typed(situation).words[1:] if each not in POLITE]
    devices = [
        device
        for device in situation.clinic.devices.values()
        if not words or fold(device.label) in words
    ]
    if words and not devices:
        return told(unknown_here(situation, words[0]))
    ready = [each.label for each in devices if is_ready(each, moment.now)]
    if words:
        others = [each.label for each in devices if each.label not in ready]
        return told(_of_those(ready, others))
    text = say(
        "state",
        "Ready: {devices}. Of {count} devices; all others NOT READY. More: {check} V1, "
        "{state} T1.",
        devices=listed(ready),
        count=len(situation.clinic.devices),
    )
    return told(text, *_table(situation, moment))


def _of_those(ready: Sequence[str], others: Sequence[str]) -> Text:
    """Of what is named and of nothing else: what is not may be ready too."""
    return say(
        "state.of_devices",
        "Ready: {devices}. NOT READY: {not_ready}. More: {check} {device}.",
        devices=listed(ready),
        not_ready=listed(others),
        device=[*ready, *others][0],
    )


def _and_the_rest(named: Sequence[Container | StripBottle | str]) -> list[Text]:
    if not named:
        return []
    tags = [each if isinstance(each, str) else each.tag for each in named]
    return [
        say(
            "state.rest",
            "Two at a time, please. Now the rest: {state} {tags}.",
            tags=" ".join(tags[:3]),
        )
    ]


def _life(
    situation: Situation, named: Container | StripBottle | str, moment: Moment
) -> tuple[Text, ...]:
    if isinstance(named, Container):
        return life_of(situation, named, moment)
    if isinstance(named, StripBottle):
        return life_of_strips(situation, named, moment)
    return (unknown_here(situation, named),)


def unknown_here(situation: Situation, word: str) -> Text:
    """What bore a tag and has left the clinic with all that came from it is not unknown."""
    if was_here(situation, word):
        return say(
            "state.none_here",
            "No {tag} stands here now: it was thrown away, or its day is over. Everything: "
            "{state}.",
            tag=word.partition("-")[0],
        )
    return say("state.unknown_here", "I know no {word} here. Everything: {state}.", word=word[:9])


def was_here(situation: Situation, word: str) -> bool:
    """Whether something here has borne that tag: numbers go up, and none is given twice."""
    tag = TAG.fullmatch(word)
    return tag is not None and int(tag[1][1:]) <= last_given(situation.site.given, tag[1][0])


# -- all of them --------------------------------------------------------------------------------


def _table(situation: Situation, moment: Moment) -> list[Text]:
    """What is kept here, what is for use first; four to a text."""
    clinic = situation.clinic
    things: list[Container | StripBottle] = [*clinic.containers.values(), *clinic.strips.values()]
    kept = [each for each in things if each.fitness is not Fitness.DISCARDED]
    kept.sort(key=lambda each: (not _is_usable(situation, each, moment), _place(each)))
    rows = [_row_of(situation, each, moment) for each in kept]
    shown = rows if len(rows) <= MOST_ROWS else rows[: MOST_ROWS - 1]
    if len(rows) > len(shown):
        shown = [*shown, _more(situation, kept[len(shown) :], moment)]
    return [_in_one(shown[at : at + ROWS]) for at in range(0, len(shown), ROWS)]


def _place(one: Container | StripBottle) -> int:
    return _STRIPS if isinstance(one, StripBottle) else _ORDER[one.kind]


def _row_of(situation: Situation, one: Container | StripBottle, moment: Moment) -> Text:
    if isinstance(one, StripBottle):
        return _strips_row(situation, one, moment)
    return _row(situation, one, moment)


def _more(situation: Situation, hidden: Sequence[Container | StripBottle], moment: Moment) -> Text:
    """What there is no room for; S4, S18: that some of it must not be used is not left out."""
    unfit = [each for each in hidden if not _is_usable(situation, each, moment)]
    if not unfit:
        return say("state.row.more", "{count} more", count=len(hidden))
    return say(
        "state.row.more.unfit",
        "{count} more, NOT FOR USE {total}",
        count=len(hidden),
        total=len(unfit),
    )


def _is_usable(situation: Situation, one: Container | StripBottle, moment: Moment) -> bool:
    if isinstance(one, StripBottle):
        return is_usable(one, moment.now) and situation.uses(one.product)
    return is_for_use(situation, one, moment)


def _in_one(rows: Sequence[Text]) -> Text:
    row_a = rows[0]
    row_b, row_c, row_d = (*rows[1:], None, None, None)[: ROWS - 1]
    if row_d and row_c and row_b:
        return say(
            "state.rows.4",
            "{row_a}; {row_b}; {row_c}; {row_d}.",
            row_a=row_a,
            row_b=row_b,
            row_c=row_c,
            row_d=row_d,
        )
    if row_c and row_b:
        return say(
            "state.rows.3", "{row_a}; {row_b}; {row_c}.", row_a=row_a, row_b=row_b, row_c=row_c
        )
    if row_b:
        return say("state.rows.2", "{row_a}; {row_b}.", row_a=row_a, row_b=row_b)
    return say("state.rows.1", "{row_a}.", row_a=row_a)


def _row(situation: Situation, container: Container, moment: Moment) -> Text:
    tag, ends = container.tag, good_to_in_row(container.discard_by, situation.zone)
    if not is_for_use(situation, container, moment):
        return _row_not(situation, container, moment)
    cycle = situation.clinic.cycles.get(container.in_use_by or "")
    if cycle and not is_out(situation.clinic, cycle):
        return say(
            "state.row.in_use",
            "{tag} {good_to_row}, {device} in it",
            tag=tag,
            good_to_row=ends,
            device=cycle.device,
        )
    if container.kind is Kind.BATH and has_pass(container, moment):
        return say(
            "state.row.passed", "{tag} {good_to_row}, strip passed", tag=tag, good_to_row=ends
        )
    if lacks_its_activator(situation, container):
        return say(
            "state.row.inactive", "{tag} {good_to_row}, not active", tag=tag, good_to_row=ends
        )
    return say("state.row", "{tag} {good_to_row}", tag=tag, good_to_row=ends)


def _row_not(situation: Situation, container: Container, moment: Moment) -> Text:
    if set_aside(situation.clinic, container):
        return _recalled(container.tag)
    if container.fitness is Fitness.HELD and moment.now < container.discard_by:
        return say("state.row.held", "{tag} ON HOLD", tag=container.tag)
    return say("state.row.not", "{tag} NOT FOR USE", tag=container.tag)


def _recalled(tag: str) -> Text:
    return say("state.row.recalled", "{tag} RECALLED, set aside", tag=tag)


def _strips_row(situation: Situation, bottle: StripBottle, moment: Moment) -> Text:
    if set_aside(situation.clinic, bottle):
        return _recalled(bottle.tag)
    if not _is_usable(situation, bottle, moment):
        return say("state.row.not", "{tag} NOT FOR USE", tag=bottle.tag)
    ends = good_to_in_row(bottle.discard_by, situation.zone)
    return say("state.row", "{tag} {good_to_row}", tag=bottle.tag, good_to_row=ends)
